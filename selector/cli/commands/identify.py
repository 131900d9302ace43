"""`selector identify`."""

from __future__ import annotations

import click

from selector.cli.jobs import give, job_arguments, job_of, save_job


@click.command("identify")
@job_arguments
@click.option(
    "--tables", "paths", multiple=True, metavar="TABLE", help="Look only at these tables; otherwise at all there are."
)
def command(
    job: str, facts: tuple[str, ...], why: str | None, save: str | None, as_json: bool, paths: tuple[str, ...]
) -> int:
    """\b
    Example: selector identify my-job.yaml

    Marks and measurements of a board whose chart is not at hand: which charts of the library fit, may fit or don't, and
    which plate or board
    marking would decide. It never gives a setting.
    """
    from selector.answers.identify import identify_report
    from selector.problems import Refused
    from selector.table.library.library import listed, load

    tables = []
    for path in paths or [p for found in listed().values() for p in found]:
        try:
            tables.append(load(path)[0])
        except Refused:
            click.echo(f"passed over, it has problems: {path}", err=True)
    typed = job_of(job, facts, save)
    save_job(typed, save)
    return give(lambda: identify_report(typed, tables), why=why, as_json=as_json)
