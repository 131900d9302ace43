"""What the commands on a job share: a job file or facts typed one by one, and how a report is given."""

from __future__ import annotations

import os
import re
import textwrap
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import wraps
from typing import Any

import click

from selector.cli.common import columns, print_json, print_problems, units_option, within_bounds
from selector.cli.streams import terminal_columns
from selector.cli.words_offered import complete_job_fact, complete_table
from selector.job.file.model import Job
from selector.job.file.report import Report
from selector.problems import Problem, Refused
from selector.table.model.table import Table

_UNIT = re.compile(
    r"(?<=\d) (?=(?:cfm|L/s|m3/h|F|C|s|min|h|Btu/h|MBH|kW|W|V|A|Pa|ft|m|tons?|moves?)\b|%|in\. )"
    r"|(?<=\bto) (?=\d)|(?<=\d) (?=to \d)|(?<=\bwindow) "
)
"""The blanks of a figure with its unit and of a window, where a line isn't broken."""
_LABEL = re.compile(r"\s*\S.*?\s{2,}(?=\S)")


def job_arguments(command: Callable[..., Any]) -> Callable[..., Any]:
    """JOB or TABLE, NAME=VALUE..., --why, --save, --json, --example; the command gets `job`, `facts`, `why` (None:
    not asked), `save`, `as_json`."""

    @wraps(command)
    def with_job(*, job: str | None, facts: tuple[str, ...], why: str | None, **rest: Any) -> Any:
        if why and _is_job(why):
            job, facts, why = why, (job, *facts) if job is not None else facts, ""
        if job is None:
            raise click.UsageError("a job file is missing, or a table and facts; --example prints a job to start from")
        return command(job=job, facts=facts, why=why, **rest)

    wrapped: Callable[..., Any] = with_job
    for option in reversed(
        (
            click.argument("job", metavar="JOB|TABLE", required=False, shell_complete=complete_table),
            click.argument("facts", nargs=-1, metavar="[NAME=VALUE]...", shell_complete=complete_job_fact),
            click.option(
                "--why",
                is_flag=False,
                flag_value="",
                metavar="[NAME]",
                help="Where every figure comes from, or that of a call or figure, such as rise.",
            ),
            click.option("--save", metavar="FILE", help="Write the facts as a job file that gives this answer again."),
            click.option("--json", "as_json", is_flag=True, help="Print the answer as JSON."),
            units_option,
            click.option(
                "--example",
                is_flag=True,
                is_eager=True,
                expose_value=False,
                callback=_example,
                help="Print a job file to start from.",
            ),
        )
    ):
        wrapped = option(wrapped)
    return wrapped


def _is_job(word: str) -> bool:
    """True for a word behind --why that is the job, or a fact, and no name of a figure."""
    from selector.table.library.library import listed

    return "=" in word or os.path.exists(word) or word in listed()


def _example(ctx: click.Context, _param: click.Parameter, asked: bool) -> None:
    from selector.job.file.example import EXAMPLE

    if asked:
        click.echo(EXAMPLE, nl=False)
        ctx.exit(0)


def job_of(name: str, facts: tuple[str, ...], save: str | None) -> Job:
    """The job of a file, with facts typed as NAME=VALUE on top; or of a table's name and facts. Remarks go to
    standard error. `save`: the file that `save_job` is to write, refused at once where it can't be."""
    from selector.cli.files import ending_of, refuse_unwritable

    if save:
        ending_of(save, "yaml", "yml")
        refuse_unwritable(save, inputs=(name,))
    with dangers_first(name, facts):
        job, remarks = _typed(name, facts)
    if remarks:
        print_problems(remarks)
    return job


_SAYS = re.compile(r"(?:seen|complaint|notes?)\s*:\s*(.*)", re.IGNORECASE)


@contextmanager
def dangers_first(name: str, facts: tuple[str, ...]) -> Iterator[None]:
    """What a job that can't be read says of dangers, typed or in its file, before what is wrong with it."""
    try:
        yield
    except Refused:
        _say_what_hurts(name, facts)
        raise


