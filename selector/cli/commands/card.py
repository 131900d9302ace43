"""`selector card`."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING, Any

import click

from selector.cli.common import fact_options, units_option, within_bounds
from selector.cli.jobs import is_job_file, job_of
from selector.cli.words_offered import complete_marks, complete_table

if TYPE_CHECKING:
    from selector.card.content import Card


@click.command("card")
@click.argument("table", metavar="JOB|TABLE|FOLDER", shell_complete=complete_table)
@click.argument("marks", nargs=-1, metavar="[MARKS|NAME=VALUE]...", shell_complete=complete_marks)
@click.option("--out", required=True, metavar="FILE", help="Where to write it: a name that ends in .pdf or .html.")
@click.option(
    "--found",
    multiple=True,
    metavar="MARKS",
    help="The board as found, drawn beside it.",
    shell_complete=complete_marks,
)
@click.option(
    "--paper", type=click.Choice(["letter", "A4"]), default="letter", show_default=True, help="Size of the sheet."
)
@click.option(
    "--type", "kind", type=click.Choice(["pdf", "html"]), default="pdf", show_default=True, help="Of a folder's cards."
)
@click.option("--place", default="", help="Location.")
@click.option("--by", default="", help="Who set it.")
@click.option("--date", default="", help="When; a blank to write in otherwise.")
@click.option("--turned", type=click.Choice(["0", "90", "180", "270"]), default="0", help="How the board hangs.")
@click.option("--force", is_flag=True, help="Replace a file that is there.")
@fact_options
@units_option
def command(
    table: str,
    marks: tuple[str, ...],
    out: str,
    found: tuple[str, ...],
    paper: str,
    kind: str,
    place: str,
    by: str,
    date: str,
    turned: str,
    force: bool,
    pairs: list[tuple[str, str]],
) -> int:
    """\b
    Example: selector card my-job.yaml --out card.pdf
    Example: selector card corvane-k14 SW1=00011000 --model 080 --out card.pdf
    Example: selector card my-houses --out cards

    One sheet for the unit's door: the board as it is left and as it was found, the airflow of every call with what was
    aimed at, expected and
    measured, blanks for what wasn't, cautions, and a code that decode reads back. Give a job file, facts on top of it
    where they differ, or a
    table and the marks it is left at. Folds to pocket size. PDF needs the extra: pip install "blower-selector[card]".
    """
    from selector.card.html import Paper, card_html
    from selector.cli.cards_of_folder import cards_of_folder
    from selector.cli.files import ending_of, refuse_unwritable, write_new

    if os.path.isdir(table):
        if marks or found or pairs:
            raise click.UsageError(f"{table} is a folder: each of its jobs says its own marks and facts")
        return cards_of_folder(table, out, kind, "letter" if paper == "letter" else "A4", force=force)
    ending = ending_of(out, "pdf", "html", "htm") if out != "-" else "html"
    refuse_unwritable(out, force=force, inputs=(table,))
    if marks and not is_job_file(table):
        card = _of_marks(table, marks, found, pairs, place=place, by=by, date=date, turned=int(turned))
    elif found or pairs:
        raise click.UsageError(
            "a job says its facts and how the board was found; for a card without a job give the table and the marks it"
            " is left at"
        )
    else:
        card = _of_job(table, marks, place=place, by=by, date=date, turned=int(turned))
    sheet: Paper = "letter" if paper == "letter" else "A4"
    if ending == "pdf":
        try:
            from selector.card.pdf import card_pdf
        except ImportError as missing:
            raise click.UsageError(
                f'a PDF needs {missing.name}: pip install "blower-selector[card]", or write card.html'
            ) from missing
        write_new(out, card_pdf(card, sheet), force=force)
    else:
        write_new(out, card_html(card, sheet).encode("utf-8"), force=force)
    return 0


def _of_marks(
    table: str, marks: tuple[str, ...], found: tuple[str, ...], pairs: list[tuple[str, str]], **said: Any
) -> Card:
    from selector.card.content import build_card
    from selector.judge.decode import decode
    from selector.judge.floors_and_ceilings import engine_of
    from selector.solve.board.marks import read_marks, setting_of, unread_in
    from selector.solve.search.typed_facts import read_facts
    from selector.table.library.library import load

    loaded, _ = load(table)
    known = read_facts(pairs, loaded)
    left, engine = read_marks(marks, loaded), engine_of(loaded, known)
    before = setting_of(read_marks(found, loaded), loaded) if found else None
    return build_card(engine, decode(engine, setting_of(left, loaded), unread_in(left)), before, **said)


def _of_job(name: str, facts: tuple[str, ...], **said: Any) -> Card:
    from selector.card.from_job import job_card

    with within_bounds():
        return job_card(job_of(name, facts, None), **said)
