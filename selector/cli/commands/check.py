"""`selector check`."""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence

import click

from selector.cli.common import columns, told_of_tables
from selector.cli.words_offered import complete_table


@click.command("check")
@click.argument("files", nargs=-1, required=True, metavar="TABLE|FOLDER...", shell_complete=complete_table)
@click.option(
    "--output",
    type=click.Choice(["people", "lines", "json", "sarif"]),
    default="people",
    show_default=True,
    help="Form of the findings.",
)
@click.option("--json", "as_json", is_flag=True, help="The same as --output json.")
@click.option("--watch", is_flag=True, help="Check again whenever a file is saved; Ctrl-C ends it.")
@click.option("--no-index", is_flag=True, help="Read every table; keep nothing for the next time.")
@click.option("--strict", is_flag=True, help="Count remarks as problems.")
def command(files: tuple[str, ...], output: str, as_json: bool, watch: bool, no_index: bool, strict: bool) -> int:
    """\b
    Example: selector check my-furnace.yaml

    Check table files, or all in a folder. Every mistake is listed: where it is, what is wrong, what to type instead.
    A remark needs nothing done if the manual is like that. A - reads from standard input.
    """
    form = "json" if as_json else output
    paths = _tables(files)
    if not watch:
        return _once(paths, form, strict, not no_index)
    from selector.table.library.library import path_of
    from selector.transcribe.compare.watch import changed_files

    code = 0
    for changed in changed_files(
        [path_of(p) for p in paths], there=lambda: [p for p in _tables(files, some=False) if os.path.isfile(p)]
    ):
        code = _once(changed, form, strict)
    return code


def _tables(files: Sequence[str], *, some: bool = True) -> tuple[str, ...]:
    """The tables that were named, those of folders in a stable order; UsageError for a folder without any, where
    there must be `some`."""
    if not any(os.path.isdir(f) for f in files):
        return tuple(files)
    from selector.review.folder import tables_in

    found = tables_in(files)
    empty = next((f for f in files if os.path.isdir(f) and not tables_in([f])), "")
    if empty and some:
        raise click.UsageError(f"No table in the folder {empty}. Tables end in .yaml.")
    return found


def _once(files: Sequence[str], output: str, strict: bool, kept: bool = True) -> int:
    """Check the files and print what was found; the exit code."""
    from selector.answers.check import good_text
    from selector.cli.exit_codes import exit_code
    from selector.problem_lines import FORMATS, people
    from selector.problems import Problem, Refused
    from selector.table.library.index import summaries, summary_of_table
    from selector.table.library.library import load, path_of

    found: list[Problem] = []
    good: list[str] = []
    known = summaries([f for f in files if os.path.isfile(f)], kept=kept, told=told_of_tables())
    for name in files:
        try:
            summary = known.get(name) or summary_of_table(*load(name))
        except Refused as refused:
            found.extend(refused.problems)
            continue
        found.extend(summary.problems_of(path_of(name)))
        if not summary.refused:
            good.append(good_text(name, summary))
    text = people(found, columns() if sys.stdout.isatty() else 0) if output == "people" else FORMATS[output](found)
    if text:
        click.echo(text, nl=not text.endswith("\n"))
    if output == "people":
        for line in good:
            click.echo(line)
    return exit_code(found, strict=strict)