def _say_what_hurts(name: str, facts: tuple[str, ...]) -> None:
    from selector.answers.danger import first_lines
    from selector.answers.words.fold import folded
    from selector.job.danger.hazard import in_order
    from selector.job.danger.seen import sighted
    from selector.table.source import read_source

    said = [text for key, _, text in (fact.partition("=") for fact in facts) if _SAYS.match(f"{key.strip()}:")]
    said += [text for fact in facts if (text := fact.rpartition("seen=")[2]) != fact and text not in said]
    apart = [fact for fact in facts if not any(text in fact for text in said)]
    if name != "-" and is_job_file(name):
        said += [m[1] for line in read_source(name).lines if (m := _SAYS.match(line.strip(" -")))]
    found = in_order(one for text in (*said, *apart) for one in sighted(text) if one.row.level == "DANGER")
    if found:
        beside = any(one.seen in apart for one in found)
        hint = ['What was seen is typed by itself: seen="gas smell". Readings stand without it.'] if beside else []
        click.echo("\n".join(folded([*first_lines(found, None), *hint, ""], columns())), err=True)


def save_job(job: Job, save: str | None) -> None:
    """Writes the job once it was found to be one: a job of mistakes would only block the name."""
    from selector.cli.files import write_new
    from selector.job.file.text import job_text

    if save:
        write_new(save, job_text(job).encode("utf-8"))


def _typed(name: str, facts: tuple[str, ...]) -> tuple[Job, tuple[Problem, ...]]:
    from selector.job.file.read import job_of as job_of_source
    from selector.job.line.typed import job_from_pairs, job_with_pairs
    from selector.table.library.library import listed
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


def is_job_file(name: str) -> bool:
    """True for a file, or standard input, that is no table."""
    from selector.table.source import read_source

    return name == "-" or (os.path.isfile(name) and not _begins_a_table(read_source(name).lines))


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


def give(work: Callable[[], Report], *, why: str | None, as_json: bool, table: Table | None = None) -> int:
    """Print a report, wrapped to the terminal's width, and return its exit code. Problems go to standard error.

    With `why` the chain of every figure follows; with a name in it the chains of that call or figure stand alone, in
    the units of `table`.
    """
    from selector.air.figure import as_data

    with within_bounds():
        report = work()

    def problems() -> None:
        if report.problems:
            print_problems(report.problems)

    if as_json:
        problems()
        data = {"version": 1, **report.data}
        if why is not None and "why" not in data:
            data["why"] = [as_data(f) for f in report.figures]
        print_json(data)
        return report.exit_code
    lines = list(report.lines) if not why else []
    if why is not None and report.figures:
        lines += [*([] if why else ["", "Why"]), *_chains(report, why, table)]
    if lines:
        columns = terminal_columns()
        click.echo("\n".join(part for line in lines for part in wrapped_line(line, columns)))
    problems()  # a danger stands before them
    return report.exit_code


def _chains(report: Report, name: str, table: Table | None) -> list[str]:
    """The chains asked for. UsageError where nothing has the name."""
    from selector.answers.house.why import asked_for, why_lines

    named = report.named or tuple((figure.name.replace("_", " "), figure) for figure in report.figures)
    found = asked_for(named, name)
    if not found:
        titles = ", ".join(dict.fromkeys(what.partition(",")[0] for what, _ in named))
        raise click.UsageError(f"no figure here is called `{name}`; there are {titles}")
    return [line if name else f"  {line}" for line in why_lines(found, table)]


def wrapped_line(line: str, columns: int) -> list[str]:
    """A line in as many as it needs, further ones level with what stands behind a label, else two columns further
    in."""
    if len(line) <= columns:
        return [line]
    indent = len(line) - len(line.lstrip())
    label = _LABEL.match(line)
    hanging = " " * (len(label[0]) if label is not None and len(label[0]) <= columns // 3 else indent + 2)
    kept = _UNIT.sub("\u00a0", line.lstrip())
    parts = textwrap.wrap(
        kept,
        columns,
        initial_indent=line[:indent],
        subsequent_indent=hanging,
        break_long_words=False,
        break_on_hyphens=False,
    )
    return [part.replace("\u00a0", " ") for part in parts]
