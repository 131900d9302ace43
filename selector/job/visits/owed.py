"""What is verified at a unit and what is still owed, with the season it can be done in. Heat is verified in the cold,
cooling in the warm (common practice, no source)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Literal

from selector.job.danger.hazard import Hazard
from selector.job.file.model import Job, TypedWord
from selector.job.house.heating import fuel_of, heat_measured
from selector.job.house.job_facts import Stage
from selector.job.observed.sentence import sightings
from selector.job.targets.house import House, house_of, must_run
from selector.job.verify.judged_state import JudgedState
from selector.job.verify.verify import Verified, verified
from selector.job.visits.measured_at import VisitRecord, parts_read, visit_records
from selector.table.model.roles import COMPRESSOR, Role, has_burner
from selector.table.model.table import Table
from selector.value import Struct

Season = Literal["warm", "cold", "any"]
Work = Literal[
    "measure",
    "measure again",
    "not usable",
    "no verdict",
    "put right",
    "clock the meter",
    "static",
    "charge",
    "combustion",
    "combustion after danger",
    "first combustion",
    "set",
]
WARM: frozenset[Role] = frozenset({"cooling", "dehumidify"})
COLD: frozenset[Role] = frozenset({"heat", "heat pump", "heat pump + auxiliary"})
SAID_DONE: dict[Work, tuple[str, ...]] = {
    "charge": ("charge", "refrigerant"),
    "combustion": ("combustion", "flue", "analyzer"),
}
"""Words in `done` that say that it was done."""
OF_FLUE_GAS = frozenset({"gas", "flue CO", "spillage", "roll-out", "flame", "soot"})
"""What was seen and put right, after which flue CO, draft and spillage are read (common practice, no source)."""


class VerifiedStage(Struct, frozen=True, kw_only=True):
    """A stage whose airflow was measured under the marks that stand now, and how it was judged at that visit."""

    visit: VisitRecord
    judged: JudgedState

    @property
    def call(self) -> str:
        """Its call."""
        return self.judged.verdict.state.call

    @property
    def stage(self) -> str:
        """Its stage."""
        return self.judged.verdict.state.stage

    @property
    def date(self) -> str:
        """The day of that visit, empty where none was typed."""
        return self.visit.date

    @property
    def fine(self) -> bool:
        """As set and within limits, whatever else there is to do."""
        return self.judged.verdict.fine

    @property
    def title(self) -> str:
        """The call and its stage as people say it."""
        return f"{self.call} {self.stage}".strip()


class OwedWork(Struct, frozen=True, kw_only=True):
    """Something still to be done, of one stage or (call empty) of the unit. `since`: the day it was measured or moved;
    `hazard`: what was outside its limit then."""

    work: Work
    season: Season
    call: str = ""
    stage: str = ""
    since: str = ""
    hazard: Hazard | None = None

    @property
    def title(self) -> str:
        """The call and its stage as people say it."""
        return f"{self.call} {self.stage}".strip()


class UnitRecord(Struct, frozen=True, kw_only=True):
    """A unit over its visits. `now` judges the readings that hold after the last; `stages` have a verdict;
    `cleared`: what the last put right, as typed."""

    house: House
    visits: tuple[VisitRecord, ...]
    now: Verified
    stages: tuple[VerifiedStage, ...]
    owed: tuple[OwedWork, ...]
    cleared: tuple[str, ...] = ()


def unit_record(job: Job, table: Table) -> UnitRecord:
    """Everything known of a unit over its visits. Raises Refused as `house_of` does."""
    house = house_of(job, table)
    visits = visit_records(job, table)
    now = visits[-1].verdicts if len(visits) == 1 else verified(house)
    held = {(one.verdict.state.call, one.verdict.state.stage) for one in now.judged}
    last = {at: visit for visit in visits for at in visit.set_for}
    stages = tuple(
        VerifiedStage(visit=visit, judged=one)
        for visit in visits
        for one in visit.verdicts.judged
        if one.verdict.judged and last[at := _at(one)] is visit and at in held
    )
    owed = tuple(_owed(house, visits, now, {(s.call, s.stage): s for s in stages}))
    set_here = all(one.work != "set" for one in owed)
    return UnitRecord(
        house=house,
        visits=visits,
        now=now,
        stages=stages,
        owed=(*owed, *(_flue_gas(job, house, visits, set_here=set_here) if has_burner(table) else ())),
        cleared=tuple(word.text for word in job.visits[-1].cleared) if job.visits else (),
    )


def _at(one: JudgedState) -> Stage:
    return one.verdict.state.call, one.verdict.state.stage


def season_of(role: Role) -> Season:
    """When a call of this role can be measured as it is meant to run."""
    return "warm" if role in WARM else "cold" if role in COLD else "any"


def _owed(
    house: House, visits: Sequence[VisitRecord], now: Verified, stages: dict[Stage, VerifiedStage]
) -> Iterator[OwedWork]:
    if house.now is None or (house.known.left is None and len(visits) == 1 and not stages):
        yield OwedWork(work="set", season="any")
        return
    unsure = {_at(one) for one in now.judged if one.verdict.moved and not one.verdict.judged}
    yield from _measurements(house, visits, stages, unsure)
    yield from _static(house, now)
    yield from _clock(house, now)
    yield from _after_moves(house, visits)


def needed(house: House) -> tuple[Stage, ...]:
    """The stages that are meant to run here, in the table's order."""
    wanted = must_run(house)
    return tuple((a.call, a.stage) for a in house.aims if (a.call, a.stage) in wanted)


