"""What a cooling coil was measured to do: the split against the one to expect, the capacity delivered by enthalpy
against the nominal one of the stage. Inside +-15 % nothing is said; charge is other work.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Literal

from selector.air.figure import Figure, given, renamed
from selector.air.measured.arithmetic_coil_capacity import BAND_PERCENT, DeliveredCooling, delivered, wet_bulb_f
from selector.job.house.cooling_split import capacity_of, split_by_share, split_by_wet_bulb
from selector.job.readings.cooling_air import CoolingAir
from selector.job.remark import Remark, remark
from selector.job.targets.house import House
from selector.job.verify.cross_checks import SIDES
from selector.job.verify.verdict import PASSING, Verdict
from selector.table.model.range import Range
from selector.table.model.table import No
from selector.value import Struct, replace

Word = Literal["as expected", "low", "high", "none"]
RATED_WET_BULB_F = Fraction(67)
RATED_OUTDOORS_F = Fraction(95)
"""Entering wet bulb and outdoor air that a nominal capacity is rated at (AHRI 210/240, from memory)."""
PERCENT_A_DEGREE = Fraction(2)
"""How much a capacity changes with each F of entering wet bulb: about this, so the band widens by it to that side
(common practice, no source)."""
WIDEST_PERCENT = Fraction(30)


class CoolingVerdict(Struct, frozen=True, kw_only=True):
    """`word` of the capacity where that was measured (`by` capacity), else of the split (`by` split); none, and `why`.

    `airflow`: standard cfm it rests on, `measured` or as the marks select it. `capacity`: what the stage has, Btu/h,
    nominal or as typed for this air; `below`, `above`: the ends of the band, percent. `air_first`: airflow or static is
    not right yet, which comes before the coil.
    """

    air: CoolingAir
    word: Word
    by: Literal["capacity", "split", ""] = ""
    why: Remark | None = None
    expected: Figure | None = None
    delivered: DeliveredCooling | None = None
    capacity: Figure | None = None
    airflow: Figure | None = None
    measured: bool = False
    air_first: bool = False
    below: Fraction = BAND_PERCENT
    above: Fraction = BAND_PERCENT
    wet_bulb_f: Fraction | None = None

    @property
    def off(self) -> Fraction:
        """How far from what was expected, as a share of it."""
        if self.by == "capacity" and self.delivered is not None and self.capacity is not None:
            return (self.delivered.total.value - self.capacity.value) / self.capacity.value
        if self.by == "split" and self.expected is not None:
            return (self.air.split.value - self.expected.value) / self.expected.value
        return Fraction(0)

    @property
    def nominal(self) -> bool:
        """True where the capacity is that of the rating, not of this air."""
        return self.air.capacity is None


def cooling_verdict(house: House, verdict: Verdict) -> CoolingVerdict | None:
    """The verdict of one state, by its reading with the most known of the air; None where no split counts."""
    state, moved = verdict.state, verdict.moved
    read = [one.air for one in state.taken if one.air is not None]
    if not read:
        return None
    air = max(read, key=lambda one: (one.leaving is not None, one.entering is not None))
    tons = house.aim(state.call, state.stage).tons
    capacity = air.capacity or (None if tons is None else capacity_of(tons))
    base = CoolingVerdict(
        air=air, word="none", capacity=capacity, measured=bool(moved), air_first=bool(moved) and not _settled(verdict)
    )
    if verdict.iced:
        return replace(base, why=remark("coil iced"))
    if capacity is None:
        return replace(base, why=remark("tons not known"))
    flow = _standard(house, verdict)
    if flow is None:
        return replace(base, why=remark("airflow not known"))
    base = _with_band(replace(base, airflow=flow))
    expected, why = _expected(house, base, capacity, flow)
    base = replace(base, expected=expected)
    if moved and air.entering is not None and air.leaving is not None:
        try:
            found = delivered(air.entering, air.leaving, flow)
        except ValueError as wrong:
            return replace(base, why=remark("air against itself", wrong=f"{wrong}"))
        return _judged(replace(base, by="capacity", delivered=found))
    if expected is None:
        return replace(base, why=why)
    return _judged(replace(base, by="split"))


def _settled(verdict: Verdict) -> bool:
    """True where nothing is left to put right on the airflow or the static."""
    above = verdict.static is not None and bool(verdict.static.above)
    as_set = verdict.against == "as selected" or verdict.slight is not None
    return as_set and verdict.standing in PASSING and not above


def _with_band(one: CoolingVerdict) -> CoolingVerdict:
    """The band, wider where a nominal capacity is held against air of another wet bulb than it is rated at."""
    if one.air.entering is None:
        return one
    wet = Fraction(str(round(wet_bulb_f(one.air.entering, one.air.pressure), 1)))
    if not one.nominal:
        return replace(one, wet_bulb_f=wet)
    wider = PERCENT_A_DEGREE * (RATED_WET_BULB_F - wet)
    below, above = (min(BAND_PERCENT + max(side, Fraction(0)), WIDEST_PERCENT) for side in (wider, -wider))
    return replace(one, wet_bulb_f=wet, below=below, above=above)


def _judged(one: CoolingVerdict) -> CoolingVerdict:
    side = Range(-one.below, one.above).side(100 * one.off)
    return replace(one, word="as expected" if side == "inside" else SIDES[side])


def _standard(house: House, verdict: Verdict) -> Figure | None:
    """The standard airflow that passed the coil: as measured, else as the marks select it; None where it isn't known,
    or depends on what the chart means."""
    if verdict.moved:
        one = verdict.moved[0]
        return renamed(house.air.standard(one.airflow, one.way), "standard_airflow")
    if isinstance(verdict.selected, No) or len(house.air.ways) > 1:
        return None
    return renamed(house.air.standard(verdict.selected, house.air.ways[0]), "standard_airflow")


def _expected(house: House, one: CoolingVerdict, capacity: Figure, flow: Figure) -> tuple[Figure | None, Remark | None]:
    """The split to expect: by the wet bulb read with it, else by the sensible share typed."""
    air = one.air
    if air.entering is not None and one.wet_bulb_f is not None:
        dry = renamed(air.entering.dry_bulb, "return_air")
        wet = given("return_wet_bulb", one.wet_bulb_f, "F", source=air.entering.moisture.source, kind="temperature")
        try:
            return split_by_wet_bulb(house.job, capacity, flow, dry, wet), None
        except ValueError as wrong:
            return None, remark("no split to expect", wrong=f"{wrong}")
    shared = split_by_share(house.job, capacity, flow)
    return shared, None if shared is not None else remark("wet bulb not known")
