"""Cooling airflow: from tons, from a sensible load, and the difference between entering and leaving air to expect.

Tons are those of the outdoor unit at the running stage.
"""

from __future__ import annotations

from fractions import Fraction

from selector.air import moist
from selector.air.density import SENSIBLE_FACTOR, TOTAL_FACTOR
from selector.air.number import N, Number, positive
from selector.value import Struct

USUAL_CFM_PER_TON = 400
MOISTURE_CFM_PER_TON = 350
DRY_CLIMATE_CFM_PER_TON = 450
"""Common practice, no source: 400 usual, 350 to remove more moisture, up to 450 in dry climates."""
LEAVING_RELATIVE_HUMIDITY_PERCENT = 90.0
"""Air as it leaves a wet coil (common practice, no source): an assumption, named wherever a split rests on it."""


def airflow_from_tons_cfm(tons: N, cfm_per_ton: N) -> N:
    """Airflow, cfm: tons x cfm per ton. Usual 350 to 450.

    >>> airflow_from_tons_cfm(Fraction(3), Fraction(400))
    Fraction(1200, 1)
    """
    positive("tons", tons)
    positive("airflow per ton", cfm_per_ton, "cfm/ton")
    return tons * cfm_per_ton


def cfm_per_ton(airflow_cfm: N, tons: N) -> N:
    """Airflow per ton of the running capacity, after every trim, stage, dehumidify and ramp that is in force.

    >>> cfm_per_ton(Fraction(1200) * Fraction("0.9") * Fraction("0.85"), Fraction(3))
    Fraction(306, 1)
    """
    positive("tons", tons)
    return airflow_cfm / tons


def airflow_from_sensible_cfm(sensible_btuh: N, difference_f: N, factor: N | None = None) -> N:
    """Airflow, cfm: sensible load / (factor x supply difference), factor 1.08 Btu/(h cfm F) unless given.

    >>> round(airflow_from_sensible_cfm(Fraction(35_700), Fraction(20)))
    1653
    """
    positive("sensible load", sensible_btuh, "Btu/h")
    positive("supply difference", difference_f, "F")
    return sensible_btuh / ((SENSIBLE_FACTOR if factor is None else factor) * difference_f)


def sensible_heat_ratio(sensible_btuh: N, latent_btuh: N) -> N:
    """Sensible share of the total load, 0 to 1.

    >>> float(round(sensible_heat_ratio(Fraction(35_700), Fraction(3_500)), 3))
    0.911
    """
    positive("sensible load", sensible_btuh, "Btu/h")
    if latent_btuh < 0:
        raise ValueError(f"latent load must not be under 0, got {float(latent_btuh):g} Btu/h")
    return sensible_btuh / (sensible_btuh + latent_btuh)


def supply_difference_f(sensible_share: Number) -> int:
    """Room air less supply air, F, to design with: 21 below a sensible share of 0.80, 19 from 0.80 to 0.85, 17 above.
    ACCA Manual S, from memory.

    >>> supply_difference_f(0.75), supply_difference_f(0.85), supply_difference_f(0.91)
    (21, 19, 17)
    """
    if not 0 < sensible_share <= 1:
        raise ValueError(f"sensible share {float(sensible_share):g} is outside 0 to 1")
    if sensible_share < Fraction(80, 100):
        return 21
    return 19 if sensible_share <= Fraction(85, 100) else 17


def split_from_share_f(total_btuh: N, sensible_share: N, airflow_cfm: N, factor: N | None = None) -> N:
    """Entering less leaving dry bulb, F, where the sensible share is known: total x share / (factor x airflow).

    >>> float(round(split_from_share_f(Fraction(36_000), Fraction("0.75"), Fraction(1200)), 1))
    20.8
    """
    positive("capacity", total_btuh, "Btu/h")
    positive("airflow", airflow_cfm, "cfm")
    if not 0 < sensible_share <= 1:
        raise ValueError(f"sensible share {float(sensible_share):g} is outside 0 to 1")
    return total_btuh * sensible_share / ((SENSIBLE_FACTOR if factor is None else factor) * airflow_cfm)


class Split(Struct, frozen=True, kw_only=True):
    """What to expect across a cooling coil. `wet`: the coil takes moisture out. Humidity ratios in lb of vapour a lb
    of dry air."""

    split_f: float
    leaving_dry_bulb_f: float
    sensible_share: float
    wet: bool
    entering_humidity_ratio: float
    leaving_humidity_ratio: float


def expected_split(
    *,
    entering_dry_bulb_f: float,
    entering_wet_bulb_f: float,
    total_btuh: float,
    standard_cfm: float,
    pressure_psia: float,
    leaving_relative_humidity_percent: float = LEAVING_RELATIVE_HUMIDITY_PERCENT,
) -> Split:
    """The split where entering dry and wet bulb are known.

    Energy balance: leaving enthalpy = entering enthalpy - total / (4.5 x standard cfm); leaving air stands at the
    relative humidity given where
    the coil is wet, else keeps its moisture. `total_btuh` is the capacity at these conditions (nominal where not known:
    then a rough figure).
    ValueError where the air can't give up that much above 0 F.

    >>> split = expected_split(entering_dry_bulb_f=80, entering_wet_bulb_f=67, total_btuh=36000, standard_cfm=1200,
    ... pressure_psia=14.696)
    >>> round(split.split_f, 1), split.wet
    (20.6, True)
    """
    positive("capacity", total_btuh, "Btu/h")
    positive("airflow", standard_cfm, "cfm")
    if not 50 <= leaving_relative_humidity_percent <= 100:
        raise ValueError(f"leaving relative humidity {leaving_relative_humidity_percent:g} % is outside 50 to 100 %")
    entering_w = moist.humidity_ratio_from_wet_bulb(entering_dry_bulb_f, entering_wet_bulb_f, pressure_psia)
    given_up = total_btuh / (float(TOTAL_FACTOR) * standard_cfm)

    def enthalpy_left(leaving_f: float) -> tuple[float, float]:
        most_w = moist.humidity_ratio_from_relative_humidity(
            leaving_f, leaving_relative_humidity_percent, pressure_psia
        )
        leaving_w = min(entering_w, most_w)
        return moist.enthalpy_btulb(leaving_f, leaving_w), leaving_w

    wanted = moist.enthalpy_btulb(entering_dry_bulb_f, entering_w) - given_up
    low_f, high_f = 0.0, entering_dry_bulb_f
    if enthalpy_left(low_f)[0] > wanted:
        raise ValueError(
            f"{standard_cfm:,.0f} cfm can't give up {total_btuh:,.0f} Btu/h above 0 F: airflow or capacity is wrong"
        )
    if enthalpy_left(high_f)[0] < wanted:  # entering air is damper than the leaving humidity assumed
        raise ValueError("the entering air is too near saturation for a split to be expected")
    for _ in range(60):
        middle_f = (low_f + high_f) / 2
        if enthalpy_left(middle_f)[0] > wanted:
            high_f = middle_f
        else:
            low_f = middle_f
    leaving_w = enthalpy_left(high_f)[1]
    sensible = moist.enthalpy_btulb(entering_dry_bulb_f, leaving_w) - moist.enthalpy_btulb(high_f, leaving_w)
    return Split(
        split_f=entering_dry_bulb_f - high_f,
        leaving_dry_bulb_f=high_f,
        sensible_share=sensible / given_up,
        wet=leaving_w < entering_w,
        entering_humidity_ratio=entering_w,
        leaving_humidity_ratio=leaving_w,
    )
