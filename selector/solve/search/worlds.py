"""What a board may be where facts aren't given and selectors that declare equipment stand nobody knows where: the same
table under each of them.

Nothing is chosen there: what is said of a setting holds in every world, and what the worlds disagree on is not known.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from fractions import Fraction
from itertools import product
from math import prod

from selector.solve.engine.chart_reading import ChartReading
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import Board, CallAnswer, StageAnswer, evaluate
from selector.solve.engine.open_cases import MOST_CASES
from selector.solve.engine.step_arithmetic import Instruction, Register, Value
from selector.table.model.table import Call, No, Setting
from selector.value import Struct, field, replace

_MARK = "#"


class World(Struct, frozen=True, kw_only=True):
    """One of them: the table under its facts, `supposed` those of them that nobody gave, and where the parts stand that
    nobody knows. `number` 0: nothing is open, the engine is the one that was given."""

    number: int
    engine: Engine
    at: Mapping[int, int]
    supposed: Mapping[str, Fraction | str] = field(default_factory=dict)

    def filled(self, setting: Setting) -> Setting:
        """A setting with the parts that nobody knows as they stand here."""
        return tuple(self.at.get(i, stands) for i, stands in enumerate(setting)) if self.at else setting

    def told(self, register: Register) -> Register:
        """A register among those of all worlds."""
        what, call, stage, rate = register
        return register if not self.number else (what, call, stage, f"{rate}{_MARK}{self.number}")

    def own(self, registers: Mapping[Register, Value]) -> Mapping[Register, Value]:
        """The registers of this world as its engine names them."""
        return _Own(self, registers) if self.number else registers


class _Own(Mapping[Register, Value]):
    """The registers of one world among those of all."""

    def __init__(self, world: World, registers: Mapping[Register, Value]) -> None:
        self._world, self._all = world, registers

    def __getitem__(self, register: Register) -> Value:
        return self._all[self._world.told(register)]

    def __iter__(self) -> Iterator[Register]:
        mark = f"{_MARK}{self._world.number}"
        for what, call, stage, rate in self._all:
            if rate.endswith(mark):
                yield what, call, stage, rate.removesuffix(mark)

    def __len__(self) -> int:
        return sum(1 for _ in self)


class Worlds:
    """The worlds of the stages of one table. `unknown`: parts of which nobody knows where they stand."""

    def __init__(self, engine: Engine, unknown: Iterable[int]) -> None:
        self.engine = engine
        self.unknown = frozenset(unknown)
        self._numbers: dict[tuple[object, ...], World] = {}
        self._stages: dict[tuple[str, str, bool], tuple[World, ...]] = {}
        self._instructions: dict[tuple[int, Instruction], Instruction] = {}
        self._readings: dict[tuple[ChartReading, tuple[tuple[int, int], ...]], ChartReading] = {}

    def of(self, call: Call, stage: str, *, heat: bool = False) -> tuple[World, ...]:
        """Every world that a stage can tell apart, by its heat too where that is asked; one where nothing it reads is
        open, or too much."""
        found = self._stages.get((call.name, stage, heat))
        if found is None:
            found = self._stages[call.name, stage, heat] = tuple(self._made(call, stage, heat=heat))
        return found

    def _made(self, call: Call, stage: str, *, heat: bool) -> Iterable[World]:
        engine = self.engine
        program = engine.all_read(call, stage, heat=heat)
        needs = [n for i in program for r in i.readings for n in r.needs]
        needs += [limit.needs for limit in engine.limits(call, stage, engine.asked(call, stage).rate)[0] if limit.needs]
        facts = engine.cases(needs)
        programs = [program if e is engine else e.all_read(call, stage, heat=heat) for _, e in facts]
        read = {p for one in programs for i in one for r in i.readings for p in r.parts}
        open_ = sorted(read & self.unknown)
        counts = [len(engine.table.parts[p].positions) for p in open_]
        if prod(counts) * len(facts) > MOST_CASES:
            facts, open_, counts = [({}, engine)], [], []
        for told, one in facts:
            for positions in product(*(range(count) for count in counts)):
                at = dict(zip(open_, positions, strict=True))
                yield self._numbered(told, one, at)

    def _numbered(self, told: Mapping[str, Fraction | str], engine: Engine, at: Mapping[int, int]) -> World:
        key = (tuple(told.items()), tuple(at.items()))
        found = self._numbers.get(key)
        if found is None:
            number = len(self._numbers) + 1 if told or at else 0
            found = self._numbers[key] = World(number=number, engine=engine, at=at, supposed=told)
        return found

    def carried(self, world: World, instructions: Iterable[Instruction]) -> Iterable[Instruction]:
        """Instructions of a world's engine on registers of that world."""
        return instructions if not world.number else (self._carried(world, i) for i in instructions)

    def _carried(self, world: World, i: Instruction) -> Instruction:
        found = self._instructions.get((world.number, i))
        if found is None:
            found = self._instructions[world.number, i] = replace(
                i,
                target=world.told(i.target),
                register=None if i.register is None else world.told(i.register),
                reading=None if i.reading is None else self._read(i.reading, world.at),
                conditions=tuple(self._read(c, world.at) for c in i.conditions),
            )
        return found

    def _read(self, reading: ChartReading, at: Mapping[int, int]) -> ChartReading:
        """A reading with the parts that nobody knows as they stand."""
        own = tuple((p, at[p]) for p in reading.parts if p in at)
        if not own:
            return reading
        found = self._readings.get((reading, own))
        if found is None:
            stands = dict(own)
            parts = tuple(p for p in reading.parts if p not in stands)

            def whole(positions: tuple[int, ...]) -> tuple[int, ...]:
                every = {**stands, **dict(zip(parts, positions, strict=True))}
                return tuple(every[p] for p in reading.parts)

            found = self._readings[reading, own] = ChartReading(
                reading.name,
                parts,
                lambda positions: reading.find(whole(positions)),
                lambda positions: reading.row(whole(positions)),
                reading.keys,
                tuple(self._read(one, at) for one in reading.led),
                reading.needs,
            )
        return found


