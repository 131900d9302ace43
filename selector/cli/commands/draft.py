"""`selector draft`."""

from __future__ import annotations

import click


@click.command("draft")
@click.option("--out", metavar="FILE.yaml", help="Where to write the file; an existing one is never overwritten.")
@click.option(
    "--answer",
    "answers",
    multiple=True,
    metavar="NAME=ANSWER",
    help=(
        'An answer beforehand: "title=Two-stage furnace", "board 1=SW1 8", "chart 1=cooling: 1 2", "chart 1 row'
        ' 1=1020", "call 1=cooling Y"; may be repeated.'
    ),
)
@click.option(
    "--missing", nargs=2, metavar="FILE CHART", help="Print the rows that a chart already begun still lacks, to paste."
)
def command(out: str | None, answers: tuple[str, ...], missing: tuple[str, str] | None) -> int:
    """\b
    Example: selector draft --out my-furnace.yaml

    Ask what is on the board and how the charts look, and write a file with every row laid out in the manual's order:
    only the numbers are missing (each is _ until you type it). Enter alone: none, or done. < goes back one question.
    Ctrl-C writes what was typed so far. Parentheses at the end of an answer become a note.
    """
    from selector.cli.asking import answers_given, write_draft
    from selector.table.source import read_source
    from selector.transcribe.draft.missing_rows import missing_rows

    if missing is not None:
        rows = missing_rows(read_source(missing[0]), missing[1])
        if rows:
            click.echo("\n".join(rows))
        else:
            click.echo(f"{missing[1]} has all its rows", err=True)
        return 0
    if not out:
        raise click.UsageError("Add --out my-furnace.yaml, the file to write.")
    return write_draft(out, answers_given(answers))
