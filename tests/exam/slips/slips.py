"""Single slips of a typist: each makes one mistake in the figures of one chart."""

from __future__ import annotations

import itertools
import random
from collections.abc import Callable
from dataclasses import dataclass

from .cells import Cell, cells, edited, weight

MISREAD = {
    "0": "86", "1": "74", "2": "7", "3": "85", "4": "91", "5": "63", "6": "508", "7": "12", "8": "306", "9": "47",
}  # fmt: skip
KEYS = {
    "0": "9", "1": "2", "2": "13", "3": "24", "4": "35", "5": "46", "6": "57", "7": "68", "8": "79", "9": "80",
}  # fmt: skip
MOST = {"share": 150.0, "reduction": 90.0, "trim": 1.9, "temperature rise": 1000.0}
Changes = dict[Cell, str]
Chart = list[Cell]
Maker = Callable[[random.Random, Chart, Cell], Changes]


@dataclass(frozen=True)
class Fault:
    """One wrongly typed cell; `line` and `column` (from 1) are those in the slipped text."""

    chart: str
    row: int
    head: int
    line: int
    column: int
    true: str
    typed: str


@dataclass(frozen=True)
class Slip:
    """A slip: its kind, the wrong cells, and the greatest relative change among them.

    The change of a trim or a reduction is that of its factor (+6 % typed +60 %: 1.60 / 1.06 - 1); of all else
    that of the figure.
    """

    kind: str
    faults: tuple[Fault, ...]
    change: float

    @property
    def lines(self) -> frozenset[int]:
        """The lines that hold a wrong cell."""
        return frozenset(fault.line for fault in self.faults)


def one(cell: Cell, digits: str) -> Changes:
    """Only this cell, with these digits."""
    return {cell: cell.typed(digits)}


def swapped_digits(rng: random.Random, _: Chart, cell: Cell) -> Changes:
    """Two neighboring digits change places."""
    digits = cell.digits
    places = [i for i in range(len(digits) - 1) if digits[i] != digits[i + 1] and "." not in digits[i : i + 2]]
    if not places:
        return {}
    i = rng.choice(places)
    return one(cell, digits[:i] + digits[i + 1] + digits[i] + digits[i + 2 :])


def _replaced(rng: random.Random, cell: Cell, pairs: dict[str, str]) -> Changes:
    i = rng.choice([i for i, digit in enumerate(cell.digits) if digit != "."])
    return one(cell, cell.digits[:i] + rng.choice(pairs[cell.digits[i]]) + cell.digits[i + 1 :])


def misread_digit(rng: random.Random, _: Chart, cell: Cell) -> Changes:
    """One digit read as another of like shape."""
    return _replaced(rng, cell, MISREAD)


def wrong_key(rng: random.Random, _: Chart, cell: Cell) -> Changes:
    """One digit typed as its neighbor on the keyboard."""
    return _replaced(rng, cell, KEYS)


def dropped_digit(rng: random.Random, _: Chart, cell: Cell) -> Changes:
    """One digit left out."""
    if len(cell.digits.replace(".", "")) < 2 or "." in cell.digits:
        return {}
    i = rng.randrange(len(cell.digits))
    return one(cell, cell.digits[:i] + cell.digits[i + 1 :])


def doubled_digit(rng: random.Random, _: Chart, cell: Cell) -> Changes:
    """One digit typed twice."""
    i = rng.choice([i for i, digit in enumerate(cell.digits) if digit != "."])
    return one(cell, cell.digits[: i + 1] + cell.digits[i:])


def shifted_decimal(rng: random.Random, _: Chart, cell: Cell) -> Changes:
    """Ten times too much or too little."""
    whole, dot, rest = cell.digits.partition(".")
    if dot:
        return one(cell, whole + rest if rng.random() < 0.5 else f"0.{whole}{rest}")
    if cell.digits.endswith("0") and len(cell.digits) > 1 and rng.random() < 0.5:
        return one(cell, cell.digits[:-1])
    return one(cell, cell.digits + "0" if rng.random() < 0.7 or len(whole) < 2 else f"{whole[:-1]}.{whole[-1]}")


def lost_sign(_: random.Random, __: Chart, cell: Cell) -> Changes:
    """Plus for minus or minus for plus."""
    if not cell.sign:
        return {}
    return {cell: cell.typed(cell.digits, "-" if cell.sign == "+" else "+")}


def _near(rng: random.Random, chart: Chart, cell: Cell, row: bool) -> Cell | None:
    if row:
        near = [c for c in chart if c.head == cell.head and abs(c.row - cell.row) == 1]
    else:
        near = [c for c in chart if c.row == cell.row and abs(c.head - cell.head) in (1, 2)]
        near = [c for c in near if c.quantity == cell.quantity]
    return rng.choice(near) if near else None


