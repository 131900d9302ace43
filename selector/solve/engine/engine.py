"""One table under given facts, made into instructions: what each call's airflow and heat come from, and the limits
on them."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from fractions import Fraction
from itertools import pairwise, product
from math import prod
from typing import Any

from selector.air.density import SENSIBLE_FACTOR
from selector.air.heat import NOZZLE_RATED_PSI, airflow_cfm, electric_power_kw, nozzle_rate_gph, rise_f
from selector.solve.board.facts import Facts, number_in, same_value
from selector.solve.board.marks import mark
from selector.solve.engine.chart_reading import (
    ChartReader,
    ChartReading,
    Held,
    Led,
    Outcome,
    RowIndex,
    Source,
    constant,
    decides_nothing,
    not_given,
    not_met,
    not_used,
    parts_of,
    weights,
)
from selector.solve.engine.limit import Limit
from selector.solve.engine.open_cases import MOST_CASES
from selector.solve.engine.step_arithmetic import AIRFLOWS, TAKEN, Instruction, Register, operand
from selector.table.model.figure_units import unit_of_head
from selector.table.model.quantities import (
    BOUNDING,
    HEAT_INPUT,
    HEATS,
    QUANTITIES,
    RISE,
    TOLD,
    acting,
    acts_on_heat,
    operation_of,
    wanted_after,
)
from selector.table.model.range import ANYWHERE, Range
from selector.table.model.roles import burns, by_heater
from selector.table.model.table import (
    ABOUT,
    ABSENT,
    CALL,
    Atom,
    Call,
    CallValue,
    Cell,
    CellWord,
    Chart,
    Condition,
    Either,
    Fact,
    Key,
    Named,
    No,
    Part,
    PerTon,
    Row,
    Step,
    Table,
    Window,
    in_each_case,
)
from selector.units import BTUH_PER_KW, convert
from selector.value import Struct, replace

HEATED = ("heater power", "nozzle rate")
"""Heat that follows a fitted heater or nozzle, not an input that altitude derates."""


def native_factor(table: Table) -> Fraction:
    """The sensible factor in Btu/h for each unit of the table's airflow and each of its degrees."""
    degrees = Fraction(9, 5) if table.units.temperature == "C" else Fraction(1)
    return SENSIBLE_FACTOR * convert(Fraction(1), table.units.airflow, "cfm") * degrees


class Point(Struct, frozen=True):
    """One airflow of a call: a stage and, for a modulating unit, a firing rate in percent ("" where there is none)."""

    call: str
    stage: str
    rate: str = ""

    @property
    def airflow(self) -> Register:
        """Where its final airflow is kept."""
        return ("airflow", self.call, self.stage, self.rate)

    @property
    def heat(self) -> Register:
        """Where its delivered heat is kept."""
        return ("heat", self.call, self.stage, self.rate)