def deciding(worlds: Sequence[World], outcomes: Sequence[object]) -> Iterable[str]:
    """The facts that nobody gave and that change an outcome by themselves between two worlds."""
    for name in worlds[0].supposed:
        by: dict[object, object] = {}
        for world, outcome in zip(worlds, outcomes, strict=True):
            rest = (*(v for n, v in world.supposed.items() if n != name), *world.at.items())
            if by.setdefault(rest, outcome) != outcome:
                yield name
                break


def in_all(values: Sequence[object]) -> bool:
    """True where every world says the same."""
    return all(value == values[0] for value in values[1:])


def certain_airflow(engine: Engine, call: Call, stage: str, setting: Setting) -> Fraction | No:
    """The airflow of a stage in a setting that has it whatever isn't known; else why it isn't known."""
    worlds = Worlds(engine, (i for i, at in enumerate(setting) if at is None)).of(call, stage)
    found = [Board(w.engine, w.filled(setting)).airflow(w.engine.asked(call, stage)) for w in worlds]
    return found[0] if in_all(found) else Board(engine, setting).airflow(engine.asked(call, stage))


def evaluated(engine: Engine, setting: Setting) -> dict[str, CallAnswer]:
    """Every call in a setting, with the airflows that are the same whatever isn't known."""
    answers = evaluate(engine, setting)
    return {
        name: replace(a, stages=tuple(_certain(engine, s, setting) for s in a.stages)) for name, a in answers.items()
    }


def _certain(engine: Engine, s: StageAnswer, setting: Setting) -> StageAnswer:
    call = engine.table.calls[s.call]
    if not isinstance(s.airflow, No) or s.airflow.kind != "not_known":
        return s
    x = certain_airflow(engine, call, s.stage, setting)
    return replace(
        s,
        airflow=x,
        rise=engine.rise(s.heat, x),
        per_ton=engine.per_ton(call, s.stage, x) if call.compressor else None,
    )
