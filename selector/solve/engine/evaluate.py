"""What a board does in one setting: the airflow of every call and stage, with the rows it comes from and how it sits
with the limits."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from fractions import Fraction
from typing import Literal

from selector.solve.board.marks import on_one_tap, tapped_twice
from selector.solve.engine.bends import bends, may_bend
from selector.solve.engine.chart_reading import ChartReading, Outcome
from selector.solve.engine.engine import Engine, Point
from selector.solve.engine.limit import JudgedLimit, Limit
from selector.solve.engine.run import carry_out
from selector.solve.engine.step_arithmetic import Instruction, Register, Value, finished, no_figure, open_figure
from selector.table.model.quantities import OWN_AIRFLOW, RISE, TOLD, Operation
from selector.table.model.range import ANYWHERE, Range
from selector.table.model.table import Atom, Call, Cell, CellWord, Either, Named, No, Ramp, Row, Setting, figures_of
from selector.value import Struct, field, replace


class Trail(Struct, frozen=True, kw_only=True):
    """One step that acted: what it did, with which figure, what came of it, and the printed row it came from."""

    op: Operation | Literal["runs", "bound"]
    word: str
    name: str
    value: Fraction | None
    result: Fraction | No | None
    page: str = ""
    row: Row | None = None


class StageAnswer(Struct, frozen=True, kw_only=True):
    """One stage of a call: airflow in the table's unit or why not, heat in Btu/h, rise in the table's degrees, the
    steps, the limits."""

    call: str
    stage: str
    airflow: Fraction | No
    heat: Fraction | No | None = None
    rise: Fraction | None = None
    per_ton: Fraction | None = None
    rate: str = ""
    trail: tuple[Trail, ...] = ()
    judged: tuple[JudgedLimit, ...] = ()

    @property
    def title(self) -> str:
        """The call and its stage as people say it."""
        return f"{self.call} {self.stage}".strip()


class CallAnswer(Struct, frozen=True, kw_only=True):
    """A call: its stages, how it comes up, its delays, the labels that go with it."""

    call: str
    stages: tuple[StageAnswer, ...]
    ramp: Mapping[str, Ramp | No] = field(default_factory=dict)
    on_delay: Mapping[str, Fraction | No] = field(default_factory=dict)
    off_delay: Mapping[str, Fraction | No] = field(default_factory=dict)

    def stage(self, name: str) -> StageAnswer:
        """One stage; KeyError if it has none of this name."""
        for s in self.stages:
            if s.stage == name:
                return s
        raise KeyError(name)


class Board:
    """One setting under one engine: registers worked out as they are asked for."""

    def __init__(self, engine: Engine, setting: Setting, unread: Collection[int] = ()) -> None:
        """`unread`: the parts without a position that were looked at and can't be read; the others are not known."""
        self.engine = engine
        self.setting = setting
        self.unread = frozenset(unread)
        self._registers: dict[Register, Value] = {}
        self._ran: set[Instruction] = set()
        self._outcomes: dict[ChartReading, Outcome] = {}
        self._acted: list[tuple[Instruction, Value, Value, Value]] = []
        self._clash = tapped_twice(setting, engine.table)

    def read(self, reading: ChartReading) -> Outcome:
        """A reading in this setting."""
        found = self._outcomes.get(reading)
        if found is None:
            found = self._outcomes[reading] = (
                reading.at(self.setting, self.unread) if not self._clash else self._unless_clash(reading)
            )
        return found

    def _unless_clash(self, reading: ChartReading) -> Outcome:
        for p in reading.parts:
            if p in self._clash:
                return on_one_tap(self.engine.table.parts[p].name, self._clash[p])
        return reading.at(self.setting, self.unread)

    def run(self, instructions: tuple[Instruction, ...]) -> None:
        """Carry out instructions not carried out yet."""
        for i in instructions:
            if i in self._ran:
                continue
            self._ran.add(i)
            before = self._registers.get(i.target)
            after = self._registers[i.target] = carry_out(i, self._registers, self.read)
            self._acted.append((i, before, after, None if i.register is None else self._registers.get(i.register)))

    def _trail(self, i: Instruction, before: Value, after: Value, other: Value) -> Trail | None:
        """What an instruction did, None where that is nothing to tell. `other`: the register it took its figure of."""
        if i.op == "stands" or (i.op == "runs" and not isinstance(after, No)):
            return None
        for condition in i.conditions:
            outcome = self.read(condition)
            if before == after if isinstance(outcome, No) else outcome[0] != 1:
                return None
        value, row, page = i.number, None, ""
        if i.reading is not None:
            outcome = self.read(i.reading)
            cell: Cell | None = None if isinstance(outcome, No) else outcome[i.cell]
            value = cell if isinstance(cell, Fraction) else None
            at = [self.setting[p] for p in i.reading.parts]
            row = i.reading.row(tuple(a for a in at if a is not None)) if None not in at else None
            chart = self.engine.table.charts.get(i.reading.name)
            page = chart.page if chart is not None else ""
        elif i.register is not None:
            value = other if isinstance(other, Fraction) else None
        if isinstance(before, No):
            return None
        result = after if isinstance(after, (Fraction, No)) else None
        return Trail(op=i.op, word=i.word, name=i.name, value=value, result=result, page=page, row=row)

    def airflow(self, point: Point) -> Fraction | No:
        """Final airflow at a point."""
        self.run(self.engine.airflow(self.engine.table.calls[point.call], point.stage, point.rate))
        return finished(self._registers.get(point.airflow))

    def heat(self, point: Point) -> Fraction | No | None:
        """Delivered heat at a point, None where nothing is said of it."""
        instructions = self.engine.heat(self.engine.table.calls[point.call], point.stage, point.rate)
        if not instructions:
            return None
        self.run(instructions)
        return finished(self._registers.get(point.heat))

    def bends(self, call: Call, stage: str) -> tuple[Point, ...]:
        """Where a modulating call's airflow bends between printed firing rates: limits are judged there too."""
        if not may_bend(self.engine, call, stage):
            return ()

        def worked(instructions: Sequence[Instruction]) -> Mapping[Register, Value]:
            fresh = Board(self.engine, self.setting, self.unread)
            fresh.run(tuple(instructions))
            return fresh._registers

        return tuple(Point(call.name, stage, rate) for rate in bends(self.engine, call, stage, worked))

    def judged(self, point: Point) -> tuple[JudgedLimit, ...]:
        """Every limit on a point."""
        call = self.engine.table.calls[point.call]
        limits, extra = self.engine.limits(call, point.stage, point.rate)
        self.run(extra)
        airflow = self.airflow(point)
        figures = figures_of(airflow)
        if not figures:
            return ()
        heat = self.heat(point)
        return tuple(
            _in_one([judged_limit(self.engine, limit, call, point, x, heat, self._registers) for x in figures], airflow)
            for limit in limits
        )

    def allowed(self, point: Point, quantity: str) -> tuple[tuple[Limit, Range], ...]:
        """The limits on one quantity at a point with their ends, whatever the airflow is; one whose ends aren't known
        is left out."""
        limits, extra = self.engine.limits(self.engine.table.calls[point.call], point.stage, point.rate)
        self.run(extra)
        found = ((limit, ends_of(limit, self._registers)) for limit in limits if limit.quantity == quantity)
        return tuple((limit, ends) for limit, ends in found if isinstance(ends, Range) and not limit.missing)

    def trail(self, register: Register) -> tuple[Trail, ...]:
        """The steps that led to a register."""
        acted = (self._trail(*one) for one in self._acted if one[0].target == register)
        return tuple(one for one in acted if one is not None)

    def atom(self, atom: Atom | None, call: Call, stage: str, wanted: str) -> Cell | No | None:
        """A figure or word a call names outside its steps: a delay, a ramp."""
        if atom is None or isinstance(atom, Fraction):
            return atom
        if isinstance(atom, Either):
            return open_figure(atom, wanted)
        if not isinstance(atom, Named):
            return No(kind="outside_chart", why="a call's airflow can't stand here")
        if atom.kind == "ramp":
            return atom.name
        if not self.engine.has_column(atom, stage):
            return None
        point = self.engine.asked(call, stage)
        for op, number, reading, cell, _ in self.engine.operands(wanted, atom, call, stage, point.rate):
            if op == wanted:
                if number is not None:
                    return number
                assert reading is not None
                outcome = self.read(reading)
                found = outcome if isinstance(outcome, No) else outcome[cell]
                if isinstance(found, Either):
                    return open_figure(found, atom.name)
                return no_figure(found, atom.name) if found is CellWord.BLANK or found is CellWord.UNREADABLE else found
        return None


