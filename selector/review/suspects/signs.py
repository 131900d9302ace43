"""Trims and offsets: a lost sign that makes two positions alike, a trim without its counterpart, one larger than
charts have."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import exp, log

from selector.review.figures.finding import Correction, Edit, Finding, finding_id
from selector.review.figures.panel import FigurePanel
from selector.review.figures.possible_slips import WORDS, candidates
from selector.review.statistics.rounding import fits
from selector.table.model.quantities import QUANTITIES

SIGNED = tuple(q.name for q in QUANTITIES.values() if q.signed)
_FEW_ROWS = 8
"""Rows of a chart of trims up to which no two positions give the same."""


def signs(panel: FigurePanel, prior: float) -> Iterator[Finding]:
    """Every figure of a panel of trims or offsets as a finding, however unlikely; two that are alike as one finding
    of both."""
    if panel.quantity == "offset" and len(set(panel.values()) - {0.0, None}) < 2:
        return
    told: set[int] = set()
    for n, figure in enumerate(panel.cells):
        if figure is None or not figure.value or n in told:
            continue
        alike = [k for k in _column(panel, n) if k > n and panel.values()[k] == figure.value]
        lonely = [k for k in _column(panel, n) if k > n and not _counterpart(panel, k)]
        if len(lonely) != 1 or _counterpart(panel, n) or (panel.values()[lonely[0]] or 0) * figure.value > 0:
            lonely = []
        pair = [n, *(alike or lonely)[:1]] if _few(panel) else [n]
        # pages print the greater airflow first: of two alike the second of a plus and the first of a minus is the
        # likelier slip
        suspects = list(reversed(pair)) if figure.value > 0 else pair
        told.update(suspects)
        yield _finding(panel, suspects, prior)


def _counterpart(panel: FigurePanel, cell: int) -> bool:
    """True where the column has the trim of a cell with the other sign too, or the cell has none."""
    value = panel.values()[cell]
    return not value or any(panel.values()[k] == -value for k in _column(panel, cell))


def _few(panel: FigurePanel) -> bool:
    """True where no two positions give the same."""
    return panel.width == 1 and panel.height <= _FEW_ROWS


def _column(panel: FigurePanel, cell: int) -> list[int]:
    """The other cells with figures of the column of a cell."""
    return [k for k in range(cell % panel.width, len(panel.cells), panel.width) if k != cell and panel.cells[k]]


def _finding(panel: FigurePanel, suspects: list[int], prior: float) -> Finding:
    odds: list[float] = []
    corrections: list[Correction] = []
    places = []
    for rank, n in enumerate(suspects):
        figure = panel.cells[n]
        assert figure is not None
        places.append(figure.place)
        stands = _weigh(panel, n, figure.typed)
        options = sorted(
            (
                (c.log_chance + _weigh(panel, n, c.typed), c.typed, c.kind)
                for c in candidates(figure.typed, signed=True)
            ),
            key=lambda o: (-o[0], o[1]),
        )
        top = options[0][0]
        total = top + log(sum(exp(o[0] - top) for o in options))
        odds.append(total - stands)
        for weight, typed, kind in options[: 3 if rank == 0 else 1]:
            if exp(weight - total) > 0.05:
                at = f" at {panel.row_words(n // panel.width)}" if len(suspects) > 1 else ""
                edit = Edit(place=figure.place, to=typed)
                corrections.append(
                    Correction(
                        words=f"{typed}{at} ({WORDS[kind]})", edits=(edit,), share=exp(weight - total) / len(suspects)
                    )
                )
    first = panel.cells[suspects[0]]
    assert first is not None
    typed = first.typed
    where = panel.where(suspects[0])
    if len(suspects) > 1:
        where += f" and {panel.row_words(suspects[1] // panel.width)}"
    return Finding(
        code="odd-trim",
        where=where,
        why=_why(panel, [c.typed for n in suspects if (c := panel.cells[n])]),
        places=tuple(places),
        corrections=tuple(corrections),
        log_odds=prior + log(sum(exp(o - max(odds)) for o in odds)) + max(odds),
        id=finding_id("odd-trim", where, [typed]),
    )


def _why(panel: FigurePanel, typed: Sequence[str]) -> str:
    unit = " %" if panel.quantity == "trim" else ""
    if len(typed) > 1:
        alike = f"two positions would both give {typed[0]}{unit}"
        return alike if typed[0] == typed[1] else f"{typed[0]}{unit} and {typed[1]}{unit} ought to mirror each other"
    if abs(float(typed[0])) > 20 and panel.quantity == "trim":
        return f"{typed[0]} is more than a trim commonly is"
    return f"{typed[0]} is unlike the figures around it"


def _weigh(panel: FigurePanel, cell: int, typed: str) -> float:
    """Log of how likely the column of a cell is with this trim or offset in it."""
    if not float(typed):
        return -8.0
    others = [panel.values()[k] or 0.0 for k in _column(panel, cell)]
    row = cell - cell % panel.width
    beside = [v for k, v in enumerate(panel.values()) if v and k != cell and row <= k < row + panel.width]
    across = any((v > 0) != (float(typed) > 0) for v in beside)
    return _column_weight(panel, [*others, float(typed)]) - (4.0 if across else 0.0)


def _column_weight(panel: FigurePanel, values: Sequence[float]) -> float:
    """Trims come in pairs of plus and minus, and no two of few positions give the same; offsets are of one size."""
    held = [v for v in values if v]
    sizes = sorted(abs(v) for v in held)
    twice = len(held) - len(set(held))
    paired = sum(1 for v in set(held) if v > 0 and -v in held)
    out = 2.0 * (paired + (len(held) == 2 * paired > 2)) - (6.0 if _few(panel) else 1.0) * twice
    if panel.quantity == "offset":
        middle = sizes[len(sizes) // 2]
        return out - sum(1.2 * abs(log(size / middle)) for size in sizes)
    return out + sum(
        (-size / 12 if size <= 20 else -20 / 12 - (size - 20) / 2)
        + (0.0 if fits(size, 0.5) else -4.0)
        + (0.0 if fits(size, sizes[0]) else -0.7)
        for size in sizes
    )
