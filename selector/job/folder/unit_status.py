"""How far a unit has come: planned, set, measured, verified; and what it is set for and moved, stage by stage."""

from __future__ import annotations

from fractions import Fraction
from typing import Literal

from selector.job.board.expected import Expected, expected, judged
from selector.job.danger.hazard import Hazard, in_order
from selector.job.danger.house import hazards_of_board
from selector.job.file.model import Job
from selector.job.file.read import load_job
from selector.job.plan.plan import plan
from selector.job.targets.house import House, table_of
from selector.job.visits.owed import UnitRecord, VerifiedStage, needed, unit_record
from selector.problems import Problem, Refused
from selector.value import Struct

State = Literal["not readable", "no setting", "planned", "set", "measured", "verified"]
STATES: tuple[State, ...] = ("not readable", "no setting", "planned", "set", "measured", "verified")


class StageStatus(Struct, frozen=True, kw_only=True):
    """One stage that is meant to run: what it is expected to do as set (or as planned), and what was measured."""

    expected: Expected
    measured: VerifiedStage | None

    @property
    def title(self) -> str:
        """The call and its stage as people say it."""
        return self.expected.title


class UnitStatus(Struct, frozen=True, kw_only=True):
    """One job. `unit` is None where it can't be read; `problems` say why. `verified`: every stage that is meant to run
    was measured and is right."""

    name: str
    state: State
    unit: UnitRecord | None = None
    dangers: tuple[Hazard, ...] = ()
    stages: tuple[StageStatus, ...] = ()
    problems: tuple[Problem, ...] = ()

    @property
    def house(self) -> House | None:
        """The house it is judged in."""
        return self.unit.house if self.unit is not None else None


def status_of(path: str, name: str) -> UnitStatus:
    """The status of a job file. Nothing is raised for what is wrong with it; TooLarge as the search does."""
    try:
        job, _ = load_job(path)
        return _status(job, name)
    except Refused as refused:
        return UnitStatus(name=name, state="not readable", problems=tuple(refused.problems))


def _status(job: Job, name: str) -> UnitStatus:
    unit = unit_record(job, table_of(job))
    house, setting = unit.house, unit.house.now
    set_already = house.known.left is not None or bool(unit.stages)
    if set_already and setting is not None:
        stages = expected(house, house.search, judged(house, house.search, setting))
    else:
        best = plan(house).solution.best
        stages = best.stages if best is not None else ()
    read = {(one.call, one.stage): one for one in unit.stages}
    wanted = {*needed(house), *read}
    shown = tuple(
        StageStatus(expected=one, measured=read.get((one.aim.call, one.aim.stage)))
        for one in stages
        if (one.aim.call, one.aim.stage) in wanted
    )
    dangers = in_order((*unit.now.dangers, *(hazards_of_board(house, setting) if set_already else ())))
    state = _state(unit, set_already=set_already, fits=bool(stages))
    return UnitStatus(name=name, state=state, unit=unit, dangers=dangers, stages=shown)


def _state(unit: UnitRecord, *, set_already: bool, fits: bool) -> State:
    if not set_already:
        return "planned" if fits else "no setting"
    if not unit.now.judged:
        return "set"
    left = {"measure", "measure again", "not usable", "no verdict", "put right"}
    open_work = any(one.work in left for one in unit.owed)
    return "measured" if open_work or unit.now.dangers or not unit.stages else "verified"


def moved_cfm(stage: VerifiedStage) -> Fraction:
    """The airflow measured, cfm as the chart counts it."""
    return stage.judged.verdict.moved[0].airflow.value
