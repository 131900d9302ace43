"""A second reading of what a table means, by the plainest code: rows looked up in a dictionary, steps carried out in
their order.

Written from the description of the format alone; it imports nothing of the program. Airflow is in the table's unit,
heat in Btu/h.
`tests/helpers/reference_limits.py` judges with it, `tests/helpers/reference_find.py` lists every setting with it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import product
from math import isqrt, prod
from typing import NamedTuple

from tests.helpers.describe import Ask, Atom, Call, Cell, Chart, Column, Description, Name, Other, Row, Step, When

BTUH_PER_KW = Fraction(3_600_000) / Fraction("1055.05585262")
"""Btu/h in a kilowatt; the Btu of the International Table (NIST SP 811, appendix B.8)."""
CFM = {"cfm": Fraction(1), "L/s": 60 / (1000 * Fraction("0.3048") ** 3), "m3/h": 1 / (60 * Fraction("0.3048") ** 3)}
"""Cubic feet a minute in each unit of airflow; a foot is 0.3048 m (NIST SP 811, appendix B.8)."""
DEGREES_F = {"F": Fraction(1), "C": Fraction(9, 5)}
HEAT = {"Btu/h": Fraction(1), "MBH": Fraction(1000), "kW": BTUH_PER_KW}
SENSIBLE = Fraction("1.08")
"""Btu/h for each cfm and F of standard air (common practice, no source)."""
STARTS = ("airflow", "tons", "airflow per ton", "temperature rise")
NOTES = ("seconds", "watts", "speed", "ramp", "label")
BOUNDS = ("at least", "at most", "least airflow", "most airflow")
NONE_IS_ZERO = ("trim", "offset", "reduction", "seconds")
ONE = Fraction(1)
ABSENT = "off its pins, and no row says what then"

Setting = tuple[int | None, ...]


@dataclass(frozen=True, slots=True)
class No:
    """No figure: one of the five noes; of several that hold the first is told."""

    kind: str

    def before(self, other: No | None) -> No:
        """The one to tell."""
        return self if other is None or RANK[self.kind] < RANK[other.kind] else other


Value = Fraction | No
Acting = list[tuple[str, Cell | No]]
RANK = {"does_not_run": 0, "not_usable": 1, "outside_chart": 2, "unreadable": 3, "not_known": 4}
STILL = No("does_not_run")
REFUSED = No("outside_chart")
RESERVED = No("not_usable")
OUTSIDE = REFUSED
UNKNOWN = No("not_known")


class Spot(NamedTuple):
    """A call's stage at a firing rate (None where it doesn't modulate) on a board set so."""

    call: Call
    stage: str
    rate: Fraction | None
    setting: Setting


class Reference:
    """A description under the facts of an ask."""

    def __init__(self, d: Description, ask: Ask) -> None:
        self.d = d
        self.ask = ask
        named = ask.facts.get("model")
        self.model = str(named) if named is not None else d.models[0] if len(d.models) == 1 else None
        self.rows = {c.name: _expanded(c) for c in d.charts}
        self.places = {p.name: i for i, p in enumerate(d.parts)} | {
            s.declares: d.part_index(s.parts[0]) for s in d.selectors if s.declares
        }
        self.used_in_steps = {
            a.name for c in d.calls for s in (*c.airflow, *c.heat) for a in s.by_stage.values() if isinstance(a, Name)
        }
        self._known: dict[tuple[object, ...], Value] = {}

    # what is known

    def fact(self, name: str, call: str) -> Fraction | str | None:
        """A fact by name."""
        if name == "static pressure":
            return self.ask.static.get(call, self.ask.facts.get(name))
        return self.model if name == "model" else self.ask.facts.get(name)

    def number(self, name: str) -> Fraction | None:
        """A fact as a number; heat in Btu/h."""
        value = self.ask.facts.get(name)
        if not isinstance(value, str):
            return value
        try:
            number = Fraction(value)
        except ValueError:
            return None
        gives = next((f.gives for f in self.d.facts if f.name == name), "")
        return number * HEAT[self.d.heat_unit] if gives == "heat input" else number

    def rating(self, name: str, stage: str) -> Fraction | tuple[Fraction, Fraction] | None:
        """A figure of the plate."""
        values = self.d.ratings.get(name, {})
        for key in ((self.model or "", stage), (self.model or "", ""), ("", stage), ("", "")):
            if key in values:
                return values[key]
        return None

    def tons(self, call: Call, stage: str) -> Fraction | None:
        """Running tons of the outdoor unit."""
        full = self.number("outdoor tons")
        return None if full is None else full * share_of_full(call, stage)

    # charts

    def cell(self, chart: Chart, quantity: int, at: Spot) -> Cell | No:
        """One figure of a chart: a number or word, None where nothing is printed, or why there is none."""
        parts = [i for c in (*chart.keys, *chart.heads) if (i := self.part_of(c, at)) is not None]
        if any(at.setting[i] is None for i in parts):
            return UNKNOWN
        if any(self.word(i, at.setting) == "parked" for i in parts):
            return STILL
        down: list[list[tuple[int, Fraction]]] = []
        for column in chart.keys:
            found = self.places_of(column, at)
            if isinstance(found, No):
                return found
            down.append(found)
        rows = [(self._row(chart, tuple(i for i, _ in way)), _weight(way)) for way in product(*down)]
        refused = [row for row, _ in rows if isinstance(row, No)]
        if refused:
            return refused[0]
        along: list[list[tuple[int, Fraction]]] = []
        for column in chart.heads:
            found = self.places_of(column, at)
            if isinstance(found, No):
                return found
            along.append(found)
        cells: list[tuple[Cell, Fraction]] = []
        for row, weight in rows:
            assert isinstance(row, Row)
            for way in product(*along):
                place = 0
                for column, (i, _) in zip(chart.heads, way, strict=True):
                    place = place * len(column.values) + i
                cells.append(
                    ("none" if row.nothing else row.cells[place * len(chart.gives) + quantity], weight * _weight(way))
                )
        if len(cells) == 1 or len({cell for cell, _ in cells}) == 1:
            return cells[0][0]
        total = Fraction(0)
        for cell, weight in cells:
            if not isinstance(cell, Fraction):
                return None
            total += cell * weight
        return total

    def part_of(self, column: Column, at: Spot) -> int | None:
        """The part a column follows, None for a fact that no selector declares."""
        if column.kind == "taps":
            return self.places[f"{column.name}-{at.call.lead.get(at.stage, at.call.lead.get('', ''))}"]
        return self.places.get(column.name)

    def places_of(self, column: Column, at: Spot) -> list[tuple[int, Fraction]] | No:
        """Where a column stands: indices of its values with their weights."""
        index = self.part_of(column, at)
        if index is not None:
            if column.kind == "taps":
                others = [
                    at.setting[self.places[p]] for p in self.d.selector(column.name).parts if self.places[p] != index
                ]
                if at.setting[index] in others:
                    return RESERVED
            value = self.word(index, at.setting)
        elif column.kind == "stage":
            value = at.stage
        else:
            known = at.rate if column.name == "firing rate" else self.fact(column.name, at.call.name)
            if known is None:
                return UNKNOWN
            if column.kind == "line":
                return _between(column.numbers, Fraction(known))
            value = str(known)
        return [(column.values.index(value), ONE)] if value in column.values else REFUSED

    def _row(self, chart: Chart, key: tuple[int, ...]) -> Row | No:
        """The row that answers, where it behaves as another that one."""
        seen: set[tuple[int, ...]] = set()
        while key not in seen:
            seen.add(key)
            row = self.rows[chart.name].get(key)
            if row is None:
                return REFUSED
            if row.word:
                return RESERVED
            if row.like is None:
                return row
            key = tuple(own if other is None else other for own, other in zip(key, row.like, strict=True))
        return REFUSED

    # calls

    def truth(self, setting: Setting) -> Setting:
        """The setting with every selector that tells the board what is fitted where what is known to be there would
        have it."""
        out = list(setting)
        for selector in self.d.selectors:
            known = self.ask.facts.get(selector.declares) if selector.declares else None
            if known is not None:
                index = self.places[selector.parts[0]]
                out[index] = self.d.parts[index].positions.index(str(known))
        return tuple(out)

    def holds(self, when: When, at: Spot) -> bool | No:
        """All names must agree; the words of one are alternatives. A fact that a selector declares is what that
        selector says."""
        out: bool | No = True
        for name, words in when.items():
            index = self.places.get(name)
            value: Fraction | str | None = None
            if index is None:
                value = self.fact(name, at.call.name)
            elif at.setting[index] is not None:
                value = self.word(index, at.setting)
            if value is None:
                out = UNKNOWN if out is True else out
            elif value == ABSENT:
                out = REFUSED
            elif str(value) not in words:
                return False
        return out

    def word(self, index: int, setting: Setting) -> str:
        """The mark a part stands at; ABSENT off its pins where no row has a word for it."""
        at = setting[index]
        assert at is not None
        return ABSENT if at < 0 else self.d.parts[index].positions[at]

    def figures(self, op: str, atom: Atom, at: Spot, *, installed: bool = False) -> Acting:
        """What a step acts with: (quantity or bound, figure) one after the other.

        What a selector tells the board is what the board goes by; `installed`: what is known to be there, where that is
        known.
        """
        if isinstance(atom, Fraction):
            return [(op, atom)]
        if isinstance(atom, Other):
            other = self.d.call(atom.call)
            value = self.airflow(at._replace(call=other, stage=other_stage(other, atom, at.stage)))
            return [("airflow" if op in ("use", "call") else op, value)]
        if atom.kind == "chart":
            chart = self.d.chart(atom.name)
            at = at._replace(setting=self.truth(at.setting)) if installed else at
            acting = [
                q for q in chart.gives if q not in NOTES and not (q == "temperature rise" and "airflow" in chart.gives)
            ]
            if op != "use":
                acting = [op if op in chart.gives else acting[0]]
            return [(q if op == "use" else op, self.cell(chart, chart.gives.index(q), at)) for q in acting]
        if atom.kind == "part":
            index = self.places[atom.name]
            selector = self.d.selector(self.d.parts[index].selector)
            position = at.setting[index]
            cell: Cell | No = (
                UNKNOWN if position is None else REFUSED if position < 0 else self.d.parts[index].figures[position]
            )
            if installed and selector.declares and self.number(selector.declares) is not None:
                cell = self.number(selector.declares)
            return [(selector.gives if op == "use" else op, cell)]
        fact = next(f for f in self.d.facts if f.name == atom.name)
        if atom.name in self.places and not installed:
            return self.figures(
                fact.gives if op == "use" else op, Name(kind="part", name=self.d.parts[self.places[atom.name]].name), at
            )
        known = self.number(atom.name)
        return [(fact.gives if op == "use" else op, UNKNOWN if known is None else known)]

    def airflow(self, at: Spot) -> Value:
        """The final airflow of a stage."""
        key = (at.call.name, len(at.call.airflow), bool(at.call.when), at.stage, at.rate, at.setting)
        if key not in self._known:
            self._known[key] = self._airflow(at)
        return self._known[key]

    def _airflow(self, at: Spot) -> Value:
        runs = self.holds(at.call.when, at)
        if runs is not True:
            return STILL if runs is False else runs
        x: Value | None = None
        halves: dict[str, Fraction] = {}
        why: No | None = None
        for step in at.call.airflow:
            atom = step.by_stage.get(at.stage, step.by_stage.get(""))
            holds = self.holds(step.when, at)
            if atom is None or holds is False:
                continue
            if isinstance(holds, No):
                why = holds.before(why)
                continue
            for quantity, cell in self.figures(step.op, atom, at):
                value = figure_of(quantity, cell)
                if isinstance(value, No):
                    why = value.before(why)
                    if why == STILL:
                        return why
                elif value is not None and why is None:
                    x = (
                        self._start(quantity, value, x, halves, step, at)
                        if quantity in STARTS
                        else self._act(quantity, value, x)
                    )
                    if isinstance(x, No):
                        why, x = x, None
        return why or (REFUSED if x is None else x)

    @staticmethod
    def _act(quantity: str, v: Fraction, x: Value | None) -> Value:
        return acted(quantity, v, x) if isinstance(x, Fraction) else REFUSED

    def _start(
        self, quantity: str, v: Fraction, x: Value | None, halves: dict[str, Fraction], step: Step, at: Spot
    ) -> Value | None:
        if x is not None or quantity in halves:
            return REFUSED
        if quantity == "airflow":
            return v
        if quantity == "temperature rise":
            heat = self.heat(at if _staged(self.d, step) else at._replace(stage=at.call.stages[-1]), installed=False)
            return self.through(heat, v) if isinstance(heat, Fraction) else heat or UNKNOWN
        halves[quantity] = v
        return halves["tons"] * halves["airflow per ton"] if len(halves) == 2 else None

    def through(self, heat: Fraction, v: Fraction) -> Fraction:
        """The airflow that gives a rise, or the rise that an airflow gives: heat / (1.08 v), in the table's units."""
        return heat / (SENSIBLE * v * DEGREES_F[self.d.temperature_unit] * CFM[self.d.airflow_unit])

    # heat

    def heat(self, at: Spot, *, installed: bool = True) -> Value | None:
        """Delivered heat in Btu/h; None where nothing is said of it. Not `installed`: as the board itself reckons it
        from its selectors."""
        if not heats(self.d, at.call):
            return None
        fire = self.number("firing rate") if at.rate is None else at.rate
        efficiency = self.rating("efficiency", at.stage)
        if at.call.heat:
            h, burned = self._heat_of_steps(at, installed)
            if isinstance(h, No):
                return h
            if burned and not isinstance(efficiency, Fraction):
                return UNKNOWN
            if isinstance(efficiency, Fraction) and burned:
                h *= efficiency
            if not any(at.stage in s.by_stage or _staged(self.d, s) for s in at.call.heat if at.stage):
                h *= share_of_full(at.call, at.stage)
            return h if fire is None or not burned else h * fire / 100
        full = self.rating("heat output", at.stage)
        if not isinstance(full, Fraction):
            burned_heat = self.rating("heat input", at.stage)
            if not isinstance(burned_heat, Fraction) or not isinstance(efficiency, Fraction):
                return None
            full = burned_heat * efficiency
        full *= HEAT[self.d.heat_unit] * share_of_full(at.call, at.stage)
        return full if fire is None else full * fire / 100

    def _heat_of_steps(self, at: Spot, installed: bool) -> tuple[Value, bool]:
        """What the heat steps come to, and whether efficiency follows."""
        h: Fraction | None = None
        burned = False
        for step in at.call.heat:
            atom = step.by_stage.get(at.stage, step.by_stage.get(""))
            holds = self.holds(step.when, at)
            if isinstance(holds, No):
                return holds, False
            if atom is None or not holds:
                continue
            for quantity, cell in self.figures(step.op, atom, at, installed=installed):
                value = figure_of(quantity, cell)
                if isinstance(value, No):
                    return value, False
                assert value is not None
                if quantity == "heat input":
                    in_words = isinstance(atom, Name) and atom.kind == "fact"
                    h, burned = value * (1 if in_words else HEAT[self.d.heat_unit]), True
                elif quantity == "heater power":
                    rated, supply = self.rating("heater voltage", at.stage), self.number("supply voltage")
                    volts = (supply / rated) ** 2 if isinstance(rated, Fraction) and supply is not None else Fraction(1)
                    h = value * BTUH_PER_KW * volts
                elif quantity == "nozzle rate":
                    oil = self._oil(at.stage)
                    if isinstance(oil, No):
                        return oil, False
                    h, burned = value * oil, True
                else:
                    assert h is not None, "a heat step before there is heat"
                    h = acted(quantity, value, h)
        return (REFUSED if h is None else h), burned

    def _oil(self, stage: str) -> Value:
        """Heat of a gallon an hour as marked, at the pump's pressure."""
        marked, pump = self.rating("nozzle pressure", stage), self.rating("pump pressure", stage)
        gallon = self.rating("heat per gallon", stage)
        if not isinstance(gallon, Fraction):
            return UNKNOWN
        return gallon * root(pump / marked) if isinstance(marked, Fraction) and isinstance(pump, Fraction) else gallon


