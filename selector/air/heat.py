"""Heat, airflow and rise: three of which two give the third, and the heat that each kind of heater delivers.

`factor` is in Btu/(h cfm F): 1.08 unless given (standard cfm), 1.08 x density ratio for actual cfm. A figure of 0 or
less is a ValueError
where it can't be. Output printed on a plate beats input x efficiency; seasonal efficiency is not steady-state
efficiency.
"""

from __future__ import annotations

from fractions import Fraction

from selector.air.density import SENSIBLE_FACTOR
from selector.air.number import N, positive, square_root
from selector.units import BTUH_PER_KW

NOZZLE_RATED_PSI = 100
"""Oil nozzles are marked with their rate at this pressure (oil-heat practice, no source)."""
WATER_FACTOR = Fraction(500)
"""Btu/(h gpm F) of water, 60 x 8.33 x 1 rounded (common practice, no source)."""


def airflow_cfm(heat_btuh: N, rise_f: N, factor: N | None = None) -> N:
    """Airflow, cfm, that carries the heat at the rise: heat / (factor x rise).

    >>> round(airflow_cfm(Fraction(100_000), Fraction(50)))
    1852
    """
    positive("heat", heat_btuh, "Btu/h")
    positive("rise", rise_f, "F")
    return heat_btuh / ((SENSIBLE_FACTOR if factor is None else factor) * rise_f)


def rise_f(heat_btuh: N, airflow_cfm: N, factor: N | None = None) -> N:
    """Temperature rise, F, of the airflow that takes up the heat: heat / (factor x airflow).

    >>> float(round(rise_f(Fraction(76_000), Fraction("1250.8")), 1))
    56.3
    """
    positive("heat", heat_btuh, "Btu/h")
    positive("airflow", airflow_cfm, "cfm")
    return heat_btuh / ((SENSIBLE_FACTOR if factor is None else factor) * airflow_cfm)


def heat_btuh(airflow_cfm: N, rise_f: N, factor: N | None = None) -> N:
    """Heat, Btu/h, that the airflow carries at the rise: factor x airflow x rise.

    >>> heat_btuh(Fraction(1000), Fraction(50))
    Fraction(54000, 1)
    """
    positive("airflow", airflow_cfm, "cfm")
    return (SENSIBLE_FACTOR if factor is None else factor) * airflow_cfm * rise_f


def delivered_from_input_btuh(input_btuh: N, efficiency: N) -> N:
    """Delivered heat, Btu/h: input x steady-state efficiency (a share, 0.5 to 1.1).

    >>> delivered_from_input_btuh(Fraction(80_000), Fraction("0.95"))
    Fraction(76000, 1)
    """
    positive("input", input_btuh, "Btu/h")
    if not 0.5 <= efficiency <= Fraction(11, 10):
        raise ValueError(f"efficiency {float(efficiency):g} is outside 0.5 to 1.1")
    return input_btuh * efficiency


def clocked_input_btuh(volume_ft3: N, seconds: N, heating_value_btuft3: N) -> N:
    """Gas input, Btu/h, from the meter: 3600 x volume / seconds x heat of the gas. Other gas appliances off; heat of
    the gas from the supplier.

    >>> clocked_input_btuh(Fraction(2), Fraction(90), Fraction(1037))
    Fraction(82960, 1)
    """
    positive("gas volume", volume_ft3, "ft3")
    positive("time", seconds, "s")
    positive("heat of the gas", heating_value_btuft3, "Btu/ft3")
    return 3600 * volume_ft3 / seconds * heating_value_btuft3


def nozzle_rate_gph(marked_gph: N, pump_psi: N, rated_psi: N | None = None) -> N:
    """Oil rate, gal/h, of a nozzle at a pump pressure: marked rate x sqrt(pressure / rated pressure), rated at 100 psi
    unless given.

    Oil-heat practice, no source. Usual pump pressures are 100 to 200 psi.

    >>> round(nozzle_rate_gph(1.0, 140.0), 3)
    1.183
    """
    positive("nozzle", marked_gph, "gph")
    positive("pump pressure", pump_psi, "psi")
    rated = NOZZLE_RATED_PSI if rated_psi is None else rated_psi
    positive("nozzle pressure", rated, "psi")
    return marked_gph * square_root(pump_psi / rated)


def oil_heat_btuh(rate_gph: N, heat_btugal: N, efficiency: N) -> N:
    """Delivered heat, Btu/h, of an oil burner: rate x heat of a gallon x efficiency (a share).

    >>> oil_heat_btuh(Fraction("0.85"), Fraction(140_000), Fraction("0.85"))
    Fraction(101150, 1)
    """
    positive("oil rate", rate_gph, "gph")
    positive("heat of a gallon", heat_btugal, "Btu/gal")
    return delivered_from_input_btuh(rate_gph * heat_btugal, efficiency)


def electric_power_kw(rated_kw: N, supply_v: N, heater_v: N) -> N:
    """Power, kW, of a heater at another voltage than it is rated for: rated x (supply / rated volts)^2. P = E^2/R; one
    or three phase alike.

    >>> electric_power_kw(Fraction(10), Fraction(208), Fraction(240))
    Fraction(338, 45)
    """
    positive("heater", rated_kw, "kW")
    positive("supply", supply_v, "V")
    positive("heater voltage", heater_v, "V")
    return rated_kw * (supply_v / heater_v) ** 2


def electric_heat_btuh(power_kw: N) -> N:
    """Heat, Btu/h, of an electric power: 3412.141633 x kW (exact: 3,600,000 / 1055.05585262, NIST SP 811).

    >>> float(round(electric_heat_btuh(Fraction(10)), 2))
    34121.42
    """
    return BTUH_PER_KW * power_kw


def line_power_w(volts: N, amps: N, phases: int = 1) -> N:
    """Power, W, of a resistance load from a reading: volts x amps, x sqrt 3 on three phases (volts between lines, amps
    of one line).

    One or three phases, else ValueError. Resistance only: a motor's power factor is not counted.

    >>> line_power_w(Fraction(235), Fraction(75))
    Fraction(17625, 1)
    """
    positive("voltage", volts, "V")
    positive("current", amps, "A")
    if phases not in (1, 3):
        raise ValueError(f"{phases} phases: one or three")
    return volts * amps if phases == 1 else volts * amps * square_root(Fraction(3))


def water_heat_btuh(flow_gpm: N, drop_f: N) -> N:
    """Heat, Btu/h, that a water coil gives to the air: 500 x gpm x drop of the water. Plain water; common practice, no
    source.

    >>> water_heat_btuh(Fraction(4), Fraction(20))
    Fraction(40000, 1)
    """
    positive("water flow", flow_gpm, "gpm")
    positive("drop", drop_f, "F")
    return WATER_FACTOR * flow_gpm * drop_f
