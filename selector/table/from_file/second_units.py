"""A page in two units side by side: the second column of a figure, held against the first and then left aside."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction
from math import gcd

from selector.table.from_file.builder import HEAT_FACTOR, Builder
from selector.table.grammar.table_file import UNITS
from selector.table.model.quantities import QUANTITIES, Quantity
from selector.table.model.table import Cell, Row
from selector.table.text.words import Item
from selector.units import convert, rise
from selector.value import Struct, replace

_KINDS = {"airflow": "airflow", "temperature difference": "temperature", "heat": "heat", "pressure": "pressure"}
SECOND_UNITS = tuple(
    f"{q.name} in {unit}" for q in QUANTITIES.values() for unit in UNITS.get(_KINDS.get(q.unit, ""), ())
)
"""What `gives:` may name for a column in another unit."""
CLOSE = Fraction(1, 100)
"""A figure is never taken as rounded more roughly than to this share of itself (our choice, no source)."""


class Beside(Struct, frozen=True, kw_only=True):
    """The figures of `of` printed once more in another unit, with the change from the file's own unit."""

    name: str
    of: str
    unit: str
    turned: Callable[[Fraction], Fraction]

    @property
    def quantity(self) -> Quantity:
        """What its cells are read as; its name is its kind of unit too."""
        base = QUANTITIES[self.of]
        return Quantity(
            name=self.name, role="note", unit=self.name, help="", example="", signed=base.signed, none=base.none
        )


def beside_of(b: Builder, text: str) -> Beside | None:
    """`airflow in L/s` as the second column of an airflow, `static pressure in Pa` as a second line of heads; None
    for other words."""
    name, _, typed = " ".join(text.split()).rpartition(" in ")
    kind = "pressure" if name == "static pressure" else QUANTITIES[name].unit if name in QUANTITIES else ""
    under = _KINDS.get(kind, "")
    unit = next((u for u in UNITS.get(under, ()) if u.casefold() == typed.casefold()), "")
    if not unit:
        return None
    own = getattr(b.units, under)

    def turned(value: Fraction) -> Fraction:
        if kind == "heat":
            return value / HEAT_FACTOR[unit]
        return rise(value, own, unit) if kind == "temperature difference" else convert(value, own, unit)

    return Beside(name=f"{name} in {unit}", of=name, unit=unit, turned=turned)


def set_apart(b: Builder, rows: list[Row], gives: Sequence[str], besides: Sequence[Beside]) -> list[Row]:
    """The rows without the second columns, each of whose figures has been held against its first."""
    by_name = {one.name: one for one in besides}
    kept = [n for n, name in enumerate(gives) if name not in by_name]
    told = {n: (list(gives).index(by_name[name].of), by_name[name]) for n, name in enumerate(gives) if name in by_name}
    width = len(gives)
    steps = {n: _step([row.cells[i] for row in rows for i in range(n, len(row.cells), width)]) for n in range(width)}
    out = []
    for row in rows:
        if not row.cells or len(row.typed) != len(row.cells):
            out.append(replace(row, cells=tuple(c for i, c in enumerate(row.cells) if i % width in kept)))
            continue
        places = [i for i in range(len(row.cells)) if i % width in kept]
        words = dict.fromkeys(places, "")
        for i, second in enumerate(row.cells):
            if i % width in told:
                at, one = told[i % width]
                first = i - i % width + at
                words[first] = f"{row.typed[i]} {one.unit}"
                _held(b, row, one, row.cells[first], second, (steps[at], steps[i % width]))
        out.append(
            replace(
                row,
                cells=tuple(row.cells[i] for i in places),
                typed=tuple(row.typed[i] for i in places),
                beside=tuple(words[i] for i in places),
                marks=tuple((places.index(c) if c in places else -1, mark) for c, mark in row.marks),
            )
        )
    return out


def _held(b: Builder, row: Row, one: Beside, first: Cell, second: Cell, steps: tuple[Fraction, Fraction]) -> None:
    """two-units-differ (a remark): a figure that isn't the same in both units, both rounded as their columns are."""
    if not (isinstance(first, Fraction) and isinstance(second, Fraction)):
        return
    line = b.source.lines[row.line - 1]
    agree(b, one, first, second, Item(line.strip(), row.line, len(line) - len(line.lstrip()) + 1), steps)


def agree(
    b: Builder, one: Beside, first: Fraction, second: Fraction, place: Item, steps: tuple[Fraction, Fraction]
) -> None:
    """Holds one figure against the other, each off by at most half of what its column is rounded to."""
    meant = one.turned(first)
    slack = one.turned(min(steps[0], abs(first) * CLOSE)) / 2 + min(steps[1], abs(second) * CLOSE) / 2
    if abs(meant - second) > slack:
        heat = one.of in QUANTITIES and QUANTITIES[one.of].unit == "heat"
        shown = first / HEAT_FACTOR[b.units.heat] if heat else first
        b.report.at(
            place,
            "two-units-differ",
            f"{float(shown):g} comes to {float(meant):.4g} {one.unit}, but {float(second):g} {one.unit} is beside it",
            "look at both on the page; right if the page has it",
            remark=True,
        )


def _step(cells: Sequence[Cell]) -> Fraction:
    """What the figures of a column are rounded to: the greatest number that divides them all."""
    figures = [c for c in cells if isinstance(c, Fraction)]
    whole = max((c.denominator for c in figures), default=1)
    return Fraction(gcd(*(int(c * whole) for c in figures)) or 1, whole) if figures else Fraction(1)


def column_steps(first: Sequence[Fraction], second: Sequence[Fraction]) -> tuple[Fraction, Fraction]:
    """What two lines of heads are rounded to."""
    return _step(first), _step(second)
