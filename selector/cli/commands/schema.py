"""`selector schema`."""

from __future__ import annotations

import os

import click

from selector.cli.words_offered import complete_schema


@click.command("schema")
@click.argument("name", default="table", shell_complete=complete_schema)
@click.option("--path", "only_path", is_flag=True, help="Print where the file is instead of its text.")
def command(name: str, only_path: bool) -> None:
    """\b
    Example: selector schema table --path

    Print the JSON Schema of a file you type (table, job) or of what a command prints under --json (find, plan, found
    and the others). Point your editor's YAML support at its path: it completes keys and underlines mistakes, without a
    network.
    """
    from selector.table.library.library import shipped_folder, shipped_names, shipped_text

    text = shipped_text("schemas", f"{name}.json")
    if text is None:
        raise click.UsageError(f"there is no schema called `{name}`; there are {', '.join(shipped_names('schemas'))}")
    click.echo(os.path.join(shipped_folder("schemas"), f"{name}.json") if only_path else text, nl=only_path)
