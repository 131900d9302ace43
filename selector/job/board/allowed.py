"""What is allowed in a stage of a house: the range of its airflow, and whose limits its ends are."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Literal

from selector.air.figure import Figure, given
from selector.job.targets.aims import ORIGINS, Bound, StageAim
from selector.job.targets.house import House
from selector.judge.judgement import StageJudgement
from selector.solve.engine.limit import Limit
from selector.table.model.range import Range
from selector.units import convert
from selector.value import Struct

End = Literal["low", "high"]


class AllowedEnd(Struct, frozen=True, kw_only=True):
    """One end, an airflow in the table's unit: a `bound` of the house, or a `limit` of page or plate whose own figure
    is `value` (a rise, an airflow, one per ton)."""

    airflow: Fraction
    bound: Bound | None = None
    limit: Limit | None = None
    value: Fraction = Fraction(0)


class AllowedRange(Struct, frozen=True, kw_only=True):
    """The highest of the lower ends and the lowest of the upper ones; None is an open end."""

    low: AllowedEnd | None = None
    high: AllowedEnd | None = None

    @property
    def range(self) -> Range:
        """The airflows alone."""
        return Range(None if self.low is None else self.low.airflow, None if self.high is None else self.high.airflow)


def allowed_in(house: House, aim: StageAim, stands: StageJudgement, heat: Fraction | None) -> AllowedRange:
    """What house, plate and page allow in a stage that delivers so much heat (Btu/h)."""
    ends: dict[End, list[AllowedEnd]] = {"low": [], "high": []}
    for bound in aim.bounds:
        airflow = convert(bound.figure.value, "cfm", house.table.units.airflow)
        ends[bound.end].append(AllowedEnd(airflow=airflow, bound=bound))
    for end, found in _of_page(house, stands, heat):
        ends[end].append(found)
    return AllowedRange(
        low=max(ends["low"], key=lambda e: e.airflow, default=None),
        high=min(ends["high"], key=lambda e: e.airflow, default=None),
    )


def _of_page(house: House, stands: StageJudgement, heat: Fraction | None) -> Iterator[tuple[End, AllowedEnd]]:
    """The ends that page and plate put on a stage."""
    engine, call = house.engine, house.engine.table.calls[stands.call]
    for check in stands.checks:
        judged, limit = check.judged[0], check.limit
        if limit.source in ORIGINS:
            continue
        low, high = judged.low, judged.high
        if limit.quantity == "temperature rise":
            if not heat:
                continue
            full = heat / engine.burned(call)  # a derate nobody measured: the upper rise has the full nameplate heat
            flows = [None if not x else engine.airflow_at(h, x) for h, x in ((full, high), (heat, low))]
            low, high = high, low  # the more air, the lower the rise
        elif limit.quantity == "airflow per ton":
            tons = engine.running_tons(call, stands.stage)
            flows = [None if x is None or tons is None else x * tons for x in (low, high)]
        elif limit.quantity == "airflow":
            flows = [low, high]
        else:
            continue
        ends: tuple[tuple[End, Fraction | None, Fraction | None], ...] = (
            ("low", flows[0], low),
            ("high", flows[1], high),
        )
        for end, airflow, value in ends:
            if airflow is not None and value is not None:
                yield end, AllowedEnd(airflow=airflow, limit=limit, value=value)


def figure_of(end: AllowedEnd | None, unit: str) -> Figure | None:
    """An end as a figure in cfm with what it rests on; `unit` is the table's."""
    if end is None:
        return None
    if end.bound is not None:
        return end.bound.figure
    assert end.limit is not None
    return given("limit", convert(end.airflow, unit, "cfm"), "cfm", source=end.limit.source)
