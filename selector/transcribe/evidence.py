"""What else a figure must agree with, besides the others of its chart: the rise beside it, order along the top, figures that make sense."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction
from itertools import pairwise
from math import exp, log, sqrt

from selector.air.density import SENSIBLE_FACTOR
from selector.table.model import Table
from selector.table.units import convert
from selector.transcribe.panel import Panel
from selector.transcribe.robust import log_t, median, spread

_BEYOND = 4.0
"""How much less likely a rise is that misses heat and airflow by more than a degree F, on a page where the others don't (common practice)."""

Penalty = Callable[[int, float], float]
"""Of a cell and a figure it may hold: 0 where they agree, the log of how much less likely otherwise."""

SENSE: dict[str, tuple[float, float]] = {
    "share": (20, 105),
    "reduction": (3, 40),
    "airflow per ton": (250, 500),
    "temperature rise": (15, 90),
    "seconds": (5, 900),
    "tons": (0.75, 25),
}
"""Ranges in which the figures of charts lie: percent, cfm per ton, F, seconds, tons (common practice, no source)."""

SPREAD: dict[str, float] = {"seconds": 0.8, "share": 0.4, "reduction": 0.5, "watts": 0.4, "tons": 0.4, "speed": 0.25, "temperature rise": 0.2}
"""How far the figures of one column commonly lie apart, as a sigma of logs; 0.3 for the rest."""


def sense_of(table: Table, panel: Panel) -> Penalty:
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


def order_down(panel: Panel) -> Penalty:
    """Shares of a lone column, which pages print in order: one that breaks the order of all the others."""
    if panel.width != 1 or panel.quantity != "share":
        return _agrees
    values = panel.values()

    def penalty(cell: int, value: float) -> float:
        others = [v for n, v in enumerate(values) if v is not None and n != cell]
        whole = [value if n == cell else v for n, v in enumerate(values) if v is not None or n == cell]
        if len(others) < 2 or not _monotone(others):
            return 0.0
        return 0.0 if _monotone(whole) else -1.2 if len(others) == 2 else -2.0

    return penalty


def _monotone(values: Sequence[float | None]) -> bool:
    steps = [b - a for a, b in pairwise(v for v in values if v is not None)]
    return all(s > 0 for s in steps) or all(s < 0 for s in steps)


def per_ton_of(table: Table, panel: Panel) -> Penalty:
    """Airflow per ton outside 250-500 cfm, where a head or a position is tons."""
    if panel.quantity != "airflow":
        return _agrees
    tons = [_tons_of_column(table, panel, c) for c in range(panel.width)]
    rows = [_tons_of_row(table, panel, r) for r in range(panel.height)]
    if not any(tons) and not any(rows):
        return _agrees
    factor = float(convert(Fraction(1), "cfm", table.units.airflow))

    def penalty(cell: int, value: float) -> float:
        r, c = divmod(cell, panel.width)
        size = tons[c] or rows[r]
        if size is None:
            return 0.0
        each = value / size / factor
        return 0.0 if 250 <= each <= 500 else -3.0 if 200 <= each <= 600 else -6.0

    return penalty


def tons_at(table: Table, panel: Panel, cell: int) -> float | None:
    """The tons of a cell, None where they aren't known."""
    r, c = divmod(cell, panel.width)
    return _tons_of_column(table, panel, c) or _tons_of_row(table, panel, r)


def _gives_tons(table: Table, name: str) -> bool:
    fact = table.facts.get(name)
    if fact is not None:
        return fact.gives == "tons"
    selector = table.selectors.get(name)
    return (selector is not None and (selector.gives == "tons" or "tons" in selector.declares)) or name.casefold() in ("outdoor tons", "tons")


def _tons_of_column(table: Table, panel: Panel, column: int) -> float | None:
    for key, word in zip(panel.chart.heads, panel.heads[column], strict=True):
        if _gives_tons(table, key.name):
            return _plain(word)
    return None


def _tons_of_row(table: Table, panel: Panel, row: int) -> float | None:
    for key, at in zip(panel.chart.keys, panel.keys[row], strict=True):
        if at >= 0 and _gives_tons(table, key.name):
            return _plain(key.values[at])
    return None


def _plain(word: str) -> float | None:
    try:
        value = float(word.split()[0])
    except (ValueError, IndexError):
        return None
    return value if value > 0 else None


def order_of(panel: Panel) -> Penalty:
    """Columns that rise (or fall) in every other row: low stage under high stage, airflow falling with static pressure, models by size."""
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


def order_cost(panel: Panel, values: Sequence[float | None]) -> float:
    """How badly whole columns run against static pressure and stage: -8 for each pair of neighbours in the wrong order in most rows."""
    out = 0.0
    width = panel.width
    for a in range(width):
        for b in range(a + 1, width):
            differing = [i for i, (x, y) in enumerate(zip(panel.heads[a], panel.heads[b], strict=True)) if x != y]
            if len(differing) != 1:
                continue
            key = panel.chart.heads[differing[0]]
            direction = {"static pressure": -1, "stage": 1}.get(key.name, 0)
            places = [key.values.index(panel.heads[c][differing[0]]) for c in (a, b)]
            if not direction or places[1] - places[0] != 1 or panel.quantity != "airflow":
                continue
            both = [(values[r * width + a], values[r * width + b]) for r in range(panel.height)]
            wrong = sum(1 for x, y in both if x is not None and y is not None and (y - x) * direction < -0.01 * x)
            if wrong * 2 > sum(1 for x, y in both if x is not None and y is not None):
                out -= 8.0
    return out


