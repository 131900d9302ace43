"""What is allowed in a stage of a house: the range of its airflow, and whose limits its ends are."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import get_args

from selector.air.figure import Figure, given
from selector.job.board.expected import Expected
from selector.job.targets.aims import ORIGINS, AllowedEnd, AllowedRange, End, StageAim
from selector.job.targets.house import House
from selector.judge.judgement import StageJudgement
from selector.table.model.range import Range
from selector.units import convert


def allowed_in(house: House, aim: StageAim, stands: StageJudgement, heat: Fraction | None) -> AllowedRange:
    """What house, plate and page allow in a stage that delivers so much heat (Btu/h)."""
    return aim.allowed(house.table.units.airflow, *_of_page(house, stands, heat))


def allowed_of(house: House, one: Expected) -> AllowedRange:
    """What is allowed in a stage of a setting."""
    heat = one.answer.heat
    return allowed_in(house, one.aim, one.stands, heat if isinstance(heat, Fraction) else None)


def _of_page(house: House, stands: StageJudgement, heat: Fraction | None) -> Iterator[AllowedEnd]:
    """The ends that page and plate put on a stage."""
    engine, call = house.engine, house.engine.table.calls[stands.call]
    for check in stands.checks:
        judged, limit = check.judged[0], check.limit
        own = judged.range
        if limit.source in ORIGINS:
            continue
        if limit.quantity == "temperature rise" and heat:
            flows, own = engine.airflows_within(call, heat, own), Range(own.high, own.low)
        elif limit.quantity == "airflow per ton" and (tons := engine.running_tons(call, stands.stage)) is not None:
            flows = Range(*(None if end is None else end * tons for end in own.ends))
        elif limit.quantity == "airflow":
            flows = own
        else:
            continue
        for end, airflow, value in zip(get_args(End), flows.ends, own.ends, strict=True):
            if airflow is not None and value is not None:
                yield AllowedEnd(end=end, airflow=airflow, limit=limit, value=value)


def figure_of(end: AllowedEnd | None, unit: str) -> Figure | None:
    """An end as a figure in cfm with what it rests on; `unit` is the table's."""
    if end is None:
        return None
    if end.bound is not None:
        return end.bound.figure
    assert end.limit is not None
    return given("limit", convert(end.airflow, unit, "cfm"), "cfm", source=end.limit.source)
