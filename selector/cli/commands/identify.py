"""`selector identify`."""

from __future__ import annotations

import click

from selector.cli.common import told_of_tables
from selector.cli.jobs import give, job_arguments, job_of, save_job


@click.command("identify")
@job_arguments
@click.option(
    "--tables", "paths", multiple=True, metavar="TABLE", help="Look only at these tables; otherwise at all there are."
)
@click.option("--no-index", is_flag=True, help="Read every table; keep nothing for the next time.")
def command(
    job: str,
    facts: tuple[str, ...],
    why: str | None,
    save: str | None,
    as_json: bool,
    paths: tuple[str, ...],
    no_index: bool,
) -> int:
    """\b
    Example: selector identify my-job.yaml

    Marks and measurements of a board whose chart is not at hand: which charts of the library fit, may fit or don't, and
    which plate or board
    marking would decide. It never gives a setting.
    """
    from selector.answers.identify import identify_report
    from selector.job.identify.library import possible_tables
    from selector.table.library.library import listed, path_of

    def refused(path: str) -> None:
        click.echo(f"passed over, it has problems: {path}", err=True)

    typed = job_of(job, facts, save)
    every = [path_of(path) for path in paths] or [p for found in listed().values() for p in found]
    tables = list(possible_tables(typed, every, refused=refused, kept=not no_index, told=told_of_tables()))
    save_job(typed, save)
    return give(lambda: identify_report(typed, tables), why=why, as_json=as_json)
