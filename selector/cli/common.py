"""What the commands share: the facts' options, bounds."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import wraps
from typing import Any

import click

from selector.cli.words_offered import complete_model


def fact_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """--model, --static, --firing-rate, --tons, --volts, --fact NAME=VALUE; the command gets them as `pairs`, a list
    of (name, text)."""

    @wraps(command)
    def with_pairs(
        *,
        model: str | None,
        static: str | None,
        firing_rate: str | None,
        tons: str | None,
        volts: str | None,
        facts: tuple[str, ...],
        **rest: Any,
    ) -> Any:
        named = (
            ("model", model),
            ("static pressure", static),
            ("firing rate", firing_rate),
            ("outdoor tons", tons),
            ("supply voltage", volts),
        )
        pairs = [(name, text) for name, text in named if text is not None]
        for fact in facts:
            name, equals, text = fact.partition("=")
            if not equals:
                raise click.UsageError(f'`{fact}` needs a name, = and a value: --fact "heater=10"')
            pairs.append((name.strip(), text.strip()))
        return command(pairs=pairs, **rest)

    wrapped: Callable[..., Any] = with_pairs
    for option in reversed(
        (
            click.option("--model", help="Model on the rating plate.", shell_complete=complete_model),
            click.option(
                "--static", metavar="PRESSURE", help="External static pressure, such as 0.5 in. w.c. or 100 Pa."
            ),
            click.option("--firing-rate", metavar="PERCENT", help="Firing rate of a modulating unit."),
            click.option("--tons", metavar="TONS", help="Tons of the outdoor unit."),
            click.option("--volts", metavar="VOLTS", help="Supply voltage of electric heat."),
            click.option(
                "--fact",
                "facts",
                multiple=True,
                metavar="NAME=VALUE",
                help="Any other fact the table asks for; may be repeated.",
            ),
        )
    ):
        wrapped = option(wrapped)
    return wrapped


def print_json(data: Any) -> None:
    """One JSON document on stdout."""
    import json

    click.echo(json.dumps(data, indent=2, ensure_ascii=False))


@contextmanager
def within_bounds() -> Iterator[None]:
    """A board too large to be worked out is a problem in plain words that names the charts and the number of
    outcomes."""
    from selector.problems import Problem, Refused
    from selector.solve.rank.rank import TooLarge

    try:
        yield
    except TooLarge as large:
        names = ", ".join(large.factors) or ", ".join(large.variables)
        message = f"too many outcomes to work out exactly: {names} ({large.entries:,} of them)"
        raise Refused(
            [
                Problem(
                    file="board",
                    line=0,
                    column=0,
                    code="too-large",
                    message=message,
                    help="hold some positions: --hold SW1-6=off",
                )
            ]
        ) from large


def at_terminal() -> bool:
    """True where a person can be asked."""
    return sys.stdin.isatty()
