"""`selector measure`."""

from __future__ import annotations

import os

import click

from selector.cli.common import within_bounds
from selector.cli.jobs import give


@click.command("measure")
@click.argument("job", metavar="JOB")
@click.argument("readings", nargs=-1, required=True, metavar="READING...")
@click.option("--out", metavar="FILE", help="The new version of the job; the next free number if left out.")
@click.option("--json", "as_json", is_flag=True, help="Print the answer as JSON.")
def command(job: str, readings: tuple[str, ...], out: str | None, as_json: bool) -> int:
    """\b
    Example: selector measure my-job.yaml "heating second rise=52 F minutes=15"
    Example: selector measure my-job.yaml "Y1 Y2 G hood=1180 cfm static=0.52 in. w.c. minutes=20" "seen=flame moves"

    Add readings to a new version of the job file and judge them. Your file stays as it is. Type what was read in any
    order, units as you write them; a danger you saw as seen=..
    """
    from selector.answers.verify.answer import report
    from selector.cli.files import write_new
    from selector.job.file.read import job_from_text
    from selector.job.line.typed_line import TypedReading, typed_reading
    from selector.job.readings.next_version import next_name, with_readings
    from selector.job.targets.house import house_of
    from selector.job.verify.verify import verified
    from selector.problems import Problem, Refused
    from selector.table.source import read_source

    source = read_source(job)
    typed = [typed_reading(one) for one in readings]
    problems = [one for one in typed if isinstance(one, Problem)]
    if problems:
        raise Refused(problems)
    read = [one for one in typed if isinstance(one, TypedReading)]
    text = with_readings(
        source.lines,
        [(one.call, one.keys) for one in read if one.keys],
        [word for one in read for word in one.seen],
    )
    folder = os.path.dirname(job) or "."
    name = out or os.path.join(os.path.dirname(job), next_name(os.path.basename(job), os.listdir(folder)))
    added, _ = job_from_text(text, name)
    house = house_of(added)
    with within_bounds():
        found = verified(house)
    write_new(name, text.encode("utf-8"))
    return give(lambda: report(found), why=None, as_json=as_json, table=house.table)
