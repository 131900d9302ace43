"""`selector draft`."""

from __future__ import annotations

import os

import click

from selector.cli.common import at_terminal


@click.command("draft")
@click.option("--out", metavar="FILE.yaml", help="Where to write the file; an existing one is never overwritten.")
@click.option(
    "--answer", "answers", multiple=True, metavar="NAME=ANSWER", help='An answer beforehand, such as "title=Two-stage furnace"; may be repeated.'
)
@click.option("--missing", nargs=2, metavar="FILE CHART", help="Print the rows that a chart already begun still lacks, to paste.")
def command(out: str | None, answers: tuple[str, ...], missing: tuple[str, str] | None) -> None:
    """\b
    Example: selector draft --out my-furnace.yaml

    Asks what is on the board and how the charts look, and writes a file with every row laid out in the manual's order: only the numbers are
    missing (each stands as _ until you type it). Enter alone means: none, or no more.
    """
    from selector.cli.files import write_new
    from selector.table.library import shipped_folder
    from selector.table.source import read_source
    from selector.transcribe.draft import draft_of, next_question
    from selector.transcribe.draft_text import draft_text
    from selector.transcribe.missing import missing_rows

    if missing is not None:
        click.echo("\n".join(missing_rows(read_source(missing[0]), missing[1])))
        return
    if not out:
        raise click.UsageError("say where to write it: --out my-furnace.yaml")
    if os.path.exists(out):
        raise click.UsageError(f"{out} is there already; name another file")
    known: dict[str, str] = {}
    for answer in answers:
        name, equals, text = answer.partition("=")
        if not equals:
            raise click.UsageError(f"`{answer}` needs a name, = and an answer")
        known[name.strip()] = text.strip()
    if at_terminal():
        while (question := next_question(known)) is not None:
            hint = f" ({', '.join(question.choices)})" if question.choices else f" (such as {question.example})" if question.example else ""
            typed = click.prompt(f"{question.text}{hint}", default=question.default, show_default=bool(question.default))
            complaint = question.complaint(typed)
            if complaint:
                click.echo(complaint, err=True)
                continue
            known[question.name] = question.meant(typed)
    schema = os.path.join(shipped_folder("schemas"), "table.json")
    write_new(out, draft_text(draft_of(known), schema).encode("utf-8"))
    click.echo(f"now type the figures that stand as _, then: selector check {out}", err=True)
