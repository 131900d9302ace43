"""`selector compare`."""

from __future__ import annotations

import click

from selector.cli.common import print_json
from selector.cli.words_offered import complete_table


@click.command("compare")
@click.argument("first", metavar="TABLE", shell_complete=complete_table)
@click.argument("second", metavar="TABLE", shell_complete=complete_table)
@click.option("--json", "as_json", is_flag=True, help="Print the answer as JSON.")
def command(first: str, second: str, as_json: bool) -> int:
    """\b
    Example: selector compare mine.yaml hers.yaml

    Two people's transcriptions of one page, cell by cell, whatever the order of rows and the names they chose.
    """
    from selector.table.library.library import load
    from selector.transcribe.compare.compare import compare

    a, b = load(first)[0], load(second)[0]
    found = compare(a, b)
    if as_json:
        print_json({"version": 1, "cells": found.cells, "taken as same": list(found.taken_as_same), "differences": [
            {"line a": d.line_a, "line b": d.line_b, "where": d.where, "a": d.a, "b": d.b} for d in found.differences]})
        return int(bool(found.differences))
    for same in found.taken_as_same:
        click.echo(f"taken as the same: {same}")
    for d in found.differences:
        click.echo(f"{d.where}: {_at(first, d.line_a)} has {d.a}; {_at(second, d.line_b)} has {d.b}")
    count = len(found.differences)
    click.echo(f"{found.cells} cells held against each other, {count or 'no'} difference{'' if count == 1 else 's'}")
    return int(bool(found.differences))


def _at(file: str, line: int) -> str:
    """The file with the line, or alone where the difference stands on no line."""
    return f"{file}:{line}" if line else file
