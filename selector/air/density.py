"""Density of air and the two factors: at altitude, at another temperature, dry air by convention.

The altitude correction used everywhere is the density of 70 F air against 70 F air at sea level, which is the ratio of
pressures (0.832 at
5,000 ft). Another one is in use, the density of the standard atmosphere, which is also colder up there (0.862 at 5,000
ft): given here to
recognise a figure by, used nowhere. Moist air by its own properties is in `moist.py`.
"""

from __future__ import annotations

from fractions import Fraction

from selector.air.number import N, Number

STANDARD_DENSITY_LBFT3 = Fraction("0.075")
"""Standard air, lb/ft3: a convention (ASHRAE Handbook Fundamentals)."""
STANDARD_SPECIFIC_HEAT = Fraction("0.24")
"""Dry air, Btu/(lb F), rounded as the trade does."""
SENSIBLE_FACTOR = 60 * STANDARD_DENSITY_LBFT3 * STANDARD_SPECIFIC_HEAT
"""1.08 Btu/(h cfm F): heat of 1 cfm of standard air warmed by 1 F."""
TOTAL_FACTOR = 60 * STANDARD_DENSITY_LBFT3
"""4.5 lb/(h cfm): heat of 1 cfm of standard air for 1 Btu/lb of enthalpy."""
STANDARD_PRESSURE_PSIA = Fraction("14.696")
STANDARD_TEMPERATURE_F = Fraction(70)
RANKINE_OFFSET = Fraction("459.67")
LOWEST_ALTITUDE_FT = -1_500
HIGHEST_ALTITUDE_FT = 17_000
"""No house stands lower or higher; the formulas hold further (ASHRAE: -16,500 to 36,000 ft)."""


def pressure_psia(altitude_ft: Number) -> float:
    """Pressure of the standard atmosphere, psia: 14.696 (1 - 6.8754e-6 Z)^5.2559.

    ASHRAE Fundamentals 2017 ch. 1 eq. 3. Altitude -1,500 to 17,000 ft, else ValueError.

    >>> round(pressure_psia(5000), 3)
    12.228
    """
    if not LOWEST_ALTITUDE_FT <= altitude_ft <= HIGHEST_ALTITUDE_FT:
        raise ValueError(
            f"altitude {float(altitude_ft):,.0f} ft: no house stands there ({LOWEST_ALTITUDE_FT:,} to"
            f" {HIGHEST_ALTITUDE_FT:,} ft)"
        )
    return float(14.696 * (1 - 6.8754e-6 * float(altitude_ft)) ** 5.2559)


def density_ratio(altitude_ft: Number) -> float:
    """Density of 70 F air at the altitude over its density at sea level: p/p0. 1 at 0 ft, less above. Range as
    `pressure_psia`.

    >>> round(density_ratio(5000), 3)
    0.832
    """
    return pressure_psia(altitude_ft) / 14.696


def temperature_ratio(air_f: N) -> N:
    """Density of air at `air_f` over its density at 70 F, same pressure: 529.67/(T + 459.67). Ideal gas; -60 to 250 F,
    else ValueError.

    >>> float(round(temperature_ratio(Fraction(120)), 4))
    0.9137
    """
    if not -60 <= air_f <= 250:
        raise ValueError(f"air at {float(air_f):g} F is outside -60 to 250 F")
    return (STANDARD_TEMPERATURE_F + RANKINE_OFFSET) / (air_f + RANKINE_OFFSET)


def sensible_factor(ratio: N) -> N:
    """Btu/(h cfm F) of actual air whose density is `ratio` times standard: 1.08 x ratio. Multiply ratios of altitude
    and temperature.

    >>> sensible_factor(Fraction(1)), round(sensible_factor(density_ratio(5000)), 3)
    (Fraction(27, 25), 0.899)
    """
    return SENSIBLE_FACTOR * ratio


def total_factor(ratio: N) -> N:
    """lb/(h cfm) of actual air whose density is `ratio` times standard: 4.5 x ratio; times an enthalpy difference in
    Btu/lb gives Btu/h.

    >>> total_factor(Fraction(1))
    Fraction(9, 2)
    """
    return TOTAL_FACTOR * ratio


def moist_specific_heat(humidity_ratio: N) -> N:
    """Btu/(lb of dry air, F) of moist air: 0.24 + 0.45 W, W in lb of vapour a lb of dry air (0 to about 0.15).

    ASHRAE Fundamentals 2017 ch. 1 (the derivative of its moist-air enthalpy, constants rounded).

    >>> moist_specific_heat(Fraction("0.01"))
    Fraction(489, 2000)
    """
    return STANDARD_SPECIFIC_HEAT + Fraction("0.45") * humidity_ratio