def row_neighbor(rng: random.Random, chart: Chart, cell: Cell) -> Changes:
    """The figure of the row above or below, same column."""
    other = _near(rng, chart, cell, row=True)
    return {cell: other.text} if other else {}


def column_neighbor(rng: random.Random, chart: Chart, cell: Cell) -> Changes:
    """The figure of a column beside it, same row."""
    other = _near(rng, chart, cell, row=False)
    return {cell: other.text} if other else {}


def exchanged_figures(rng: random.Random, chart: Chart, cell: Cell) -> Changes:
    """Two figures of a row change places."""
    other = _near(rng, chart, cell, row=False)
    return {cell: other.text, other: cell.text} if other else {}


def exchanged_rows(rng: random.Random, chart: Chart, cell: Cell) -> Changes:
    """All figures of two neighboring rows change places."""
    other = _near(rng, chart, cell, row=True)
    if other is None:
        return {}
    upper = {c.head: c for c in chart if c.row == cell.row}
    lower = {c.head: c for c in chart if c.row == other.row}
    if upper.keys() != lower.keys() or len({c.row for c in chart}) < 3:
        return {}
    changes: Changes = {}
    for head, above in upper.items():
        changes |= {above: lower[head].text, lower[head]: above.text}
    return changes


def shifted_column(rng: random.Random, chart: Chart, cell: Cell) -> Changes:
    """From one row on a column's figures stand one row too low (the eye slipped), the last is lost; or too high."""
    column = sorted((c for c in chart if c.head == cell.head), key=lambda c: c.row)
    if len(column) < 4:
        return {}
    down = rng.random() < 0.5
    start = rng.randrange(len(column) - 2)
    pairs = itertools.pairwise(column[start:])
    return {low: high.text for high, low in pairs} if down else {high: low.text for high, low in pairs}


MAKERS: dict[str, Maker] = {
    maker.__name__.replace("_", " "): maker
    for maker in (
        swapped_digits, misread_digit, wrong_key, dropped_digit, doubled_digit, shifted_decimal, lost_sign,
        row_neighbor, column_neighbor, exchanged_figures, exchanged_rows, shifted_column,
    )
}  # fmt: skip
# how often a typist makes them: a guess, no source
SHARES = dict(zip(MAKERS, (12, 14, 10, 9, 7, 6, 3, 10, 8, 7, 6, 4), strict=True))


def change(cell: Cell, typed: str) -> float:
    """Relative change of what the cell does, signed."""
    true = weight(cell.quantity, cell.text)
    return weight(cell.quantity, typed) / true - 1 if true else 0.0


def plausible(cell: Cell, typed: str) -> bool:
    """False for what any reader of the format would refuse: a share or trim out of all bounds, no figure at all."""
    figure = weight(cell.quantity, typed)
    leading = typed.lstrip("+-")
    return 0 < abs(figure) <= MOST.get(cell.quantity, 1e7) and not (leading[:1] == "0" and leading[1:2] != ".")


def slip(rng: random.Random, text: str, kind: str = "", least: float = 0.0) -> tuple[str, Slip] | None:
    """The text with one slip (of `kind`, or of any) that changes a figure by at least `least`; None if none fits."""
    charts: dict[str, Chart] = {}
    for cell in cells(text):
        charts.setdefault(cell.chart, []).append(cell)
    names = list(charts)
    weights = [len(charts[name]) ** 0.5 for name in names]
    kinds = [kind] if kind else sorted(SHARES, key=lambda known: rng.random() ** (1 / SHARES[known]), reverse=True)
    for made in itertools.chain.from_iterable(itertools.repeat(known, 25) for known in kinds):
        name = rng.choices(names, weights)[0]
        changes = MAKERS[made](rng, charts[name], rng.choice(charts[name]))
        changes = {cell: typed for cell, typed in changes.items() if change(cell, typed) != 0}
        greatest = max((abs(change(cell, typed)) for cell, typed in changes.items()), default=0.0)
        if not changes or greatest < least or not all(plausible(cell, typed) for cell, typed in changes.items()):
            continue
        slipped, places = edited(text, changes)
        faults = [
            Fault(cell.chart, cell.row, cell.head, cell.line, places[cell], cell.text, typed)
            for cell, typed in sorted(changes.items(), key=lambda item: (item[0].line, item[0].column))
        ]
        return slipped, Slip(made, tuple(faults), greatest)
    return None
