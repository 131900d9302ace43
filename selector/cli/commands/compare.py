"""`selector compare`."""

from __future__ import annotations

import click

from selector.cli.common import print_blocks, print_record
from selector.cli.words_offered import complete_table


@click.command("compare")
@click.argument("first", metavar="TABLE", shell_complete=complete_table)
@click.argument("second", metavar="TABLE", shell_complete=complete_table)
@click.option("--json", "as_json", is_flag=True, help="Print the answer as JSON.")
def command(first: str, second: str, as_json: bool) -> int:
    """\b
    Example: selector compare mine.yaml hers.yaml

    Compare two people's transcriptions of one page, cell by cell. The order of rows and the names they chose don't
    matter.
    """
    from selector.answers.compare import compare_answer, lines
    from selector.table.library.library import load
    from selector.transcribe.compare.compare import compare

    answer = compare_answer(compare(load(first)[0], load(second)[0]))
    if as_json:
        print_record(answer)
    else:
        print_blocks(lines(answer, first, second))
    return int(bool(answer.differences))
