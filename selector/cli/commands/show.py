"""`selector show`."""

from __future__ import annotations

import click

from selector.cli.common import columns, fact_options, print_blocks, print_record, units_option
from selector.cli.words_offered import complete_table


@click.command("show")
@click.argument("table", metavar="TABLE", shell_complete=complete_table)
@click.option("--wide", is_flag=True, help="Draw with line characters.")
@click.option("--json", "as_json", is_flag=True, help="Print the answer as JSON.")
@fact_options
@units_option
def command(
    table: str,
    wide: bool,
    as_json: bool,
    pairs: list[tuple[str, str]],
) -> None:
    """\b
    Example: selector show corvane-k14

    Show the charts in the manual's order, every call as a formula, and the factory setting: check it beside the paper
    page.
    """
    from selector.answers.show import lines, show_answer
    from selector.solve.search.typed_facts import read_facts
    from selector.table.library.library import load

    loaded, _ = load(table)
    model = read_facts(pairs, loaded).model
    if as_json:
        print_record(show_answer(loaded, model))
    else:
        print_blocks(lines(loaded, model, wide=wide, columns=columns()))
