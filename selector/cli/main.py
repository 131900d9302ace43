"""The group of commands: each command's module is imported only when it is called."""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from contextlib import suppress
from importlib import import_module

import click

from selector import __version__
from selector.cli.streams import failed, prepare

COMMANDS: dict[str, tuple[str, str]] = {
    "list": ("selector.cli.commands.list_tables", "List the tables: your own and those shipped."),
    "show": ("selector.cli.commands.show", "Show a table: charts as printed, calls as formulas, the factory setting."),
    "check": ("selector.cli.commands.check", "Check a table file; list every mistake."),
    "draft": (
        "selector.cli.commands.draft",
        "Begin a table: answer what is on the board, then type the numbers.",
    ),
    "import": ("selector.cli.commands.import_page", "Read charts from a spreadsheet, CSV, or text pasted from a PDF."),
    "review": ("selector.cli.commands.review", "List figures that may be mistyped."),
    "aloud": ("selector.cli.commands.aloud", "Say every row in words, for two people checking."),
    "compare": ("selector.cli.commands.compare", "Compare two transcriptions of one page, cell by cell."),
    "find": ("selector.cli.commands.find", "Find the setting of the whole board closest to your targets."),
    "decode": ("selector.cli.commands.decode", "Say what a board does as it is set, unreadable positions included."),
    "plan": ("selector.cli.commands.plan", "Work out one setting for a job, with the arithmetic."),
    "verify": ("selector.cli.commands.verify", "Judge your measurements; likely causes and what to do next."),
    "measure": ("selector.cli.commands.measure", "Add readings to a job and judge them."),
    "visits": ("selector.cli.commands.visits", "Say what changed at a unit since it was set, and what is owed."),
    "jobs": ("selector.cli.commands.jobs", "Say how far every job of a folder has come, and what it owes."),
    "found": (
        "selector.cli.commands.found",
        "Judge a board as found; the fewest moves that put it right.",
    ),
    "identify": ("selector.cli.commands.identify", "Find the charts that fit a board whose manual is missing."),
    "survey": ("selector.cli.commands.survey", "Judge many recorded boards: a verdict for every record."),
    "page": ("selector.cli.commands.page", "Make an offline phone page."),
    "card": (
        "selector.cli.commands.card",
        "Print a card for the unit's door: the board as left, its airflows, blanks, a code.",
    ),
    "sheet": ("selector.cli.commands.sheet", "Print a page for the one who helps, or for the owner."),
    "schema": (
        "selector.cli.commands.schema",
        "Print the JSON Schemas of tables, jobs and answers, for editors and other programs.",
    ),
    "completion": ("selector.cli.commands.completion", "Print the script that completes words in your shell."),
}
"""Command -> (module with `command`, the line shown in the list of commands)."""

EXAMPLE = """\b
Example:
  selector find corvane-k14 cooling=1200 --model 080
  selector decode corvane-k14 SW1=10011000 --model 080
"""


class Commands(click.Group):
    """Commands that are imported when they are used; the list of them needs none."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002 - click's signature
        """The names in the order of a day's work."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:  # noqa: ARG002 - click's signature
        """The command, imported now; None for an unknown word."""
        if cmd_name not in COMMANDS:
            return None
        command = import_module(COMMANDS[cmd_name][0]).command
        assert isinstance(command, click.Command)
        return command

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """The command of the first word; an unknown word is answered with the nearest one."""
        if args and not args[0].startswith("-") and args[0] not in COMMANDS:
            from selector.problems import close_match

            near = close_match(args[0], COMMANDS)
            raise click.UsageError(
                f"there is no command `{args[0]}`; "
                + (f"did you mean `{near}`?" if near else f"commands: {', '.join(COMMANDS)}")
            )
        return super().resolve_command(ctx, args)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:  # noqa: ARG002 - click's signature
        """The list of commands, without importing them."""
        with formatter.section("Commands"):
            formatter.write_dl([(name, line) for name, (_, line) in COMMANDS.items()])


@click.group(
    cls=Commands,
    help=EXAMPLE + "\nSets and reads the airflow selectors on blower control boards.",
    context_settings={"help_option_names": ["-h", "--help"]},
)
@click.version_option(__version__, "--version", prog_name="selector")
def cli() -> None:
    """The whole command line."""


def run(arguments: Sequence[str]) -> int:
    """The exit code: 0 fine, 1 problems found or nothing fits, 2 wrong usage or unreadable file, 3 our own fault,
    130 interrupted."""
    from selector.problems import Refused

    missing = prepare()
    if missing:
        return _told(missing, 2)
    try:
        code = _invoked(arguments)
        sys.stdout.flush()
        return code if isinstance(code, int) else 0
    except click.exceptions.Exit as left:
        return left.exit_code
    except click.ClickException as wrong:
        wrong.show()
        return 2
    except (click.Abort, KeyboardInterrupt, EOFError):
        return _told("interrupted", 130)
    except Refused as refused:
        from selector.cli.common import print_problems
        from selector.cli.exit_codes import exit_code

        print_problems(refused.problems)
        return exit_code(refused.problems)
    except OSError as error:
        code, words = failed(error)
        return _told(words, code)
    except Exception as fault:
        if os.environ.get("SELECTOR_DEBUG"):
            raise
        return _told(
            f"selector failed: {type(fault).__name__}: {fault}\nPlease report it; SELECTOR_DEBUG=1 shows where.", 3
        )


def _invoked(arguments: Sequence[str]) -> object:
    """What a command returns, every exception let through; click's own way out for a shell that asks for words."""
    if "_SELECTOR_COMPLETE" in os.environ:
        from selector.cli.shells import register

        register()
        return cli.main(args=list(arguments), prog_name="selector")
    with cli.make_context("selector", list(arguments)) as context:
        return cli.invoke(context)


def _told(words: str, code: int) -> int:
    """Says why, where anybody listens."""
    if words and sys.stderr is not None:
        with suppress(OSError, ValueError):
            click.echo(words, err=True)
    return code
