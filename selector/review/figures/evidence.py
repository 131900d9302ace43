"""What else a figure must agree with, besides the others of its chart: order along the top, figures that make sense."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction
from itertools import pairwise

from selector.review.figures.panel import FigurePanel
from selector.table.model.table import Table
from selector.units import convert

LOOSE = ("seconds", "share", "reduction")
"""Quantities whose figures follow no pattern: times and shares are what they are."""
_LONG, _FEW = 12, 6
"""Rows of a lone column from which an order, or a figure that comes twice, tells nothing of one figure."""

Penalty = Callable[[int, float], float]
"""Of a cell and a figure it may hold: 0 where they agree, the log of how much less likely otherwise."""

SENSE: dict[str, tuple[float, float]] = {
    "share": (20, 125),
    "reduction": (3, 40),
    "airflow per ton": (250, 500),
    "temperature rise": (15, 90),
    "seconds": (5, 900),
    "tons": (0.75, 25),
}
"""Ranges in which the figures of charts lie: percent, cfm per ton, F, seconds, tons (common practice, no source)."""

SPREAD: dict[str, float] = {
    "seconds": 0.8,
    "share": 0.4,
    "reduction": 0.5,
    "watts": 0.4,
    "tons": 0.4,
    "speed": 0.25,
    "temperature rise": 0.2,
}
"""How far the figures of one column commonly lie apart, as a sigma of logs; 0.3 for the rest."""


GRAIN: dict[str, float] = {"watts": 0.03}
"""Irregularity that figures which hang together are taken to have, relative; 0.012 for the rest (tuned on tables of
our own)."""


def sense_of(table: Table, panel: FigurePanel) -> Penalty:
    """Figures out of the range that charts have."""
    limits = SENSE.get(panel.quantity)
    if limits is None:
        return _agrees
    low, high = limits
    if panel.quantity == "temperature rise" and table.units.temperature == "C":
        low, high = low * 5 / 9, high * 5 / 9
    if panel.quantity == "airflow per ton":
        factor = float(convert(Fraction(1), "cfm", table.units.airflow))
        low, high = low * factor, high * factor

    def penalty(_cell: int, value: float) -> float:
        if low <= value <= high:
            return 0.0
        if panel.quantity == "share" and value > high:
            return -7.0
        return -3.0 if low / 1.4 <= value <= high * 1.4 and panel.quantity != "share" else -6.0

    return penalty


def in_a_line(panel: FigurePanel) -> Penalty:
    """The figures of a lone column, or of a chart of one row: pages print each once, and mostly in order. One that
    another row has too, or that breaks the order of all the others; the greatest may come twice, and the first row
    is often the factory setting."""
    if 1 not in (panel.width, panel.height) or panel.height > _LONG:
        return _agrees
    values = panel.values()
    top = max(v for v in values if v is not None)

    def penalty(cell: int, value: float) -> float:
        others = [(n, v) for n, v in enumerate(values) if v is not None and n != cell]
        if len(others) < 2 or len({v for _, v in others}) < len(others):
            return 0.0
        twice = (
            few_in_a_column(panel) and any(v == value for _, v in others) and (value < top or panel.quantity in LOOSE)
        )
        whole = sorted([*others, (cell, value)])
        kept = whole if cell == 0 or not _monotone([v for n, v in whole if n and n != cell]) else whole[1:]
        breaks = len(kept) > 2 and not _monotone([v for _, v in kept])
        breaks = breaks and _monotone([v for n, v in kept if n != cell])
        order = min(len(kept) - 1, 4) * 0.8 * (0.5 if cell == 0 else 1.0)
        return -(2.5 if twice else 0.0) - (order if breaks else 0.0)

    return penalty


def few_in_a_column(panel: FigurePanel) -> bool:
    """True for a lone column of few rows, of which no two give the same."""
    return panel.width == 1 and panel.height <= (_FEW if panel.quantity in LOOSE else _LONG)


def _monotone(values: Sequence[float | None]) -> bool:
    steps = [b - a for a, b in pairwise(v for v in values if v is not None)]
    return all(s >= 0 for s in steps) or all(s <= 0 for s in steps)


def order_of(panel: FigurePanel) -> Penalty:
    """Columns that rise (or fall) in every other row: low stage under high stage, airflow falling with static
    pressure, models by size."""
    if panel.width < 2 or panel.quantity not in ("airflow", "least airflow", "most airflow", "watts"):
        return _agrees
    values = panel.values()
    width = panel.width
    pairs: list[tuple[int, int, int, float]] = []
    for a in range(width):
        for b in range(a + 1, width):
            differing = [i for i, (x, y) in enumerate(zip(panel.heads[a], panel.heads[b], strict=True)) if x != y]
            if len(differing) != 1:
                continue
            key = panel.chart.heads[differing[0]]
            places = [key.values.index(panel.heads[c][differing[0]]) for c in (a, b)]
            if places[1] - places[0] != 1:
                continue
            both = [(values[r * width + a], values[r * width + b]) for r in range(panel.height)]
            up = sum(1 for x, y in both if x is not None and y is not None and x <= y)
            down = sum(1 for x, y in both if x is not None and y is not None and x >= y)
            count = sum(1 for x, y in both if x is not None and y is not None)
            sure = key.name in ("stage", "static pressure")
            direction = 1 if up > down else -1
            if key.name == "static pressure" and panel.quantity == "airflow":
                direction = -1
            elif key.name == "stage":
                direction = 1
            if sure or (max(up, down) >= count - 1 and count >= 4):
                pairs.append((a, b, direction, -4.0 if sure else -2.0))
    if not pairs:
        return _agrees

    def penalty(cell: int, value: float) -> float:
        r, c = divmod(cell, width)
        out = 0.0
        for a, b, direction, cost in pairs:
            other = values[r * width + (b if c == a else a)] if c in (a, b) else None
            if other is not None and ((other - value) if c == a else (value - other)) * direction < 0:
                out += cost * min(1.0, abs(other - value) / (0.03 * other))
        return out

    return penalty


def _agrees(_cell: int, _value: float) -> float:
    return 0.0


def together(penalties: Sequence[Penalty]) -> Penalty:
    """The sum of several."""
    kept = [p for p in penalties if p is not _agrees]

    def penalty(cell: int, value: float) -> float:
        return sum(p(cell, value) for p in kept)

    return penalty
