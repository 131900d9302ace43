"""`selector verify`."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import click

from selector.cli.common import within_bounds
from selector.cli.jobs import give, job_arguments, job_of, save_job
from selector.cli.plots import Plots, plot_options

if TYPE_CHECKING:
    from selector.draw.plots.plots import Shown
    from selector.job.verify.verify import Verified


@click.command("verify")
@job_arguments
@plot_options
@click.option("--call", "only", metavar="CALL", help="Only this call (and stage).")
def command(
    job: str, facts: tuple[str, ...], why: str | None, save: str | None, as_json: bool, plots: Plots, only: str | None
) -> int:
    """\b
    Example: selector verify my-job.yaml

    Judge what was measured: delivered airflow against the one selected and the target, each with its band; likely
    causes; the next step, or
    that no setting will do it. Type what you saw that can hurt: "seen=gas smell". `selector measure` adds readings.
    """
    from selector.answers.verify.answer import report
    from selector.job.targets.house import house_of
    from selector.job.verify.verify import verified
    from selector.solve.search.typed_facts import call_named

    typed = job_of(job, facts, save)
    house = house_of(typed)
    stage = call_named(only, house.table) if only else None
    with within_bounds():
        found = verified(house, stage)
    if typed.measurements:
        save_job(typed, save)
    code = give(lambda: report(found), why=why, as_json=as_json, table=house.table)
    plots.give(lambda: _plots(found))
    return code


def _plots(found: Verified) -> Sequence[Shown]:
    from selector.answers.plots.job import verify_plots

    with within_bounds():
        return verify_plots(found)
