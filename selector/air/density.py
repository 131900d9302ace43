"""Density of air and the two factors: at altitude, at another temperature, dry air by convention.

The altitude correction used everywhere is the density of 70 F air against 70 F air at sea level, which is the ratio of
pressures (0.832 at
5,000 ft). Another one is in use, the density of the standard atmosphere, which is also colder up there (0.862 at 5,000
ft): given here to
recognise a figure by, used nowhere. Moist air by its own properties is in `moist.py`.
"""

from __future__ import annotations

from fractions import Fraction

from selector.air.number import Number

STANDARD_DENSITY_LBFT3 = Fraction("0.075")
"""Standard air, lb/ft3: a convention (ASHRAE Handbook Fundamentals)."""
STANDARD_SPECIFIC_HEAT = Fraction("0.24")
"""Dry air, Btu/(lb F), rounded as the trade does."""
SENSIBLE_FACTOR = 60 * STANDARD_DENSITY_LBFT3 * STANDARD_SPECIFIC_HEAT
"""1.08 Btu/(h cfm F): heat of 1 cfm of standard air warmed by 1 F."""
TOTAL_FACTOR = 60 * STANDARD_DENSITY_LBFT3
"""4.5 lb/(h cfm): heat of 1 cfm of standard air for 1 Btu/lb of enthalpy."""
STANDARD_PRESSURE_PSIA = Fraction("14.696")
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
