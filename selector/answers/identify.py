"""What `identify` says: charts that fit, may fit, don't fit, what a reading settles, and what would tell them apart."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from typing import Literal

from selector.air.figure import Figure, Worked, text, written
from selector.answers.assumed_facts import assumed_fact_texts
from selector.answers.call import broken_lines
from selector.answers.parts import (
    VERSION,
    ContradictionData,
    FigureTree,
    JudgedStageData,
    contradictions_data,
    judged_stage_data,
)
from selector.answers.remarks.remark import RemarkData, remark_data, remark_text
from selector.answers.words.contradiction import contradiction_text
from selector.answers.words.note import note_lines, page_notes
from selector.answers.words.settle import settled_text
from selector.job.file.example import AS_FOUND_LINES, MEASUREMENT_LINES, to_add
from selector.job.file.model import Job
from selector.job.file.report import Report
from selector.job.identify.identify import ChartCandidate, Fit, HeldReading, candidates
from selector.job.identify.markings import Marking, deciding
from selector.job.remark import Remark
from selector.problems import Problem, Refused
from selector.table.model.table import Table
from selector.units import format_number
from selector.value import Published, data_of

ERROR_MODEL = (
    "A chart fits within the method's band (hood 5 %, flow plate 7 %, electric 4 %, rise 7 %, 15 % on the plate's"
    " heat; common practice, no source). It may fit within twice that, or where a mark or a fact is not known."
)
ONLY_NAMES = "Names only: no setting, verdict or card. Find the unit's own chart first."
SHOWN = 3
"""Markings that are listed."""
MOST_NAMES = 20
"""Charts that are named of those that one thing rules out."""


class HeldData(Published, frozen=True, kw_only=True):
    """One reading held against a chart; airflows in cfm. `off`: how far the chart's is from the reading, a share.
    `settles`: what it says of marks that aren't known; `then`: the airflow of every stage once they are settled."""

    stage: str
    fit: Literal["fits", "may fit", "doesn't fit"]
    charted: Fraction | None
    read: Fraction | None
    off: Fraction | None
    why: tuple[RemarkData, ...]
    settles: tuple[str, ...]
    then: dict[str, Fraction]
    contradictions: tuple[ContradictionData, ...]
    judged: JudgedStageData | None


class CandidateData(Published, frozen=True, kw_only=True):
    """One table for one model."""

    table: str
    model: str
    why: tuple[RemarkData, ...]
    readings: tuple[HeldData, ...]


class MarkingData(Published, frozen=True, kw_only=True):
    """Something to read on the unit: what it says for each candidate; `alone`: it leaves one, whatever it says."""

    marking: str
    alone: bool
    says: dict[str, str]


class IdentifyAnswer(Published, frozen=True, kw_only=True):
    """Answer of selector identify; it never holds a setting."""

    version: Literal[2]
    error_model: str
    fits: tuple[CandidateData, ...]
    may_fit: tuple[CandidateData, ...]
    doesnt_fit: tuple[CandidateData, ...]
    would_decide: tuple[MarkingData, ...]
    note: str
    why: tuple[FigureTree, ...] = ()


def identify(job: Job, tables: Iterable[Table | ChartCandidate]) -> IdentifyAnswer:
    """The charts of the library for the marks as found and the measurements of a job. Raises Refused where it has
    neither."""
    found = _candidates(job, tables)
    return _answer(found, deciding(_left(found)))


def identify_report(job: Job, tables: Iterable[Table | ChartCandidate]) -> Report:
    """The same for people and as data. No marks and no measurement: a problem."""
    try:
        found = _candidates(job, tables)
    except Refused as refused:
        return Report(lines=(), exit_code=1, problems=refused.problems)
    left = _left(found)
    markings = deciding(left)
    data: dict[str, object] = data_of(_answer(found, markings))
    data.pop("why")
    return Report(
        lines=tuple(_lines(found, left, markings)),
        data=data,
        exit_code=0 if any(c.fit == "fits" for c in found) else 1,
        figures=_figures(found),
    )


def _candidates(job: Job, tables: Iterable[Table | ChartCandidate]) -> tuple[ChartCandidate, ...]:
    if job.found or job.left or job.measurements:
        return candidates(job, tables)
    message = "there is nothing to identify by: no marks and no measurement"
    help = to_add((*AS_FOUND_LINES, *MEASUREMENT_LINES))
    raise Refused([Problem(file=job.file, line=0, column=0, code="nothing-to-go-by", message=message, help=help)])


def _left(found: Sequence[ChartCandidate]) -> list[ChartCandidate]:
    """The charts that are left to choose from."""
    return [c for c in found if c.fit == "fits"] or [c for c in found if c.fit == "may fit"]


def _figures(found: Sequence[ChartCandidate]) -> tuple[Figure, ...]:
    return tuple(dict.fromkeys(h.read for c in found if c.fit != "doesn't fit" for h in c.held if h.read is not None))


