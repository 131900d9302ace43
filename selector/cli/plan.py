"""`selector plan`."""

from __future__ import annotations

import click

from selector.cli.jobs import give, job_arguments, job_of


@click.command("plan")
@job_arguments
def command(job: str, facts: tuple[str, ...], why: bool, save: str | None, as_json: bool) -> int:
    """\b
    Example: selector plan corvane-k14 model=080 tons=3 "heat input=80 MBH" climate=humid "altitude=5,000 ft"

    From the facts of a house to one setting for the whole board: targets with their arithmetic, the moves, what to expect and what to
    measure. Give a job file, or a table and facts; --save writes the facts as a job file.
    """
    from selector.job.plan_report import plan_report

    typed = job_of(job, facts, save)
    return give(lambda: plan_report(typed, why=why), why=why, as_json=as_json)
