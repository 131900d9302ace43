"""What `jobs` says of a folder: dangers first, then how far each unit has come and what it owes, or the houses side by
side."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from fractions import Fraction

from selector.answers.danger import data as danger_data
from selector.answers.danger import sentence
from selector.answers.folder.record import HouseRowData, JobData, JobsAnswer, OtherFileData
from selector.answers.house.targets import target_text
from selector.answers.parts import VERSION
from selector.answers.verify.cooling import state_said
from selector.answers.visits.answer import owed_data
from selector.answers.visits.words import owed_by_season
from selector.answers.words.airflow import airflow_text
from selector.answers.words.fold import Block, Rows, folded
from selector.answers.words.listing import counted
from selector.job.board.allowed import allowed_of
from selector.job.file.report import Report
from selector.job.folder.job_files import FolderJobs, OtherFile
from selector.job.folder.unit_status import STATES, StageStatus, UnitStatus, moved_cfm
from selector.job.targets.house import House
from selector.units import convert
from selector.value import data_of


def jobs_report(jobs: FolderJobs, units: Sequence[UnitStatus], *, details: bool = False, columns: int = 80) -> Report:
    """A folder for people and for JSON. Exit code 1 where a job can't be read, nothing fits, a danger is open or a
    measured stage isn't right."""
    wrong = any(
        one.state in ("not readable", "no setting")
        or one.dangers
        or any(s.measured is not None and not s.measured.fine for s in one.stages)
        for one in units
    )
    return Report(
        lines=tuple(folded(_blocks(jobs, units, details=details), columns)),
        data=data_of(jobs_answer(jobs, units)),
        exit_code=1 if wrong else 0,
    )


# -- the text


def _blocks(jobs: FolderJobs, units: Sequence[UnitStatus], *, details: bool) -> Iterator[Block]:
    for one in units:
        if one.house is not None:
            yield from (f"{one.name}: {sentence(hazard, one.house.table)}" for hazard in one.dangers)
    counts = Counter(one.state for one in units)
    each = ", ".join(f"{counts[state]} {state}" for state in reversed(STATES) if counts[state])
    yield f"{counted(len(units), 'job')} in {jobs.folder}{': ' if each else ''}{each}."
    for one in units:
        yield from (f"{one.name}: {problem.message}" for problem in one.problems[:1])
    if units:
        yield ""
        yield _side_by_side(units) if details else _status(units)
    yield from _left_out(jobs.left_out)
    if units and not details:
        yield ""
        yield "More: --details (targets, expected, measured, verdict, house beside house)."


def _status(units: Sequence[UnitStatus]) -> Rows:
    """State and what is owed when it's cold and when it's warm; work for any time stands with the latter."""
    rows = [("job", "state", "owed when cold", "owed when warm")]
    for one in units:
        owed = owed_by_season(one.unit) if one.unit is not None else {}
        warm = [*owed.get("warm", ()), *(f"{word} (any time)" for word in owed.get("any", ()))]
        rows.append((_stem(one.name), one.state, ", ".join(owed.get("cold", ())), ", ".join(warm)))
    return Rows(cells=tuple(rows))


def _stem(name: str) -> str:
    return name.rpartition(".")[0] or name


def _verdict(stage: StageStatus) -> str:
    read = stage.measured
    return "" if read is None else state_said(read.judged, read.visit.house)[0]


def _side_by_side(units: Sequence[UnitStatus]) -> Rows:
    rows = [("job", "call", "target", "expected", "measured", "verdict")]
    for one in units:
        house = one.house
        for n, stage in enumerate(one.stages if house is not None else ()):
            assert house is not None
            rows.append((_stem(one.name) if n == 0 else "", stage.title, *_figures(house, stage), _verdict(stage)))
        if not one.stages:
            rows.append((_stem(one.name), one.state, "", "", "", ""))
    return Rows(cells=tuple(rows), right=frozenset((3, 4)))


def _figures(house: House, stage: StageStatus) -> tuple[str, str, str]:
    """Target, expected, measured; the unit stands with what is expected."""
    table, got = house.table, stage.expected.answer.airflow
    will = airflow_text(table, got) if isinstance(got, Fraction) else got.words
    read = stage.measured
    moved = "" if read is None else airflow_text(table, convert(moved_cfm(read), "cfm", table.units.airflow))
    return target_text(house, stage.expected.aim), will, moved


def _left_out(left_out: Sequence[OtherFile]) -> Iterator[str]:
    older = [f"{one.name} ({one.instead} is newer)" for one in left_out if one.why == "older"]
    others = [one.name for one in left_out if one.why == "no job"]
    if older or others:
        yield ""
    if older:
        yield f"Older versions, left out: {', '.join(older)}."
    if others:
        yield f"Not jobs, left out: {', '.join(others)}."


# -- the record


def jobs_answer(jobs: FolderJobs, units: Sequence[UnitStatus]) -> JobsAnswer:
    """The published record."""
    counts = Counter(one.state for one in units)
    return JobsAnswer(
        version=VERSION,
        folder=jobs.folder,
        counts={state: counts[state] for state in STATES},
        jobs=tuple(_job(one) for one in units),
        left_out=tuple(OtherFileData(file=one.name, why=one.why, instead=one.instead) for one in jobs.left_out),
    )


def _job(one: UnitStatus) -> JobData:
    house = one.house
    return JobData(
        file=one.name,
        state=one.state,
        table=house.table.name if house is not None else "",
        model=house.known.facts.model if house is not None else None,
        place=house.job.place.text if house is not None and house.job.place is not None else "",
        airflow_unit=house.table.units.airflow if house is not None else "",
        dangers=danger_data(one.dangers, house.table) if house is not None else (),
        stages=tuple(_row(house, stage) for stage in one.stages) if house is not None else (),
        owed=tuple(owed_data(one.unit)) if one.unit is not None else (),
        problems=tuple(problem.message for problem in one.problems),
    )


def _row(house: House, stage: StageStatus) -> HouseRowData:
    will, aim, unit = stage.expected, stage.expected.aim.aim, house.table.units.airflow
    got, read = will.answer.airflow, stage.measured
    allowed = allowed_of(house, will)
    return HouseRowData(
        call=will.aim.call,
        stage=will.aim.stage,
        target=None if aim.charted is None else convert(aim.charted.value, "cfm", unit),
        low=None if allowed.low is None else allowed.low.airflow,
        high=None if allowed.high is None else allowed.high.airflow,
        expected=got if isinstance(got, Fraction) else None,
        no="" if isinstance(got, Fraction) else got.words,
        measured=None if read is None else convert(moved_cfm(read), "cfm", unit),
        date="" if read is None else read.date,
        verdict=None if read is None else state_said(read.judged, read.visit.house)[0],
    )
