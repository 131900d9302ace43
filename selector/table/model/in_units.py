"""The same table in other units of measure, exact: every airflow, pressure and temperature of it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from fractions import Fraction
from typing import Any

from selector.table.model.quantities import OWN_AIRFLOW, QUANTITIES, RATINGS, STEPS
from selector.table.model.table import (
    Call,
    Chart,
    Condition,
    Either,
    Fact,
    Footnote,
    Key,
    Part,
    PerTon,
    Rating,
    Row,
    Step,
    Table,
    Units,
    Window,
    in_each_case,
)
from selector.units import convert, difference_unit, format_number, unit_named
from selector.value import replace

METRIC = Units(airflow="L/s", pressure="Pa", temperature="C", heat="kW")
US = Units()
SYSTEMS = {"metric": METRIC, "us": US}
"""A word for all four units."""
_KIND = {"airflow": "airflow", "pressure": "pressure", "temperature": "temperature", "heat rate": "heat"}


def units_named(text: str, own: Units) -> Units:
    """The units of a text, `metric`, `us` or some by name (`L/s, Pa, C`); what isn't named stays as in `own`.
    ValueError with what can be typed otherwise."""
    system = SYSTEMS.get(text.strip().casefold())
    if system is not None:
        return replace(system, converted=True)
    found: dict[str, str] = {}
    for word in (w.strip() for w in text.split(",") if w.strip()):
        try:
            unit = unit_named(word)
        except ValueError as wrong:
            raise ValueError(f"`{word}` is no unit known here") from wrong
        kind = _KIND.get(unit.kind)
        if kind is None or unit.name not in OFFERED[kind]:
            raise ValueError(f"`{word}` is no unit that answers can be given in")
        found[kind] = unit.name
    if not found:
        raise ValueError("no unit is named")
    return replace(own, converted=True, **found)


OFFERED: Mapping[str, tuple[str, ...]] = {
    "airflow": ("cfm", "L/s", "m3/h"),
    "pressure": ("in. w.c.", "Pa"),
    "temperature": ("F", "C"),
    "heat": ("Btu/h", "MBH", "kW"),
}


def in_units(table: Table, units: Units) -> Table:
    """The table in these units; itself where they are its own. Words of heat on the page stay in the unit they are
    printed in."""
    if any(fact.gives == "heat input" for fact in table.facts.values()):
        units = replace(units, heat=table.units.heat)
    if all(getattr(units, kind) == getattr(table.units, kind) for kind in OFFERED):
        return table
    return _Conversion(table, units).table()


class _Conversion:
    """Everything of one table, piece by piece."""

    def __init__(self, table: Table, units: Units) -> None:
        self.own, self.units = table, units
        old = table.units
        degrees = difference_unit(old.temperature), difference_unit(units.temperature)
        self._by: dict[str, Callable[[Fraction], Fraction]] = {
            "airflow": lambda x: convert(x, old.airflow, units.airflow),
            "airflow per ton": lambda x: convert(x, old.airflow, units.airflow),
            "pressure": lambda x: convert(x, old.pressure, units.pressure),
            "temperature": lambda x: convert(x, old.temperature, units.temperature),
            "temperature difference": lambda x: convert(x, *degrees),
            "range": lambda x: convert(x, *degrees),
        }

    def figure(self, value: Any, kind: str) -> Any:
        """A figure of a kind of unit, a range of two, or one that is left open; anything else as it is."""
        act = self._by.get(kind)
        if act is None:
            return value
        if isinstance(value, tuple):
            return tuple(map(act, value))
        if isinstance(value, PerTon):
            return PerTon(act(value.value))
        return in_each_case(act, value) if isinstance(value, Either) else act(value) if _is(value) else value

    def shown(self, value: Fraction, kind: str) -> str:
        """A converted figure as text."""
        unit = {"pressure": self.units.pressure, "airflow": self.units.airflow}.get(kind, "")
        places = {"Pa": 1, "in. w.c.": 3, "L/s": 1, "m3/h": 0, "cfm": 0}.get(unit, 1)
        text = format_number(value, places, commas=False)
        return text.rstrip("0").rstrip(".") if "." in text else text

    def table(self) -> Table:
        """The whole."""
        own = self.own
        return replace(
            own,
            printed=own,
            units=self.units,
            unit=replace(
                own.unit,
                holds_up_to=self.figure(own.unit.holds_up_to, "pressure"),
                only=tuple(map(self.condition, own.unit.only)),
            ),
            ratings={name: self.rating(r) for name, r in own.ratings.items()},
            facts={name: self.fact(f) for name, f in own.facts.items()},
            parts=tuple(map(self.part, own.parts)),
            charts={name: self.chart(c) for name, c in own.charts.items()},
            along={name: self.chart(c) for name, c in own.along.items()},
            calls={name: self.call(c) for name, c in own.calls.items()},
        )

    def rating(self, rating: Rating) -> Rating:
        """A rating; heat is kept in Btu/h."""
        kind = RATINGS[rating.name][0]
        return replace(rating, values={at: self.figure(x, kind) for at, x in rating.values.items()})

    def fact(self, fact: Fact) -> Fact:
        """A fact with its printed values."""
        kind = QUANTITIES[fact.gives].unit if fact.gives else ""
        if kind not in self._by:
            return fact
        numbers = tuple(self.figure(x, kind) for x in fact.numbers)
        words = zip(fact.values, numbers, strict=True) if numbers else ()
        return replace(
            fact,
            numbers=numbers,
            values=tuple(w if x is None else self.shown(x, kind) for w, x in words) or fact.values,
            low=self.figure(fact.low, kind),
            high=self.figure(fact.high, kind),
        )

    def part(self, part: Part) -> Part:
        """A part; its marks stay as they are printed on the board."""
        gives = self.own.selectors[part.selector].gives
        kind = QUANTITIES[gives].unit if gives else ""
        return replace(part, values=tuple(self.figure(x, kind) for x in part.values))

    def key(self, key: Key) -> Key:
        """What stands along the top or down the side."""
        fact = self.own.facts.get(key.name)
        kind = {"static pressure": "pressure", OWN_AIRFLOW: "airflow"}.get(key.name) or (
            QUANTITIES[fact.gives].unit if fact and fact.gives else ""
        )
        if not key.numbers or kind not in self._by:
            return key
        numbers = tuple(self.figure(x, kind) for x in key.numbers)
        return replace(key, numbers=numbers, values=tuple(self.shown(x, kind) for x in numbers))

    def chart(self, chart: Chart) -> Chart:
        """A chart with its rows."""
        kinds = [QUANTITIES[g].unit for g in chart.gives]
        return replace(
            chart,
            keys=tuple(map(self.key, chart.keys)),
            heads=tuple(map(self.key, chart.heads)),
            rows=tuple(self.row(row, kinds) for row in chart.rows),
            holds_up_to=self.figure(chart.holds_up_to, "pressure"),
            only=tuple(map(self.condition, chart.only)),
            notes=tuple(map(self.footnote, chart.notes)),
        )

    def row(self, row: Row, kinds: list[str]) -> Row:
        """A row; figures that are in another unit now are told rounded."""
        cells = tuple(self.figure(x, kinds[i % len(kinds)]) for i, x in enumerate(row.cells))
        typed = tuple(
            text if new == old else self._typed(new, kinds[i % len(kinds)])
            for i, (text, old, new) in enumerate(zip(row.typed, row.cells, cells, strict=False))
        )
        return replace(row, cells=cells, typed=typed or row.typed, beside=())

    def _typed(self, cell: Any, kind: str) -> str:
        figures = cell.figures if isinstance(cell, Either) else (cell,)
        return " or ".join(self.shown(x, kind) for x in figures)

    def footnote(self, note: Footnote) -> Footnote:
        """A footnote; its text stays as it is printed."""
        return replace(note, only=tuple(map(self.condition, note.only)))

    def condition(self, condition: Condition) -> Condition:
        """A condition on a static pressure."""
        if condition.name != "static pressure":
            return condition
        low, high = self.figure(condition.low, "pressure"), self.figure(condition.high, "pressure")
        if not condition.ranged:
            words = tuple(self.shown(self.figure(Fraction(w), "pressure"), "pressure") for w in condition.words)
            return replace(condition, words=words)
        ends = [self.shown(x, "pressure") for x in (low, high) if x is not None]
        side = (
            ("above" if condition.open_end else "at least")
            if high is None
            else "below"
            if condition.open_end
            else "up to"
        )
        return replace(
            condition, low=low, high=high, words=(" to ".join(ends) if len(ends) > 1 else f"{side} {ends[0]}",)
        )

    def step(self, step: Step) -> Step:
        """A step with its figures and conditions."""
        kind = STEPS[step.op].unit if step.op in STEPS else ""
        return replace(
            step,
            by_stage={stage: self.figure(atom, kind) for stage, atom in step.by_stage.items()},
            when=tuple(map(self.condition, step.when)),
        )

    def window(self, window: Window) -> Window:
        """A window."""
        kind = {"temperature rise": "range", "static pressure": "pressure"}.get(window.quantity, window.quantity)
        return replace(
            window,
            low=self.figure(window.low, kind),
            high=self.figure(window.high, kind),
            when=tuple(map(self.condition, window.when)),
        )

    def call(self, call: Call) -> Call:
        """A call."""
        return replace(
            call,
            airflow=tuple(map(self.step, call.airflow)),
            heat=tuple(map(self.step, call.heat)),
            limits=tuple(map(self.step, call.limits)),
            when=tuple(map(self.condition, call.when)),
            windows=tuple(map(self.window, call.windows)),
        )


def _is(value: object) -> bool:
    return isinstance(value, Fraction)


def is_metric(table: Table) -> bool:
    """True for a table that is printed in L/s or m3/h, and C."""
    return table.units.airflow != "cfm" and table.units.temperature == "C"


def with_celsius(table: Table) -> Table:
    """A table in L/s or m3/h that has no temperature of its own, with C: the rises worked out for it are then shown
    so."""
    quantities = [
        *(g for c in table.charts.values() for g in c.gives),
        *(s.op for c in table.calls.values() for s in c.airflow),
    ]
    quantities += [w.quantity for c in table.calls.values() for w in c.windows]
    if (
        table.units.airflow == "cfm"
        or "temperature rise" in quantities
        or {"temperature rise", "outlet limit"} & set(table.ratings)
    ):
        return table
    return replace(table, units=replace(table.units, temperature="C"))
