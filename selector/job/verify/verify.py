"""Judging the measurements of a job: every state that was measured, with what its readings say and what to do next."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from selector.air.figure import Figure, renamed
from selector.job.board.expected import tracer_of
from selector.job.board.judged_by import setting_now, wanted_of, without_static
from selector.job.danger.hazard import Hazard, no_moves
from selector.job.danger.house import hazards
from selector.job.file.model import Amount, Clocked, Heat, Reading, TypedWord
from selector.job.house.job_names import Stage
from selector.job.house.lines_to_add import marks_to_add, measurement_to_add
from selector.job.readings.measured_airflow import Apart, moved_air
from selector.job.readings.reading_faults import ReadingPlace
from selector.job.readings.readings_by_state import Key, TakenIn, by_state, taken_in
from selector.job.readings.settled_marks import SettledMark, completed, settle
from selector.job.targets.house import House, house_of
from selector.job.verify.cooling import cooling_verdict
from selector.job.verify.judged_state import JudgedState
from selector.job.verify.next_step import Marks, next_step
from selector.job.verify.static_parts import profile_in, static_at
from selector.job.verify.verdict import judge_state
from selector.problems import Problem
from selector.solve.engine.engine import Engine
from selector.solve.search.decode import differences
from selector.table.model.table import No, Setting
from selector.units import convert
from selector.value import Struct, replace


class Verified(Struct, frozen=True, kw_only=True):
    """The states of a job judged, and the problems of readings that don't count. Without a `setting` or a reading
    nothing can be judged."""

    house: House
    setting: Setting | None
    judged: tuple[JudgedState, ...] = ()
    aside: tuple[Problem, ...] = ()
    dangers: tuple[Hazard, ...] = ()
    settled: tuple[SettledMark, ...] = ()

    @property
    def fine(self) -> bool:
        """True where every state is as set and inside, and nothing is left to do."""
        return (
            bool(self.judged)
            and not self.aside
            and not self.dangers
            and all(one.verdict.fine and one.step.kind == "nothing" for one in self.judged)
            and not any(one.cooling is not None and one.cooling.word in ("low", "high") for one in self.judged)
        )


def verified(house: House, only: Stage | None = None) -> Verified:
    """The verdicts of a job; `only` one call and stage: readings of others are passed over, where any is of it.
    Readings that
    don't count are problems. Raises rank.TooLarge as the search does."""
    job = house.job
    setting = setting_now(house)
    dangers = hazards(house, setting)
    if setting is None:
        help = marks_to_add("as left", house.table, house.known.facts.model)
        problem = Problem(
            file=job.file,
            line=0,
            column=0,
            code="no-marks",
            message="the job doesn't say how the board is set",
            help=help,
        )
        return Verified(house=house, setting=None, aside=(problem,), dangers=dangers)
    if not job.measurements:
        help = measurement_to_add(house.table)
        problem = Problem(
            file=job.file, line=0, column=0, code="no-measurements", message="the job has no measurements", help=help
        )
        return Verified(house=house, setting=setting, aside=(problem,), dangers=dangers)
    states, problems = by_state(job, house.engine)
    settled = settled_by(house, setting)
    whole = completed(setting, settled)
    aside: list[Problem] = list(problems)
    elsewhere: list[Problem] = []
    judged: list[JudgedState] = []
    for key, readings in states.items():
        if only is not None and key[:2] != only:
            elsewhere += _elsewhere(house, key, readings, only)
            continue
        one = _one(house, key, readings, whole, dangers)
        aside += one.verdict.state.problems
        judged.append(one)
    return Verified(
        house=house,
        setting=setting,
        judged=tuple(judged),
        aside=(*aside, *(elsewhere if not judged else ())),
        dangers=dangers,
        settled=settled,
    )


def settled_by(house: House, setting: Setting) -> tuple[SettledMark, ...]:
    """What every reading of a job says of the marks that aren't known."""
    states, _ = by_state(house.job, house.engine)
    return tuple(one for key, readings in states.items() for one in _settled(house, key, readings, setting))


def _settled(house: House, key: Key, readings: Sequence[Reading], setting: Setting) -> tuple[SettledMark, ...]:
    """What the readings of one state say of them; nothing where they contradict or the chart can be read two ways."""
    if None not in setting:
        return ()
    house, state = _taken(house, key, readings, setting)
    flows = [one.flow for one in state.taken if one.flow is not None]
    if not flows or len(house.air.ways) > 1:
        return ()
    read = moved_air(flows, house.air.ways[0], house.air)
    if isinstance(read, Apart):
        return ()
    unit = state.engine.table.units.airflow
    ends = [convert(figure.value, "cfm", unit) for figure in (read.low, read.airflow, read.high)]
    return settle(state.engine, setting, state.engine.table.calls[state.call], state.stage, *ends)


