"""`selector show`."""

from __future__ import annotations

from fractions import Fraction

import click

from selector.answers.words.fold import indented
from selector.answers.words.head import head
from selector.cli.common import fact_options, print_json
from selector.cli.words_offered import complete_table
from selector.table.model.figure_units import unit_of_head, unit_of_quantity, unit_of_rating, with_unit
from selector.table.model.formula import formula, heads_of, number, row_words
from selector.table.model.table import Call, Chart, Named, Step, Table


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

    The charts in the order of the manual, every call as a formula, and the board as delivered: to hold beside the paper
    page.
    """
    from selector.solve.search.typed_facts import read_facts
    from selector.table.library.library import load

    loaded, _ = load(table)
    known = read_facts(pairs, loaded)
    if as_json:
        print_json(data(loaded, known.model))
        return
    click.echo(head(loaded, known.model))
    for line in unit_lines(loaded):
        click.echo(line)
    for chart in loaded.charts.values():
        click.echo("\n" + "\n".join(chart_lines(chart, loaded)))
    if loaded.ramps:
        click.echo("\nramps")
        for ramp in loaded.ramps.values():
            click.echo(f"  {ramp.name}: {typed(loaded, ramp.line)}")
    click.echo("\ncalls (each step acts on all that stands before it)")
    for call in loaded.calls.values():
        click.echo("\n".join(indented(call_lines(loaded, call))))
    click.echo("\nthe board as delivered")
    from selector.draw.parts.text import board_text

    click.echo("\n".join(indented(board_text(loaded, loaded.delivered(known.model), wide=wide))))


def typed(table: Table, line: int) -> str:
    """What stands behind the colon of a line, as typed."""
    return table.lines[line - 1].partition(":")[2].strip()


def unit_lines(table: Table) -> list[str]:
    """What the table says of the unit and its rating plate."""
    unit = table.unit
    out = [f"{key}: {value}" for key, value in unit.applies_to.items()]
    if unit.note:
        out.append(unit.note)
    if unit.reads:
        out.append(
            "The board reads its selectors at power-up."
            if unit.reads == "at power-up"
            else "The board reads its selectors at all times."
        )
    if unit.motor:
        out.append(f"motor: {unit.motor}")
    if unit.airflow_means:
        out.append(
            f"the printed airflow is that of {unit.airflow_means}"
            if unit.airflow_means == "standard air"
            else "the printed airflow is the volume that moves"
        )
    if unit.holds_up_to is not None:
        out.append(f"holds up to {number(unit.holds_up_to)} {table.units.pressure}")
    for rating in table.ratings.values():
        values = typed(table, rating.line)
        if not values:
            last = next(
                (n for n in range(rating.line, len(table.lines)) if not table.lines[n].startswith("    ")),
                len(table.lines),
            )
            values = "; ".join(
                line.strip()
                for line in table.lines[rating.line : last]
                if line.strip() and not line.strip().startswith("#")
            )
        out.append(f"rating plate: {rating.name} {with_unit(values, unit_of_rating(rating.name, table.units))}")
    return out


def call_lines(table: Table, call: Call) -> list[str]:
    """A call with its formulas and what else is said of it."""
    out = [f"{f'{call.name} {s}'.strip()} = {formula(table, call, s)}" for s in call.stages]
    said = [f"{s} {' '.join(words)}".strip() for s, words in call.terminals.items()]
    if said:
        out.append(f"  terminals: {', '.join(said)}")
    if call.capacity:
        out.append(f"  capacity: {', '.join(f'{s} {number(c * 100)} %'.strip() for s, c in call.capacity.items())}")
    if call.heat:
        out.append(f"  heat: {', then '.join(_atoms(s) for s in call.heat)}")
    for name, by_stage in (("ramp", call.ramp), ("on delay", call.on_delay), ("off delay", call.off_delay)):
        if by_stage:
            unit = "" if name == "ramp" else " s"
            shown = [
                f"{s} {a.name if isinstance(a, Named) else f'{number(a)}{unit}' if isinstance(a, Fraction) else ''}"
                .strip()
                for s, a in by_stage.items()
            ]
            out.append(f"  {name}: {', '.join(shown)}")
    for w in call.windows:
        ends = f"{number(w.low) if w.low is not None else ''} to {number(w.high) if w.high is not None else ''}"
        out.append(
            f"  window: {f'{w.stage} ' if w.stage else ''}{w.quantity}"
            f" {with_unit(ends, unit_of_quantity(w.quantity, table.units))}"
        )
    out += [f"  with {other}: {rule}" for other, rule in call.together.items()]
    if call.note:
        out.append(f"  {call.note}")
    return out


def _atoms(step: Step) -> str:
    text = ", ".join(
        f"{s} {a.name if isinstance(a, Named) else number(a) if isinstance(a, Fraction) else ''}".strip()
        for s, a in step.by_stage.items()
    )
    return text if step.op == "use" else f"{step.op} {text}"


def formulas(table: Table) -> list[tuple[str, str]]:
    """Every call and stage with its formula."""
    return [(f"{c.name} {s}".strip(), formula(table, c, s)) for c in table.calls.values() for s in c.stages]


def chart_lines(chart: Chart, table: Table) -> list[str]:
    """A chart as the page has it, with the units of its figures in its title."""
    from tabulate import tabulate

    title = chart.name + (f" (page {chart.page})" if chart.page else "") + f": {in_units(chart, table)}"
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
    if chart.holds_up_to is not None:
        lines.append(f"  holds up to {number(chart.holds_up_to)} {table.units.pressure}")
    if chart.conditions:
        lines.append(f"  holds for {chart.conditions}")
    if chart.note:
        lines.append(f"  {chart.note}")
    lines.extend(indented(tabulate(grid, tablefmt="plain", disable_numparse=True).splitlines()))
    return [line.rstrip() for line in lines]


def in_units(chart: Chart, table: Table) -> str:
    """`airflow in L/s, along the top static pressure in Pa`: what a chart gives and is read by, each with its unit."""
    gives = [f"{name} in {unit}" if (unit := unit_of_quantity(name, table.units)) else name for name in chart.gives]
    heads = [
        f"{head.name} in {unit}" if (unit := unit_of_head(head.name, table)) else head.name for head in chart.heads
    ]
    return ", ".join(gives) + (f", along the top {', '.join(heads)}" if heads else "")


def data(table: Table, model: str | None) -> dict[str, object]:
    """The same as JSON."""
    from selector.solve.board.marks import mark_by_part

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
        "delivered": mark_by_part(table.delivered(model), table),
    }
