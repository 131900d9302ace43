"""The strips of a house: the airflow of every call from as found to as left, within what the house allows."""

from __future__ import annotations

from collections.abc import Sequence

from selector.answers.plots.strips import flow, rise_bars, said
from selector.draw.plots.strip import OPEN, Ends, Strip, Strips
from selector.job.board.allowed import allowed_of
from selector.job.board.expected import Expected
from selector.job.targets.house import House
from selector.units import convert

Stages = Sequence[Expected]


def strips_of(
    house: House, now: Stages, before: Stages = (), words: tuple[str, str] = ("as found", "as left")
) -> Strips:
    """Every stage that has one airflow in either; `before` is empty where nothing moves."""
    was = {(one.aim.call, one.aim.stage): one for one in before}
    pairs = [(one, was.get((one.aim.call, one.aim.stage))) for one in now]
    return Strips(
        unit=house.table.units.airflow,
        rows=tuple(_strip(house, one, earlier) for one, earlier in pairs),
        bars=rise_bars(house.engine, ((one.answer, None if b is None else b.answer) for one, b in pairs)),
        words=words,
    )


def _strip(house: House, now: Expected, was: Expected | None) -> Strip:
    aim = now.aim.aim.charted if now.aim.aim.counts else None
    return Strip(
        name=now.title,
        was=None if was is None else flow(was.answer),
        now=flow(now.answer),
        allowed=_ends(house, now),
        target=None if aim is None else float(convert(aim.value, "cfm", house.table.units.airflow)),
        said=("" if was is None else said(was.answer), said(now.answer)),
    )


def _ends(house: House, one: Expected) -> Ends:
    """What is allowed, open where no airflow keeps both ends."""
    if one.charted is None:
        return OPEN
    allowed = allowed_of(house, one)
    low, high = allowed.low, allowed.high
    if low is not None and high is not None and low.airflow > high.airflow:
        return OPEN
    return (None if low is None else float(low.airflow), None if high is None else float(high.airflow))
