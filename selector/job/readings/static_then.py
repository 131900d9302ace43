"""The static to expect at another airflow in the same house, from what was read at one: ducts, fittings and coil by the
square, a filter's medium between straight and square, or by its own chart.

It holds with the filter, the coil (as wet or dry), the dampers and the zones as they were read. With zones or a bypass
there is no such law.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Literal

from selector.air import arithmetic_duct
from selector.air.figure import Figure, Worked, given, renamed
from selector.air.measured.arithmetic_flow import airflow_by_chart, airflow_with_filter, medium_then, square_then
from selector.air.measured.pressure_drop import by_chart
from selector.job.file.model import Job
from selector.job.house.fact_figures import place
from selector.job.readings.pressure_profile import Profile
from selector.value import Struct


class StaticThen(Struct, frozen=True, kw_only=True):
    """Static now and then, in in. w.c., at airflows in cfm as the chart counts them; `low` and `high` are equal where
    no filter's medium was read by itself. `most`: the end it may not pass, None where none is known."""

    call: str
    stage: str
    measured: Figure
    now: Figure
    then: Figure
    low: Figure
    high: Figure
    most: Figure | None = None

    @property
    def over(self) -> Literal["", "over", "may be over"]:
        """`over` where it passes its end whatever the filter does, `may be over` where it only may; else empty."""
        if self.most is None or self.high.value <= self.most.value:
            return ""
        return "over" if self.low.value > self.most.value else "may be over"


def static_then(
    external: Figure, profile: Profile | None, now: Figure, then: Figure, job: Job
) -> tuple[Figure, Figure] | None:
    """Least and most external static at another airflow; None where no law holds, or nothing moves now."""
    if job.zoning is not None or not now.value:
        return None
    before, after = renamed(now, "airflow_now"), renamed(then, "airflow_then")
    whole = renamed(external, "external_static")
    filtered = profile.part("filter") if profile is not None else None
    if filtered is None or filtered.share is None:
        only = square_then(whole, before, after, "static_then")
        return only, only
    drop = renamed(filtered.drop, "filter_drop")
    rest = Worked(
        name="without_the_filter",
        value=whole.value - drop.value,
        unit="in. w.c.",
        expression=f"{whole.name} - {drop.name}",
        inputs=(whole, drop),
    )
    ducts = square_then(rest, before, after, "ducts_then")
    printed = _by_chart(job, drop, before, after)
    ends = (printed, printed) if printed is not None else medium_then(drop, before, after, "filter_then")
    low, high = (_both(ducts, end) for end in ends)
    return low, high


def airflow_at_static(
    external: Figure, profile: Profile | None, now: Figure, greatest: Figure, job: Job, name: str = "greatest_airflow"
) -> Figure:
    """The airflow at which the static, by the most that `static_then` expects, comes to its end: by the square; with a
    filter that was read by itself, by its own chart, or its medium straight where the airflow has to come down."""
    whole, end = renamed(external, "static"), renamed(greatest, "greatest_static")
    filtered = profile.part("filter") if profile is not None else None
    if filtered is not None and filtered.share is not None:
        drop = renamed(filtered.drop, "filter_drop")
        chart = next((one.drop for one in job.ceilings if one.name == "filter" and one.drop is not None), None)
        if chart is not None:
            source = f"its chart, {place(job, chart.line)}"
            found = airflow_by_chart(whole, drop, now, end, chart.points, source, name)
            if found is not None:
                return found
        if end.value < whole.value and drop.value < whole.value:
            return airflow_with_filter(whole, drop, now, end, name)
    return arithmetic_duct.duct_airflow(arithmetic_duct.duct_k(whole, now), end, name=name)


def _both(ducts: Figure, medium: Figure) -> Worked:
    return Worked(
        name="static_then",
        value=ducts.value + medium.value,
        unit="in. w.c.",
        expression=f"{ducts.name} + {medium.name}",
        inputs=(ducts, medium),
    )


def _by_chart(job: Job, drop: Figure, now: Figure, then: Figure) -> Figure | None:
    """The filter's drop then, as its chart goes from one airflow to the other; what dirt adds goes along."""
    chart = next((one.drop for one in job.ceilings if one.name == "filter" and one.drop is not None), None)
    if chart is None:
        return None
    ends: list[Fraction | None] = [by_chart(chart.points, airflow.value) for airflow in (now, then)]
    if ends[0] is None or ends[1] is None or not ends[0]:
        return None
    source = f"its chart, {place(job, chart.line)}"
    one = given("charted_now", ends[0], "in. w.c.", source=source)
    other = given("charted_then", ends[1], "in. w.c.", source=source)
    return Worked(
        name="filter_then",
        value=drop.value * other.value / one.value,
        unit="in. w.c.",
        expression=f"{drop.name} * charted_then / charted_now",
        inputs=(drop, other, one),
    )
