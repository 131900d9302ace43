"""What identifying says: charts that fit, may fit, don't fit, under the stated error model, and the marking that
would decide."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from selector.air.figure import Figure, Worked, as_data, text, written
from selector.job.file.example import AS_FOUND_LINES, MEASUREMENT_LINES, to_add
from selector.job.file.model import Job
from selector.job.file.report import Report
from selector.job.identify.identify import ChartCandidate, Fit, Held, candidates
from selector.job.identify.markings import Marking, deciding
from selector.problems import Problem
from selector.table.model.table import Table
from selector.units import format_number

ERROR_MODEL = (
    "a chart fits where its airflow is within what the method may be off (hood, flow plate 5 %; electric 4 %; rise 7 %"
    " or more); it may fit within twice that, or where a mark or a fact is not known; else it doesn't"
)
ONLY_NAMES = (
    "These are names of charts only: no setting, verdict or card comes of them. Find the unit's own chart first."
)
SHOWN = 3
"""Markings that are listed."""


def identify(job: Job, tables: Iterable[Table]) -> Report:
    """The charts of the library for the marks as found and the measurements of a job. No marks and no measurement: a
    problem."""
    if not job.found and not job.left and not job.measurements:
        message = "there is nothing to identify by: no marks and no measurement"
        problem = Problem(
            file=job.file,
            line=0,
            column=0,
            code="nothing-to-go-by",
            message=message,
            help=to_add((*AS_FOUND_LINES, *MEASUREMENT_LINES)),
        )
        return Report(lines=(), exit_code=1, problems=(problem,))
    found = candidates(job, tables)
    left = [c for c in found if c.fit == "fits"] or [c for c in found if c.fit == "may fit"]
    markings = deciding(left)
    return Report(
        lines=tuple(_lines(found, left, markings)),
        data=_data(found, markings),
        exit_code=0 if any(c.fit == "fits" for c in found) else 1,
        figures=_figures(found),
    )


def _figures(found: Sequence[ChartCandidate]) -> tuple[Figure, ...]:
    return tuple(dict.fromkeys(h.read for c in found if c.fit != "doesn't fit" for h in c.held if h.read is not None))


def _lines(found: Sequence[ChartCandidate], left: Sequence[ChartCandidate], markings: Sequence[Marking]) -> list[str]:
    out: list[str] = []
    for fit in ("fits", "may fit"):
        some = [c for c in found if c.fit == fit]
        for one in (c for c in some if c.held):
            out += [f"{fit}: {one.name}" + (f" ({one.why})" if one.why else ""), *(f"  {_held(h)}" for h in one.held)]
        for why, names in _by_why([c for c in some if not c.held]).items():
            out += [f"{fit}: {', '.join(names)}", f"  {why}"]
    if not left:
        out.append("no chart of the library fits")
    out += _others(found)
    if markings:
        out += ["", "what would decide:"]
        for marking in markings[:SHOWN]:
            alone = " (alone)" if marking.decides else ""
            out.append(
                f"  {marking.what}{alone}: " + "; ".join(f"{says} = {name}" for name, says in marking.says.items())
            )
    elif len(left) > 1:
        out += ["", "no marking of plate or board that the tables name tells these apart"]
    return [*out, "", f"how it is judged: {ERROR_MODEL}", ONLY_NAMES]


def _others(found: Sequence[ChartCandidate]) -> list[str]:
    """The charts that don't fit: those told by a reading one by one, those told by marks or model together."""
    out = []
    rest = [c for c in found if c.fit == "doesn't fit"]
    read = [f"  {c.name}: {_why(c)}" for c in rest if c.held]
    marks = [f"  {why}: {', '.join(names)}" for why, names in _by_why([c for c in rest if not c.held]).items()]
    if read:
        out += ["", "doesn't fit what was measured:", *read]
    if marks:
        out += ["", "doesn't fit what the unit shows:", *marks]
    return out


def _by_why(some: Iterable[ChartCandidate]) -> dict[str, list[str]]:
    """Why -> the names of the charts that it is said of."""
    out: dict[str, list[str]] = {}
    for c in some:
        out.setdefault(c.why, []).append(c.name)
    return out


def _held(h: Held) -> str:
    if h.charted is None or h.read is None:
        return f"{h.title}: {h.why}"
    off = format_number(100 * (h.read.value - h.charted) / h.charted, 1) if h.charted else "-"
    why = f" ({h.why})" if h.why else ""
    read = text(h.read) if isinstance(h.read, Worked) else written(h.read)
    return f"{h.title}: read {read}, charted {format_number(h.charted, 0)} cfm, off {off} %{why}"


def _why(c: ChartCandidate) -> str:
    bad = next((h for h in c.held if h.fit == "doesn't fit"), None)
    return c.why if bad is None else _held(bad)


def _data(found: Sequence[ChartCandidate], markings: Sequence[Marking]) -> dict[str, object]:
    def of(fit: Fit) -> list[dict[str, object]]:
        return [
            {
                "table": c.table.name,
                "model": c.model,
                "why": c.why,
                "readings": [
                    {
                        "stage": h.title,
                        "fit": h.fit,
                        "charted": None if h.charted is None else float(h.charted),
                        "read": None if h.read is None else as_data(h.read),
                        "why": h.why,
                    }
                    for h in c.held
                ],
            }
            for c in found
            if c.fit == fit
        ]

    return {
        "version": 1,
        "error model": ERROR_MODEL,
        "fits": of("fits"),
        "may fit": of("may fit"),
        "doesn't fit": of("doesn't fit"),
        "would decide": [{"marking": m.what, "alone": m.decides, "says": dict(m.says)} for m in markings],
        "note": ONLY_NAMES,
    }
