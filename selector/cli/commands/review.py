"""`selector review`."""

from __future__ import annotations

import sys

import click

from selector.answers.words.fold import indented
from selector.answers.words.listing import counted
from selector.cli.common import print_json
from selector.cli.words_offered import complete_table


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
@click.option("--out", metavar="FILE", help="With --checked: write a new file that has the lines in it.")
@click.option("--json", "as_json", is_flag=True, help="Print the answer as JSON.")
def command(files: tuple[str, ...], reason: str | None, only: tuple[str, ...], out: str | None, as_json: bool) -> int:
    """\b
    Example: selector review my-furnace.yaml

    Figures that are no hard error but may have been mistyped: which cell, why it is suspect, what it may have been, how
    sure. Hold each
    against the paper; what is right there is recorded under `checked:` and stays quiet. What is almost surely a slip is
    recorded by its name
    only: --checked "looked at twice" --only wpstwg.
    """
    from selector.cli.files import write_new
    from selector.review.folder import check_each, tables_in
    from selector.review.record import checked_lines, chosen, recorded
    from selector.table.library.library import path_of

    paths = tables_in([path_of(f) for f in files])
    if only and reason is None:
        raise click.UsageError("--only goes with --checked and a reason")
    if out and (reason is None or len(paths) != 1):
        raise click.UsageError("--out goes with --checked and one table")
    told: list[dict[str, object]] = []
    code = 0
    bar = (
        click.progressbar(check_each(paths), length=len(paths), label="tables", file=sys.stderr)
        if len(paths) > 3 and sys.stderr.isatty()
        else None
    )
    results = list(bar) if bar is not None else list(check_each(paths))
    lines: list[str] = []
    for one in results:
        findings = one.review.findings
        if one.table is None:
            code = 1
            lines += [f"{one.path}: has {counted(len(one.problems), 'problem')}; selector check {one.path}"]
            continue
        code = max(code, int(bool(findings)))
        for f in findings:
            place = f.places[0]
            lines.append(f"{one.path}:{place.line}:{place.column}: {f.where}: {f.how_sure} ({f.id})")
            lines += indented([f.why, *(f"may have been: {c.words}" for c in f.corrections[:3])])
            told.append(
                {
                    "file": one.path,
                    "id": f.id,
                    "code": f.code,
                    "line": place.line,
                    "column": place.column,
                    "where": f.where,
                    "why": f.why,
                    "may have been": [c.words for c in f.corrections],
                    "sureness": round(f.sureness, 4),
                }
            )
        if not findings:
            quiet = f" ({len(one.review.quiet)} checked)" if one.review.quiet else ""
            lines.append(f"{one.path}: nothing suspect{quiet}")
        lines += [
            f"{one.path}: the line {stale} under `checked:` quiets nothing; it may be taken out"
            for stale in one.review.stale
        ]
        if reason is None or not (findings or only):
            continue
        wanted = chosen(findings, only)
        if wanted.strange:
            raise click.UsageError(
                f"no finding has the name {wanted.strange[0]}; there are {', '.join(f.id for f in findings) or 'none'}"
            )
        lines += [
            f"not recorded, almost surely a slip: {f.where}; if the page has it so, --only {f.id}" for f in wanted.sure
        ]
        if wanted.findings and out:
            text, more = recorded(one.table, wanted.findings, reason)
            write_new(out, text.encode("utf-8"))
            lines += [f"with that recorded, this comes up too: {f.where}: {f.how_sure} ({f.id}); {f.why}" for f in more]
        elif wanted.findings:
            lines += [
                "",
                "to paste at the end of the file, for what is right on paper:",
                *checked_lines(one.table, wanted.findings, reason),
            ]
        elif out:
            lines.append(f"{out} was not written: nothing is recorded")
    if as_json:
        print_json({"version": 1, "findings": told})
    else:
        click.echo("\n".join(lines))
    return code
