"""`selector measure`."""

from __future__ import annotations

import os
from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING

import click

from selector.cli.common import print_problems, units_option, within_bounds
from selector.cli.jobs import dangers_first, give
from selector.cli.streams import terminal_columns

if TYPE_CHECKING:
    from selector.job.file.model import Job, Reading
    from selector.job.file.report import Report
    from selector.job.verify.verify import Verified

    _Judged = tuple[Verified, Report]


@click.command("measure")
@click.argument("job", metavar="JOB")
@click.argument("readings", nargs=-1, required=True, metavar="READING...")
@click.option("--visit", metavar="DATE", help="Add them to a later visit: 2027-11-02, or today.")
@click.option("--out", metavar="FILE", help="The new version of the job; the next free number if left out.")
@units_option
@click.option("--json", "as_json", is_flag=True, help="Print the answer as JSON.")
def command(job: str, readings: tuple[str, ...], visit: str | None, out: str | None, as_json: bool) -> int:
    """\b
    Example: selector measure my-job.yaml "heating second rise=52 F minutes=15"
    Example: selector measure my-job.yaml "heating second volume=2 ft3 time=94 s heat of gas=1037 Btu/ft3"
    Example: selector measure my-job.yaml "Y1 Y2 G hood=1180 cfm static=0.52 in. w.c. minutes=20" "seen=flame moves"
    Example: selector measure my-job.yaml --visit 2027-11-02 "found SW1=10011000" "cooling second hood=1020 cfm
             minutes=20" "done=filter changed"

    Add readings to a new version of the job file and judge them. Your file stays as it is. Type what was read in any
    order, units as you write them; a danger you saw as seen=.., one that is put right as cleared=.., marks as "found
    SW1=.." and "left SW1=..", other work as done=... A reading that can't be used is left out, and why is said. With
    --visit the answer also says what changed since the unit was set.
    """
    from selector.cli.files import write_new
    from selector.job.file.read import job_from_text
    from selector.job.readings.next_version import Added, next_name, with_added, with_visit
    from selector.job.verify.faulty_readings import faulty
    from selector.job.visits.typed_visit import typed_added
    from selector.problems import Refused
    from selector.table.source import read_source
    from selector.value import replace

    source = read_source(job)
    with dangers_first(job, readings):
        added = typed_added(readings)
    if added.cleared and visit is None:
        raise click.UsageError("What is put right belongs to a later visit: add --visit today, or its date.")
    day = date.today().isoformat() if visit == "today" else visit
    folder = os.path.dirname(job) or "."
    name = out or os.path.join(os.path.dirname(job), next_name(os.path.basename(job), os.listdir(folder)))

    def judged(added: Added) -> tuple[str, Job, _Judged]:
        try:
            text = with_visit(source.lines, day, added) if day is not None else with_added(source.lines, added)
        except ValueError as braces:
            raise click.UsageError(
                f"{job}, {braces}: the visit of {day} is in braces; type it below a dash"
            ) from braces
        read, _ = job_from_text(text, name)
        return text, read, _judged(read, visited=day is not None, as_json=as_json)

    try:
        with dangers_first(job, readings):
            text, read, (found, report) = judged(added)
            wrong = faulty(found, _typed(read, day, len(added.readings)))
            problems = [problem for several in wrong.values() for problem in several]
            kept = replace(added, readings=tuple(one for n, one in enumerate(added.readings) if n not in wrong))
            if wrong and kept == Added():
                raise Refused(problems)
            if wrong:
                text, _, (_, report) = judged(kept)
    except Refused as refused:
        unwritten = f"{name}, not written"
        raise Refused([replace(p, file=unwritten if p.file == name else p.file) for p in refused.problems]) from refused
    write_new(name, text.encode("utf-8"))
    if wrong:
        left_out = [replace(problem, file=f"{name}, left out", line=0) for problem in problems]
        print_problems(left_out)
        report = replace(report, exit_code=max(1, report.exit_code))
    return give(lambda: report, why=None, as_json=as_json)


def _typed(job: Job, day: str | None, count: int) -> Sequence[Reading]:
    """The readings that were typed now: the last of the job, or of the visit of that day."""
    visit = next((one for one in job.visits if one.date.text == day), None)
    return (visit or job).measurements[-count:] if count else ()


def _judged(job: Job, *, visited: bool, as_json: bool) -> _Judged:
    """The verdict with its answer, and at a visit what changed; as JSON a visit answers as `visits` does."""
    from selector.answers.verify.answer import report as verify_report
    from selector.answers.visits.answer import changed_lines, visits_report
    from selector.job.targets.house import house_of, table_of
    from selector.job.verify.verify import verified
    from selector.job.visits.owed import unit_record
    from selector.value import replace

    table = table_of(job)
    with within_bounds():
        if not visited:
            found = verified(house_of(job, table))
            return found, verify_report(found)
        unit = unit_record(job, table)
        if as_json:
            return unit.now, visits_report(unit)
        said = verify_report(unit.now)
        return unit.now, replace(said, lines=(*said.lines, "", *changed_lines(unit, columns=terminal_columns())))