def _in_one(judged: Sequence[JudgedLimit], airflow: Fraction | No) -> JudgedLimit:
    """A limit held against all that an airflow may be: kept or broken in every case, else it depends on the figure."""
    if len({j.ok for j in judged}) > 1 and isinstance(airflow, No):
        return replace(judged[0], ok=None, value=None, why=airflow.why)
    return min(judged, key=lambda j: j.miss)


def ends_of(limit: Limit, registers: Mapping[Register, Value]) -> Range | No:
    """The ends of a limit, those included that charts and conditions give; the no of an end that isn't there."""
    allowed = limit.range
    for register, lower in ((limit.least, True), (limit.most, False)):
        end = registers.get(register) if register is not None else None
        if isinstance(end, No):
            return end
        if isinstance(end, Fraction):
            allowed = Range(end, allowed.high) if lower else Range(allowed.low, end)
    return allowed


def judged_limit(
    engine: Engine,
    limit: Limit,
    call: Call,
    point: Point,
    airflow: Fraction,
    heat: Fraction | No | None,
    registers: Mapping[Register, Value],
) -> JudgedLimit:
    """One limit against one airflow: the only place where a limit is held against a figure."""

    def told(
        ok: bool | None, allowed: Range = ANYWHERE, value: Fraction | None = None, why: str = "", needs: str = ""
    ) -> JudgedLimit:
        return JudgedLimit(limit=limit, ok=ok, range=allowed, value=value, why=why, needs=needs, rate=point.rate)

    if limit.missing:
        return told(None, why=limit.missing, needs=limit.needs)
    allowed = ends_of(limit, registers)
    if isinstance(allowed, No):
        return told(True if allowed.kind == "does_not_run" else None, why=allowed.why)
    if allowed.open:
        return told(True)
    value: Fraction | None
    if limit.quantity == "airflow":
        value = airflow
    elif limit.figure is not None:
        found = registers.get(limit.figure)
        if not isinstance(found, Fraction):
            return told(None, allowed, why=found.why if isinstance(found, No) else f"the {limit.quantity} is not known")
        value = found
    elif limit.quantity == "static pressure":
        value = engine.static_of(call, point.stage)
    elif limit.quantity == "airflow per ton":
        value = engine.per_ton(call, point.stage, airflow)
        if value is None:
            missing = "outdoor tons" if engine.tons() is None else "stages"
            what = "outdoor tons are" if engine.tons() is None else "the stage's share of the outdoor unit is"
            return told(None, allowed, why=f"{what} not given", needs=missing)
    else:
        if not isinstance(heat, Fraction):
            return told(None, allowed, why=heat.why if heat is not None else "the delivered heat is not known")
        if airflow == 0:
            return told(heat == 0, allowed, why="no airflow")
        rise = engine.rise(heat, airflow)
        if rise is None:
            return told(True, allowed, why="no heat")
        return _judged_rise(engine, limit, call, point, rise, allowed)
    if value is None:
        return told(None, allowed, why=f"{limit.quantity} is not given", needs=limit.quantity)
    return told(allowed.side(value) == "inside", allowed, value)


