"""`selector find`."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import click

from selector.cli.common import columns, fact_options, print_blocks, print_record, units_option, within_bounds
from selector.cli.plots import Plots, plot_options
from selector.cli.words_offered import complete_marks, complete_table, complete_target

if TYPE_CHECKING:
    from selector.draw.plots.plots import Shown
    from selector.solve.engine.engine import Engine
    from selector.solve.search.find import FindResult, Request


@click.command("find")
@click.argument("table", metavar="TABLE", shell_complete=complete_table)
@click.argument("targets", nargs=-1, required=True, metavar="CALL=TARGET...", shell_complete=complete_target)
@fact_options
@click.option(
    "--hold",
    "held",
    multiple=True,
    metavar="MARKS",
    help="Positions that must stay, such as SW1-1=off.",
    shell_complete=complete_marks,
)
@click.option(
    "--found",
    multiple=True,
    metavar="MARKS",
    help="The board as found; moves are counted from there.",
    shell_complete=complete_marks,
)
@click.option("--first", default=3, show_default=True, type=click.IntRange(1, 100), help="How many settings to show.")
@click.option(
    "--near",
    default="1",
    show_default=True,
    metavar="POINTS",
    help="Settings this close (percentage points off target) count as one: fewest moves first.",
)
@click.option("--allow-cuts", is_flag=True, help="Also propose links to be cut. A cut can't be undone.")
@click.option(
    "--draw",
    "drawn",
    type=click.Choice(["first", "all", "none"]),
    default="none",
    show_default=True,
    help="Settings whose board is drawn as it looks.",
)
@click.option("--wide", is_flag=True, help="Draw with line characters.")
@plot_options
@click.option("--json", "as_json", is_flag=True, help="Print the answer as JSON.")
@units_option
def command(
    table: str,
    targets: tuple[str, ...],
    pairs: list[tuple[str, str]],
    held: tuple[str, ...],
    found: tuple[str, ...],
    first: int,
    near: str,
    drawn: str,
    allow_cuts: bool,
    wide: bool,
    plots: Plots,
    as_json: bool,
) -> int:
    """\b
    Example: selector find corvane-k14 cooling=1200 "heating=rise 55" --model 080

    Find the setting of the whole board closest to your targets, for one call or several. A target is an airflow
    (1200, "1100 to 1300", "560 L/s"), tons ("3 tons", "3 tons at 375"), "375 per ton", "rise 55", or "45 % of cooling";
    "weight 2" behind it counts it double. Name a call with its stage (cooling/first=800); without one the highest is
    meant. Every limit that the table or your facts can check holds for every call, asked for or not.
    """
    from selector.answers.find import find_answer, lines
    from selector.judge.floors_and_ceilings import engine_of
    from selector.solve.board.marks import read_marks, setting_of, unread_in
    from selector.solve.search.find import Request
    from selector.solve.search.read_back import checked_find
    from selector.solve.search.typed_facts import read_facts, read_target
    from selector.table.library.library import load
    from selector.units import Mistyped, parse_number

    loaded, _ = load(table)
    known = read_facts(pairs, loaded)
    aims = []
    for target in targets:
        name, equals, text = target.partition("=")
        if not equals:
            raise click.UsageError(f"`{target}` needs a call, = and a target. Type cooling=1200.")
        aims.append(read_target(name.strip(), text.strip(), loaded))
    try:
        points = parse_number(near)
    except Mistyped as wrong:
        raise click.UsageError(f"--near: {wrong}") from wrong
    if points < 0:
        raise click.UsageError(f"--near {near} is below 0. Type 0 or more, such as --near 1.")
    seen = read_marks(found, loaded)
    request = Request(
        targets=tuple(aims),
        held={p: at for p, at in read_marks(held, loaded).items() if at is not None},
        found=setting_of(seen, loaded) if found else None,
        unread=unread_in(seen),
        allow_cuts=allow_cuts,
        first=first,
        near=points,
    )
    engine = engine_of(loaded, known)
    with within_bounds():
        result = checked_find(engine, request)
    if as_json:
        print_record(find_answer(engine, request, result))
    else:
        print_blocks(lines(engine, request, result, wide=wide, drawn=drawn, columns=columns()))
    plots.give(lambda: _plots(engine, request, result), wide=wide)
    return 0 if result.found else 1


def _plots(engine: Engine, request: Request, result: FindResult) -> Sequence[Shown]:
    from selector.answers.plots.find import find_plots

    with within_bounds():
        return find_plots(engine, request, result)
