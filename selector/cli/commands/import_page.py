"""`selector import`."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from typing import TYPE_CHECKING

import click

from selector.cli.common import at_terminal
from selector.cli.words_offered import complete_page
from selector.value import replace

if TYPE_CHECKING:
    from selector.transcribe.cells.grid import Grid
    from selector.transcribe.import_page.blocks import PageBlock
    from selector.transcribe.import_page.heads import Hints
    from selector.transcribe.import_page.ledger import Ledger
    from selector.transcribe.import_page.understand import Understood

_WIDEST = 60
_SHOWN = 8


@click.command("import")
@click.argument("files", nargs=-1, required=True, metavar="FILE...", shell_complete=complete_page)
@click.option(
    "--set",
    "parts",
    multiple=True,
    metavar="NAMES",
    help='The selectors of the rows, one option for each chart: --set "SW1-1 SW1-2".',
)
@click.option("--across", multiple=True, metavar="NAME", help="What the columns are, outermost first.")
@click.option(
    "--gives",
    multiple=True,
    metavar="QUANTITIES",
    help="What the figures are, one option for each chart; told by their signs and units.",
)
@click.option(
    "--name",
    "names",
    multiple=True,
    metavar="NAME",
    help="Name of the chart, one option for each; the title above it if none is given.",
)
@click.option("--page", "numbers", multiple=True, metavar="PAGE", help="Page of the manual, one option for each chart.")
@click.option("--sheet", default="", help="Sheet of a spreadsheet.")
@click.option(
    "--answer",
    "answers",
    multiple=True,
    metavar="NAME=ANSWER",
    help='An answer beforehand to what draft asks, such as "title=Furnace".',
)
@click.option("--out", metavar="FILE.yaml", help="Write a table file; without it only what was understood is shown.")
def command(
    files: tuple[str, ...],
    parts: tuple[str, ...],
    across: tuple[str, ...],
    gives: tuple[str, ...],
    names: tuple[str, ...],
    numbers: tuple[str, ...],
    sheet: str,
    answers: tuple[str, ...],
    out: str | None,
) -> int:
    """\b
    Example: selector import page.txt --out my-furnace.yaml

    Read the charts of a page from CSV, TSV, xlsx or text pasted from a PDF (- for standard input). What was understood
    is shown beside what was given before anything is written. What is unreadable is _ for you to fill, never guessed.
    The rest is asked as draft asks it.
    """
    from selector.cli.asking import answers_given, write_draft
    from selector.cli.files import refuse_unwritable
    from selector.problems import Refused
    from selector.table.source import read_source
    from selector.transcribe.import_page.blocks import blocks_of, no_chart
    from selector.transcribe.import_page.conservation import not_kept
    from selector.transcribe.import_page.heads import Hints
    from selector.transcribe.import_page.import_page import answers_of
    from selector.transcribe.import_page.ledger import ledger_of

    if out:
        refuse_unwritable(out)
    known = answers_given(answers)
    quantities = [_quantities(text) for text in gives]
    pages: list[Understood] = []
    for path in files:
        grid = _grid(path, sheet)
        blocks = blocks_of(grid)
        if not blocks:
            raise no_chart(grid)
        own: list[Understood] = []
        why: dict[int, str] = {}
        for block in blocks:
            n = len(pages)
            hints = Hints(
                set=tuple(_at(parts, n).split()),
                across=across,
                gives=quantities[n] if n < len(quantities) else (),
                models=tuple(known.get("models", "").replace(",", " ").split()) or _models(pages),
                name=_at(names, n),
                page=_at(numbers, n),
                airflow=known.get("airflow", ""),
            )
            try:
                page = _understood(block, hints, pages, asks=bool(out) and at_terminal())
            except Refused as refusal:
                if len(blocks) == 1:
                    raise
                why |= {row[0].line: refusal.problems[0].message for row in block.rows}
                continue
            own.append(page)
            pages.append(page)
            why |= dict(page.lost)
        if not own:
            raise no_chart(grid)
        _tell(ledger_of(grid, [use for page in own for use in page.uses], why))
    if not out:
        return 0
    told, offered = answers_of(pages, later=at_terminal())
    if at_terminal() and not click.confirm("go on with this?", default=True, err=True):
        return 1
    code = write_draft(out, {**told, **known}, {**offered})
    lost = not_kept(read_source(out), pages)
    for line in lost:
        click.echo(f"{out}: {line}", err=True)
    return 1 if lost else code


def _tell(account: Ledger) -> None:
    """Where every word of the page went."""
    from selector.answers.words.listing import counted

    click.echo(
        f"  {counted(account.words, 'word')} given: {account.cells} in cells, {account.heads} in heads,"
        f" {account.notes} in notes, {account.lost} left out"
    )
    for left in account.left_out:
        text = left.text if len(left.text) <= _WIDEST else left.text[: _WIDEST - 2] + ".."
        click.echo(f"  left out: {left.place}: {text} ({left.why})")


def _quantities(text: str) -> tuple[str, ...]:
    """What --gives says. UsageError for what no chart gives."""
    from selector.transcribe.typed.board import MistypedAnswer
    from selector.transcribe.typed.chart import read_gives

    try:
        return read_gives("", text) if text.strip() else ()
    except MistypedAnswer as wrong:
        raise click.UsageError(f"--gives: {wrong}") from wrong


def _grid(path: str, sheet: str) -> Grid:
    from selector.transcribe.import_page.import_page import page_from_bytes, read_page

    if path != "-":
        return read_page(path, sheet)
    if at_terminal():
        click.echo(
            "Paste the page here, then press Enter and Ctrl-D (on Windows Ctrl-Z and Enter): ", err=True, nl=False
        )
    return page_from_bytes(
        sys.stdin.buffer.read(32_000_000), "what was pasted" if at_terminal() else "standard input", sheet
    )


def _models(pages: Sequence[Understood]) -> tuple[str, ...]:
    """The models along the top of a chart before."""
    return next((words for page in pages for name, words in page.heads if name == "model"), ())


def _at(options: Sequence[str], n: int) -> str:
    return options[n] if n < len(options) else ""


def _understood(block: PageBlock, hints: Hints, before: Sequence[Understood], *, asks: bool) -> Understood:
    """The chart, shown beside what was given; names that nothing tells are asked for. A chart without a page stands
    on that of the one before."""
    from selector.table.from_file.rows import TO_TYPE
    from selector.transcribe.import_page.understand import keyed, understand

    page = keyed(understand(block, hints), before)
    taken = [p.name for p in before]
    name = next(n for n in (page.name, *(f"{page.name} {k}" for k in range(2, len(taken) + 3))) if n not in taken)
    hints = replace(hints, name=name, page=page.page or (before[-1].page if before else ""))
    page = replace(page, name=name, page=hints.page)
    _show(page)
    if asks and TO_TYPE in page.set:
        for at, name in enumerate(page.set):
            if name == TO_TYPE:
                page = replace(page, set=(*page.set[:at], _sets(page, at), *page.set[at + 1 :]))
    hints = replace(hints, set=page.set if TO_TYPE not in page.set else hints.set)
    if asks and page.set == hints.set:
        page = understand(block, hints)
    if asks and any(name == TO_TYPE for name, _ in page.heads):
        across = tuple(_across(page, at) if name == TO_TYPE else name for at, (name, _) in enumerate(page.heads))
        page = understand(block, replace(hints, across=across))
    return page


def _sets(page: Understood, at: int) -> str:
    """The name of what sets the rows, as a person types it."""
    from selector.transcribe.import_page.import_page import set_complaint

    told = f"What sets {' '.join(page.positions_of(at)[:_SHOWN])} down the side (such as SW1-1, J1 or model)"
    while True:
        answer = "".join(click.prompt(told, default="", show_default=False, err=True).split())
        wrong = (
            set_complaint(page, at, answer)
            if answer
            else "no file can be written without it; type it as printed, or break off with Ctrl-C"
        )
        if not wrong:
            return answer
        click.echo(wrong, err=True)


def _across(page: Understood, at: int) -> str:
    """What a person calls the heads along the top, `_` for one who leaves it to be typed later."""
    from selector.table.from_file.rows import TO_TYPE
    from selector.transcribe.import_page.import_page import across_complaint

    words = " ".join(page.heads[at][1])
    told = (
        f"What {words} along the top are (such as model, static pressure, stage, tons; Enter or skip: later, in the"
        " file)"
    )
    while True:
        answer = " ".join(click.prompt(told, default="", show_default=False, err=True).split())
        if answer.casefold() in ("", TO_TYPE, "skip"):
            return TO_TYPE
        answer = {"tons": "outdoor tons", "models": "model", "pressure": "static pressure", "stages": "stage"}.get(
            answer.casefold(), answer
        )
        wrong = across_complaint(page, at, answer)
        if not wrong:
            return answer
        click.echo(wrong, err=True)


def _show(page: Understood) -> None:
    from selector.answers.words.listing import counted
    from selector.transcribe.import_page.import_page import beside

    given = beside(page)
    width = min(_WIDEST, max((len(g) for g, _ in given), default=0))
    click.echo(page.source)
    for left, right in given:
        click.echo(f"  {left[:_WIDEST]:<{width}}  |  {right}")
    for remark in page.remarks:
        click.echo(f"  {remark}")
    click.echo(f"  {counted(page.left, 'blank')} to fill" if page.left else "  nothing left to fill")