class Engine:
    """Everything that evaluating, finding and decoding share for one table and one set of facts."""

    def __init__(self, table: Table, facts: Facts) -> None:
        self.facts = facts
        self.table = table
        self.table = table = table.with_model(self.plate_model())
        self.board_factor = native_factor(table)
        self.factor = self.board_factor * facts.air
        self._indexes: dict[str, RowIndex] = {}
        self._readings: dict[tuple[object, ...], ChartReading] = {}
        self._programs: dict[Register, tuple[tuple[Register, ...], tuple[Instruction, ...]]] = {}
        self._wholes: dict[Register, tuple[Instruction, ...]] = {}
        self._rates: dict[str, tuple[str, ...]] = {}
        self._under: dict[tuple[tuple[str, Fraction | str], ...], Engine] = {}
        self._asked: dict[tuple[str, str], Point] = {}
        self._limits: dict[tuple[str, str, str], tuple[tuple[Limit, ...], tuple[Instruction, ...]]] = {}
        self._to_judge: dict[tuple[str, str, bool], tuple[Instruction, ...]] = {}
        self.declarers: dict[str, Part] = {p.declares: p for p in table.parts if p.declares}
        self.used_as_step = _used_in_steps(table)
        self.named_limits = frozenset(
            atom.name
            for call in table.calls.values()
            for step in call.limits
            for atom in step.by_stage.values()
            if isinstance(atom, Named)
        )
        self.idle = {p.index: p for p in table.parts if p.idle}
        self._refusing = frozenset(p.index for p in table.parts if p.idle or p.absent)
        """Parts with a position that refuses what reads it, whatever row answers."""

    # -- facts

    def fact(self, name: str, call: str, stage: str = "") -> Fraction | str | None:
        """The value of a fact for a call's stage, None where it isn't known."""
        if name == "model":
            return self.facts.model
        if name == "static pressure":
            for key in (f"{call} {stage}", call):
                if key in self.facts.static:
                    return self.facts.static[key]
        return self.facts.values.get(name)

    def number(self, name: str) -> Fraction | None:
        """A fact as a number in canonical units (heat in Btu/h); a word of the page is in the table's unit. None if
        not known or no number."""
        value = self.facts.number(name)
        fact = self.table.facts.get(name)
        in_words = isinstance(self.facts.values.get(name), str)
        return (
            value * self.table.heat_factor
            if value is not None and in_words and fact is not None and fact.gives == "heat input"
            else value
        )

    def plate_model(self) -> str | None:
        """The model whose rating plate counts; a table with one model has it without being told."""
        return self.table.unit.plate_model(self.facts.model)

    def possible(self, fact: str) -> tuple[Fraction | str, ...]:
        """What a fact that isn't given may be: the words it has, else every figure printed along it; empty where
        neither tells."""
        words = self._values(fact)
        known = self.table.facts.get(fact)
        ends = (known.low, known.high) if known is not None else ()
        keys = (k for c in self.table.charts.values() for k in (*c.keys, *c.heads) if k.name == fact)
        told = {x for x in (*ends, *(x for k in keys for x in k.numbers)) if x is not None}
        return words or tuple(sorted(told | self._either_side(fact, told)))

    def _either_side(self, fact: str, told: Collection[Fraction]) -> set[Fraction]:
        """Figures at the ends that conditions have on a fact that runs on, between them and beyond them, but not beyond
        what is told of it."""
        whens = [c for call in self.table.calls.values() for c in call.conditions if c.name == fact]
        at = sorted({x for c in whens for x in (c.low, c.high) if x is not None})
        if not at:
            return set()
        below, above = at[0] / 2 if at[0] > 0 else at[0] - 1, at[-1] + max(at[-1] / 2, Fraction(1, 2))
        every = {below, *at, *((a + b) / 2 for a, b in pairwise(at)), above}
        return {x for x in every if not told or min(told) <= x <= max(told)}

    def cases(self, needs: Iterable[str]) -> list[tuple[Mapping[str, Fraction | str], Engine]]:
        """This table under each combination of what the facts that aren't given may be; itself alone where that can't
        be told or there are too many."""
        names = [name for name in dict.fromkeys(needs) if self.possible(name)]
        choices = [self.possible(name) for name in names]
        if not names or prod(len(c) for c in choices) > MOST_CASES:
            return [({}, self)]
        out: list[tuple[Mapping[str, Fraction | str], Engine]] = []
        for values in product(*choices):
            told = dict(zip(names, values, strict=True))
            key = tuple(told.items())
            if key not in self._under:
                facts = self.facts
                for name, value in told.items():
                    facts = replace(facts, model=value) if name == "model" else facts.with_value(name, value)
                self._under[key] = Engine(self.table, facts)
            out.append((told, self._under[key]))
        return out

    def _unrated(self, name: str) -> No:
        """The no of a rating that the plate doesn't give, or gives by model where the model isn't known."""
        by_model = name in self.table.ratings and self.plate_model() is None and self.table.unit.models
        return not_given("model" if by_model else name)

    def _source(self, key: Key, call: Call, stage: str, rate: str, *, installed: bool) -> Source:
        known = self._known_to_be_there(key) if installed else None
        if known is not None:
            return self._value_source(key, known) if key.kind != "part" else self._told_source(key, known)
        if key.kind == "part":
            return -1 - key.part
        if key.kind == "taps":
            lead = call.lead.get(stage, call.lead.get(""))
            return No(kind="not_known", why=f"the call {call.name} has no lead") if lead is None else -1 - lead
        if key.kind == "chart":
            chart = self.table.charts[key.name]
            reading = self.chart(chart, call, stage, rate, installed=installed)
            return Led(reading=reading, cell=chart.gives.index("label"), values=key.values)
        declarer = self.declarers.get(key.name)
        if declarer is not None:
            return -1 - declarer.index
        if key.name == "stage":
            return (
                ((key.values.index(stage), Fraction(1)),)
                if stage in key.values
                else No(
                    kind="outside_chart", why=f"the chart has no column for the stage {stage or 'that is not named'}"
                )
            )
        value: Fraction | str | None = (
            Fraction(rate) if key.name == "firing rate" and rate else self.fact(key.name, call.name, stage)
        )
        if key.name == "model":
            value = self.facts.board_model or self.plate_model()
        if value is None:
            return not_given(key.name)
        return self._value_source(key, value)

    def _known_to_be_there(self, key: Key) -> Fraction | str | None:
        """What is known of the equipment a key stands for: the plate's model, or the fact that its selector
        declares. None where nothing is."""
        fact = self.table.parts[key.part].declares if key.kind == "part" else key.name
        if fact == "model":
            return self.plate_model()
        return self.facts.values.get(fact) if fact in self.declarers else None

    def _told_source(self, key: Key, value: Fraction | str) -> Source:
        """Where a selector would stand for the equipment that is known to be there: where it tells that."""
        part = self.table.parts[key.part]
        for i in range(len(part.positions)):
            if same_value(part.tells(i), value) and (not key.order or i in key.order):
                return ((key.order.index(i) if key.order else i, Fraction(1)),)
        return self._value_source(replace(key, name=part.declares, values=()), value)

    def _value_source(self, key: Key, value: Fraction | str) -> Source:
        if key.continuous:
            number = value if isinstance(value, Fraction) else self.facts.number(key.name)
            return (
                No(kind="not_known", why=f"{key.name} is not given as a number", needs=key.name)
                if number is None
                else weights(key, number, unit_of_head(key.name, self.table))
            )
        for i, word in enumerate(key.values):
            if same_value(word, value):
                return ((i, Fraction(1)),)
        shown = value if isinstance(value, str) else f"{float(value):g}"
        return No(kind="outside_chart", why=f"the page has no {key.name} {shown}")

    # -- readings

    def chart(
        self,
        chart: Chart,
        call: Call,
        stage: str,
        rate: str,
        *,
        installed: bool = False,
        led: tuple[str, str] = ("", ""),
    ) -> ChartReading:
        """The reading of a chart for a call's stage and firing rate.

        The board reads it by what its selectors tell it; `installed` reads it by the equipment that is known to be
        there. `led`: a key of the chart, and the chart whose label it is.
        """
        sources = {
            k.name: self._source(
                replace(k, kind="chart", name=led[1]) if k.name == led[0] else k,
                call,
                stage,
                rate,
                installed=installed,
            )
            for k in (*chart.keys, *chart.heads)
        }
        held = {
            n.mark: self._held(
                f"this figure of `{chart.name}`, marked {n.mark},", f"{n.mark} {n.text}", n.only, call, stage, rate
            )
            for n in chart.notes
        }
        held[ABOUT] = Held(said="an approximate figure on the page (about)")
        only = (*self.table.unit.only, *chart.only)
        whole = self._held(f"`{chart.name}`", "", only, call, stage, rate)
        identity = (
            chart.name,
            *((n, s if not isinstance(s, No) else s.why) for n, s in sources.items()),
            *((h.said, h.broken, h.unless) for h in (*held.values(), whole)),
        )
        found = self._readings.get(identity)
        if found is None:
            index = self._indexes.get(chart.name)
            if index is None:
                index = self._indexes[chart.name] = RowIndex(chart.rows)
            found = self._whatever_is_missing(chart, index, sources, held)
            if any(k.kind == "taps" for k in (*chart.keys, *chart.heads)):
                found = self._unparked(found)
            if whole != Held(said=""):
                found = _withheld(found, whole)
            self._readings[identity] = found
        return found

    def _held(self, figure: str, said: str, only: tuple[Condition, ...], call: Call, stage: str, rate: str) -> Held:
        """What a footnote, chart or unit says of a figure under the facts: why it doesn't hold, None where it does or
        may; what selectors say of that; and which facts aren't given that would tell."""
        broken, unless = None, []
        unknown: list[Condition] = []
        for condition in only:
            reading = self.condition(condition, call, stage, rate)
            no = No(kind="outside_chart", why=f"{figure} holds only with {self._said(condition)}")
            if reading.parts:
                unless.append((reading, no))
            elif isinstance(reading.find(()), No):
                unknown.append(condition)
            elif broken is None and _never([reading]):
                broken = no
        if unknown:
            said = said or f"holds only with {' and '.join(map(self._said, unknown))}"
            said += f" ({', '.join(c.name for c in unknown)} not given)"
        return Held(
            said=said,
            broken=broken,
            unless=tuple(unless),
        )

    def _whatever_is_missing(
        self, chart: Chart, index: RowIndex, sources: Mapping[str, Source], held: Mapping[str, Held]
    ) -> ChartReading:
        """A reading of a chart. A fact that isn't given counts only where it can change the outcome."""
        maps = self._maps(chart)
        dead = decides_nothing(chart, sources, self._refusing)
        base = ChartReader(chart, index, sources, maps, self.idle, held, dead).reading()
        keys = [k for k in (*chart.keys, *chart.heads) if _not_given(sources[k.name])]
        if not keys or prod(len(k.values) for k in keys) > MOST_CASES:
            return base
        readers = [
            ChartReader(
                chart,
                index,
                {**sources, **dict(zip([k.name for k in keys], at, strict=True))},
                maps,
                self.idle,
                held,
                dead,
            )
            for at in product(*map(self._possible, keys))
        ]

        def find(positions: tuple[int, ...]) -> Outcome:
            first, *others = (reader.find(positions) for reader in readers)
            if all(_alike(first, other) for other in others):
                return first
            found = base.find(positions)
            return found if isinstance(found, No) else next(s for s in sources.values() if isinstance(s, No))

        def row(positions: tuple[int, ...]) -> Row | None:
            """The row that answers whatever the facts are."""
            found = [reader.row(positions) for reader in readers]
            which = {r and (r.line, () if r.rest else r.positions) for r in found}
            return found[0] if len(which) == 1 else None

        return replace(base, find=find, row=row)

    def _possible(self, key: Key) -> list[Source]:
        """Where a chart may be read for a fact that isn't given: in each of its columns, and beside them where the fact
        can be what the chart doesn't print."""
        out: list[Source] = [((i, Fraction(1)),) for i in range(len(key.values))]
        for word in self._values(key.name):
            if not any(same_value(v, word) for v in key.values):
                return [*out, self._value_source(key, word)]
        return out

    def _values(self, name: str) -> tuple[str, ...]:
        """The words that a fact may be; none where it is a number."""
        fact = self.table.facts.get(name)
        return self.table.unit.models if name == "model" else fact.values if fact is not None else ()

    def _maps(self, chart: Chart) -> dict[str, dict[int, int]]:
        """Positions that stand for values of a key: a declaring selector's, and the chosen columns of a selector
        along the top."""
        out: dict[str, dict[int, int]] = {}
        for key in (*chart.keys, *chart.heads):
            if key.order:
                out[key.name] = {p: i for i, p in enumerate(key.order)}
            declarer = self.declarers.get(key.name)
            if declarer is not None and key.kind == "fact":
                out[key.name] = {
                    p: i
                    for p in range(len(declarer.positions))
                    for i, v in enumerate(key.values)
                    if same_value(v, declarer.tells(p))
                }
        return out

    def _unparked(self, reading: ChartReading) -> ChartReading:
        parked = [
            (i, self.table.parts[p].positions.index("parked"))
            for i, p in enumerate(reading.parts)
            if "parked" in self.table.parts[p].positions
        ]

        def find(positions: tuple[int, ...]) -> Outcome:
            for i, at in parked:
                if positions[i] == at:
                    return No(kind="does_not_run", why=f"the lead {self.table.parts[reading.parts[i]].name} is parked")
            return reading.find(positions)

        return replace(reading, find=find)

    def part(self, part: Part) -> ChartReading:
        """The figure a part's position stands for."""
        identity = ("part", part.index)
        found = self._readings.get(identity)
        if found is None:
            cells: tuple[tuple[Cell, ...], ...] = tuple((CellWord.NONE if v is None else v,) for v in part.values)

            def find(positions: tuple[int, ...]) -> Outcome:
                if positions[0] == ABSENT:
                    return No(kind="outside_chart", why=f"{part.name} is off its pins")
                if positions[0] in part.idle:
                    return not_used(part, positions[0])
                return cells[positions[0]]

            found = self._readings[identity] = ChartReading(part.name, (part.index,), find, lambda _: None)
        return found

    def _told(self, part: Part, fact: Fact | None) -> ChartReading:
        """The fact as a declaring part without figures of its own tells it: by the words of its positions."""
        identity = ("told", part.index, part.declares)
        found = self._readings.get(identity)
        if found is None:
            scale = self.table.heat_factor if fact is not None and fact.gives == "heat input" else Fraction(1)
            numbers = [number_in(part.tells(i)) for i in range(len(part.positions))]

            def find(positions: tuple[int, ...]) -> Outcome:
                at = positions[0]
                if at == ABSENT:
                    return No(kind="outside_chart", why=f"{part.name} is off its pins")
                number = numbers[at]
                if number is not None:
                    return (number * scale,)
                word = part.tells(at)
                return (
                    (CellWord.NONE,)
                    if word.casefold() == "none"
                    else No(kind="outside_chart", why=f"{part.name} on {word} tells no {part.declares}")
                )

            found = self._readings[identity] = ChartReading(part.name, (part.index,), find, lambda _: None)
        return found

    def _said(self, condition: Condition) -> str:
        """`LK1 cut`, `J4 5 or 8`, `SW2-1 CLOSED`: as printed on the board."""
        words = (
            [mark(self.table, condition.part, i) for i in sorted(condition.allowed)]
            if condition.part >= 0
            else condition.words
        )
        return f"{condition.name} {' or '.join(words)}"

    def condition(self, condition: Condition, call: Call, stage: str, rate: str) -> ChartReading:
        """1 where the condition holds, 0 where it doesn't."""
        part = self.table.parts[condition.part] if condition.part >= 0 else self.declarers.get(condition.name)
        if part is None and condition.name in self.table.charts:
            return self._label_is(condition, call, stage, rate)
        if part is None:
            value: Fraction | str | None = (
                stage
                if condition.name == "stage"
                else call.name
                if condition.name == CALL
                else Fraction(rate)
                if condition.name == "firing rate" and rate
                else None
            )
            if value is None:
                value = (
                    (self.facts.board_model or self.plate_model())
                    if condition.name == "model"
                    else self.fact(condition.name, call.name, stage)
                )
            if value is None:
                return constant(condition.name, not_given(condition.name))
            if condition.ranged:
                number = value if isinstance(value, Fraction) else number_in(value)
                if number is None:
                    return constant(condition.name, not_given(condition.name))
                return constant(condition.name, (Fraction(condition.within(number)),))
            return constant(condition.name, (Fraction(any(same_value(w, value) for w in condition.words)),))
        allowed = (
            condition.allowed
            if condition.part >= 0
            else frozenset(
                i for i in range(len(part.positions)) if any(same_value(w, part.tells(i)) for w in condition.words)
            )
        )
        identity = ("when", part.index, allowed)
        found = self._readings.get(identity)
        if found is None:

            def find(positions: tuple[int, ...]) -> Outcome:
                if positions[0] == ABSENT and ABSENT not in allowed:
                    return No(kind="outside_chart", why=f"{part.name} is off its pins")
                return (Fraction(positions[0] in allowed),)

            found = self._readings[identity] = ChartReading(part.name, (part.index,), find, lambda _: None)
        return found

    def _label_is(self, condition: Condition, call: Call, stage: str, rate: str) -> ChartReading:
        """1 where a chart's label is one of the condition's words."""
        chart = self.table.charts[condition.name]
        reading = self.chart(chart, call, stage, rate)
        identity = ("label", reading, condition.words)
        found = self._readings.get(identity)
        if found is None:
            cell = chart.gives.index("label")

            def find(positions: tuple[int, ...]) -> Outcome:
                outcome = reading.find(positions)
                return outcome if isinstance(outcome, No) else (Fraction(outcome[cell] in condition.words),)

            found = self._readings[identity] = ChartReading(
                chart.name, reading.parts, find, reading.row, reading.keys, reading.led, reading.needs
            )
        return found

    def _runs(self, call: Call, stage: str, rate: str, target: Register) -> Iterable[Instruction]:
        """The condition on which a call runs at all."""
        if call.name in self.facts.absent:
            never = (constant(call.name, (Fraction(0),)),)
            yield Instruction(target=target, op="runs", conditions=never, name="equipment or a wish that isn't there")
        if call.when:
            conditions = tuple(self.condition(c, call, stage, rate) for c in call.when)
            if _never(conditions):
                conditions = tuple(c for c in conditions if not c.parts)
            yield Instruction(
                target=target, op="runs", conditions=conditions, name=" and ".join(self._said(c) for c in call.when)
            )

    def _conditions(self, step: Step, call: Call, stage: str, rate: str) -> tuple[ChartReading, ...]:
        """The conditions on which a step counts, the call's own among them: where it isn't known that the call runs,
        its steps say nothing."""
        return tuple(self.condition(c, call, stage, rate) for c in (*call.when, *step.when))

    # -- programs

    def other(self, value: CallValue, stage: str) -> tuple[Call, str]:
        """The call and stage that `call X [STAGE]` means in a stage."""
        call = self.table.calls[value.call]
        wanted = value.stage or stage
        return call, wanted if wanted in call.stages else call.last

    def program(self, register: Register) -> tuple[tuple[Register, ...], tuple[Instruction, ...]]:
        """The registers that are worked out before this one, and the instructions on it."""
        found = self._programs.get(register)
        if found is None:
            what, name, stage, rate = register
            call = self.table.calls[name]
            before: list[Register] = []
            if what in AIRFLOWS:
                own = tuple(self._airflow(call, stage, rate, register, before))
            elif what == "heat" and (name, stage) in self.facts.delivered:
                own = tuple(self._delivered(call, self.facts.delivered[name, stage], rate, register))
            else:
                fired = what == HEAT_INPUT
                own = tuple(self._heat(call, stage, rate, register, installed=fired or what == "heat", fired=fired))
            found = self._programs[register] = (tuple(dict.fromkeys(before)), own)
        return found

    def _whole(self, register: Register) -> tuple[Instruction, ...]:
        """The instructions that end in a register, those of the registers it reads before them."""
        found = self._wholes.get(register)
        if found is None:
            before, own = self.program(register)
            every = (*(i for other in before for i in self._whole(other)), *own)
            found = self._wholes[register] = tuple(dict.fromkeys(every))
        return found

    def airflow(self, call: Call, stage: str, rate: str = "") -> tuple[Instruction, ...]:
        """The instructions that end in the final airflow of a call's stage, those of the calls it reads before them."""
        return self._whole(("airflow", call.name, stage, rate))

    def _airflow(
        self, call: Call, stage: str, rate: str, target: Register, before: list[Register]
    ) -> Iterable[Instruction]:
        yield from self._runs(call, stage, rate, target)
        for step in call.airflow:
            atom = step.value(stage)
            if atom is not None and not _never(self._conditions(step, call, stage, rate)):
                yield from self._step(step, atom, target, call, stage, rate, before)
        yield from self._stands(call, stage, rate, target, before)

    def _stands(
        self, call: Call, stage: str, rate: str, target: Register, before: list[Register]
    ) -> Iterable[Instruction]:
        """A row not usable or blank in a chart of its delays, ramp, limits or heat refuses a stage; heat from equipment
        that isn't there stops it."""
        conditions = tuple(self.condition(c, call, stage, rate) for c in call.when)
        if call.heat:
            heat: Register = ("heat", call.name, stage, rate)
            before.append(heat)
            yield Instruction(target=target, op="stands", register=heat, conditions=conditions, name="its heat")
        if target[0] != TAKEN:
            for reading, cell, name in self._in_time(call, stage, rate):
                yield Instruction(
                    target=target, op="stands", reading=reading, cell=cell, conditions=conditions, name=name
                )
        for i in self.airflow_limits(call, stage, rate)[1]:
            if i.op != "bound" or i.reading is None or not self._can_refuse(i.reading, i.cell):
                continue
            yield Instruction(
                target=target, op="stands", reading=i.reading, cell=i.cell, conditions=conditions, name=i.name
            )

    def _in_time(self, call: Call, stage: str, rate: str) -> Iterable[tuple[ChartReading, int, str]]:
        """The charts of a stage's ramp and delays that may refuse it, each with its cell and name."""
        named = [("ramp", call.ramp), ("seconds", call.on_delay), ("seconds", call.off_delay)]
        for wanted, by_stage in named:
            atom = by_stage.get(stage, by_stage.get(""))
            if not isinstance(atom, Named) or atom.kind != "chart" or not self.has_column(atom, stage):
                continue
            for op, _, reading, cell, name in self.operands(wanted, atom, call, stage, rate):
                if op == wanted and reading is not None and self._can_refuse(reading, cell):
                    yield reading, cell, name

    def _taken(self, call: Call, stage: str, rate: str) -> Register:
        """The airflow of a stage as another call takes it: a row of its ramp or delays that the page refuses says
        nothing of that."""
        what = TAKEN if any(True for _ in self._in_time(call, stage, rate)) else "airflow"
        return what, call.name, stage, rate

    def _can_refuse(self, reading: ChartReading, cell: int) -> bool:
        """True where some positions fall on a row that the page refuses, on one that behaves as another (no search
        leads there), or on a blank, or may do so under a fact that isn't given."""
        if reading.needs:
            return True
        slots = [
            [*range(len(p.positions)), *([ABSENT] if p.absent else [])]
            for p in (self.table.parts[i] for i in reading.parts)
        ]
        if prod(len(s) for s in slots) > MOST_CASES:
            return True
        for positions in product(*slots):
            outcome = reading.find(positions)
            if outcome.refused if isinstance(outcome, No) else outcome[cell] is CellWord.BLANK:
                return True
            if any(row.like for _, row in reading.rows(positions)):
                return True
        return False

    def has_column(self, atom: Named, stage: str) -> bool:
        """False where a chart is printed by stage and has no figure for this one."""
        chart = self.table.charts.get(atom.name)
        keys = (*chart.keys, *chart.heads) if chart is not None else ()
        return all(stage in k.values for k in keys if k.name == "stage")

    def _step(
        self, step: Step, atom: Atom, target: Register, call: Call, stage: str, rate: str, before: list[Register]
    ) -> Iterable[Instruction]:
        conditions = self._conditions(step, call, stage, rate)
        if isinstance(atom, CallValue):
            other, at = self.other(atom, stage)
            taken = self._taken(other, at, rate)
            before.append(taken)
            yield Instruction(
                target=target,
                op=operation_of(step.op),
                word=step.op,
                register=taken,
                conditions=conditions,
                step=step,
                name=f"call {other.name} {at}".strip(),
            )
            return
        for word, number, reading, cell, name in self._operands(step.op, atom, call, stage, rate, installed=False):
            if word == RISE:
                yield from self._rise(step, number, reading, cell, name, target, call, stage, rate, conditions, before)
            else:
                yield Instruction(
                    target=target,
                    op=operation_of(word),
                    word=word,
                    number=number,
                    reading=reading,
                    cell=cell,
                    conditions=conditions,
                    step=step,
                    name=name,
                )

    def operands(
        self, op: str, atom: Named, call: Call, stage: str, rate: str
    ) -> list[tuple[str, Fraction | None, ChartReading | None, int, str]]:
        """What a name gives outside the steps, as (quantity, number, reading, cell, name)."""
        if atom.kind == "chart":
            chart = self.table.charts[atom.name]
            reading = self.chart(chart, call, stage, rate)
            return [(q, None, reading, i, atom.name) for i, q in enumerate(chart.gives)]
        return self._operands(op, atom, call, stage, rate, installed=False)

    def tons(self) -> Fraction | None:
        """Tons of the outdoor unit, None where no fact tells them."""
        return known_tons(self.table, self.facts)

    def _tons_told(self, call: Call, stage: str, rate: str, factor: Fraction) -> ChartReading | None:
        """`factor` for each ton that the board is told for a stage: by the step of tons that acts, else by what
        declares the tons, else by the one selector that gives them; None where nothing does."""
        acts = self._tons_steps(call, stage, rate)
        if not acts and (other := self._tons_beside_steps()) is not None:
            acts = [((), other, 0)]
        if not acts:
            return None
        identity = ("tons", call.name, stage, rate, factor)
        found = self._readings.get(identity)
        if found is not None:
            return found
        readings = [r for conditions, reading, _ in acts for r in (*conditions, reading)]
        parts = tuple(dict.fromkeys(p for r in readings for p in r.parts))

        def find(positions: tuple[int, ...]) -> Outcome:
            at = dict(zip(parts, positions, strict=True))
            for conditions, reading, cell in acts:
                met = [c.find(tuple([at[p] for p in c.parts])) for c in conditions]
                if any(not isinstance(one, No) and one[0] != 1 for one in met):
                    continue
                outcome = next((x for x in met if isinstance(x, No)), None) or reading.find(
                    tuple([at[p] for p in reading.parts])
                )
                tons = outcome if isinstance(outcome, No) else operand(outcome[cell], "tons", reading.name, 0)
                return (tons * factor,) if isinstance(tons, Fraction) else tons or not_given("outdoor tons", "are")
            return not_given("outdoor tons", "are")

        needs = tuple(dict.fromkeys(n for r in readings for n in r.needs))
        found = self._readings[identity] = ChartReading("tons", parts, find, lambda _: None, needs=needs)
        return found

    def tons_in_force(self, call: Call, stage: str) -> ChartReading | None:
        """The tons that the steps of a stage take from selectors; None where they take none."""
        taken = self._tons_steps(call, stage, self.asked(call, stage).rate)
        return self._tons_told(call, stage, self.asked(call, stage).rate, Fraction(1)) if taken else None

    def _tons_steps(
        self, call: Call, stage: str, rate: str
    ) -> list[tuple[tuple[ChartReading, ...], ChartReading, int]]:
        """Each step of tons that a stage's airflow comes from, that of a call it begins with included: conditions,
        reading, cell."""
        out: list[tuple[tuple[ChartReading, ...], ChartReading, int]] = []
        for step in call.airflow:
            atom = step.value(stage)
            conditions = self._conditions(step, call, stage, rate)
            if atom is None or _never(conditions):
                continue
            if isinstance(atom, CallValue):
                if operation_of(step.op) == "start":
                    begun = self._tons_steps(*self.other(atom, stage), rate)
                    out += [((*conditions, *first), reading, cell) for first, reading, cell in begun]
                continue
            if isinstance(atom, PerTon):
                continue
            for word, number, reading, cell, name in self._operands(step.op, atom, call, stage, rate, installed=False):
                if word == "tons":
                    given = (number,) if number is not None else not_given("outdoor tons", "are")
                    out.append((conditions, reading or constant(name, given), cell))
        return out

    def _tons_beside_steps(self) -> ChartReading | None:
        """The tons that what declares them tells, else the one selector that gives them where no chart does and no
        step takes it on a condition."""
        for fact in ("outdoor tons", *(f.name for f in self.table.facts.values() if f.gives == "tons")):
            declarer = self.declarers.get(fact)
            if declarer is not None:
                return self.part(declarer) if declarer.values else self._told(declarer, self.table.facts.get(fact))
        table = self.table
        parts = [p for p in table.parts if p.values and table.selectors[p.selector].gives == "tons"]
        if len(parts) != 1 or any("tons" in chart.gives for chart in table.charts.values()):
            return None
        conditional = any(
            step.when and isinstance(atom, Named) and atom.kind == "part" and atom.part == parts[0].index
            for call in table.calls.values()
            for step in call.airflow
            for atom in step.by_stage.values()
        )
        return None if conditional else self.part(parts[0])

    def running_tons(self, call: Call, stage: str) -> Fraction | None:
        """Tons of the outdoor unit at a stage, None where they aren't known: a lower stage runs a share that the table
        or the house has to tell."""
        tons, share = self.tons(), call.running_share(stage)
        return tons * share if tons is not None and share is not None else None

    def per_ton(self, call: Call, stage: str, airflow: Fraction | No | None) -> Fraction | None:
        """Airflow for each ton of the outdoor unit at a stage, None where either isn't known."""
        tons = self.running_tons(call, stage)
        return airflow / tons if isinstance(airflow, Fraction) and tons else None

    def rise(self, heat: Fraction | No | None, airflow: Fraction | No | None) -> Fraction | None:
        """The rise, in the table's degrees, of a delivered heat in Btu/h at an airflow of the chart, None where either
        isn't known or is 0."""
        if not isinstance(heat, Fraction) or not isinstance(airflow, Fraction) or heat <= 0 or airflow <= 0:
            return None
        return rise_f(heat, airflow, self.factor)

    def full_rise(self, call: Call, rise: Fraction) -> Fraction:
        """A rise as an upper end is judged with: that of the full nameplate heat, for nobody measured a derate."""
        return rise / self.burned(call)

    def airflows_within(self, call: Call, heat: Fraction, rises: Range) -> Range:
        """The airflows of the chart that keep the rise of a heat (Btu/h, above 0) in a range of the table's degrees:
        the more air, the lower the rise."""
        ends = ((rises.high, heat / self.burned(call)), (rises.low, heat))
        return Range(*(airflow_cfm(of, end, self.factor) if end else None for end, of in ends))

    def _rise(
        self,
        step: Step,
        number: Fraction | None,
        reading: ChartReading | None,
        cell: int,
        name: str,
        target: Register,
        call: Call,
        stage: str,
        rate: str,
        conditions: tuple[ChartReading, ...],
        before: list[Register],
    ) -> Iterable[Instruction]:
        chart = self.table.charts.get(name)
        by_stage = "" in step.by_stage and not (
            chart is not None and any(k.name == "stage" for k in (*chart.keys, *chart.heads))
        )
        at = call.last if by_stage else stage
        base: Register = ("board heat", call.name, at, rate)
        before.append(base)
        yield Instruction(
            target=target, op="start", register=base, conditions=conditions, step=step, name="delivered heat"
        )
        yield Instruction(
            target=target,
            op="times",
            number=1 / self.board_factor,
            conditions=conditions,
            step=step,
            name="sensible factor",
        )
        yield Instruction(
            target=target,
            op=operation_of(RISE),
            word=RISE,
            number=number,
            reading=reading,
            cell=cell,
            conditions=conditions,
            step=step,
            name=name,
        )

    def _operands(
        self, op: str, atom: Atom, call: Call, stage: str, rate: str, *, heat: bool = False, installed: bool
    ) -> list[tuple[str, Fraction | None, ChartReading | None, int, str]]:
        """(quantity or step's word, number, reading, cell, name) for each thing an atom does.

        A position stands for what it tells the board; `installed`: for what is known to be there, where that is known.
        """
        if isinstance(atom, Fraction):
            return [(op, atom, None, 0, op)]
        if isinstance(atom, PerTon):
            tons = self.running_tons(call, stage)
            if tons is not None:
                return [(op, atom.value * tons, None, 0, f"{op} per ton")]
            share = call.running_share(stage)
            told = None
            if self.tons() is None:
                told = self._tons_told(call, stage, rate, atom.value * (Fraction(1) if share is None else share))
            if told is not None and share is not None:
                return [(op, None, told, 0, f"{op} per ton")]
            untold = self.tons() is None and told is None
            missing = "outdoor tons are" if untold else "the stage's share of the outdoor unit is"
            return [(op, None, constant(op, No(kind="not_known", why=f"{missing} not given")), 0, f"{op} per ton")]
        if isinstance(atom, Either):
            return [(op, None, constant(op, (atom,)), 0, op)]
        assert isinstance(atom, Named)
        if atom.kind == "rating":
            value = self.table.ratings[atom.name].get(self.plate_model(), stage)
            quantity = atom.name if op == "use" else op
            if isinstance(value, Fraction):
                return [(quantity, value, None, 0, atom.name)]
            return [
                (
                    quantity,
                    None,
                    constant(atom.name, self._unrated(atom.name)),
                    0,
                    atom.name,
                )
            ]
        if atom.kind == "part":
            part = self.table.parts[atom.part]
            selector = self.table.selectors[part.selector]
            there = self._installed(selector.gives, part.declares) if installed else None
            return [(selector.gives if op == "use" else op, None, there or self.part(part), 0, atom.name)]
        if atom.kind == "fact":
            return [self._fact_operand(op, atom.name, call, installed=installed)]
        chart = self.table.charts[atom.name]
        reading = self.chart(chart, call, stage, rate, installed=installed, led=(atom.key, atom.by))
        if op != "use":
            quantity = next((q for q in wanted_after(op) if q in chart.gives), chart.gives[0])
            return [(op, None, reading, chart.gives.index(quantity), atom.name)]
        out: list[tuple[str, Fraction | None, ChartReading | None, int, str]] = []
        does = acting(chart.gives)
        for i, quantity in enumerate(chart.gives):
            if quantity in does and (acts_on_heat(quantity) if heat else quantity not in HEATS):
                there = self._installed(quantity, "") if installed else None
                out.append((quantity, None, there or reading, i, atom.name))
        return out

    def _installed(self, quantity: str, declares: str) -> ChartReading | None:
        """What the job says is installed, in place of what a position stands for."""
        for name in (declares, quantity):
            value = self.facts.values.get(name) if name and (name == declares or name in HEATS) else None
            if value is None:
                continue
            number = self.number(name)
            word = isinstance(value, str) and value.casefold() == "none"
            if number is not None or word:
                return constant(name, (CellWord.NONE if number is None else number,))
        return None

    def _fact_operand(
        self, op: str, name: str, call: Call, *, installed: bool
    ) -> tuple[str, Fraction | None, ChartReading | None, int, str]:
        fact = self.table.facts[name]
        quantity = fact.gives if op == "use" else op
        declarer = self.declarers.get(name)
        value = self.fact(name, call.name)
        if declarer is not None and (value is None or not installed):
            return quantity, None, self.part(declarer) if declarer.values else self._told(declarer, fact), 0, name
        if isinstance(value, str) and value.casefold() == "none":
            return quantity, None, constant(name, (CellWord.NONE,)), 0, name
        number = self.number(name)
        if number is None:
            return quantity, None, constant(name, not_given(name)), 0, name
        if fact.low is not None and fact.high is not None and not fact.low <= number <= fact.high:
            return (
                quantity,
                None,
                constant(
                    name,
                    No(
                        kind="outside_chart",
                        why=f"{name} {float(number):g} is outside {float(fact.low):g} to {float(fact.high):g}",
                    ),
                ),
                0,
                name,
            )
        if fact.values and fact.gives != "heat input" and not any(same_value(v, number) for v in fact.values):
            return (
                quantity,
                None,
                constant(name, No(kind="outside_chart", why=f"the page has no {name} {float(number):g}")),
                0,
                name,
            )
        return quantity, number, None, 0, name

    # -- heat

    def heat(self, call: Call, stage: str, rate: str = "") -> tuple[Instruction, ...]:
        """The instructions that end in the delivered heat of a call's stage, Btu/h; empty where nothing is said of
        its heat."""
        return self._whole(("heat", call.name, stage, rate))

    def _delivered(self, call: Call, known: Fraction, rate: str, target: Register) -> Iterable[Instruction]:
        """Heat that is known without the table."""
        yield from self._runs(call, target[2], rate, target)
        yield Instruction(target=target, op="start", number=known, name="delivered heat")
        fire = Fraction(rate) if rate else self.facts.number("firing rate")
        if fire is not None and self.modulates(call):
            yield Instruction(target=target, op="times", number=fire / 100, name="firing rate")

    def _heat(
        self, call: Call, stage: str, rate: str, target: Register, *, installed: bool, fired: bool = False
    ) -> Iterable[Instruction]:
        """`fired`: what is burned for it, before the efficiency."""
        if not call.heats:
            return
        fire = Fraction(rate) if rate else self.facts.number("firing rate")
        if not call.heat:
            base = self._rated(stage, installed=installed, fired=fired)
            if base is None:
                return
            value, own = base
            yield Instruction(target=target, op="start", name="rated heat", **_value(value))
            if not own:
                yield Instruction(target=target, op="times", number=call.share_of_full(stage), name="capacity")
        else:
            yield from self._runs(call, stage, rate, target)
            last = ""
            own = False
            for step in call.heat:
                atom = step.value(stage)
                own = own or (stage in step.by_stage and stage != "") or self._by_stage(atom)
                if atom is None or isinstance(atom, CallValue):
                    continue
                conditions = self._conditions(step, call, stage, rate)
                if _never(conditions):
                    continue
                for word, number, reading, cell, name in self._operands(
                    step.op, atom, call, stage, rate, heat=True, installed=installed
                ):
                    if word in HEATS:
                        last = word
                    number, reading = self._at_supply(name, number, reading, cell, stage)
                    yield Instruction(
                        target=target,
                        op=operation_of(word),
                        word=word,
                        number=number,
                        reading=reading,
                        cell=cell,
                        conditions=conditions,
                        step=step,
                        name=name,
                    )
            yield from self._converted(last, call, stage, rate, target, fired=fired)
            if not own:
                yield Instruction(target=target, op="times", number=call.share_of_full(stage), name="capacity")
            if last == "heater power":
                return
        if installed and self.burned(call) != 1:
            yield Instruction(target=target, op="times", number=self.burned(call), name="derate")
        if fire is not None and self.modulates(call):
            yield Instruction(target=target, op="times", number=fire / 100, name="firing rate")

    def burned(self, call: Call) -> Fraction:
        """The share of its nameplate's heat that a burner is reckoned to give here; 1 for a call that burns nothing."""
        return Fraction(1) if call.compressor or burns(self.table, call) in HEATED else self.facts.burned

    def _by_stage(self, atom: Atom | None) -> bool:
        """True where a chart or rating gives a figure for each stage, which the stage's capacity then doesn't
        multiply again."""
        if not isinstance(atom, Named):
            return False
        if atom.kind == "chart":
            chart = self.table.charts[atom.name]
            return any(k.name == "stage" for k in (*chart.keys, *chart.heads))
        return atom.kind == "rating" and any(s for _, s in self.table.ratings[atom.name].values)

    def _own_volts(self) -> dict[str, Fraction]:
        """The volts of heaters that the plate rates each by itself, by selector or chart, folded."""
        rating = self.table.ratings.get("heater voltage")
        names = {n.casefold() for n in (*(p.name for p in self.table.parts), *self.table.charts, *self.table.facts)}
        values = rating.values.items() if rating is not None else ()
        return {
            name.casefold(): volts
            for (_, name), volts in values
            if name.casefold() in names and isinstance(volts, Fraction)
        }

    def rated(self, name: str, stage: str) -> Fraction | None:
        """A rating as it is known here, else as the plate prints it for a stage; None where neither tells."""
        known = self.facts.number(name)
        if known is not None:
            return known
        value = self.table.ratings[name].get(self.plate_model(), stage) if name in self.table.ratings else None
        return value if isinstance(value, Fraction) else None

    def heater_volts(self, stage: str) -> tuple[Fraction, ...]:
        """The volts that the heaters are rated at, each its own or all the same; empty where nothing tells."""
        whole = self.rated("heater voltage", stage)
        return (*self._own_volts().values(), *(() if whole is None else (whole,)))

    def _at_supply(
        self, name: str, number: Fraction | None, reading: ChartReading | None, cell: int, stage: str
    ) -> tuple[Fraction | None, ChartReading | None]:
        """One heater's power at the supply there is, where heaters are rated each by itself."""
        supply, own = self.facts.number("supply voltage"), self._own_volts()
        whole = self.table.ratings["heater voltage"].get(self.plate_model(), stage) if own else None
        rated = own.get(name.casefold(), whole)
        if supply is None or not own or not isinstance(rated, Fraction):
            return number, reading
        ratio = electric_power_kw(Fraction(1), supply, rated)
        scaled = self._times(reading, cell, ratio) if reading is not None else None
        return number * ratio if number is not None else None, scaled

    def _times(self, reading: ChartReading, cell: int, factor: Fraction) -> ChartReading:
        """A reading of which one figure is multiplied."""
        key = ("times", reading, cell, factor)
        if key not in self._readings:

            def find(positions: tuple[int, ...]) -> Outcome:
                outcome = reading.find(positions)
                if isinstance(outcome, No):
                    return outcome
                scaled = in_each_case(lambda c: c * factor if isinstance(c, Fraction) else c, outcome[cell])
                return (*outcome[:cell], scaled, *outcome[cell + 1 :])

            self._readings[key] = replace(reading, find=find)
        return self._readings[key]

    def _rated_ways(
        self, name: str, call: Call, stage: str, rate: str
    ) -> Iterable[tuple[Fraction | None, tuple[ChartReading, ...]]]:
        """A rating in each way that a selector may decide it, with the condition on which it counts."""
        rating = self.table.ratings.get(name)
        if rating is None or not rating.by or self.facts.number(name) is not None:
            yield self.rated(name, stage), ()
            return
        for condition, value in rating.by:
            yield value, (self.condition(condition, call, stage, rate),)
        others: dict[int, frozenset[int]] = {}
        for condition, _ in rating.by:
            every = frozenset(range(len(self.table.parts[condition.part].positions))) | {ABSENT}
            others[condition.part] = others.get(condition.part, every) - condition.allowed
        rest = (replace(c, allowed=others[c.part]) for c, _ in rating.by)
        conditions = tuple(self.condition(c, call, stage, rate) for c in {c.part: c for c in rest}.values())
        yield self.rated(name, stage), conditions

    def _converted(
        self, base: str, call: Call, stage: str, rate: str, target: Register, *, fired: bool = False
    ) -> Iterable[Instruction]:
        """From input, power or nozzle rate to delivered heat, or to what is `fired` for it."""

        def times(value: Fraction | None, name: str, when: tuple[ChartReading, ...] = ()) -> Instruction:
            return Instruction(
                target=target,
                op="times",
                name=name,
                conditions=when,
                **_value(value if value is not None else self._unrated(name)),
            )

        def plate(name: str) -> Iterable[Instruction]:
            return (times(value, name, when) for value, when in self._rated_ways(name, call, stage, rate))

        if base == "heater power":
            yield times(BTUH_PER_KW, "Btu/h for each kW")
            supply, rated = self.facts.number("supply voltage"), self.rated("heater voltage", stage)
            if supply is not None and rated and not self._own_volts():
                yield times(electric_power_kw(Fraction(1), supply, rated), "voltage squared")
        elif base == "heat output" and fired:
            yield times(None, HEAT_INPUT)
        elif base == "heat input" and not fired:
            yield from plate("efficiency")
        elif base == "nozzle rate":
            marked = self.rated("nozzle pressure", stage) or Fraction(NOZZLE_RATED_PSI)
            for pump, when in self._rated_ways("pump pressure", call, stage, rate):
                if pump is not None:
                    yield times(nozzle_rate_gph(Fraction(1), pump, marked), "root of the pressures", when)
            yield from plate("heat per gallon")
            yield from () if fired else plate("efficiency")

    def _rated(self, stage: str, *, installed: bool, fired: bool) -> tuple[Fraction | No, bool] | None:
        """Heat by the plate, or by what is known to be installed in its place, and whether the plate gives it for
        this very stage."""
        model = self.plate_model()
        for name in (HEAT_INPUT,) if fired else ("heat output", HEAT_INPUT):
            there = self.facts.number(name) if installed else None
            rating = self.table.ratings.get(name)
            if there is None and rating is None:
                continue
            value = there if there is not None else rating.get(model, stage) if rating is not None else None
            if not isinstance(value, Fraction):
                if model is None and self.table.unit.models and (rating is None or rating.by_model):
                    return not_given("model"), True
                continue
            own = (
                there is None
                and rating is not None
                and any((m, stage) in rating.values for m in (model or "", ""))
                and stage != ""
            )
            if fired or name == "heat output":
                return value, own
            known = self.facts.number("efficiency")
            efficiency = (
                known
                if known is not None
                else self.table.ratings["efficiency"].get(model, stage)
                if "efficiency" in self.table.ratings
                else None
            )
            return (value * efficiency, own) if isinstance(efficiency, Fraction) else (self._unrated("efficiency"), own)
        return None

    # -- firing rates

    def charts_of(self, call: Call) -> tuple[Chart, ...]:
        """Every chart the call reads, through other calls too."""
        seen: dict[str, Chart] = {}
        calls = [call]
        done: set[str] = set()
        while calls:
            one = calls.pop()
            if one.name in done:
                continue
            done.add(one.name)
            for step in (*one.airflow, *one.heat):
                for atom in step.by_stage.values():
                    if isinstance(atom, CallValue):
                        calls.append(self.table.calls[atom.call])
                    elif isinstance(atom, Named) and atom.kind == "chart":
                        seen.setdefault(atom.name, self.table.charts[atom.name])
        return tuple(seen.values())

    def parts_of(self, call: Call, *, heat: bool = False) -> frozenset[int]:
        """The parts that a call's airflow reads in any of its stages; `heat`: those that its heat reads too."""
        out: set[int] = set()
        for stage in call.stages:
            rate = self.asked(call, stage).rate
            steps = [i for i in self.airflow(call, stage, rate) if i.op != "stands" and i.target[0] != "heat"]
            for i in (*steps, *(self.heat(call, stage, rate) if heat else ())):
                out.update(p for r in i.readings for p in r.parts)
        return frozenset(out)

    def unread_charts(self) -> tuple[ChartReading, ...]:
        """Charts that no stage reads for airflow, heat, limits, delays or ramp (labels, watts), for the last stage of
        the first call."""
        read = set(self.used_as_step)
        read |= {k.name for c in self.table.charts.values() for k in (*c.keys, *c.heads) if k.kind == "chart"}
        read |= {
            atom.by
            for call in self.table.calls.values()
            for step in (*call.airflow, *call.heat)
            for atom in step.by_stage.values()
            if isinstance(atom, Named)
        }
        for call in self.table.calls.values():
            for by_stage in (call.ramp, call.on_delay, call.off_delay):
                read |= {atom.name for atom in by_stage.values() if isinstance(atom, Named)}
        read |= {c.name for c in self.table.charts.values() if set(BOUNDING) & set(c.gives)}
        first = next(iter(self.table.calls.values()))
        return tuple(self.chart(c, first, first.last, "") for c in self.table.charts.values() if c.name not in read)

    def told_beside(self) -> tuple[tuple[Chart, Call, str, ChartReading], ...]:
        """Charts that print labels, watts, speeds or the rise beside the airflow that a call reads, for each stage that
        reads them."""
        out = []
        for call in self.table.calls.values():
            for stage in call.stages:
                for step in call.airflow:
                    atom = step.value(stage)
                    if (
                        not isinstance(atom, Named)
                        or atom.kind != "chart"
                        or _never(self._conditions(step, call, stage, ""))
                    ):
                        continue
                    chart = self.table.charts[atom.name]
                    if set(TOLD) & set(chart.gives) or {"airflow", RISE} <= set(chart.gives):
                        out.append((chart, call, stage, self.chart(chart, call, stage, "", led=(atom.key, atom.by))))
        return tuple(out)

    def told_charts(self) -> tuple[tuple[Chart, Call, str], ...]:
        """Charts that are told beside the calls (labels no other chart goes by, watts, speeds), each for every stage it
        is printed by, with a call of that stage."""
        unread = {reading.name for reading in self.unread_charts()}
        out = []
        for chart in self.table.charts.values():
            if chart.name not in unread or any(QUANTITIES[g].role != "note" for g in chart.gives):
                continue
            stages = next((k.values for k in (*chart.keys, *chart.heads) if k.name == "stage"), ("",))
            for stage in stages:
                calls = list(self.table.calls.values())
                out.append((chart, next((c for c in calls if stage in c.stages), calls[0]), stage))
        return tuple(out)

    def rates(self, call: Call) -> tuple[str, ...]:
        """The firing rates at which a modulating call is judged: both ends and every printed rate; empty for others."""
        known = self._rates.get(call.name)
        if known is not None:
            return known
        found: set[Fraction] = set()
        low, high = Fraction(0), Fraction(10**6)
        for chart in self.charts_of(call):
            for key in (*chart.keys, *chart.heads):
                if key.name == "firing rate":
                    found.update(key.numbers)
                    low, high = max(low, min(key.numbers)), min(high, max(key.numbers))
        known = self._rates[call.name] = tuple(str(r) for r in sorted(found) if low <= r <= high)
        return known

    def modulates(self, call: Call) -> bool:
        """True where the call's heat follows the firing rate."""
        return bool(self.rates(call)) or "firing rate" in self.facts.values

    def points(self, call: Call, stage: str) -> tuple[Point, ...]:
        """The points at which limits are judged."""
        rates = self.rates(call)
        given = self.facts.number("firing rate")
        if not rates:
            return (Point(call.name, stage),)
        every = list(rates)
        if given is not None and str(given) not in every:
            every.append(str(given))
        return tuple(Point(call.name, stage, r) for r in every)

    def asked(self, call: Call, stage: str) -> Point:
        """The point a target or an answer speaks of: the firing rate that is given, else the highest printed."""
        found = self._asked.get((call.name, stage))
        if found is None:
            rates = self.rates(call)
            given = self.facts.number("firing rate")
            rate = (str(given) if given is not None else rates[-1]) if rates else ""
            found = self._asked[call.name, stage] = Point(call.name, stage, rate)
        return found

    def all_read(self, call: Call, stage: str, *, heat: bool = False) -> tuple[Instruction, ...]:
        """Everything that is read to judge a stage; `heat`: what its heat reads even where no limit is held against
        it."""
        key = (call.name, stage, heat)
        if key not in self._to_judge:
            out: dict[Instruction, None] = {}
            for point in dict.fromkeys((*self.points(call, stage), self.asked(call, stage))):
                limits, extra = self.limits(call, stage, point.rate)
                out.update(dict.fromkeys((*self.airflow(call, stage, point.rate), *extra)))
                if heat or any(limit.of_heat for limit in limits):
                    out.update(dict.fromkeys(self.heat(call, stage, point.rate)))
            self._to_judge[key] = tuple(out)
        return self._to_judge[key]

    # -- limits

    def limits(self, call: Call, stage: str, rate: str = "") -> tuple[tuple[Limit, ...], tuple[Instruction, ...]]:
        """The limits on a stage, and the instructions that work out those ends that charts give."""
        key = (call.name, stage, rate)
        if key not in self._limits:
            found, extra = self.airflow_limits(call, stage, rate)
            given = self.static_of(call, stage) is not None
            self._limits[key] = (*found, *self.static_limits(call, stage)) if given else found, extra
        return self._limits[key]

    def airflow_limits(
        self, call: Call, stage: str, rate: str = ""
    ) -> tuple[tuple[Limit, ...], tuple[Instruction, ...]]:
        """The limits that a stage's airflow is held against, static pressure apart."""
        call = self.table.calls[call.name]  # as the model has it
        out: list[Limit] = []
        extra: list[Instruction] = []
        out.extend(self._plate_limits(call, stage))
        for w in call.windows:
            if w.stage not in ("", stage) or (w.quantity == "static pressure" and not w.source):
                continue
            source = w.source or f"window of {call.name}"
            fired: Register | None = None
            if w.quantity == HEAT_INPUT:
                fired = (HEAT_INPUT, call.name, stage, rate)
                extra.extend(self._whole(fired))
            if w.when:
                out += (replace(x, figure=fired) for x in self._window_when(w, source, call, stage, rate, extra))
            elif w.model:
                out.append(Limit(w.quantity, ANYWHERE, source, w.line, missing="model is not given", needs="model"))
            else:
                out.append(Limit(w.quantity, Range(w.low, w.high), source, w.line, figure=fired))
        for n, step in enumerate(call.limits):
            atom = step.value(stage)
            if atom is not None:
                self._named_limit(step, n, atom, call, stage, rate, out, extra)
        for chart in self.table.charts.values():
            if (
                chart.name in self.used_as_step
                or chart.name in self.named_limits
                or not set(BOUNDING) & set(chart.gives)
                or not self._bounds(chart, call)
            ):
                continue
            if any(k.name == "stage" and stage not in k.values for k in (*chart.keys, *chart.heads)):
                continue
            reading = self.chart(chart, call, stage, rate, installed=True)
            for quantity in BOUNDING:
                if quantity in chart.gives:
                    register: Register = (f"{quantity} by {chart.name}", call.name, stage, rate)
                    extra.append(
                        Instruction(
                            target=register,
                            op="bound",
                            reading=reading,
                            cell=chart.gives.index(quantity),
                            name=chart.name,
                        )
                    )
                    least, most = (register, None) if operation_of(quantity) == "raise to" else (None, register)
                    out.append(Limit("airflow", ANYWHERE, chart.name, chart.line, least, most))
        return tuple(out), tuple(extra)

    def _window_when(
        self, w: Window, source: str, call: Call, stage: str, rate: str, extra: list[Instruction]
    ) -> Iterable[Limit]:
        """A window that counts on a condition: its ends are there where the condition holds."""
        conditions = tuple(self.condition(c, call, stage, rate) for c in w.when)
        if _never(conditions):
            return
        ends: list[Register | None] = []
        said = " and ".join(self._said(c) for c in w.when)
        for side, end in (("low", w.low), ("high", w.high)):
            if end is None:
                ends.append(None)
                continue
            register: Register = (f"{side} {w.quantity} with {said} line {w.line}", call.name, stage, rate)
            extra.append(Instruction(target=register, op="bound", number=end, conditions=conditions, name=source))
            ends.append(register)
        yield Limit(w.quantity, ANYWHERE, source, w.line, least=ends[0], most=ends[1])

    def _named_limit(
        self,
        step: Step,
        n: int,
        atom: Atom,
        call: Call,
        stage: str,
        rate: str,
        out: list[Limit],
        extra: list[Instruction],
    ) -> None:
        """A limit whose end another call or a name gives."""
        if isinstance(atom, CallValue):
            other, at = self.other(atom, stage)
            register = self._taken(other, at, rate)
            extra.extend(self._whole(register))
            name = f"call {other.name} {at}".strip()
        elif isinstance(atom, Named) and atom.kind == "chart" and atom.name not in self.table.charts:
            return
        else:
            _, number, reading, cell, name = self._operands(step.op, atom, call, stage, rate, installed=True)[0]
            register = (f"{step.op} {name} {n}", call.name, stage, rate)
            extra.append(Instruction(target=register, op="bound", number=number, reading=reading, cell=cell, name=name))
        least, most = (register, None) if step.op == "at least" else (None, register)
        out.append(Limit("airflow", ANYWHERE, name, step.line, least, most))

    def _plate_limits(self, call: Call, stage: str) -> Iterable[Limit]:
        """The plate's rise and the highest supply air, for a call that heats."""
        for name, source in (("temperature rise", "rise on the rating plate"), ("outlet limit", "rating plate")):
            plate = self.table.ratings.get(name)
            if plate is None or not call.heats:
                continue
            model = self.plate_model()
            allowed = self.table.plate(name, model, stage)
            if allowed is not None:
                yield Limit(name, allowed, source, plate.line)
                continue
            known = model is not None or not self.table.unit.models or not plate.by_model
            whose = model if plate.by_model and model is not None else stage
            missing = f"the plate's {name} for {whose} is not printed" if known else "model is not given"
            yield Limit(name, ANYWHERE, source, plate.line, missing=missing, needs="" if known else "model")

    def static_of(self, call: Call, stage: str) -> Fraction | None:
        """The static pressure given for a call's stage, in the table's unit; None where none is."""
        value = self.fact("static pressure", call.name, stage)
        return number_in(value) if isinstance(value, str) else value

    def static_limits(self, call: Call, stage: str) -> Iterable[Limit]:
        """What the plate allows and the page holds to, whether or not a static pressure is given."""
        call = self.table.calls[call.name]  # as the model has it
        allowed = self.table.plate("plate static", self.plate_model(), stage)
        if allowed is not None:
            yield Limit("static pressure", allowed, "rating plate", self.table.ratings["plate static"].line)
        if self.table.unit.holds_up_to is not None:
            yield Limit(
                "static pressure", Range(high=self.table.unit.holds_up_to), "the page holds its airflow up to this"
            )
        for w in call.windows:
            if w.quantity == "static pressure" and w.stage in ("", stage) and not w.source:
                source = f"window of {call.name}"
                if w.model:
                    missing = "model is not given"
                    yield Limit("static pressure", ANYWHERE, source, w.line, missing=missing, needs="model")
                else:
                    yield Limit("static pressure", Range(w.low, w.high), source, w.line)
        for chart in self.charts_of(call):
            if chart.holds_up_to is not None:
                source = f"`{chart.name}` holds up to this"
                yield Limit("static pressure", Range(high=chart.holds_up_to), source, chart.line)

    def _bounds(self, chart: Chart, call: Call) -> bool:
        """A least or most airflow that goes with the heater counts for the calls that heat, any other for every
        call."""
        return bool(call.heat) or call.heats or not by_heater(self.table, chart)