def _elsewhere(house: House, key: Key, readings: Sequence[Reading], only: Stage) -> list[Problem]:
    """Readings of another call or stage than the one asked for."""
    there, here = f"{key[0]} {key[1]}".strip(), " ".join(only).strip()
    message = f"taken in {there}: it says nothing of {here}"
    return [
        ReadingPlace(house.job, one).problem("other-stage", message, f"measure in {here}", one.call) for one in readings
    ]


def _one(
    house: House, key: Key, readings: Sequence[Reading], setting: Setting, dangers: Sequence[Hazard]
) -> JudgedState:
    house, state = _taken(house, key, readings, setting)
    clocked = _as_clocked(house, state)
    if clocked is not None:
        house, state = _taken(clocked, key, readings, setting)
    verdict = judge_state(state, _selected(house, state), house, setting)
    untrue = tuple(d.selector for d in differences(house.engine, setting))
    house = without_static(house)
    wanted = wanted_of(house)
    marks = Marks(
        engine=house.search,
        setting=setting,
        wanted=wanted,
        held=house.known.held,
        dead=_dead(house),
        danger=no_moves(dangers),
        untrue=untrue,
    )
    step = next_step(verdict, marks)
    profile = profile_in(house, state, verdict.moved, verdict.selected)
    return JudgedState(
        verdict=verdict,
        step=step,
        cooling=cooling_verdict(house, verdict),
        profile=profile,
        static_then=static_at(
            house, verdict, profile, step.moves.setting if step.kind == "set" and step.moves else None
        ),
    )


def _taken(house: House, key: Key, readings: Sequence[Reading], setting: Setting) -> tuple[House, TakenIn]:
    """The house as it is judged in a state, and the readings of that state taken in."""
    house = _at_rate(house, key)
    at = key[:2]
    aim = house.aim(*at)
    heats = {} if aim.heat is None else {at: aim.heat}
    efficiencies = {} if aim.efficiency is None else {at: aim.efficiency}
    return house, taken_in(key, readings, house.job, _as_printed(house), setting, heats, efficiencies)


def _as_clocked(house: House, state: TakenIn) -> House | None:
    """The house with the input that was clocked in this state in place of the plate's; None where none was, or the
    heat isn't known by it."""
    reading = next((one.reading for one in state.taken if one.input is not None), None)
    if reading is None or state.rate:
        return None
    volume, time, heat_of_gas = (reading.values[name] for name in ("volume", "time", "heat of gas"))
    clocked = Clocked(
        volume=volume,
        time=time,
        heat_of_gas=heat_of_gas,
        stage=TypedWord(text=state.stage) if state.stage else None,
        line=reading.line,
    )
    heat = replace(house.job.heat or Heat(), clocked=clocked)
    found = house_of(replace(house.job, heat=heat), house.table)
    return found if found.aim(state.call, state.stage).heat is not None else None


def _at_rate(house: House, key: Key) -> House:
    """The house at the firing rate that was read, where the call modulates: its windows follow the fire."""
    call, _, rate = key
    if not rate or not house.engine.modulates(house.engine.table.calls[call]):
        return house
    read = Amount(value=Fraction(rate), unit="%", text=f"{rate} %")
    return house_of(replace(house.job, site=replace(house.job.site, firing_rate=read)), house.table)


def _selected(house: House, state: TakenIn) -> Figure | No:
    """The airflow the marks give, from its row and page, cfm."""
    airflow = state.answer.airflow
    if isinstance(airflow, No):
        return airflow
    figure = tracer_of(house, state.engine, dict(state.answers)).airflow_cfm(state.call, state.stage)
    assert figure is not None
    return renamed(figure, "selected")


def _as_printed(house: House) -> Engine:
    """The engine with the charts as printed: a reading of static says where on them the blower stands."""
    return Engine(replace(house.engine.table, charts=house.table.charts), house.engine.facts)


def _dead(house: House) -> bool:
    """True where no selector may be moved at all: the thermostat is in force."""
    in_force = house.job.in_force
    return in_force is not None and in_force.text == "thermostat"