def _weight(way: Sequence[tuple[int, Fraction]]) -> Fraction:
    """How much one combination of printed figures counts."""
    return prod((w for _, w in way), start=ONE) if any(w is not ONE for _, w in way) else ONE


def acted(quantity: str, v: Fraction, x: Fraction) -> Fraction:
    """One step on x."""
    if quantity == "trim":
        return x * (1 + v / 100)
    if quantity == "share":
        return x * v / 100
    if quantity == "reduction":
        return x * (1 - v / 100)
    if quantity == "offset":
        return x + v
    if quantity in ("at least", "least airflow"):
        return max(x, v)
    if quantity in ("at most", "most airflow"):
        return min(x, v)
    times = x / v
    down = times.numerator // times.denominator
    if quantity == "round down":
        return down * v
    if quantity == "round up":
        return (down if down == times else down + 1) * v
    assert quantity == "round"
    if times < 0:
        return -acted("round", v, -x)
    return (down + 1 if times - down >= Fraction(1, 2) else down) * v


def figure_of(quantity: str, cell: Cell | No) -> Value | None:
    """A cell as a step takes it: a figure, None for no bound, or why there is none."""
    if isinstance(cell, (Fraction, No)):
        return cell
    if cell is None:
        return REFUSED
    assert cell == "none"
    if quantity in BOUNDS:
        return None
    return Fraction(0) if quantity in NONE_IS_ZERO else STILL


