"""The formulas of heat and altitude with their arithmetic: figures in, a `Worked` out that carries them, so that every
number printed can be worked out again. `arithmetic_fan.py` does the same for cooling and fan, `arithmetic_duct.py` for
ducts, readings, bands and units.

Each function names its result; `name` overrides that where two figures of one kind meet. `text(...)` of the result is
the line to print:
`100,000 Btu/h / (1.08 x 50 F) = 1,852 cfm`. Values are computed by the plain functions, never by evaluating the
expression: a test holds the
two together. Inputs are in the units named by the plain function.
"""

from __future__ import annotations

from fractions import Fraction

from selector.air import density, derate, heat
from selector.air.figure import Figure, Given, Worked, given
from selector.units import BTUH_PER_KW, plain

FACTOR = given(
    "factor",
    density.SENSIBLE_FACTOR,
    "Btu/(h cfm F)",
    bare=True,
    source="60 x 0.075 lb/ft3 x 0.24 Btu/(lb F), standard air",
)
KW_TO_BTUH = given("btuh_per_kw", BTUH_PER_KW, "Btu/h/kW", shown="3412.141633", source="NIST SP 811")


def percent(name: str, value: Fraction, source: str = "") -> Given:
    """A share given in percent, held as a fraction and written with its sign: 0.95 as `95 %`.

    >>> percent("efficiency", Fraction(95)).value
    Fraction(19, 20)
    """
    return given(name, value / 100, shown=f"{plain(value)} %", source=source)


def product(name: str, value: Fraction, unit: str, *inputs: Figure, note: str = "") -> Worked:
    """a * b * ..."""
    return Worked(
        name=name, value=value, unit=unit, expression=" * ".join(one.name for one in inputs), inputs=inputs, note=note
    )


def quotient(name: str, value: Fraction, unit: str, above: Figure, below: Figure) -> Worked:
    """a / b"""
    return Worked(name=name, value=value, unit=unit, expression=f"{above.name} / {below.name}", inputs=(above, below))


def over(name: str, value: Fraction, unit: str, above: Figure, first: Figure, second: Figure) -> Worked:
    """a / (b * c)"""
    return Worked(
        name=name,
        value=value,
        unit=unit,
        expression=f"{above.name} / ({first.name} * {second.name})",
        inputs=(above, first, second),
    )


def pressure(altitude_ft: Figure, name: str = "pressure") -> Worked:
    """Pressure at altitude, psia."""
    return Worked(
        name=name,
        value=Fraction(density.pressure_psia(altitude_ft.value)),
        unit="psia",
        expression=f"14.696 * (1 - 0.0000068754 * {altitude_ft.name})^5.2559",
        inputs=(altitude_ft,),
        note="standard atmosphere (ASHRAE Fundamentals 2017 ch. 1 eq. 3)",
    )


def density_ratio(altitude_ft: Figure, name: str = "density_ratio") -> Worked:
    """Density of 70 F air at altitude against sea level."""
    at = pressure(altitude_ft)
    note = "70 F air here against 70 F air at sea level"
    return Worked(
        name=name,
        value=at.value / density.STANDARD_PRESSURE_PSIA,
        unit="",
        expression=f"{at.name} / 14.696",
        inputs=(at,),
        note=note,
    )


def delivered_from_input(input_btuh: Figure, efficiency: Figure, name: str = "delivered_heat") -> Worked:
    """Delivered heat: input x efficiency (a share: see `percent`)."""
    value = heat.delivered_from_input_btuh(input_btuh.value, efficiency.value)
    return product(name, value, "Btu/h", input_btuh, efficiency)


def derated_input(
    input_btuh: Figure, altitude_ft: Figure, rule: derate.Derate, *, clocked: bool, name: str = "derated_input"
) -> Worked:
    """Gas input after a derate by altitude; the maker's own share goes through `derated_by_share`."""
    share = derate.input_share(rule, altitude_ft.value)
    value = derate.derated_input_btuh(input_btuh.value, share, clocked=clocked)
    note = f"derate: {rule.words}"
    if share == 1:
        return Worked(name=name, value=value, unit="Btu/h", expression=input_btuh.name, inputs=(input_btuh,), note=note)
    counted = altitude_ft.name if rule == derate.FROM_SEA_LEVEL else f"({altitude_ft.name} - 2000)"
    expression = f"{input_btuh.name} * (1 - 0.04 * {counted} / 1000)"
    return Worked(
        name=name, value=value, unit="Btu/h", expression=expression, inputs=(input_btuh, altitude_ft), note=note
    )


def derated_by_share(input_btuh: Figure, share: Figure, *, clocked: bool, name: str = "derated_input") -> Worked:
    """Gas input after the maker's derate (a share: see `percent`)."""
    value = derate.derated_input_btuh(input_btuh.value, share.value, clocked=clocked)
    return product(name, value, "Btu/h", input_btuh, share, note=f"derate: {derate.MAKER.words}")


def clocked_input(
    volume_ft3: Figure, seconds: Figure, heating_value_btuft3: Figure, name: str = "clocked_input"
) -> Worked:
    """Gas input from the meter."""
    value = heat.clocked_input_btuh(volume_ft3.value, seconds.value, heating_value_btuft3.value)
    expression = f"3600 * {volume_ft3.name} / {seconds.name} * {heating_value_btuft3.name}"
    return Worked(
        name=name, value=value, unit="Btu/h", expression=expression, inputs=(volume_ft3, seconds, heating_value_btuft3)
    )


