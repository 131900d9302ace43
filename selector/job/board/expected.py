"""What a setting is expected to do in each call and stage: airflow under every reading, rise, air per ton, split,
how it comes up."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from fractions import Fraction

from selector.air import arithmetic, arithmetic_fan
from selector.air.figure import Figure, Worked, given, renamed
from selector.job.house.air import Way
from selector.job.house.cooling_split import capacity_of, split_by_share, split_by_wet_bulb
from selector.job.house.fact_figures import typed
from selector.job.house.steady import ComingUp, coming_up
from selector.job.house.trace import Tracer
from selector.job.targets.aims import StageAim
from selector.job.targets.house import House, must_run
from selector.job.targets.windows import RETURN_F
from selector.judge.judge import judge
from selector.judge.judgement import Judgement, StageJudgement
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import CallAnswer, StageAnswer, evaluate
from selector.table.model.table import No, Ramp, Setting, Table
from selector.units import rise
from selector.value import Struct, replace


class ReadAs(Struct, frozen=True, kw_only=True):
    """A charted airflow read one way: standard and actual cfm, the rise and leaving air it gives, standard air per
    ton, the cooling split in F."""

    way: Way
    standard: Figure
    actual: Figure
    rise: Figure | None = None
    leaving: Figure | None = None
    per_ton: Figure | None = None
    split: Figure | None = None


class RunningState(Struct, frozen=True, kw_only=True):
    """A state the compressor runs in: a stage at a share of its airflow for so long (None: until the call ends)."""

    call: str
    stage: str
    share: Fraction
    seconds: Fraction | None
    per_ton: Figure
    floor: Fraction
    way: Way

    @property
    def below(self) -> bool:
        """True where it is under the floor."""
        return self.per_ton.value < self.floor


class Expected(Struct, frozen=True, kw_only=True):
    """One stage in a setting, and how it stands there. `charted` is the airflow in cfm with its chain (None:
    `answer.airflow` says why); `off_delay`: the seconds the blower runs on, `ramps_down`: it slows down in steps
    after the call."""

    aim: StageAim
    answer: StageAnswer
    stands: StageJudgement
    charted: Figure | None
    read_as: tuple[ReadAs, ...] = ()
    states: tuple[RunningState, ...] = ()
    coming: ComingUp | No | None = None
    below_s: Figure | None = None
    average: Figure | None = None
    off_delay: Fraction | None = None
    ramps_down: bool = False

    @property
    def title(self) -> str:
        """The call and its stage as people say it."""
        return self.aim.title


def rises_of(one: Expected, table: Table) -> tuple[Fraction, ...]:
    """The rises of a stage in F, each once: under every reading of the chart, else by the heat of its selectors."""
    read = tuple(dict.fromkeys(way.rise.value for way in one.read_as if way.rise is not None))
    by_board = one.answer.rise
    return read or (() if by_board is None else (rise(by_board, table.units.temperature, "F"),))


def tracer_of(house: House, engine: Engine, answers: dict[str, CallAnswer]) -> Tracer:
    """The chains of a setting's answers."""
    facts = engine.facts
    numbers = {name: value for name in facts.values if (value := facts.number(name)) is not None}
    heats = {(a.call, a.stage): a.full_heat for a in house.aims if a.full_heat is not None}
    return Tracer(
        table=engine.table,
        answers=answers,
        numbers=numbers,
        static=facts.static,
        heats=heats,
        crossings=house.ducts.crossings,
    )


def expected(house: House, engine: Engine, board: Judgement) -> tuple[Expected, ...]:
    """Every stage of the table on a judged board, in its order."""
    answers = _answers(engine, board, house.marks(board.setting).unread)
    tracer = tracer_of(house, engine, answers)
    return tuple(_stage(house, one, answers[one.call], tracer, board.stages[one.call, one.stage]) for one in house.aims)


def _answers(engine: Engine, board: Judgement, unread: Collection[int]) -> dict[str, CallAnswer]:
    """The calls of a judged board: an airflow that no open position can change is that airflow."""
    answers = evaluate(engine, board.setting, unread)
    if not board.open:
        return answers
    anywhere = [engine.table.parts[p].open_positions[0] if at is None else at for p, at in enumerate(board.setting)]
    whole = evaluate(engine, tuple(anywhere))

    def certain(one: StageAnswer) -> StageAnswer:
        stands, other = board.stages[one.call, one.stage], whole[one.call].stage(one.stage)
        if not isinstance(one.airflow, No) or stands.depends or stands.facts:
            return one
        if other.airflow != stands.outcome:
            return replace(one, airflow=stands.outcome)
        rise = engine.rise(one.heat, other.airflow)
        return replace(one, airflow=other.airflow, rise=rise, per_ton=other.per_ton, trail=other.trail)

    return {name: replace(call, stages=tuple(map(certain, call.stages))) for name, call in answers.items()}