def _expanded(chart: Chart) -> dict[tuple[int, ...], Row]:
    out: dict[tuple[int, ...], Row] = {}
    for row in chart.rows:
        for at in product(
            *(range(len(c.values)) if a is None else (a,) for a, c in zip(row.at, chart.keys, strict=True))
        ):
            assert at not in out, "rows overlap"
            out[at] = row
    return out


def _between(numbers: Sequence[Fraction], value: Fraction) -> list[tuple[int, Fraction]] | No:
    """The printed figures a value lies between, with their weights."""
    if value in numbers:
        return [(numbers.index(value), ONE)]
    lower = [n for n in numbers if n < value]
    higher = [n for n in numbers if n > value]
    if not lower or not higher:
        return OUTSIDE
    a, b = max(lower), min(higher)
    along = (value - a) / (b - a)
    return [(numbers.index(a), 1 - along), (numbers.index(b), along)]


def _staged(d: Description, step: Step) -> bool:
    """True where a step's chart has its stages as columns."""
    return any(
        isinstance(a, Name) and a.kind == "chart" and any(h.kind == "stage" for h in d.chart(a.name).heads)
        for a in step.by_stage.values()
    )


def other_stage(other: Call, atom: Other, stage: str) -> str:
    """The stage of another call that a step takes."""
    return atom.stage or (stage if stage in other.stages else other.stages[-1])


def share_of_full(call: Call, stage: str) -> Fraction:
    """Running capacity of a stage."""
    return call.capacity.get(stage, call.capacity.get("", Fraction(1)))


def heats(d: Description, call: Call) -> bool:
    """A call that heats: heat steps, a rise to start from, or a W terminal and no Y."""
    terminals = {t[0] for words in call.terminals.values() for t in words}
    return bool(call.heat) or starts_from_rise(d, call) or ("W" in terminals and "Y" not in terminals)


def starts_from_rise(d: Description, call: Call) -> bool:
    """A call whose airflow is worked out from a rise."""
    for step in call.airflow:
        charts = [d.chart(a.name) for a in step.by_stage.values() if isinstance(a, Name) and a.kind == "chart"]
        if step.op == "temperature rise" or (
            step.op == "use" and any("temperature rise" in c.gives and "airflow" not in c.gives for c in charts)
        ):
            return True
    return False


def root(x: Fraction) -> Fraction:
    """The square root, exact where it is rational (the generator draws such pressures)."""
    out = Fraction(isqrt(x.numerator), isqrt(x.denominator))
    assert out * out == x
    return out
