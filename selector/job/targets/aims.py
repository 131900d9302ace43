"""The aim and the window of one call's stage, each a figure with its inputs, in airflow as the chart counts it."""

from __future__ import annotations

from fractions import Fraction
from typing import Literal, get_args

from selector.air.figure import Figure, Worked, given
from selector.job.house.air import HouseAir, Way
from selector.job.remark import Remark
from selector.solve.engine.limit import Limit
from selector.table.model.range import Range
from selector.table.model.roles import Role
from selector.units import convert
from selector.value import Struct

End = Literal["low", "high"]
Origin = Literal["rise", "outlet", "leaving air", "floor", "ceiling", "face", "zone", "typed", "static", "heater"]
ORIGINS: frozenset[str] = frozenset(get_args(Origin))
"""What may set an end of the house."""


class Bound(Struct, frozen=True, kw_only=True):
    """One end of a window: the charted airflow (cfm) under one way of reading it, and what sets it.

    `rise_f`: the rise that ends there, where it comes from one (then it holds at every firing rate). `limit`: the limit
    as it was given, in its own unit; `name`: the thing the air passes, the state static was read in. `assumed`: nobody
    typed it; `measured`: the ducts were read at an airflow that was measured there; `of_page`: the page puts the same
    limit on the stage, which is judged there.
    """

    end: End
    figure: Figure
    origin: Origin
    way: Way
    rise_f: Fraction | None = None
    limit: Figure | None = None
    name: str = ""
    assumed: bool = False
    measured: bool = False
    of_page: bool = False


class AllowedEnd(Struct, frozen=True, kw_only=True):
    """One end, an airflow in the table's unit: a `bound` of the house, or a `limit` of page or plate whose own figure
    is `value` (a rise, an airflow, one per ton)."""

    end: End
    airflow: Fraction
    bound: Bound | None = None
    limit: Limit | None = None
    value: Fraction = Fraction(0)


class AllowedRange(Struct, frozen=True, kw_only=True):
    """What is allowed in a stage: the highest of the lower ends and the lowest of the upper ones; None is open."""

    ends: tuple[AllowedEnd, ...]

    @property
    def low(self) -> AllowedEnd | None:
        """The lower end that counts."""
        return max((e for e in self.ends if e.end == "low"), key=lambda e: e.airflow, default=None)

    @property
    def high(self) -> AllowedEnd | None:
        """The upper end that counts."""
        return min((e for e in self.ends if e.end == "high"), key=lambda e: e.airflow, default=None)

    @property
    def range(self) -> Range:
        """The airflows alone; empty where none meets both ends."""
        return Range(*(None if end is None else end.airflow for end in (self.low, self.high)))


class Aim(Struct, frozen=True, kw_only=True):
    """What is aimed at in one stage. `charted`: the charted airflow to look for, cfm (None: no aim, `why` says so).

    `rise_f`: the rise aimed at, where that was asked; `low_cfm`, `high_cfm` ends of an aim that is a range; `of`: the
    call and stage a share is of.
    `counts`: it stands in the ranking; `typed`: the person asked for it outright. `basis`: what it comes of, `more` is
    to be said of that; `why`: why there is no target of its own.
    """

    charted: Figure | None = None
    standard: Figure | None = None
    volume: Figure | None = None
    rise_f: Figure | None = None
    share_percent: Fraction | None = None
    of: tuple[str, str] | None = None
    low_cfm: Fraction | None = None
    high_cfm: Fraction | None = None
    counts: bool = False
    typed: bool = False
    basis: Remark | None = None
    more: Remark | None = None
    why: Remark | None = None
    by_way: tuple[Figure, ...] = ()


class StageAim(Struct, frozen=True, kw_only=True):
    """A call's stage with its aim, its bounds, and what couldn't be judged for want of a fact.

    `heat` is what it delivers at the firing rate meant, `full_heat` at full fire, both Btu/h; `nameplate` what it would
    deliver there without the derate that was named; `rated_volts`: it is that of a heater whose supply voltage isn't
    given; `as_read`: what it was read to deliver, where that has to be put right first.
    """

    call: str
    stage: str
    role: Role
    aim: Aim
    bounds: tuple[Bound, ...] = ()
    heat: Figure | None = None
    full_heat: Figure | None = None
    nameplate: Figure | None = None
    as_read: Figure | None = None
    efficiency: Figure | None = None
    tons: Figure | None = None
    unknown: tuple[Remark, ...] = ()
    remarks: tuple[Remark, ...] = ()
    rated_volts: bool = False

    @property
    def title(self) -> str:
        """The call and its stage as people say it."""
        return f"{self.call} {self.stage}".strip()

    @property
    def burning(self) -> Figure | None:
        """The heat that a reading meets, Btu/h: as it was read, else as it is reckoned."""
        return self.as_read or self.heat

    @property
    def low(self) -> Bound | None:
        """The highest of the lower ends."""
        end = self.allowed("cfm").low
        return None if end is None else end.bound

    @property
    def high(self) -> Bound | None:
        """The lowest of the upper ends."""
        end = self.allowed("cfm").high
        return None if end is None else end.bound

    @property
    def heater_floor(self) -> Bound | None:
        """The least air for strip heat; None where the stage has none, or it isn't known."""
        return next((b for b in self.bounds if b.origin == "heater"), None)

    @property
    def empty(self) -> bool:
        """True where no airflow meets both ends."""
        return self.allowed("cfm").range.empty

    def allowed(self, unit: str, *others: AllowedEnd) -> AllowedRange:
        """What the house allows, in a unit of airflow; with ends that others set, in that unit too."""
        own = (AllowedEnd(end=b.end, airflow=convert(b.figure.value, "cfm", unit), bound=b) for b in self.bounds)
        return AllowedRange(ends=(*own, *others))


def between_ways(standard: Figure, air: HouseAir) -> tuple[Figure, tuple[Figure, ...]]:
    """The charted figure to look for, and that of each way. With two ways: the one that is off by the same share
    either way."""
    by_way = tuple(air.charted(standard, way, "charted") for way in air.ways)
    if len(by_way) == 1:
        return by_way[0], by_way
    one, other = by_way
    value = 2 * one.value * other.value / (one.value + other.value)
    inputs = (renamed_given(one, "read_as_standard"), renamed_given(other, "read_as_volume"))
    between = Worked(
        name="charted",
        value=value,
        unit="cfm",
        expression="2 * read_as_standard * read_as_volume / (read_as_standard + read_as_volume)",
        inputs=inputs,
        note="the table doesn't say what its airflow means: off by the same share either way",
    )
    return between, by_way


def renamed_given(figure: Figure, name: str) -> Figure:
    """The figure under another name."""
    from selector.air.figure import renamed

    return renamed(figure, name)


def plain_figure(name: str, cfm: Fraction, source: str) -> Figure:
    """An airflow that stands as it was typed."""
    return given(name, cfm, "cfm", source=source)
