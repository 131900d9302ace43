"""`selector completion`."""

from __future__ import annotations

import click


@click.command("completion")
@click.argument("shell", type=click.Choice(["bash", "zsh", "fish"]))
def command(shell: str) -> None:
    """\b
    Example: selector completion bash >> ~/.bashrc

    Print the script that lets your shell complete commands, names of tables, models, selectors and positions.
    """
    from click.shell_completion import get_completion_class

    from selector.cli.shells import register

    register()

    kind = get_completion_class(shell)
    assert kind is not None
    click.echo(kind(click.get_current_context().find_root().command, {}, "selector", "_SELECTOR_COMPLETE").source())
