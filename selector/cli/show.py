"""`selector show`."""

from __future__ import annotations

import click

from selector.cli.common import complete_table, fact_options, head, indented, print_json
from selector.table.formula import formula, heads_of, row_words
from selector.table.model import Chart, Table


@click.command("show")
@click.argument("table", metavar="TABLE", shell_complete=complete_table)
@click.option("--wide", is_flag=True, help="Draw with line characters.")
@click.option("--json", "as_json", is_flag=True, help="Print the answer as JSON.")
@fact_options
def command(
    table: str,
    wide: bool,
    as_json: bool,
    pairs: list[tuple[str, str]],
) -> None:
    """\b
    Example: selector show corvane-k14

    The charts in the order of the manual, every call as a formula, and the board as delivered: to hold beside the paper page.
    """
    from selector.solve.asked import read_facts
    from selector.table.library import load

    loaded, _ = load(table)
    known = read_facts(pairs, loaded)
    if as_json:
        print_json(data(loaded, known.model))
        return
    click.echo(head(loaded, known.model))
    for key, value in loaded.unit.applies_to.items():
        click.echo(f"{key}: {value}")
    for text in (loaded.unit.note, f"The board reads its selectors {loaded.unit.reads}." if loaded.unit.reads else ""):
        if text:
            click.echo(text)
    for chart in loaded.charts.values():
        click.echo("\n" + "\n".join(chart_lines(chart)))
    if loaded.ramps:
        click.echo("\nramps")
        for ramp in loaded.ramps.values():
            click.echo(f"  {ramp.name}: {loaded.lines[ramp.line - 1].partition(':')[2].strip()}")
    click.echo("\ncalls")
    for title, text in formulas(loaded):
        click.echo(f"  {title} = {text}")
    click.echo("\nthe board as delivered")
    from selector.page.draw_text import board_text

    click.echo("\n".join(indented(board_text(loaded, loaded.delivered(known.model), wide=wide))))


def formulas(table: Table) -> list[tuple[str, str]]:
    """Every call and stage with its formula."""
    return [(f"{c.name} {s}".strip(), formula(table, c, s)) for c in table.calls.values() for s in c.stages]


def chart_lines(chart: Chart) -> list[str]:
    """A chart as the page has it."""
    from tabulate import tabulate

    title = chart.name + (f" (page {chart.page})" if chart.page else "") + f": {', '.join(chart.gives)}"
    heads = heads_of(chart)
    lead = [k.name for k in chart.keys]
    notes = [f"({r.note})" if r.note else "" for r in chart.rows]
    top = [["" for _ in lead] + line for line in heads[:-1]]
    last = lead + (heads[-1] if heads else [])
    width = len(last)
    body = []
    for row, note in zip(chart.rows, notes, strict=True):
        words = row_words(chart, row)
        body.append(words + [""] * (width - len(words)) + ([note] if any(notes) else []))
    grid = [*top, last, *body]
    lines = [title]
    if chart.conditions:
        lines.append(f"  holds for {chart.conditions}")
    if chart.note:
        lines.append(f"  {chart.note}")
    lines.extend(indented(tabulate(grid, tablefmt="plain", disable_numparse=True).splitlines()))
    return [line.rstrip() for line in lines]


def data(table: Table, model: str | None) -> dict[str, object]:
    """The same as JSON."""
    return {
        "version": 1,
        "table": table.name,
        "title": table.unit.title,
        "maker": table.unit.maker,
        "models": list(table.unit.models),
        "charts": [
            {
                "name": c.name,
                "page": c.page,
                "set": [k.name for k in c.keys],
                "heads": heads_of(c),
                "gives": list(c.gives),
                "rows": [{"words": row_words(c, r), "note": r.note, "line": r.line} for r in c.rows],
            }
            for c in table.charts.values()
        ],
        "calls": [{"call": title, "formula": text} for title, text in formulas(table)],
        "delivered": {p.name: p.word(at) for p, at in zip(table.parts, table.delivered(model), strict=True)},
    }
