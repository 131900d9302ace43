"""The verdict on a record as a function of what is not in its key: its tons, and its static pressure where that changes
no airflow. Exact: every end is a whole number of millionths that the typed figure is compared with."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from math import ceil, floor

from selector.answers.survey.fault import OK, RecordFault, unchecked_fault
from selector.survey.board.stage_facts import SCALE, Breach, StageFacts, TonLimit
from selector.value import Struct

RANK = {
    "danger": 1,
    "contradiction": 2,
    "not usable": 3,
    "outside the chart": 4,
    "outside limits": 6,
    "depends": 7,
    "OK": 8,
    "unreadable": 9,
    "not known": 10,
    "not checked": 11,
    "odd marks": 20,
    "odd fact": 21,
    "unknown table": 22,
}
STATIC_RANK = 5
"""Static over its limit is said before the other limits."""


class TonEnd(Struct, frozen=True, kw_only=True):
    """From (or below) so many millionths of a ton a window per ton is broken: the airflow per ton is `flow` over the
    tons, its end `end`."""

    at: int
    flow: Fraction
    end: Fraction
    fault: RecordFault


class StaticEnd(Struct, frozen=True, kw_only=True):
    """Over so many millionths the static pressure is over its limit `end`."""

    most: int
    end: Fraction
    fault: RecordFault


class RecordVerdict(Struct, frozen=True, kw_only=True):
    """`breach` holds where nothing else does. `low` holds from its tons on, `high` below its tons; with `waits_tons` or
    `waits_static` a record that nothing judged is OK once they are given."""

    breach: Breach
    rank: int
    low: TonEnd | None
    high: TonEnd | None
    static: StaticEnd | None
    waits_tons: bool
    waits_static: bool


def verdict_of(stages: Sequence[StageFacts], faults: Sequence[RecordFault] = ()) -> RecordVerdict:
    """The verdict over some stages and what is wrong apart from them."""
    certain = [Breach(fault=fault) for fault in faults] + [b for s in stages for b in s.breaches]
    worst = min(certain, key=_order) if certain else _without_breach(stages)
    rank = _rank(worst)
    static = min((s.static for s in stages if s.static is not None), key=lambda one: one.most, default=None)
    windows = [w for s in stages for w in s.per_ton]
    low, high = _ends(windows, worst.deviation if rank == RANK["outside limits"] else Fraction(0))
    upper = rank < STATIC_RANK
    return RecordVerdict(
        breach=worst,
        rank=rank,
        low=None if upper or rank == STATIC_RANK else low,
        high=None if upper or rank == STATIC_RANK else high,
        static=None
        if static is None or upper
        else StaticEnd(most=floor(static.most * SCALE), end=static.most, fault=static.fault),
        waits_tons=bool(windows),
        waits_static=static is not None,
    )


def _rank(breach: Breach) -> int:
    return STATIC_RANK if breach.of_static else RANK[breach.fault.verdict]


def _order(breach: Breach) -> tuple[int, Fraction]:
    return _rank(breach), -breach.deviation


def _without_breach(stages: Sequence[StageFacts]) -> Breach:
    """What is said where no limit is broken for certain."""
    depends = next((s.depends for s in stages if s.depends is not None), None)
    if depends is not None:
        return Breach(fault=depends)
    if any(s.judged for s in stages):
        return Breach(fault=OK)
    unknown = sorted((s.open for s in stages if s.open is not None), key=lambda f: RANK[f.verdict])
    if unknown:
        return Breach(fault=unknown[0])
    return Breach(fault=unchecked_fault(next((s.missing for s in stages if s.missing), "")))


def _ends(windows: Sequence[TonLimit], deviation: Fraction) -> tuple[TonEnd | None, TonEnd | None]:
    """Where the window per ton is broken, and worse than by `deviation`, on its low and its high side.

    Per ton is flow / tons. Of several stages the worst low one is that with the least flow / end whatever the tons, the
    worst high one that with the most; each is worse than a deviation d from tons = flow / end / (1 - d) up, and below
    flow / end / (1 + d). Where both are, the low one is worse from the middle of the two up.
    """
    lows = [(w.low_at, w) for w in windows if w.low_at is not None]
    highs = [(w.high_at, w) for w in windows if w.high_at is not None]
    low = min(lows, key=lambda one: one[0], default=None)
    high = max(highs, key=lambda one: one[0], default=None)
    if deviation:
        from_low = None if low is None or deviation >= 1 else low[0] / (1 - deviation)
        below_high = None if high is None else high[0] / (1 + deviation)
        start = None if from_low is None else floor(from_low * SCALE) + 1
        stop = None if below_high is None else ceil(below_high * SCALE)
    else:
        from_low, below_high = (None if one is None else one[0] for one in (low, high))
        start = None if low is None else low[1].low_from
        stop = None if high is None else high[1].high_below
    if from_low is not None and below_high is not None and low and high and below_high > from_low:
        start = stop = ceil((low[0] + high[0]) / 2 * SCALE)
    return (
        None
        if low is None or start is None
        else TonEnd(at=start, flow=low[1].flow, end=low[1].range.low or Fraction(0), fault=low[1].below),
        None
        if high is None or stop is None
        else TonEnd(at=stop, flow=high[1].flow, end=high[1].range.high or Fraction(0), fault=high[1].above),
    )
