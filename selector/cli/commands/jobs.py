"""`selector jobs`."""

from __future__ import annotations

import os

import click

from selector.cli.common import units_option, within_bounds
from selector.cli.jobs import give
from selector.cli.streams import terminal_columns


@click.command("jobs")
@click.argument("folder", metavar="FOLDER")
@click.option("--details", is_flag=True, help="Targets, expected and measured airflows, house beside house.")
@units_option
@click.option("--json", "as_json", is_flag=True, help="Print the answer as JSON.")
def command(folder: str, details: bool, as_json: bool) -> int:
    """\b
    Example: selector jobs tests/examples/records
    Example: selector jobs my-houses --details

    How far every job of a folder has come: planned, set, measured, verified, and what it still owes when it's cold or
    warm. Of several versions (house.yaml, house-2.yaml) the newest counts. `selector card FOLDER --out DIR` prints
    their cards in one go.
    """
    from selector.answers.folder.answer import jobs_report
    from selector.job.folder.job_files import jobs_of
    from selector.job.folder.unit_status import status_of

    if not os.path.isdir(folder):
        raise click.UsageError(f"{folder} is no folder; for one job type selector visits {folder}")
    jobs = jobs_of(folder)
    with within_bounds():
        units = [status_of(jobs.path(name), name) for name in jobs.names]
    return give(
        lambda: jobs_report(jobs, units, details=details, columns=terminal_columns()), why=None, as_json=as_json
    )
