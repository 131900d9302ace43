"""`selector verify`."""

from __future__ import annotations

import click

from selector.cli.jobs import give, job_arguments, job_of


@click.command("verify")
@job_arguments
@click.option("--call", "only", metavar="CALL", help="Only this call (and stage).")
def command(job: str, facts: tuple[str, ...], why: bool, save: str | None, as_json: bool, only: str | None) -> int:
    """\b
    Example: selector verify my-job.yaml

    Judge what was measured: delivered airflow against the one selected and the target, each with its band; likely causes; the next step, or
    that no setting will do it.
    """
    from selector.job.house import house_of
    from selector.job.verify import verify
    from selector.solve.asked import call_named

    house = house_of(job_of(job, facts, save))
    stage = call_named(only, house.table) if only else None
    return give(lambda: verify(house, stage), why=why, as_json=as_json)