def _judged_rise(engine: Engine, limit: Limit, call: Call, point: Point, rise: Fraction, allowed: Range) -> JudgedLimit:
    """A rise, or the supply air it makes; an upper end is judged with the full nameplate heat."""
    full = engine.full_rise(call, rise)
    back = Fraction(0)
    if limit.quantity == "outlet limit":
        known = engine.number("return air")
        if known is None:
            return JudgedLimit(
                limit=limit,
                ok=None,
                range=allowed,
                why="return air is not given",
                needs="return air",
                rate=point.rate,
            )
        back = known
    worst = back + (full if allowed.side(back + full) == "above" else rise)
    inside = allowed.side(worst) == "inside"
    return JudgedLimit(limit=limit, ok=inside, value=worst, range=allowed, rate=point.rate)


def beyond(engine: Engine) -> tuple[str, ...]:
    """Words for every static pressure given that is above what the charts hold to, or above the rating plate."""
    table = engine.table
    unit = table.units.pressure
    known = {"": engine.facts.number("static pressure"), **engine.facts.static}
    plate = table.plate("plate static", engine.plate_model())
    out: dict[str, None] = {}
    for where, static in known.items():
        if static is None:
            continue
        said = f"static pressure {float(static):g} {unit}{f' in {where}' if where else ''}"
        if plate is not None and plate.high is not None and static > plate.high:
            out[f"{said} is above the rating plate ({float(plate.high):g} {unit})"] = None
        if table.unit.holds_up_to is not None and static > table.unit.holds_up_to:
            out[f"{said}: the page holds its airflow only up to {float(table.unit.holds_up_to):g} {unit}"] = None
        for chart in table.charts.values():
            if chart.holds_up_to is not None and static > chart.holds_up_to:
                out[f"{said}: `{chart.name}` holds only up to {float(chart.holds_up_to):g} {unit}"] = None
    return tuple(out)