def full_rise(house: House, one: Expected) -> Fraction | None:
    """The greatest rise, F, under any reading of the chart, with the full nameplate heat."""
    heat, whole = one.aim.heat, one.aim.nameplate
    rises = [read.rise.value for read in one.read_as if read.rise is not None]
    if rises and heat is not None:
        return max(rises) * (Fraction(1) if whole is None else whole.value / heat.value)
    if one.answer.rise is None:
        return None
    full = house.engine.full_rise(house.engine.table.calls[one.aim.call], one.answer.rise)
    return rise(full, house.table.units.temperature, "F")


def judged(house: House, engine: Engine, setting: Setting) -> Judgement:
    """How a board of this house stands. Raises rank.TooLarge where too much is open."""
    return judge(engine, house.marks(setting), must_run(house))


def _stage(house: House, one: StageAim, call: CallAnswer, tracer: Tracer, stands: StageJudgement) -> Expected:
    answer = call.stage(one.stage)
    charted = tracer.airflow_cfm(one.call, one.stage)
    if charted is None:
        return Expected(aim=one, answer=answer, stands=stands, charted=None)
    charted = renamed(charted, "charted")
    coming = (
        coming_up(call, one.stage)
        if call.ramp.get(one.stage) is not None or call.on_delay.get(one.stage) is not None
        else None
    )
    read_as = tuple(_read(house, one, charted, way) for way in house.air.ways)
    states = _states(one, read_as, coming)
    read_as = tuple(replace(read, split=_split(house, one, read)) for read in read_as)
    run_on = call.off_delay.get(one.stage)
    return Expected(
        aim=one,
        answer=answer,
        stands=stands,
        charted=charted,
        read_as=read_as,
        states=states,
        coming=coming,
        below_s=_below(states, coming),
        average=_average(house, charted, coming),
        off_delay=run_on if isinstance(run_on, Fraction) else None,
        ramps_down=isinstance(ramp := call.ramp.get(one.stage), Ramp) and any(step.after for step in ramp.steps),
    )


def _read(house: House, one: StageAim, charted: Figure, way: Way) -> ReadAs:
    standard = house.air.standard(charted, way)
    actual = house.air.actual(charted, way)
    rise = leaving = None
    if one.heat is not None and one.heat.value > 0 and charted.value > 0:
        rise = arithmetic.rise_from_airflow(one.heat, renamed(standard, "standard_airflow"))
        leaving = arithmetic.leaving_air(_return_air(house), rise)
    per_ton = (
        arithmetic_fan.airflow_per_ton(renamed(standard, "standard_airflow"), one.tons)
        if one.tons is not None
        else None
    )
    return ReadAs(way=way, standard=standard, actual=actual, rise=rise, leaving=leaving, per_ton=per_ton)


def _return_air(house: House) -> Figure:
    amount = house.job.site.return_air
    return (
        given("return_air", RETURN_F, "F", source="assumed", kind="temperature")
        if amount is None
        else typed("return_air", amount, house.job)
    )


def _states(one: StageAim, read_as: Sequence[ReadAs], coming: ComingUp | No | None) -> tuple[RunningState, ...]:
    """The steady state, and each step of the ramp, under the reading with the least standard air."""
    floor = next((b for b in one.bounds if b.origin == "floor"), None)
    least = min((r for r in read_as if r.per_ton is not None), key=lambda r: r.standard.value, default=None)
    if floor is None or least is None or least.per_ton is None or one.tons is None:
        return ()
    floor_per_ton = floor.figure.value * floor.way.carries / one.tons.value
    states = []
    for start, end, percent in coming.steps if isinstance(coming, ComingUp) else ():
        if percent:
            states.append(_state(one, least, percent, end - start, floor_per_ton))
    last = coming.last_share if isinstance(coming, ComingUp) else Fraction(100)
    states.append(_state(one, least, last, None, floor_per_ton))
    return tuple(states)


def _state(one: StageAim, least: ReadAs, percent: Fraction, seconds: Fraction | None, floor: Fraction) -> RunningState:
    assert least.per_ton is not None
    figure: Figure = least.per_ton
    if percent != 100:
        step = arithmetic.percent("ramp_share", percent, "ramp")
        figure = arithmetic.product("per_ton_on_ramp", figure.value * step.value, "cfm/ton", figure, step)
    return RunningState(
        call=one.call, stage=one.stage, share=percent, seconds=seconds, per_ton=figure, floor=floor, way=least.way
    )


