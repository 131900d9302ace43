"""`selector page`."""

from __future__ import annotations

import click

from selector.cli.common import fact_options, units_option
from selector.cli.words_offered import complete_table


@click.command("page")
@click.argument("tables", nargs=-1, required=True, metavar="TABLE...", shell_complete=complete_table)
@click.option("--out", required=True, metavar="FILE.html", help="Where to write the page.")
@click.option("--title", default="", help="Title of the page.")
@click.option("--force", is_flag=True, help="Replace a file that is there.")
@fact_options
@units_option
def command(tables: tuple[str, ...], out: str, title: str, force: bool, pairs: list[tuple[str, str]]) -> None:
    """\b
    Example: selector page corvane-k14 --out corvane.html

    One file for a phone without network: tap the selectors as they stand and read every call, or enter targets and see
    the settings. Facts
    given here hold for good on the page (for a single table).
    """
    from selector.cli.files import ending_of, refuse_unwritable, write_new
    from selector.pocket.page import pocket_html
    from selector.solve.search.typed_facts import read_facts
    from selector.table.library.library import load, path_of

    ending_of(out, "html", "htm")
    read = [path_of(name) for name in tables]
    refuse_unwritable(out, force=force, inputs=read)
    loaded = [load(name)[0] for name in tables]
    if pairs and len(loaded) > 1:
        raise click.UsageError("facts can be given for a page of one table only")
    try:
        text = pocket_html(loaded, facts=[read_facts(pairs, loaded[0])] if pairs else [], title=title)
    except ValueError as wrong:
        raise click.UsageError(str(wrong)) from wrong
    write_new(out, text.encode("utf-8"), force=force, inputs=read)