def _measurements(
    house: House, visits: Sequence[VisitRecord], stages: dict[Stage, VerifiedStage], unsure: set[Stage]
) -> Iterator[OwedWork]:
    for call, stage in needed(house):
        season = season_of(house.roles[call])
        known = stages.get((call, stage))
        if known is not None and known.fine:
            continue
        if known is not None:
            yield OwedWork(work="put right", season=season, call=call, stage=stage, since=known.date)
            continue
        if (call, stage) in unsure:
            yield OwedWork(work="no verdict", season=season, call=call, stage=stage)
            continue
        earlier = next((v for v in reversed(visits) if (call, stage) in v.set_for), None)
        read = None if earlier is None else next(one for one in earlier.verdicts.judged if _at(one) == (call, stage))
        if earlier is None or read is None:
            yield OwedWork(work="measure", season=season, call=call, stage=stage)
            continue
        if earlier.positions(call, stage) == visits[-1].positions(call, stage):
            work: Work = "not usable" if read.verdict.state.problems and not read.verdict.moved else "measure"
            yield OwedWork(work=work, season=season, call=call, stage=stage, since=earlier.date)
            continue
        hazard = next((h for h in earlier.verdicts.dangers if (h.call, h.stage) == (call, stage)), None)
        yield OwedWork(work="measure again", season=season, call=call, stage=stage, since=earlier.date, hazard=hazard)


def _static(house: House, now: Verified) -> Iterator[OwedWork]:
    """Static in the last stage of what heats, and of what cools, where none was read in that role."""
    read = {house.roles[one.verdict.state.call] for one in now.judged if one.verdict.static is not None}
    last: dict[Season, Stage] = {}
    for call, stage in needed(house):
        if season_of(house.roles[call]) != "any":
            last[season_of(house.roles[call])] = (call, stage)
    for season, (call, stage) in last.items():
        if not any(season_of(role) == season for role in read):
            yield OwedWork(work="static", season=season, call=call, stage=stage)


def _clock(house: House, now: Verified) -> Iterator[OwedWork]:
    """A gas input that nobody clocked."""
    if any(taken.input is not None for one in now.judged for taken in one.verdict.state.taken):
        return
    table = house.table
    for call, stage in reversed(needed(house)):
        of = table.calls[call]
        gas = house.roles[call] == "heat" and fuel_of(house.job, table, of) in ("gas", "fuel")
        if gas and not heat_measured(house.job, table, of):
            yield OwedWork(work="clock the meter", season="cold", call=call, stage=stage)
            return


def _after_moves(house: House, visits: Sequence[VisitRecord]) -> Iterator[OwedWork]:
    """Charge and combustion after moves of theirs, until `done` says that they were checked."""
    table = house.table
    for work, roles in (("charge", COMPRESSOR), ("combustion", frozenset({"heat"}))):
        if work == "combustion" and not has_burner(table):
            continue
        calls = [call for call, _ in needed(house) if house.roles[call] in roles]
        moved = [n for n, visit in enumerate(visits) if any(_moved(visit, call) for call in calls)]
        if not moved:
            continue
        said = " ".join(word.text.casefold() for visit in visits[moved[-1] :] for word in visit.job.done)
        season: Season = "warm" if work == "charge" else "cold"
        if not any(word in said for word in SAID_DONE[work]):  # type: ignore[index]
            yield OwedWork(work=work, season=season, since=visits[moved[-1]].date)  # type: ignore[arg-type]


def _flue_gas(job: Job, house: House, visits: Sequence[VisitRecord], *, set_here: bool) -> Iterator[OwedWork]:
    """Flue CO, draft and spillage until they are typed: after a danger of flue gas was put right, and of a burner whose
    flue gas nobody ever read; after moves they are owed for these."""
    last = [n for n, visit in enumerate(job.visits, 1) if any(_of_flue_gas(word) for word in visit.cleared)]
    if last:
        if not _combustion_typed(visits[last[-1] :]):
            yield OwedWork(work="combustion after danger", season="any", since=visits[last[-1]].date)
        return
    heats = [call for call, _ in needed(house) if house.roles[call] == "heat" and house.table.calls[call].heats]
    moved = any(_moved(visit, call) for visit in visits for call in heats)
    if heats and set_here and not moved and not _combustion_typed(visits):
        yield OwedWork(work="first combustion", season="cold")


def _combustion_typed(visits: Sequence[VisitRecord]) -> bool:
    """True where `done`, or what was seen and is no danger, tells of combustion or flue gas."""
    typed = [w.text for v in visits for w in (*v.job.done, *(seen for seen in v.job.seen if not _of_flue_gas(seen)))]
    return any(word in " ".join(typed).casefold() for word in SAID_DONE["combustion"])


def _of_flue_gas(word: TypedWord) -> bool:
    return any(one.danger is not None and one.danger.what in OF_FLUE_GAS for one in sightings(word.text))


def _moved(visit: VisitRecord, call: str) -> bool:
    """True where this visit moved a part that the call reads."""
    found, left = visit.found, visit.left
    if found is None or left is None:
        return False
    parts = {p for stage in visit.house.table.calls[call].stages for p in parts_read(visit.house, call, stage)}
    return any(found[p] != left[p] for p in parts)
