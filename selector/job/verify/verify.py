"""Judging the measurements of a job: every state that was measured, with what its readings say and what to do next."""

from __future__ import annotations

from collections.abc import Sequence

from selector.air.figure import Figure, renamed
from selector.job.board.expected import judged, tracer_of
from selector.job.board.state_readings import readings_of, settled_by
from selector.job.danger.hazard import Hazard, no_moves
from selector.job.danger.house import hazards
from selector.job.danger.seen import seen
from selector.job.file.model import Reading
from selector.job.house.job_facts import Stage
from selector.job.house.lines_to_add import marks_to_add, measurement_to_add
from selector.job.readings.reading_faults import ReadingPlace
from selector.job.readings.readings_by_state import Key, TakenIn, by_state
from selector.job.readings.settled_marks import SettledMark, completed
from selector.job.targets.house import House, without_static
from selector.job.verify.cooling import CoolingVerdict, cooling_verdict
from selector.job.verify.judged_state import JudgedState
from selector.job.verify.next_step import Marks, next_step
from selector.job.verify.static_parts import StaticRead, profile_in, static_at
from selector.job.verify.verdict import judge_state
from selector.judge.judgement import Judgement
from selector.problems import Problem
from selector.table.model.table import No, Setting
from selector.value import Struct


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
    setting = house.now
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
    states_judged: list[JudgedState] = []
    for key, readings in states.items():
        if only is not None and key[:2] != only:
            elsewhere += _elsewhere(house, key, readings, only)
            continue
        one = _one(house, key, readings, whole, dangers)
        aside += one.verdict.state.problems
        states_judged.append(one)
    return Verified(
        house=house,
        setting=setting,
        judged=tuple(states_judged),
        aside=(*aside, *(elsewhere if not states_judged else ())),
        dangers=dangers,
        settled=settled,
    )


def coils(house: House, setting: Setting) -> tuple[tuple[str, CoolingVerdict], ...]:
    """Every cooling coil that was read, with the board set so: its call and stage, and its verdict."""
    out = []
    for key, readings in by_state(house.job, house.engine)[0].items():
        of, state = readings_of(house, key, readings, setting)
        if not any(one.air is not None for one in state.taken):
            continue
        board = judged(of, of.search, setting)
        found = cooling_verdict(of, judge_state(state, _selected(of, state, board), of, board, seen(house.job)))
        if found is not None:
            out.append((state.title, found))
    return tuple(out)


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
    house, state = readings_of(house, key, readings, setting)
    board = judged(house, house.search, setting)
    verdict = judge_state(state, _selected(house, state, board), house, board, dangers)
    house = without_static(house)
    profile = profile_in(house, state, verdict.moved, verdict.selected)
    marks = Marks(house=house, board=board, profile=profile, dead=_dead(house), danger=no_moves(dangers))
    step = next_step(verdict, marks)
    now = verdict.moved[0].airflow if verdict.moved else None if isinstance(verdict.selected, No) else verdict.selected
    offered = step.moves.best if step.kind == "set" and step.moves is not None else None
    then = None
    if offered is not None and verdict.static is not None:
        then = static_at(house, StaticRead(pressure=verdict.static, profile=profile, now=now), offered.setting)
    return JudgedState(
        verdict=verdict, step=step, cooling=cooling_verdict(house, verdict), profile=profile, static_then=then
    )


def _selected(house: House, state: TakenIn, board: Judgement) -> Figure | No:
    """The airflow the marks give, from its row and page, cfm; where there is none why, with the marks that decide."""
    airflow, stands = state.answer.airflow, board.stages[state.call, state.stage].outcome
    if isinstance(airflow, No):
        open_ = airflow.kind in ("unreadable", "not_known")
        return stands if open_ and isinstance(stands, No) else airflow
    figure = tracer_of(house, state.engine, dict(state.answers)).airflow_cfm(state.call, state.stage)
    assert figure is not None
    return renamed(figure, "selected")


def _dead(house: House) -> bool:
    """True where no selector may be moved at all: the thermostat is in force."""
    in_force = house.job.in_force
    return in_force is not None and in_force.text == "thermostat"