def _below(states: Sequence[RunningState], coming: ComingUp | No | None) -> Figure | None:
    """Seconds of the ramp under the floor; None where there is no ramp."""
    ramp = [s for s in states if s.seconds is not None]
    if not ramp or not isinstance(coming, ComingUp):
        return None
    parts = [
        given(f"step_{n}", s.seconds or 0, "s", source=f"ramp `{coming.ramp}`")
        for n, s in enumerate(ramp, 1)
        if s.below
    ]
    if not parts:
        return given("seconds_below_floor", 0, "s", source="no step of the ramp is below the floor")
    value = sum((p.value for p in parts), start=Fraction(0))
    return Worked(
        name="seconds_below_floor",
        value=value,
        unit="s",
        expression=" + ".join(p.name for p in parts),
        inputs=tuple(parts),
    )


def _average(house: House, charted: Figure, coming: ComingUp | No | None) -> Figure | None:
    """Average airflow over a call of the length given, delay and ramp included."""
    fan = house.job.fan
    if fan is None or fan.call_length is None or isinstance(coming, No):
        return None
    length = typed("call_length", fan.call_length, house.job)
    steps = coming.steps if coming is not None else ()
    terms, inputs = [], [charted, length]
    at = Fraction(0)
    value = Fraction(0)
    for n, (start, end, percent) in enumerate(steps, 1):
        seconds = min(end, length.value) - min(start, length.value)
        at = min(end, length.value)
        if not percent or not seconds:
            continue
        inputs += [
            given(f"seconds_{n}", seconds, "s", source="ramp"),
            arithmetic.percent(f"share_{n}", percent, "ramp"),
        ]
        terms.append(f"seconds_{n} * share_{n}")
        value += seconds * percent / 100
    left = length.value - at
    last = coming.last_share if coming is not None else Fraction(100)
    if left > 0:
        inputs += [
            given("seconds_after", left, "s", source="what is left of the call"),
            arithmetic.percent("share_after", last, "ramp"),
        ]
        terms.append("seconds_after * share_after")
        value += left * last / 100
    if not terms:
        return None
    expression = f"charted * ({' + '.join(terms)}) / call_length"
    return Worked(
        name="average_airflow",
        value=charted.value * value / length.value,
        unit="cfm",
        expression=expression,
        inputs=tuple(inputs),
    )


def _split(house: House, one: StageAim, read: ReadAs) -> Figure | None:
    """The cooling split to expect, where entering wet bulb or sensible share is known."""
    if one.role not in ("cooling", "dehumidify") or one.tons is None:
        return None
    site = house.job.site
    standard = renamed(read.standard, "standard_airflow")
    try:
        by_share = split_by_share(house.job, capacity_of(one.tons), standard)
        if by_share is not None:
            return by_share
        if site.return_wet_bulb is None or site.return_air is None:
            return None
        dry = typed("return_air", site.return_air, house.job)
        wet = typed("return_wet_bulb", site.return_wet_bulb, house.job)
        return split_by_wet_bulb(house.job, capacity_of(one.tons), standard, dry, wet)
    except ValueError:
        return None


def watts_of(house: House, as_found: Sequence[Expected], after: Sequence[Expected]) -> tuple[Figure, ...]:
    """Fan power and cost from the watts measured: for the air moved as found, a year, and by the fan laws at the
    airflow to come."""
    fan = house.job.fan
    if fan is None or fan.watts is None:
        return ()
    watts = typed("watts", fan.watts, house.job)
    out: list[Figure] = []
    title = fan.watts_call.text.casefold() if fan.watts_call is not None else ""
    was = next(
        (e for e in as_found if title in (e.title.casefold(), e.aim.call.casefold()) and e.charted is not None), None
    )
    if was is not None and was.charted is not None:
        out.append(arithmetic_fan.watts_per_cfm(watts, renamed(was.charted, "airflow_as_found")))
        now = next((e for e in after if e.title == was.title and e.charted is not None), None)
        if now is not None and now.charted is not None and now.charted.value != was.charted.value:
            before, then = renamed(was.charted, "airflow_as_found"), renamed(now.charted, "airflow_after")
            value = watts.value * (then.value / before.value) ** 3
            expression = "watts * (airflow_after / airflow_as_found)^3"
            note = "an estimate by the fan laws: ducts unchanged"
            out.append(
                Worked(
                    name="watts_after",
                    value=value,
                    unit="W",
                    expression=expression,
                    inputs=(watts, then, before),
                    note=note,
                )
            )
    if fan.hours is not None and fan.price is not None:
        hours, price = typed("hours", fan.hours, house.job), typed("price", fan.price, house.job)
        out.append(arithmetic_fan.fan_cost(watts, hours, price, name="fan_cost_a_year"))
        if len(out) == 3 and isinstance(out[1], Worked):
            out.append(arithmetic_fan.fan_cost(out[1], hours, price, name="fan_cost_a_year_after"))
    return tuple(replace(one) for one in out)
