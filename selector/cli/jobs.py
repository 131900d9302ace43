"""What the commands on a job share: a job file or facts typed one by one, and how a report is given."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import click

from selector.cli.common import print_json, within_bounds
from selector.job.model import Job
from selector.job.report import Report


def job_arguments(command: Callable[..., Any]) -> Callable[..., Any]:
    """JOB or TABLE, NAME=VALUE..., --why, --save, --json."""
    for option in reversed(
        (
            click.argument("job", metavar="JOB|TABLE"),
            click.argument("facts", nargs=-1, metavar="[NAME=VALUE]..."),
            click.option("--why", is_flag=True, help="Print where every figure comes from."),
            click.option("--save", metavar="FILE", help="Write the facts as a job file that gives this answer again."),
            click.option("--json", "as_json", is_flag=True, help="Print the answer as JSON."),
        )
    ):
        command = option(command)
    return command


def job_of(name: str, facts: tuple[str, ...], save: str | None) -> Job:
    """The job of a file, or of a table's name and facts typed as NAME=VALUE; remarks go to standard error."""
    from selector.cli.files import write_new
    from selector.job.read import load_job
    from selector.job.text import job_text
    from selector.job.typed import job_from_pairs
    from selector.problem_output import people

    if facts:
        pairs = [("table", name)]
        for fact in facts:
            key, equals, text = fact.partition("=")
            if not equals:
                raise click.UsageError(f'`{fact}` needs a name, = and a value: tons=3 "heat input=80 MBH"')
            pairs.append((key.strip(), text.strip()))
        job, remarks = job_from_pairs(pairs)
    else:
        job, remarks = load_job(name)
    if remarks:
        click.echo(people(remarks), err=True, nl=False)
    if save:
        write_new(save, job_text(job).encode("utf-8"))
    return job


def give(work: Callable[[], Report], *, why: bool, as_json: bool) -> int:
    """Print a report and return its exit code. Problems go to standard error; with `why` the chain of every figure follows."""
    from selector.air.figure import as_data, text
    from selector.problem_output import people

    with within_bounds():
        report = work()
    if report.problems:
        click.echo(people(report.problems), err=True, nl=False)
    if as_json:
        data = {"version": 1, **report.data}
        if why and "why" not in data:
            data["why"] = [as_data(f) for f in report.figures]
        print_json(data)
    else:
        lines = list(report.lines)
        if why and report.figures and not any(line.strip() == "Why" for line in lines):
            lines += ["", "Why", *(f"  {text(f)}" for f in report.figures)]
        if lines:
            click.echo("\n".join(lines))
    return report.exit_code
