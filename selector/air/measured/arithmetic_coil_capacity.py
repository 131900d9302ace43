"""What a cooling coil delivers, from the air before and after it: the enthalpy method, and the sensible share of it.

Total = lb of dry air an hour x enthalpy difference: 4.5 x standard cfm, or 60 x actual cfm / specific volume of the air
at the meter. Enthalpies at the local pressure (psychrolib). The heat that leaves with the condensate is left out, as is
usual (about 1 %). About +-10-15 % (common practice, no source).
"""

from __future__ import annotations

from fractions import Fraction

from selector.air import moist
from selector.air.density import TOTAL_FACTOR
from selector.air.figure import Figure, Given, Worked, given
from selector.air.number import positive
from selector.value import Struct

BAND_PERCENT = Fraction(15)
"""No verdict inside this (common practice, no source: 10 to 15 %)."""


class AirState(Struct, frozen=True, kw_only=True):
    """Air at one place: dry bulb F, moisture lb of vapour a lb of dry air, each with its source."""

    dry_bulb: Figure
    moisture: Given


def by_wet_bulb(dry_bulb: Figure, wet_bulb: Figure, pressure_psia: Figure, name: str) -> AirState:
    """Air of a dry and a wet bulb. ValueError where there is no such air."""
    ratio = moist.humidity_ratio_from_wet_bulb(float(dry_bulb.value), float(wet_bulb.value), float(pressure_psia.value))
    return AirState(dry_bulb=dry_bulb, moisture=_moisture(name, ratio, f"wet bulb {_f(wet_bulb)}", pressure_psia))


def by_humidity(dry_bulb: Figure, relative_percent: Figure, pressure_psia: Figure, name: str) -> AirState:
    """Air of a dry bulb and a relative humidity in percent. ValueError where there is no such air."""
    ratio = moist.humidity_ratio_from_relative_humidity(
        float(dry_bulb.value), float(relative_percent.value), float(pressure_psia.value)
    )
    words = f"relative humidity {float(relative_percent.value):g} %"
    return AirState(dry_bulb=dry_bulb, moisture=_moisture(name, ratio, words, pressure_psia))


def _moisture(name: str, ratio: float, words: str, pressure_psia: Figure) -> Given:
    source = f"{words} at {float(pressure_psia.value):.3f} psia (ASHRAE Fundamentals 2017 ch. 1)"
    return given(f"{name}_moisture", ratio, "lb/lb", source=source)


def _f(figure: Figure) -> str:
    return f"{float(figure.value):g} F"


def enthalpy(air: AirState, name: str) -> Worked:
    """Btu a lb of dry air: 0.24 t + W (1061 + 0.444 t); ASHRAE Fundamentals 2017 ch. 1 eq. 30."""
    t, w = air.dry_bulb, air.moisture
    return Worked(
        name=name,
        value=Fraction("0.24") * t.value + w.value * (1061 + Fraction("0.444") * t.value),
        unit="Btu/lb",
        expression=f"0.24 * {t.name} + {w.name} * (1061 + 0.444 * {t.name})",
        inputs=(t, w),
        places=2,
    )


def wet_bulb_f(air: AirState, pressure_psia: Figure) -> float:
    """The wet bulb of the air, F."""
    return moist.wet_bulb_f(float(air.dry_bulb.value), float(air.moisture.value), float(pressure_psia.value))


class DeliveredCooling(Struct, frozen=True, kw_only=True):
    """What the coil took out of the air: total Btu/h, and the share of it that is sensible (a share, 0 to 1)."""

    total: Worked
    share: Worked


def delivered(entering: AirState, leaving: AirState, standard_cfm: Figure) -> DeliveredCooling:
    """Total from standard cfm and the air on both sides. Air that leaves with more heat or moisture than it came with
    is a ValueError.

    4.5 lb/(h cfm) belongs to standard cfm (0.075 lb/ft3) at any altitude; an actual airflow is turned into standard
    first.
    """
    positive("airflow", standard_cfm.value, "cfm")
    before, after = enthalpy(entering, "entering_enthalpy"), enthalpy(leaving, "leaving_enthalpy")
    if after.value >= before.value:
        raise ValueError("the supply air holds as much heat as the return air: were the two exchanged?")
    if leaving.moisture.value > entering.moisture.value * Fraction(103, 100):
        raise ValueError("the supply air is damper than the return air: a coil takes water out, read both again")
    factor = given("total_factor", TOTAL_FACTOR, "lb/(h cfm)", bare=True, source="60 x 0.075 lb/ft3, standard air")
    total = Worked(
        name="delivered_cooling",
        value=factor.value * standard_cfm.value * (before.value - after.value),
        unit="Btu/h",
        expression=f"total_factor * {standard_cfm.name} * (entering_enthalpy - leaving_enthalpy)",
        inputs=(factor, standard_cfm, before, after),
    )
    t, w = entering.dry_bulb, leaving.moisture
    warm = Worked(
        name="enthalpy_with_the_moisture_left",
        value=Fraction("0.24") * t.value + w.value * (1061 + Fraction("0.444") * t.value),
        unit="Btu/lb",
        expression=f"0.24 * {t.name} + {w.name} * (1061 + 0.444 * {t.name})",
        inputs=(t, w),
        places=2,
    )
    share = Worked(
        name="sensible_share",
        value=(warm.value - after.value) / (before.value - after.value),
        unit="",
        expression=f"({warm.name} - leaving_enthalpy) / (entering_enthalpy - leaving_enthalpy)",
        inputs=(warm, after, before),
    )
    return DeliveredCooling(total=total, share=share)