def nozzle_rate(
    marked_gph: Figure, pump_psi: Figure, rated_psi: Figure | None = None, name: str = "oil_rate"
) -> Worked:
    """Oil rate of a nozzle at a pump pressure."""
    rated = rated_psi or given(
        "nozzle_pressure", heat.NOZZLE_RATED_PSI, "psi", source="pressure that nozzles are marked at"
    )
    value = heat.nozzle_rate_gph(marked_gph.value, pump_psi.value, rated.value)
    expression = f"{marked_gph.name} * sqrt({pump_psi.name} / {rated.name})"
    return Worked(
        name=name, value=value, unit="gph", expression=expression, inputs=(marked_gph, pump_psi, rated), places=3
    )


def oil_heat(rate_gph: Figure, heat_btugal: Figure, efficiency: Figure, name: str = "delivered_heat") -> Worked:
    """Delivered heat of an oil burner."""
    value = heat.oil_heat_btuh(rate_gph.value, heat_btugal.value, efficiency.value)
    return product(name, value, "Btu/h", rate_gph, heat_btugal, efficiency)


def electric_heat(rated_kw: Figure, supply_v: Figure, heater_v: Figure, name: str = "delivered_heat") -> Worked:
    """Heat of an electric heater at the supply's voltage; blower heat not counted."""
    value = heat.electric_heat_btuh(heat.electric_power_kw(rated_kw.value, supply_v.value, heater_v.value))
    expression = f"{rated_kw.name} * btuh_per_kw * ({supply_v.name} / {heater_v.name})^2"
    note = "blower heat not counted"
    return Worked(
        name=name,
        value=value,
        unit="Btu/h",
        expression=expression,
        inputs=(rated_kw, KW_TO_BTUH, supply_v, heater_v),
        note=note,
    )


def electric_power(rated_kw: Figure, supply_v: Figure, heater_v: Figure, name: str = "electric_power") -> Worked:
    """Power, W, of a heater at the supply's voltage."""
    value = 1000 * heat.electric_power_kw(rated_kw.value, supply_v.value, heater_v.value)
    expression = f"{rated_kw.name} * 1000 * ({supply_v.name} / {heater_v.name})^2"
    return Worked(name=name, value=value, unit="W", expression=expression, inputs=(rated_kw, supply_v, heater_v))


def line_power(
    volts: Figure, amps: Figure, phases: int, blower_w: Figure | None = None, name: str = "electric_power"
) -> Worked:
    """Power, W, from volts and amps on one or three phases; with the blower's watts where they are counted as heat
    too."""
    value = heat.line_power_w(volts.value, amps.value, phases) + (blower_w.value if blower_w else 0)
    expression = (
        f"{volts.name} * {amps.name}"
        + (" * sqrt(3)" if phases == 3 else "")
        + (f" + {blower_w.name}" if blower_w else "")
    )
    inputs = (volts, amps, *((blower_w,) if blower_w else ()))
    note = "blower heat counted" if blower_w else "blower heat not counted"
    return Worked(name=name, value=value, unit="W", expression=expression, inputs=inputs, note=note)


def heat_from_power(power_w: Figure, name: str = "delivered_heat") -> Worked:
    """Heat, Btu/h, of watts."""
    value = heat.electric_heat_btuh(power_w.value / 1000)
    return Worked(
        name=name,
        value=value,
        unit="Btu/h",
        expression=f"{power_w.name} / 1000 * btuh_per_kw",
        inputs=(power_w, KW_TO_BTUH),
    )


def water_heat(flow_gpm: Figure, drop_f: Figure, name: str = "delivered_heat") -> Worked:
    """Heat of a water coil."""
    water = given(
        "water_factor",
        heat.WATER_FACTOR,
        "Btu/(h gpm F)",
        bare=True,
        source="60 x 8.33 lb/gal, rounded (common practice)",
    )
    return product(name, heat.water_heat_btuh(flow_gpm.value, drop_f.value), "Btu/h", water, flow_gpm, drop_f)


def airflow_from_heat(heat_btuh: Figure, rise_f: Figure, factor: Figure = FACTOR, name: str = "airflow") -> Worked:
    """Airflow that carries the heat at the rise."""
    value = heat.airflow_cfm(heat_btuh.value, rise_f.value, factor.value)
    return over(name, value, "cfm", heat_btuh, factor, rise_f)


def rise_from_airflow(heat_btuh: Figure, airflow_cfm: Figure, factor: Figure = FACTOR, name: str = "rise") -> Worked:
    """Rise that the heat gives at the airflow."""
    value = heat.rise_f(heat_btuh.value, airflow_cfm.value, factor.value)
    return over(name, value, "F", heat_btuh, factor, airflow_cfm)


def leaving_air(entering_f: Figure, rise_f: Figure, name: str = "leaving_air") -> Worked:
    """Supply temperature."""
    value = entering_f.value + rise_f.value
    return Worked(
        name=name,
        value=value,
        unit="F",
        expression=f"{entering_f.name} + {rise_f.name}",
        inputs=(entering_f, rise_f),
        kind="temperature",
    )
