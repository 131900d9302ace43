"""What the commands share: the facts' options, bounds."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from functools import wraps
from typing import TYPE_CHECKING, Any

import click

from selector.cli.streams import terminal_columns
from selector.cli.words_offered import complete_fact, complete_model
from selector.value import Published, data_of

if TYPE_CHECKING:
    from selector.answers.words.fold import Block
    from selector.problems import Problem

_FACTS = {
    "model": "model",
    "static": "static pressure",
    "firing_rate": "firing rate",
    "tons": "outdoor tons",
    "volts": "supply voltage",
}
"""An option -> the fact it gives; a fact given twice is refused where facts are read."""


def fact_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """--model, --static, --firing-rate, --tons, --volts, --fact NAME=VALUE; the command gets them as `pairs`, a list
    of (name, text)."""

    @wraps(command)
    def with_pairs(*, facts: tuple[str, ...], **rest: Any) -> Any:
        pairs = [(name, text) for option, name in _FACTS.items() for text in rest.pop(option)]
        for n, (name, text) in enumerate(pairs):
            call, equals, figure = text.partition("=")
            if name == "static pressure" and equals:
                pairs[n] = (f"{name} in {call.strip()}", figure.strip())
        for fact in facts:
            name, equals, text = fact.partition("=")
            if not equals:
                raise click.UsageError(f'`{fact}` needs a name, = and a value: --fact "heater=10"')
            pairs.append((name.strip(), text.strip()))
        return command(pairs=pairs, **rest)

    wrapped: Callable[..., Any] = with_pairs
    for option in reversed(
        (
            click.option("--model", multiple=True, help="Model on the rating plate.", shell_complete=complete_model),
            click.option(
                "--static",
                multiple=True,
                metavar="PRESSURE",
                help='External static pressure, such as 0.5 in. w.c. or 100 Pa; of one call: "cooling=0.4 in. w.c.".',
            ),
            click.option("--firing-rate", multiple=True, metavar="PERCENT", help="Firing rate of a modulating unit."),
            click.option("--tons", multiple=True, metavar="TONS", help="Tons of the outdoor unit."),
            click.option("--volts", multiple=True, metavar="VOLTS", help="Supply voltage of electric heat."),
            click.option(
                "--fact",
                "facts",
                multiple=True,
                metavar="NAME=VALUE",
                help="Any other fact the table asks for; may be repeated.",
                shell_complete=complete_fact,
            ),
        )
    ):
        wrapped = option(wrapped)
    return wrapped


def units_option(command: Callable[..., Any]) -> Callable[..., Any]:
    """--units: tables are read, and answers given, in these units."""
    return click.option(
        "--units",
        metavar="UNITS",
        expose_value=False,
        callback=_in_units,
        help='Units of the answer, and of bare figures typed: metric, us, or by name, as "L/s, Pa, C, kW".',
    )(command)


def _in_units(ctx: click.Context, _param: click.Parameter, text: str | None) -> None:
    if text is None:
        return
    from selector.table.library.library import ASKED_UNITS
    from selector.table.model.in_units import OFFERED, units_named
    from selector.table.model.table import Units

    try:
        units_named(text, Units())
    except ValueError as wrong:
        known = ", ".join(unit for units in OFFERED.values() for unit in units)
        raise click.UsageError(f"{wrong}. Type metric, us, or some of {known}, with commas between.") from wrong
    before = ASKED_UNITS.set(text)
    ctx.call_on_close(lambda: ASKED_UNITS.reset(before))


def print_json(data: Any) -> None:
    """One JSON document on stdout."""
    import json

    click.echo(json.dumps(data, indent=2, ensure_ascii=False))


def print_record(answer: Published) -> None:
    """An answer as JSON on stdout."""
    print_json(data_of(answer))


_MANY_TABLES = 20
"""More tables than these are told with a count while they are read."""


def told_of_tables() -> Callable[[int, int], None] | None:
    """What says on standard error how many tables are read, where a person looks on."""
    if not sys.stderr.isatty():
        return None

    def say(done: int, count: int) -> None:
        if count > _MANY_TABLES:
            click.echo(f"\r{done:,} of {count:,} tables" + ("\n" if done == count else ""), err=True, nl=False)

    return say


MOST_COLUMNS = 120


def columns() -> int:
    """Columns that an answer may take: those of the terminal, at most 120; 80 where there is none."""
    return min(terminal_columns(), MOST_COLUMNS)


def print_blocks(blocks: Iterable[Block]) -> None:
    """An answer for people on stdout, folded to the terminal."""
    from selector.answers.words.fold import folded

    click.echo("\n".join(folded(blocks, columns())))


def print_problems(problems: Iterable[Problem]) -> None:
    """Problems on standard error, folded where a person reads them; whole lines for a program."""
    from selector.problem_lines import people

    click.echo(people(problems, columns() if sys.stderr.isatty() else 0), err=True, nl=False)


@contextmanager
def within_bounds() -> Iterator[None]:
    """A board too large to be worked out is a problem in plain words that names what leaves it open."""
    from selector.problems import Refused
    from selector.solve.engine.open_cases import too_much_open_problem
    from selector.solve.rank.rank import TooLarge

    try:
        yield
    except TooLarge as large:
        raise Refused([too_much_open_problem(large.variables or large.factors, "board")]) from large


def at_terminal() -> bool:
    """True where a person can be asked."""
    return sys.stdin.isatty()
