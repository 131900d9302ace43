"""`selector sheet`."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from selector.cli.common import units_option, within_bounds
from selector.cli.jobs import give, job_of
from selector.cli.streams import terminal_columns
from selector.cli.words_offered import complete_job_fact, complete_table

if TYPE_CHECKING:
    from selector.answers.sheets.sheet import PersonSheet
    from selector.job.file.model import Job


@click.command("sheet")
@click.argument("job", metavar="JOB|TABLE", shell_complete=complete_table)
@click.argument("facts", nargs=-1, metavar="[NAME=VALUE]...", shell_complete=complete_job_fact)
@click.option(
    "--for",
    "reader",
    type=click.Choice(["helper", "owner"]),
    required=True,
    help="The one who helps at the unit, or the owner of the house.",
)
@click.option("--out", metavar="FILE", help="Print it: a name that ends in .pdf or .html. Left out: on the screen.")
@click.option(
    "--paper", type=click.Choice(["letter", "A4"]), default="letter", show_default=True, help="Size of the page."
)
@click.option("--force", is_flag=True, help="Replace a file that is there.")
@units_option
@click.option("--json", "as_json", is_flag=True, help="Print it as JSON.")
def command(
    job: str, facts: tuple[str, ...], reader: str, out: str | None, paper: str, force: bool, as_json: bool
) -> int:
    """\b
    Example: selector sheet my-job.yaml --for helper --out helper.pdf
    Example: selector sheet my-job.yaml --for owner --out owner.html

    A page for a person. For the helper: numbered steps, one act each, the switch to move drawn once, blanks for what is
    read, and when to stop and call. For the owner: what was wrong, what was done, before and after, what remains, in
    plain words. PDF needs the extra: pip install "blower-selector[card]".
    """
    from selector.answers.sheets.text import sheet_report
    from selector.cli.files import ending_of, refuse_unwritable

    ending = ending_of(out, "pdf", "html", "htm") if out is not None and out != "-" else "html"
    if out is not None:
        refuse_unwritable(out, force=force, inputs=(job,))
    typed = job_of(job, facts, None)
    with within_bounds():
        sheet = _helper(typed) if reader == "helper" else _owner(typed)
    report = sheet_report(sheet, columns=terminal_columns())
    if out is None:
        return give(lambda: report, why=None, as_json=as_json)
    _write(sheet, out, ending, paper, force=force)
    if as_json:
        give(lambda: report, why=None, as_json=True)
    return report.exit_code


def _helper(job: Job) -> PersonSheet:
    from selector.answers.sheets.helper import helper_sheet
    from selector.job.danger.house import hazards
    from selector.job.plan.plan import plan
    from selector.job.targets.house import house_of

    house = house_of(job)
    return helper_sheet(plan(house).solution, hazards(house, house.now))


def _owner(job: Job) -> PersonSheet:
    from selector.answers.sheets.owner import owner_sheet
    from selector.job.targets.house import table_of
    from selector.job.visits.owed import unit_record

    return owner_sheet(unit_record(job, table_of(job)))


def _write(sheet: PersonSheet, out: str, ending: str, paper: str, *, force: bool) -> None:
    from selector.card.html import Paper
    from selector.cli.files import write_new

    size: Paper = "letter" if paper == "letter" else "A4"
    if ending == "pdf":
        try:
            from selector.card.sheets.pdf import sheet_pdf
        except ImportError as missing:
            raise click.UsageError(
                f'a PDF needs {missing.name}: pip install "blower-selector[card]", or write sheet.html'
            ) from missing
        write_new(out, sheet_pdf(sheet, size), force=force)
    else:
        from selector.card.sheets.html import sheet_html

        write_new(out, sheet_html(sheet, size).encode("utf-8"), force=force)
