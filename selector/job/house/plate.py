"""What the rating plate allows, from the job, else from the table: rise, outlet temperature, least return."""

from __future__ import annotations

from fractions import Fraction
from typing import Literal

from selector.air.figure import Figure, Given, given
from selector.job.file.model import Job
from selector.job.house.fact_figures import place, typed
from selector.solve.board.facts import Facts
from selector.solve.board.plate import plate_span
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import Board
from selector.table.model.table import Call, Setting, Table
from selector.units import convert, rise

LimitOwner = Literal["plate", "manual", "chart", "derate", "assumed", "maker"]
"""Whose a limit is: the rating plate, what the manual prints for the marks, what its chart holds up to, a derate that
was named, a figure nobody typed, the maker's as typed."""


def plate_rise(job: Job, table: Table, facts: Facts, stage: str) -> tuple[Given | None, Given | None]:
    """Lower and upper end of the plate's rise, F; of the plate of the equipment that is known to be there where a
    selector decides it."""
    spans = job.heat.rise if job.heat is not None else {}
    span = spans.get(stage, spans.get(""))
    if span is not None:
        source = place(job, span.line)
        return _degrees("lowest_rise", span.low, source), _degrees("highest_rise", span.high, source)
    allowed = plate_span(table, facts, "temperature rise", stage)
    if allowed is None:
        return None, None
    printed, line = allowed
    source = f"{table.name}, line {line}"
    low, high = (None if end is None else rise(end, table.units.temperature, "F") for end in printed.ends)
    return _degrees("lowest_rise", low, source), _degrees("highest_rise", high, source)


def rise_as_set(
    job: Job, engine: Engine, call: Call, stage: str, setting: Setting
) -> tuple[Given | None, Given | None]:
    """The same with what the page prints for the marks set: the higher of the lower ends and the lower of the upper.
    An end of the page has a name of its own."""
    table = engine.table
    low, high = plate_rise(job, table, engine.facts, stage)
    for limit, ends in Board(engine, setting).allowed(engine.asked(call, stage), "temperature rise"):
        source = f"{table.name}, line {limit.line}: {limit.source}"
        least, most = (None if end is None else rise(end, table.units.temperature, "F") for end in ends.ends)
        if least is not None and (low is None or least > low.value):
            low = _degrees("lowest_printed_rise", least, source)
        if most is not None and (high is None or most < high.value):
            high = _degrees("highest_printed_rise", most, source)
    return low, high


def whose(end: Figure) -> LimitOwner:
    """Whose an end of the rise or of static is."""
    if end.name == "holds_up_to":
        return "chart"
    return "manual" if end.name in ("lowest_printed_rise", "highest_printed_rise") else "plate"


def _degrees(name: str, value: Fraction | None, source: str) -> Given | None:
    return None if value is None else given(name, value, "F", source=source)


def outlet_limit(job: Job, table: Table, model: str | None, stage: str) -> Given | None:
    """The highest supply air, F."""
    if job.heat is not None and job.heat.outlet_limit is not None:
        return typed("outlet_limit", job.heat.outlet_limit, job)
    allowed = table.plate("outlet limit", model, stage)
    if allowed is None or allowed.high is None:
        return None
    source = f"{table.name}, line {table.ratings['outlet limit'].line}"
    most = convert(allowed.high, table.units.temperature, "F")
    return given("outlet_limit", most, "F", source=source, kind="temperature")


def least_return(job: Job) -> Given | None:
    """The lowest return air, F."""
    amount = job.heat.least_return if job.heat is not None else None
    return None if amount is None else typed("least_return", amount, job)
