"""What the commands on a job share: a job file or facts typed one by one, and how a report is given."""

from __future__ import annotations

import os
from collections.abc import Callable
from typing import Any

import click

from selector.cli.common import print_json, within_bounds
from selector.job.model import Job
from selector.job.report import Report
from selector.problems import Problem


def job_arguments(command: Callable[..., Any]) -> Callable[..., Any]:
    """JOB or TABLE, NAME=VALUE..., --why, --save, --json, --example."""
    for option in reversed(
        (
            click.argument("job", metavar="JOB|TABLE"),
            click.argument("facts", nargs=-1, metavar="[NAME=VALUE]..."),
            click.option("--why", is_flag=True, help="Print where every figure comes from."),
            click.option("--save", metavar="FILE", help="Write the facts as a job file that gives this answer again."),
            click.option("--json", "as_json", is_flag=True, help="Print the answer as JSON."),
            click.option("--example", is_flag=True, is_eager=True, expose_value=False, callback=_example, help="Print a job file to start from."),
        )
    ):
        command = option(command)
    return command


def _example(ctx: click.Context, _param: click.Parameter, asked: bool) -> None:
    from selector.job.example import EXAMPLE

    if asked:
        click.echo(EXAMPLE, nl=False)
        ctx.exit(0)


def job_of(name: str, facts: tuple[str, ...], save: str | None) -> Job:
    """The job of a file, with facts typed as NAME=VALUE on top; or of a table's name and facts. Remarks go to standard error."""
    from selector.cli.files import write_new
    from selector.job.text import job_text
    from selector.problem_output import people

    job, remarks = _typed(name, facts)
    if remarks:
        click.echo(people(remarks), err=True, nl=False)
    if save:
        write_new(save, job_text(job).encode("utf-8"))
    return job


def _typed(name: str, facts: tuple[str, ...]) -> tuple[Job, tuple[Problem, ...]]:
    from selector.job.read import job_of as job_of_source
    from selector.job.typed import job_from_pairs, job_with_pairs
    from selector.table.library import listed
    from selector.table.source import read_source

    if name == "-" or os.path.exists(name):
        source = read_source(name)
        if not _begins_a_table(source.lines):
            return job_with_pairs(source, _pairs(facts)) if facts else job_of_source(source)
    elif "=" in name:
        return job_from_pairs(_pairs((name, *facts)))
    elif not facts and name not in listed():
        return job_of_source(read_source(name))
    return job_from_pairs([("table", name), *_pairs(facts)])


def _begins_a_table(lines: tuple[str, ...]) -> bool:
    """True for the file of a table; one that says nothing of itself is taken as a job."""
    first = next((line for line in lines if line.strip() and not line.startswith("#")), "")
    return first.partition(":")[2].split()[:2] == ["selector", "table"]


def _pairs(facts: tuple[str, ...]) -> list[tuple[str, str]]:
    out = []
    for fact in facts:
        key, equals, text = fact.partition("=")
        if not equals:
            raise click.UsageError(f'`{fact}` needs a name, = and a value: tons=3 "heat input=80 MBH"')
        out.append((key.strip(), text.strip()))
    return out


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
