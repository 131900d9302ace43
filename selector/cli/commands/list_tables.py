"""`selector list`."""

from __future__ import annotations

import click

from selector.cli.common import print_blocks, print_record


@click.command("list")
@click.option("--json", "as_json", is_flag=True, help="Print the answer as JSON.")
def command(as_json: bool) -> None:
    """\b
    Example: selector list

    List the tables in your own folder and those shipped with the program (all shipped ones are invented). Your own
    folder is the one that SELECTOR_TABLES names, else the data folder of your system.
    """
    from selector.answers.tables import lines, tables_answer

    answer = tables_answer()
    if as_json:
        print_record(answer)
        return
    print_blocks(lines(answer))
    click.echo(f"\nYour own tables go into {answer.folder}", err=True)
