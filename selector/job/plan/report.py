"""The plan of a job as a command answers with it."""

from __future__ import annotations

from fractions import Fraction

from selector.job.file.model import Job
from selector.job.file.report import Report
from selector.job.plan.data import data_of
from selector.job.plan.plan import CLOSE, Plan, plan
from selector.job.plan.text import lines_of
from selector.job.plan.why import plan_figures
from selector.job.targets.house import house_of
from selector.solve.search.find import NEAR
from selector.table.model.table import Table


def plan_report(
    job: Job, table: Table | None = None, *, why: bool = False, first: int = CLOSE + 1, near: Fraction = NEAR
) -> Report:
    """The plan: lines for people, the same as data (with the chain of every figure where `why`), exit code 0 or 1.

    Raises Refused where the job speaks of what the table doesn't have, rank.TooLarge where the search is beyond its
    bound.
    """
    return report_of(plan(house_of(job, table), first=first, near=near), why=why)


def report_of(found: Plan, *, why: bool = False, details: bool = False) -> Report:
    """A plan's report; with `details` the lines carry the whole arithmetic."""
    named = tuple(plan_figures(found))
    return Report(
        lines=tuple(lines_of(found, details=details)),
        data=data_of(found, why=why),
        exit_code=found.exit_code,
        figures=tuple(figure for _, figure in named),
        named=named,
    )
