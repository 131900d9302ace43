"""`selector import`."""

from __future__ import annotations

import sys

import click

from selector.cli.common import at_terminal


@click.command("import")
@click.argument("files", nargs=-1, required=True, metavar="FILE...")
@click.option("--set", "parts", multiple=True, metavar="NAMES", help='The selectors of the rows, one option for each file: --set "SW1-1 SW1-2".')
@click.option("--across", multiple=True, metavar="NAME", help="What stands along the top, outermost first.")
@click.option("--gives", default="airflow", show_default=True, help="What the figures are.")
@click.option("--name", "names", multiple=True, metavar="NAME", help="Name of the chart, one option for each file.")
@click.option("--sheet", default="", help="Sheet of a spreadsheet.")
@click.option("--title", default="", help="What the unit is.")
@click.option("--out", metavar="FILE.yaml", help="Write a table file; without it only what was understood is shown.")
def command(
    files: tuple[str, ...],
    parts: tuple[str, ...],
    across: tuple[str, ...],
    gives: str,
    names: tuple[str, ...],
    sheet: str,
    title: str,
    out: str | None,
) -> int:
    """\b
    Example: selector import chart.csv --set "SW1-1 SW1-2" --across model --out my-furnace.yaml

    A chart from CSV, TSV, xlsx or text pasted from a PDF (- for standard input). What was understood is shown beside what was given before
    anything is written; what can't be read stays as _ for you to type, never guessed.
    """
    from selector.cli.files import write_new
    from selector.transcribe.draft import draft_of
    from selector.transcribe.draft_text import draft_text
    from selector.transcribe.import_page import answers_of, beside, page_from_bytes, read_page
    from selector.transcribe.understand import Hints, understand

    pages = []
    for n, path in enumerate(files):
        grid = page_from_bytes(sys.stdin.buffer.read(32_000_000), "-", sheet) if path == "-" else read_page(path, sheet)
        hints = Hints(set=tuple(parts[n].split()) if n < len(parts) else (), across=across, gives=tuple(g.strip() for g in gives.split(",")),
                      name=names[n] if n < len(names) else f"chart {n + 1}")  # fmt: skip
        page = understand(grid, hints)
        pages.append(page)
        given = beside(page)
        width = min(60, max((len(g) for g, _ in given), default=0))
        click.echo(f"{path}")
        for left, right in given:
            click.echo(f"  {left[:60]:<{width}}  |  {right}")
        for remark in page.remarks:
            click.echo(f"  {remark}")
        click.echo(f"  {page.left or 'nothing'} left to type")
    if out:
        if at_terminal() and not click.confirm("write it?", default=True):
            return 1
        answers = {"title": title, **answers_of(pages)}
        write_new(out, draft_text(draft_of(answers)).encode("utf-8"))
    return 0
