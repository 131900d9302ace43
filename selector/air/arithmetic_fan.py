"""The formulas of cooling and fan with their arithmetic: see `shown.py`."""

from __future__ import annotations

from fractions import Fraction

from selector.air import cooling, density, fan
from selector.air.arithmetic import FACTOR, over, product, quotient
from selector.air.figure import Figure, Worked, given


def airflow_from_tons(tons: Figure, cfm_per_ton: Figure, name: str = "airflow") -> Worked:
    """Airflow of so many tons."""
    return product(name, cooling.airflow_from_tons_cfm(tons.value, cfm_per_ton.value), "cfm", tons, cfm_per_ton)


def airflow_per_ton(airflow_cfm: Figure, tons: Figure, name: str = "airflow_per_ton") -> Worked:
    """Airflow per ton of the running capacity."""
    return quotient(name, cooling.cfm_per_ton(airflow_cfm.value, tons.value), "cfm/ton", airflow_cfm, tons)


def airflow_from_sensible(
    sensible_btuh: Figure, difference_f: Figure, factor: Figure = FACTOR, name: str = "airflow"
) -> Worked:
    """Airflow of a sensible load at a supply difference."""
    value = cooling.airflow_from_sensible_cfm(sensible_btuh.value, difference_f.value, factor.value)
    return over(name, value, "cfm", sensible_btuh, factor, difference_f)


def split_from_share(
    total_btuh: Figure, sensible_share: Figure, airflow_cfm: Figure, factor: Figure = FACTOR, name: str = "split"
) -> Worked:
    """Cooling split where the sensible share is known."""
    value = cooling.split_from_share_f(total_btuh.value, sensible_share.value, airflow_cfm.value, factor.value)
    expression = f"{total_btuh.name} * {sensible_share.name} / ({factor.name} * {airflow_cfm.name})"
    return Worked(
        name=name,
        value=value,
        unit="F",
        expression=expression,
        inputs=(total_btuh, sensible_share, factor, airflow_cfm),
    )


def expected_split(
    entering_dry_bulb: Figure,
    entering_wet_bulb: Figure,
    total_btuh: Figure,
    standard_cfm: Figure,
    pressure_psia: Figure,
) -> Worked:
    """Cooling split from entering dry and wet bulb (`cooling.expected_split`); the humidity ratios are leaves,
    computed as their sources say."""
    split = cooling.expected_split(
        entering_dry_bulb_f=float(entering_dry_bulb.value),
        entering_wet_bulb_f=float(entering_wet_bulb.value),
        total_btuh=float(total_btuh.value),
        standard_cfm=float(standard_cfm.value),
        pressure_psia=float(pressure_psia.value),
    )
    wet_bulb, pressure = float(entering_wet_bulb.value), float(pressure_psia.value)
    moisture = given(
        "entering_moisture",
        split.entering_humidity_ratio,
        "lb/lb",
        source=f"wet bulb {wet_bulb:g} F at {pressure:.3f} psia (ASHRAE Fundamentals 2017 ch. 1)",
    )
    entering = Worked(
        name="entering_enthalpy",
        value=_enthalpy(entering_dry_bulb.value, moisture.value),
        unit="Btu/lb",
        expression=f"0.24 * {entering_dry_bulb.name} + entering_moisture * (1061 + 0.444 * {entering_dry_bulb.name})",
        inputs=(entering_dry_bulb, moisture),
        places=2,
    )
    total_factor = given(
        "total_factor", density.TOTAL_FACTOR, "lb/(h cfm)", bare=True, source="60 x 0.075 lb/ft3, standard air"
    )
    leaving = Worked(
        name="leaving_enthalpy",
        value=entering.value - total_btuh.value / (total_factor.value * standard_cfm.value),
        unit="Btu/lb",
        expression=f"entering_enthalpy - {total_btuh.name} / (total_factor * {standard_cfm.name})",
        inputs=(entering, total_btuh, total_factor, standard_cfm),
        places=2,
    )
    assumed = (
        f"leaving air at {cooling.LEAVING_RELATIVE_HUMIDITY_PERCENT:g} % relative humidity (common practice)"
        if split.wet
        else "the coil stays dry"
    )
    left = given("leaving_moisture", split.leaving_humidity_ratio, "lb/lb", source=assumed)
    leaving_f = Worked(
        name="leaving_air",
        value=(leaving.value - 1061 * left.value) / (Fraction("0.24") + Fraction("0.444") * left.value),
        unit="F",
        expression="(leaving_enthalpy - 1061 * leaving_moisture) / (0.24 + 0.444 * leaving_moisture)",
        inputs=(leaving, left),
        kind="temperature",
    )
    return Worked(
        name="split",
        value=entering_dry_bulb.value - leaving_f.value,
        unit="F",
        expression=f"{entering_dry_bulb.name} - leaving_air",
        inputs=(entering_dry_bulb, leaving_f),
        note=assumed,
    )


def _enthalpy(dry_bulb_f: Fraction, humidity_ratio: Fraction) -> Fraction:
    """Btu a lb of dry air: ASHRAE Fundamentals 2017 ch. 1 eq. 30."""
    return Fraction("0.24") * dry_bulb_f + humidity_ratio * (1061 + Fraction("0.444") * dry_bulb_f)


def air_changes(volume_ft3: Figure, changes_per_hour: Figure, name: str = "airflow") -> Worked:
    """Airflow of so many air changes an hour."""
    value = fan.air_changes_cfm(volume_ft3.value, changes_per_hour.value)
    expression = f"{volume_ft3.name} * {changes_per_hour.name} / 60"
    return Worked(name=name, value=value, unit="cfm", expression=expression, inputs=(volume_ft3, changes_per_hour))


def watts_per_cfm(watts: Figure, airflow_cfm: Figure, name: str = "watts_per_cfm") -> Worked:
    """Fan power for the air moved."""
    return quotient(name, fan.watts_per_cfm(watts.value, airflow_cfm.value), "W/cfm", watts, airflow_cfm)


def fan_cost(watts: Figure, hours: Figure, price_per_kwh: Figure, name: str = "fan_cost") -> Worked:
    """Cost of running the fan, in the money of the price."""
    value = fan.fan_cost(watts.value, hours.value, price_per_kwh.value)
    expression = f"{watts.name} / 1000 * {hours.name} * {price_per_kwh.name}"
    return Worked(
        name=name, value=value, unit="", expression=expression, inputs=(watts, hours, price_per_kwh), places=2
    )