def _lines(found: Sequence[ChartCandidate], left: Sequence[ChartCandidate], markings: Sequence[Marking]) -> list[str]:
    out: list[str] = []
    for fit in ("fits", "may fit"):
        some = [c for c in found if c.fit == fit]
        for one in (c for c in some if c.held):
            out += [f"{fit}: {one.name}" + (f" ({_said(one.why, one.table)})" if one.why else ""), *_readings(one)]
        for why, names in _by_why([c for c in some if not c.held]).items():
            out += [f"{fit}: {', '.join(names)}", f"  {why}"]
    if not left:
        out.append("No chart of the library fits.")
    out += _others(found)
    if markings:
        out += ["", "read this to tell them apart:"]
        for marking in markings[:SHOWN]:
            alone = " (alone)" if marking.decides else ""
            out.append(
                f"  {marking.what}{alone}: " + "; ".join(f"{says} = {name}" for name, says in marking.says.items())
            )
    elif len(left) > 1:
        out += ["", "Nothing on plate or board that the tables name tells these apart."]
    return [*out, "", ERROR_MODEL, ONLY_NAMES]


def _others(found: Sequence[ChartCandidate]) -> list[str]:
    """The charts that don't fit: those told by a reading one by one, those told by marks or model together."""
    out = []
    rest = [c for c in found if c.fit == "doesn't fit"]
    read = [f"  {c.name}: {_why(c)}" for c in rest if c.held]
    marks = [f"  {why}: {_some(names)}" for why, names in _by_why([c for c in rest if not c.held]).items()]
    if read:
        out += ["", "doesn't fit what was measured:", *read]
    if marks:
        out += ["", "doesn't fit what the unit shows:", *marks]
    return out


def _some(names: Sequence[str]) -> str:
    """Names of charts, of many the first."""
    more = len(names) - MOST_NAMES
    return ", ".join(names) if more <= 1 else f"{', '.join(names[:MOST_NAMES])} and {more:,} more"


def _by_why(some: Iterable[ChartCandidate]) -> dict[str, list[str]]:
    """Why -> the names of the charts that it is said of."""
    out: dict[str, list[str]] = {}
    for c in some:
        out.setdefault(_said(c.why, c.table), []).append(c.name)
    return out


def _readings(c: ChartCandidate) -> list[str]:
    """Its readings, each with the marks that it settles and what the board then does."""
    out = []
    out += [f"  {contradiction_text(c.table, d)}." for d in dict.fromkeys(d for h in c.held for d in h.contradictions)]
    for h in c.held:
        out.append(f"  {_held(h, c.table)}")
        out += [f"    {settled_text(one, c.table)}" for one in h.settled]
        if h.stands is not None:
            wrong = [(h.stands, one) for one in h.stands.broken]
            taken = (f"assumed, {text}" for text in assumed_fact_texts(h.stands.assumed_facts))
            said = (*broken_lines(c.table, wrong), *taken, *note_lines(page_notes(h.stands.notes)))
            out += [f"    {line}" for line in said]
        if h.then:
            out.append("    then " + ", ".join(f"{title} {format_number(flow, 0)} cfm" for title, flow in h.then))
    return out


def _said(why: Iterable[Remark], table: Table) -> str:
    return ", ".join(remark_text(one, table) for one in why)


def _held(h: HeldReading, table: Table) -> str:
    if h.charted is None or h.read is None or (share := _off(h)) is None:
        return f"{h.title}: {_said(h.why, table)}"
    off = format_number(100 * share, 1)
    why = f" ({_said(h.why, table)})" if h.why else ""
    read = text(h.read) if isinstance(h.read, Worked) else written(h.read)
    return f"{h.title}: read {read}; by the chart {format_number(h.charted, 0)} cfm, {off} % from it{why}"


def _off(h: HeldReading) -> Fraction | None:
    return None if h.charted is None or h.read is None else abs(h.charted - h.read.value) / h.read.value


def _why(c: ChartCandidate) -> str:
    bad = next((h for h in c.held if h.fit == "doesn't fit"), None)
    return _said(c.why, c.table) if bad is None else _held(bad, c.table)


def _answer(found: Sequence[ChartCandidate], markings: Sequence[Marking]) -> IdentifyAnswer:
    def of(fit: Fit) -> tuple[CandidateData, ...]:
        return tuple(
            CandidateData(
                table=c.table.name,
                model=c.model,
                why=tuple(remark_data(one, c.table) for one in c.why),
                readings=tuple(
                    HeldData(
                        stage=h.title,
                        fit=h.fit,
                        charted=h.charted,
                        read=None if h.read is None else h.read.value,
                        off=_off(h),
                        why=tuple(remark_data(one, c.table) for one in h.why),
                        settles=tuple(settled_text(one, c.table) for one in h.settled),
                        then=dict(h.then),
                        contradictions=contradictions_data(h.contradictions),
                        judged=None if h.stands is None else judged_stage_data(c.table, h.stands),
                    )
                    for h in c.held
                ),
            )
            for c in found
            if c.fit == fit
        )

    return IdentifyAnswer(
        version=VERSION,
        error_model=ERROR_MODEL,
        fits=of("fits"),
        may_fit=of("may fit"),
        doesnt_fit=of("doesn't fit"),
        would_decide=tuple(MarkingData(marking=m.what, alone=m.decides, says=dict(m.says)) for m in markings),
        note=ONLY_NAMES,
    )