def _value(value: Fraction | No) -> Mapping[str, Any]:
    return {"number": value} if isinstance(value, Fraction) else {"reading": constant("", value)}


def known_tons(table: Table, facts: Facts) -> Fraction | None:
    """Tons of the outdoor unit, None where no fact tells them."""
    names = ("outdoor tons", "tons", *(f.name for f in table.facts.values() if f.gives == "tons"))
    return next((value for name in names if (value := facts.number(name)) is not None), None)


def _not_given(source: Source) -> bool:
    return isinstance(source, No) and source.kind == "not_known"


def _alike(one: Outcome, other: Outcome) -> bool:
    """True where two outcomes say the same."""
    if isinstance(one, No) or isinstance(other, No):
        return isinstance(one, No) and isinstance(other, No) and one.kind == other.kind
    return one == other


def _withheld(reading: ChartReading, held: Held) -> ChartReading:
    """The reading of a chart that doesn't hold, or not in every position: what it refuses anyway it refuses, all else
    isn't promised. Where a fact isn't given that would tell, its rows say so."""
    parts = tuple(dict.fromkeys((*reading.parts, *parts_of(held.unless))))
    own = len(reading.parts)

    def find(positions: tuple[int, ...]) -> Outcome:
        outcome = reading.find(positions[:own])
        no = held.broken or not_met(held.unless, dict(zip(parts, positions, strict=True)))
        return outcome if no is None or (isinstance(outcome, No) and outcome.rank < no.rank) else no

    def row(positions: tuple[int, ...]) -> Row | None:
        found = reading.row(positions[:own])
        if found is None or not held.said:
            return found
        return replace(found, note="; ".join(n for n in (found.note, held.said) if n))

    needs = dict.fromkeys((*reading.needs, *(n for condition, _ in held.unless for n in condition.needs)))
    return replace(reading, parts=parts, find=find, row=row, needs=tuple(needs))


def _never(conditions: Iterable[ChartReading]) -> bool:
    """True where a known fact already says that the conditions don't all hold, however the board is set."""
    return any(not c.parts and not isinstance(c.find(()), No) and c.find(()) != (Fraction(1),) for c in conditions)


def _used_in_steps(table: Table) -> frozenset[str]:
    return frozenset(
        atom.name
        for call in table.calls.values()
        for step in (*call.airflow, *call.heat)
        for atom in step.by_stage.values()
        if isinstance(atom, Named)
    )