class Rises:
    """The rise printed beside an airflow: their product is the delivered heat over the factor, the same in every row of a column."""

    def __init__(self, table: Table, air: Panel, rise: Panel) -> None:
        self.air, self.rise = air, rise
        self.products: list[float | None] = []
        plate = self.plate = _plate_products(table, air)
        for n, (a, r) in enumerate(zip(air.values(), rise.values(), strict=True)):
            base = plate[n % air.width]
            self.products.append(a * r / base if a and r else None)
        self.shared = all(p != 1.0 for p in plate)
        known = [(n % air.width, log(p)) for n, p in enumerate(self.products) if p is not None]
        middle = {c: median([z for k, z in known if self.shared or k == c]) for c in {k for k, _ in known}}
        self.count = len(known) - (1 if self.shared else len(middle))
        self.stray = spread([z - middle[c] for c, z in known]) if known else 0.0
        self.degree = 1.05 if table.units.temperature == "F" else 0.6
        near = [abs(exp(log(p) - middle[n % air.width]) - 1) * (rise.values()[n] or 0.0) <= self.degree for n, p in enumerate(self.products) if p]
        self.agree = len(near) >= 4 and sum(near) >= 0.7 * len(near)

    def scale(self, rise: float) -> float:
        """Sigma of a product: a rise rounded to a degree, and how well the others agree; with few of them mostly the rounding."""
        own = 0.4 / max(1.0, rise) + 0.003
        return sqrt((4 * own**2 + max(0, self.count) * self.stray**2) / (4 + max(0, self.count)))

    def expected(self, cell: int) -> float | None:
        """The median of the other products of the column (of all columns, where the rating plate makes them alike)."""
        width = self.air.width
        others = [p for n, p in enumerate(self.products) if p is not None and n != cell and (self.shared or n % width == cell % width)]
        return median(others) if others else None

    def deviation(self, cell: int, air: float, rise: float) -> tuple[float, float] | None:
        """(relative deviation of the product, the rise it ought to be); None where nothing tells."""
        expected, product = self.expected(cell), self.products[cell]
        a, r = self.air.cells[cell], self.rise.cells[cell]
        if expected is None or product is None or a is None or r is None or air <= 0 or rise <= 0:
            return None
        base = a.value * r.value / product
        return log(air * rise / base / expected), expected * base / air

    def gain_of_exchange(self, a: int, b: int) -> float:
        """How much better the products fit the plate with columns a and b in each other's place, as a log."""
        width = self.air.width
        rest = [p for n, p in enumerate(self.products) if p is not None and n % width not in (a, b)]
        expected = median(rest) if rest else 1.0
        gain = 0.0
        for n, product in enumerate(self.products):
            if product is None or n % width not in (a, b):
                continue
            other = n + (b - a if n % width == a else a - b)
            rise = self.rise.cells[n]
            scale = 0.6 / max(1.0, rise.value if rise is not None else 1.0) + 0.01
            here, there = self.plate[n % width], self.plate[other % width]
            gain += log_t(log(product * here / there / expected), scale, 5) - log_t(log(product / expected), scale, 5)
        return gain

    def penalty(self, *, of_rise: bool) -> Penalty:
        """How badly an airflow fits the rise beside it, or a rise its airflow."""

        def penalty(cell: int, value: float) -> float:
            a, r = self.air.cells[cell], self.rise.cells[cell]
            if a is None or r is None:
                return 0.0
            found = self.deviation(cell, a.value if of_rise else value, value if of_rise else r.value)
            if found is None:
                return 0.0
            rise = value if of_rise else r.value
            scale = self.scale(rise)
            beyond = self.agree and abs(rise - found[1]) > self.degree
            return log_t(found[0], scale, 7) - log_t(0.0, scale, 7) - (_BEYOND if beyond else 0.0)

        return penalty


def _plate_products(table: Table, air: Panel) -> list[float]:
    """Input x efficiency of each column's model and stage; 1 for all where the plate doesn't tell."""
    out: list[float] = []
    stage_names = {s for call in table.calls.values() for s in call.stages if s}
    for heads in air.heads:
        model = next((h for key, h in zip(air.chart.heads, heads, strict=True) if key.name == "model"), None)
        stage = next((h for h in heads if h in stage_names), "")
        heat = table.ratings.get("heat output") or table.ratings.get("heat input")
        efficiency = table.ratings.get("efficiency")
        value = heat.get(model, stage) if heat is not None else None
        share = efficiency.get(model, stage) if efficiency is not None else Fraction(1)
        if not isinstance(value, Fraction) or not isinstance(share, Fraction):
            return [1.0] * air.width
        out.append(float(value * share / SENSIBLE_FACTOR))
    return out


def _agrees(_cell: int, _value: float) -> float:
    return 0.0


def together(penalties: Sequence[Penalty]) -> Penalty:
    """The sum of several."""
    kept = [p for p in penalties if p is not _agrees]

    def penalty(cell: int, value: float) -> float:
        return sum(p(cell, value) for p in kept)

    return penalty
