"""`selector aloud`."""

from __future__ import annotations

from itertools import chain

import click

from selector.answers.show import in_units
from selector.answers.words.listing import counted
from selector.cli.common import at_terminal
from selector.cli.words_offered import complete_table


@click.command("aloud")
@click.argument("table", metavar="TABLE", shell_complete=complete_table)
@click.option("--chart", default="", metavar="NAME", help="Only this chart.")
@click.option("--laid-out", is_flag=True, help="Print the charts as a page does, in the manual's order.")
def command(table: str, chart: str, laid_out: bool) -> None:
    """\b
    Example: selector aloud my-furnace.yaml

    Say every row in words, then the plate, ramps and calls, for two people checking: one reads, the other looks at the
    paper. At a terminal one row at a time, Enter for the next.
    """
    from selector.problems import close_match
    from selector.table.library.library import load
    from selector.transcribe.compare.read_back import chart_layout, layout, spoken
    from selector.transcribe.compare.read_back_rest import spoken_rest

    loaded, _ = load(table)
    if chart and chart not in loaded.charts:
        near = close_match(chart, list(loaded.charts))
        raise click.UsageError(
            f"there is no chart called `{chart}`; "
            + (f"did you mean `{near}`?" if near else f"charts: {', '.join(loaded.charts)}")
        )
    if laid_out:
        click.echo("\n".join(chart_layout(loaded.charts[chart]) if chart else layout(loaded)))
        return
    last = ""
    for row in spoken(loaded, chart) if chart else chain(spoken(loaded), spoken_rest(loaded)):
        if row.chart != last:
            units = f": {in_units(loaded.charts[row.chart], loaded)}" if row.chart in loaded.charts else ""
            click.echo(f"{row.chart}, {counted(row.count, 'row')}{units}")
            last = row.chart
        click.echo(f"  {row.number}. {row.text}")
        if at_terminal():
            click.prompt("", default="", show_default=False, prompt_suffix="")
