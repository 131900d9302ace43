"""`selector list`."""

from __future__ import annotations

import click

from selector.cli.common import print_blocks, print_record, told_of_tables


@click.command("list")
@click.argument("words", nargs=-1, metavar="[WORD]...")
@click.option("--no-index", is_flag=True, help="Read every table; keep nothing for the next time.")
@click.option("--json", "as_json", is_flag=True, help="Print the answer as JSON.")
def command(words: tuple[str, ...], no_index: bool, as_json: bool) -> None:
    """\b
    Example: selector list

    List the tables in your own folder and those shipped with the program (all shipped ones are invented). Your own
    folder is the one that SELECTOR_TABLES names, else the data folder of your system; folders in it count. With WORDs:
    those that have each of them in the name, maker, unit, a model, a selector or a part number.
    """
    from selector.answers.tables import lines, tables_answer

    answer = tables_answer(words, kept=not no_index, told=told_of_tables())
    if as_json:
        print_record(answer)
        return
    print_blocks(lines(answer))
    click.echo(f"\nYour own tables go into {answer.folder}", err=True)