class Told(Struct, frozen=True, kw_only=True):
    """A cell of a chart that is told beside the calls; stage "" where it isn't printed by stage. `call`: the one whose
    airflow it is printed with."""

    chart: str
    stage: str
    quantity: str
    cell: Cell | No
    call: str = ""


def told(board: Board) -> tuple[Told, ...]:
    """What the page tells beside the calls in one setting."""
    out = []
    for chart, call, stage in board.engine.told_charts():
        outcome = board.read(board.engine.chart(chart, call, stage or call.last, ""))
        for i, quantity in enumerate(chart.gives):
            cell = outcome if isinstance(outcome, No) else outcome[i]
            out.append(Told(chart=chart.name, stage=stage, quantity=quantity, cell=cell))
    for chart, call, stage, reading in board.engine.told_beside():
        outcome = board.read(reading)
        if isinstance(outcome, No):
            continue
        printed = outcome[chart.gives.index("airflow")] if "airflow" in chart.gives else None
        if printed is not None and printed != board.airflow(board.engine.asked(call, stage)):
            continue  # they are printed for an airflow that a trim or a share has changed
        for i, quantity in enumerate(chart.gives):
            if quantity in TOLD or (quantity == RISE and printed is not None):
                out.append(Told(chart=chart.name, stage=stage, quantity=quantity, cell=outcome[i], call=call.name))
    return (*out, *_at_own_airflow(board))


def _at_own_airflow(board: Board) -> Iterator[Told]:
    """What charts along the airflow tell of each stage that has one, within what they print."""
    engine = board.engine
    for chart in engine.table.along.values():
        for call in engine.table.calls.values():
            for stage in call.stages:
                airflow = board.airflow(engine.asked(call, stage))
                if not isinstance(airflow, Fraction):
                    continue
                known = replace(engine.facts, values={**engine.facts.values, OWN_AIRFLOW: airflow})
                outcome = board.read(Engine(engine.table, known).chart(chart, call, stage, ""))
                for quantity, cell in () if isinstance(outcome, No) else zip(chart.gives, outcome, strict=True):
                    yield Told(chart=chart.name, stage=stage, quantity=quantity, cell=cell, call=call.name)


def evaluate(engine: Engine, setting: Setting, unread: Collection[int] = ()) -> dict[str, CallAnswer]:
    """Every call of the table in one setting. Parts that are None make what needs them not known, those in `unread`
    unreadable."""
    board = Board(engine, setting, unread)
    return {name: answer_call(board, call) for name, call in engine.table.calls.items()}


def answer_call(board: Board, call: Call) -> CallAnswer:
    """One call in one setting."""
    engine = board.engine
    stages: list[StageAnswer] = []
    ramp: dict[str, Ramp | No] = {}
    delays: tuple[dict[str, Fraction | No], dict[str, Fraction | No]] = ({}, {})
    for stage in call.stages:
        point = engine.asked(call, stage)
        airflow = board.airflow(point)
        heat = board.heat(point)
        judged = tuple(j for p in (*engine.points(call, stage), *board.bends(call, stage)) for j in board.judged(p))
        stages.append(
            StageAnswer(
                call=call.name,
                stage=stage,
                airflow=airflow,
                heat=heat,
                rise=engine.rise(heat, airflow),
                rate=point.rate,
                per_ton=engine.per_ton(call, stage, airflow) if call.compressor else None,
                trail=board.trail(point.airflow),
                judged=judged,
            )
        )
        word = board.atom(call.ramp.get(stage, call.ramp.get("")), call, stage, "ramp")
        if isinstance(word, No):
            ramp[stage] = word
        elif isinstance(word, str):
            ramp[stage] = engine.table.ramps[word]
        for key, by_stage, out in (("on delay", call.on_delay, delays[0]), ("off delay", call.off_delay, delays[1])):
            cell = board.atom(by_stage.get(stage, by_stage.get("")), call, stage, "seconds")
            if isinstance(cell, (Fraction, No)):
                out[stage] = cell
            elif cell is CellWord.NONE:
                out[stage] = Fraction(0)
            elif cell is not None:
                out[stage] = No(kind="outside_chart", why=f"{key} is the word {cell}")
    return CallAnswer(call=call.name, stages=tuple(stages), ramp=ramp, on_delay=delays[0], off_delay=delays[1])
