"""`selector review`."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from selector.answers.words.fold import Block, Raw
from selector.cli.common import print_blocks, print_record, told_of_tables
from selector.cli.words_offered import complete_table

if TYPE_CHECKING:
    from selector.review.folder import Checked
    from selector.table.model.table import Table


@click.command("review")
@click.argument("files", nargs=-1, required=True, metavar="TABLE|FOLDER...", shell_complete=complete_table)
@click.option(
    "--checked",
    "reason",
    metavar="REASON",
    help="These findings are right on paper: print the lines to paste, with this reason.",
)
@click.option(
    "--only",
    multiple=True,
    metavar="NAME",
    help="With --checked: the finding of this name, six letters; may be repeated.",
)
@click.option("--out", "file", metavar="FILE", help="With --checked: write a new file that has the lines in it.")
@click.option("--no-index", is_flag=True, help="Read every table; keep nothing for the next time.")
@click.option("--json", "as_json", is_flag=True, help="Print the answer as JSON.")
def command(
    files: tuple[str, ...], reason: str | None, only: tuple[str, ...], file: str | None, no_index: bool, as_json: bool
) -> int:
    """\b
    Example: selector review my-furnace.yaml

    List figures that are out of line: which cell, why, what it was perhaps, how sure. Check each on paper. What is
    right there is recorded under `checked:` and not listed again. What is almost surely a mistake is recorded by its
    name only: --checked "looked at twice" --only wpstwg.
    """
    from selector.answers.review import finding_text, lines, review_answer
    from selector.cli.files import write_new
    from selector.review.folder import check_each, checked_table, tables_in
    from selector.review.record import checked_lines, chosen, recorded
    from selector.table.library.library import path_of

    paths = tables_in([path_of(f) for f in files])
    if only and reason is None:
        raise click.UsageError("--only needs --checked and a reason.")
    if file and (reason is None or len(paths) != 1):
        raise click.UsageError("--out needs --checked and one table.")
    code = 0
    if reason is None:
        results: list[tuple[Checked, Table | None]] = [
            (one, None) for one in check_each(paths, kept=not no_index, told=told_of_tables())
        ]
    else:
        results = [checked_table(path) for path in paths]
    out: list[Block] = []
    for one, table in results:
        findings = one.review.findings
        out += lines(one)
        code = max(code, int(one.refused or bool(findings)))
        if table is None or reason is None or not (findings or only):
            continue
        wanted = chosen(findings, only)
        if wanted.strange:
            raise click.UsageError(
                f"no finding has the name {wanted.strange[0]}; there are {', '.join(f.id for f in findings) or 'none'}"
            )
        out += [
            f"not recorded, almost surely a mistake: {f.where}. If the page has it so, add --only {f.id}"
            for f in wanted.sure
        ]
        if wanted.findings and file:
            text, more = recorded(table, wanted.findings, reason)
            write_new(file, text.encode("utf-8"))
            out += [f"now suspect too: {finding_text(f)}. {f.why}" for f in more]
        elif wanted.findings:
            pasted = tuple(checked_lines(table, wanted.findings, reason))
            out += ["", "Paste at the end of the file, for what is right on paper:", Raw(lines=pasted)]
        elif file:
            out.append(f"{file} was not written: nothing is recorded")
    if as_json:
        print_record(review_answer(one for one, _ in results))
    else:
        print_blocks(out)
    return code
