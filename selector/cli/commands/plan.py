"""`selector plan`."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import click

from selector.cli.common import within_bounds
from selector.cli.jobs import give, job_arguments, job_of, save_job
from selector.cli.plots import Plots, plot_options
from selector.cli.streams import terminal_columns

if TYPE_CHECKING:
    from selector.draw.plots.plots import Shown
    from selector.job.plan.plan import Plan


@click.command("plan")
@job_arguments
@plot_options
@click.option(
    "--also", multiple=True, metavar="NAME=VALUE", help="Another plan beside this one, with this typed; what differs."
)
@click.option("--details", is_flag=True, help="The whole arithmetic, ramps and delays, other settings.")
def command(
    job: str,
    facts: tuple[str, ...],
    why: str | None,
    save: str | None,
    as_json: bool,
    plots: Plots,
    also: tuple[str, ...],
    details: bool,
) -> int:
    """\b
    Example: selector plan corvane-k14 model=080 tons=3 "heat input=80 MBH" climate=humid "altitude=5,000 ft"
    Example: selector plan my-job.yaml --also tons=2.5 --also "hold SW1-3=ON"

    Work out one setting for a job: targets with their arithmetic, the moves, what to expect and what to measure. Give a
    job file, or a table and facts; --save writes the facts as a job file. Type what you saw that can hurt: "seen=gas
    smell", "seen=CO alarm", "seen=limit trips", "seen=flame moves". It is said first. With --also what-ifs stand beside
    the plan, and only what differs is shown.
    """
    if also:
        if why is not None or save or details:
            raise click.UsageError("--also shows what differs alone: leave --why, --save and --details for one plan")
        return _side_by_side(job, facts, also, as_json=as_json)
    from selector.answers.danger import subjects, with_dangers
    from selector.answers.house.plan import plan_report
    from selector.job.danger.hazard import no_moves
    from selector.job.danger.house import hazards_of_board
    from selector.job.plan.plan import plan
    from selector.job.targets.house import house_of

    typed = job_of(job, facts, save)
    with within_bounds():
        found = plan(house_of(typed))
    save_job(typed, save)
    dangers = hazards_of_board(found.house, found.house.now)
    code = give(
        lambda: with_dangers(
            plan_report(
                found,
                details=details,
                columns=terminal_columns(),
                offered=not no_moves(dangers),
                told=subjects(dangers),
                why=why is not None,
            ),
            dangers,
            found.house.table,
        ),
        why=why,
        as_json=as_json,
        table=found.house.table,
    )
    plots.give(lambda: _plots(found))
    return code


def _side_by_side(job: str, facts: tuple[str, ...], also: tuple[str, ...], *, as_json: bool) -> int:
    """The plan as typed and each what-if, in which a fact replaces the one of its name."""
    from selector.answers.danger import with_dangers
    from selector.answers.house.what_if import TYPED, WhatIf, what_if_report
    from selector.job.danger.house import hazards_of_board
    from selector.job.plan.plan import plan
    from selector.job.targets.house import house_of

    plans = []
    for typed in ("", *also):
        more = tuple(part.strip() for part in typed.split(";") if part.strip())
        names = {_name(one) for one in more}
        kept = tuple(fact for fact in facts if _name(fact) not in names)
        with within_bounds():
            found = plan(house_of(job_of(job, (*kept, *more), None), tried=bool(typed)))
        dangers = hazards_of_board(found.house, found.house.now)
        plans.append(WhatIf(label=typed or TYPED, plan=found, dangers=dangers))
    table = plans[0].plan.house.table
    return give(
        lambda: with_dangers(what_if_report(plans, columns=terminal_columns()), plans[0].dangers, table),
        why=None,
        as_json=as_json,
        table=table,
    )


def _name(fact: str) -> str:
    return " ".join(fact.partition("=")[0].casefold().split())


def _plots(found: Plan) -> Sequence[Shown]:
    from selector.answers.plots.job import plan_plots

    with within_bounds():
        return plan_plots(found)
