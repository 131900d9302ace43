"""`selector visits`."""

from __future__ import annotations

import click

from selector.cli.common import units_option, within_bounds
from selector.cli.jobs import give, job_of
from selector.cli.streams import terminal_columns


@click.command("visits")
@click.argument("job", metavar="JOB")
@units_option
@click.option("--json", "as_json", is_flag=True, help="Print the answer as JSON.")
def command(job: str, as_json: bool) -> int:
    """\b
    Example: selector visits my-job.yaml
    Example: selector measure my-job.yaml --visit 2027-11-02 "cooling second hood=1020 cfm minutes=20"

    Every visit to a unit: what changed since it was set, inside the bands of the readings (a filter that loads up, a
    switch that somebody moved, another input), what is verified, and what is owed when it's cold or warm. `selector
    measure --visit` adds one.
    """
    from selector.answers.visits.answer import visits_report
    from selector.job.targets.house import table_of
    from selector.job.visits.owed import unit_record

    typed = job_of(job, (), None)
    table = table_of(typed)
    with within_bounds():
        unit = unit_record(typed, table)
    return give(lambda: visits_report(unit, columns=terminal_columns()), why=None, as_json=as_json, table=table)
