"""Readings by the state they were taken in: call, stage and firing rate. A reading that names no state, or another
one, doesn't count."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from selector.air.arithmetic import delivered_from_input, percent
from selector.air.figure import Figure, given
from selector.job.file.model import Job, Reading
from selector.job.house.heating import fuel_of, heat_measured
from selector.job.house.job_facts import Stage, call_of
from selector.job.house.steady import coming_up
from selector.job.readings.external_static import external_static, unit_parts
from selector.job.readings.measurement import Taken, static_of, take
from selector.job.readings.reading_faults import ReadingPlace, ReadingState
from selector.job.readings.static import footnote_ends, native_static, prints_static
from selector.problems import Problem, Refused
from selector.solve.board.plate import plate_figure
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import CallAnswer, StageAnswer, evaluate
from selector.table.model.roles import roles
from selector.table.model.table import No, Setting
from selector.value import Struct, replace

Key = tuple[str, str, str]
"""Call, stage, firing rate in percent ("" where none was read)."""


class TakenIn(Struct, frozen=True, kw_only=True):
    """One state: what the board does in it under the conditions of the readings, the readings that count, the
    problems of those that don't. `statics`: every static read with its line, one read too early too."""

    call: str
    stage: str
    rate: str
    setting: Setting
    engine: Engine
    answers: Mapping[str, CallAnswer]
    heat: Figure | None
    taken: tuple[Taken, ...]
    problems: tuple[Problem, ...]
    statics: tuple[tuple[int, Figure], ...] = ()

    @property
    def answer(self) -> StageAnswer:
        """What the board does in this stage."""
        return self.answers[self.call].stage(self.stage)

    @property
    def title(self) -> str:
        """The state as people say it."""
        return f"{self.call} {self.stage}".strip() + (f" at {self.rate} % fire" if self.rate else "")


def by_state(job: Job, engine: Engine) -> tuple[Mapping[Key, tuple[Reading, ...]], tuple[Problem, ...]]:
    """The readings of each state in the order they stand in the job, without those that were read again after a change,
    and the problems of those whose state can't be told."""
    out: dict[Key, list[Reading]] = {}
    problems: list[Problem] = []
    for reading in job.measurements:
        if reading.stale is not None and reading.stale.again:
            continue
        try:
            call, stage = call_of(job, engine.table, reading.call, reading.stage)
        except Refused as refused:
            problems += refused.problems
            continue
        stages = engine.table.calls[call].stages
        if len(stages) > 1 and reading.stage is None and reading.call.text.casefold() == call.casefold():
            message = f"{call} has the stages {' and '.join(stages)}, and the reading doesn't say which ran"
            problems.append(
                ReadingPlace(job, reading).problem(
                    "stage-missing", message, f"type call: {call} {stages[-1]}", reading.call
                )
            )
            continue
        fire = reading.values.get("firing rate")
        out.setdefault((call, stage, "" if fire is None else f"{float(fire.value):g}"), []).append(reading)
    return {key: tuple(readings) for key, readings in _one_fire(out).items()}, tuple(problems)


def _one_fire(states: Mapping[Key, list[Reading]]) -> Mapping[Key, list[Reading]]:
    """The states; a reading without its firing rate belongs to the one rate that was typed in its call and stage."""
    out = dict(states)
    for call, stage, rate in states:
        rates = [key for key in states if key[:2] == (call, stage) and key[2]]
        if not rate and len(rates) == 1:
            out[rates[0]] = [*out.pop((call, stage, "")), *states[rates[0]]]
    return out


def taken_in(
    key: Key,
    readings: Sequence[Reading],
    job: Job,
    engine: Engine,
    setting: Setting,
    heats: Mapping[Stage, Figure],
    efficiencies: Mapping[Stage, Figure],
) -> TakenIn:
    """The readings of one state. A chart that asks for static is read at the static measured; a clocked input
    replaces the plate's."""
    call, stage, rate = key
    own = _engine(engine, key, readings)
    answers = evaluate(own, setting)
    answer = answers[call].stage(stage)
    efficiency = efficiencies.get((call, stage)) or efficiency_of(own, stage)
    heat = heats.get((call, stage)) or heat_of(answer)
    state = ReadingState(
        call=own.table.calls[call],
        stage=stage,
        coming=coming_up(answers[call], stage, own.table.ramps.values()),
        heat=heat,
        efficiency=efficiency,
        clocked=heat_measured(job, own.table, own.table.calls[call]),
        fuel=fuel_of(job, own.table, own.table.calls[call]),
        cooling=roles(own.table)[call] in ("cooling", "dehumidify"),
        unit=unit_parts(own.table),
    )
    statics = [(one.line, read) for one in readings if (read := static_of(one, state, job)) is not None]
    taken: dict[int, Taken] = {}
    problems: list[Problem] = []
    for place, reading in sorted(enumerate(readings), key=lambda one: one[1].method.text != "clocked gas"):
        found = take(reading, state, job)
        if not isinstance(found, Taken):
            problems += found
            continue
        taken[place] = found
        if found.input is not None and efficiency is not None:
            heat = delivered_from_input(found.input, efficiency)
            state = replace(state, heat=heat, clocked=True)
    return TakenIn(
        call=call,
        stage=stage,
        rate=rate,
        setting=setting,
        engine=own,
        answers=answers,
        heat=heat,
        taken=tuple(taken[place] for place in sorted(taken)),
        problems=tuple(sorted(problems)),
        statics=tuple(statics),
    )


def _engine(engine: Engine, key: Key, readings: Sequence[Reading]) -> Engine:
    """The engine under the firing rate and the static that were read."""
    call, stage, rate = key
    facts = engine.facts
    if rate:
        facts = facts.with_value("firing rate", Fraction(rate))
    of = engine.table.calls[call]
    if prints_static(of, engine) or footnote_ends(of, engine):
        for reading in readings:
            static = external_static(reading, unit_parts(engine.table))
            if static is not None and static.figure is not None:
                read = native_static(static.figure, engine)
                facts = replace(facts, static={**facts.static, f"{call} {stage}": read})
    return engine if facts is engine.facts else Engine(engine.table, facts)


def efficiency_of(engine: Engine, stage: str) -> Figure | None:
    """The steady-state efficiency, from the facts, else from the rating plate."""
    known = engine.facts.number("efficiency")
    if known is not None:
        return percent("efficiency", 100 * known, source="typed")
    rating = engine.table.ratings.get("efficiency")
    value = plate_figure(engine.table, engine.facts, engine.plate_model(), "efficiency", stage)
    if rating is None or value is None:
        return None
    return percent("efficiency", 100 * value, source=f"{engine.table.name}, line {rating.line}")


def heat_of(answer: StageAnswer) -> Figure | None:
    """The delivered heat that the table gives."""
    if not isinstance(answer.heat, Fraction) or isinstance(answer.heat, No) or not answer.heat:
        return None
    return given("delivered_heat", answer.heat, "Btu/h", source=f"heat of {answer.title} by the table and its plate")
