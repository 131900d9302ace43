"""Facts of a job as leaves of arithmetic: the figure as it is held, and where it was typed."""

from __future__ import annotations

from fractions import Fraction

from selector.air import arithmetic
from selector.air.figure import Given, given
from selector.job.file.model import Amount, Job
from selector.table.model.table import Call, Table
from selector.units import UNITS, format_number, spelling


def place(job: Job, line: int) -> str:
    """Where a fact was typed."""
    return f"{job.file or 'job'}, line {line}" if line else "typed"


def typed(name: str, amount: Amount, job: Job) -> Given:
    """A figure of the job in the unit it is held in; where it was typed in another, that stands beside it in the
    arithmetic."""
    return given(
        name,
        amount.value,
        amount.unit,
        source=place(job, amount.line),
        kind=amount.kind,
        shown=beside(amount.value, amount.unit, amount.text),
    )


def beside(value: Fraction, unit: str, text: str) -> str:
    """`16 kW (54,594 Btu/h)` for a figure typed in another unit than it is held in; empty where both are one."""
    typed_unit = spelling(text.lstrip("+-0123456789., "))
    if not typed_unit or typed_unit == spelling(unit) or (typed_unit in UNITS and UNITS[typed_unit].name == unit):
        return ""
    places = UNITS[spelling(unit)].places if spelling(unit) in UNITS else 2
    return f"{text} ({format_number(value, places)} {unit})"


def share(name: str, amount: Amount, job: Job) -> Given:
    """A percentage of the job, held as a share."""
    return arithmetic.percent(name, amount.value, place(job, amount.line))


def stage_share(job: Job, table: Table, call: Call, stage: str) -> Given | None:
    """The share of the outdoor unit that runs in a stage: as typed, else of the table; full in the last stage; None
    where nothing tells it."""
    amount = job.outdoor.stages.get(stage) if job.outdoor is not None else None
    if amount is not None:
        return share("stage_share", amount, job)
    if stage == call.last:
        return arithmetic.percent("stage_share", Fraction(100), "the last stage runs all of it")
    if stage in call.capacity or "" in call.capacity:
        return arithmetic.percent(
            "stage_share", 100 * call.share_of_full(stage), f"{table.name}, line {call.line}: capacity of stage {stage}"
        )
    return None
