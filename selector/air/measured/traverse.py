"""A duct traverse: the mean of velocities over equal areas, times the area; velocities from velocity pressures.

Equal areas, each read at its middle (log-Tchebycheff or equal-area spacing; ASHRAE 111, from memory: 25 points or more
in a rectangular duct). Velocity pressures are turned into velocities before the mean is taken.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from selector.air.number import N, positive, square_root

PITOT_FPM = Fraction(4005)
"""Velocity, fpm, of 1 in. w.c. of velocity pressure in standard air: 1,096.7 / sqrt(0.075 lb/ft3) = 4,004.6, rounded
as handbooks print it."""
FEW_POINTS = 16
"""Fewer points than this are said (common practice, no source)."""


def velocity_fpm(pressure_inwc: N) -> N:
    """Velocity, fpm, of a velocity pressure in standard air: 4005 sqrt(p). In thinner air it reads low by the root of
    the density ratio, as an uncorrected meter does.

    >>> velocity_fpm(Fraction("0.04"))
    Fraction(801, 1)
    """
    if pressure_inwc < 0:
        raise ValueError("a velocity pressure is never below 0: were the two hoses exchanged?")
    return PITOT_FPM * square_root(pressure_inwc)


def mean_fpm(velocities_fpm: Sequence[N]) -> N:
    """The mean of velocities over equal areas. None at all: ValueError.

    >>> mean_fpm((Fraction(600), Fraction(640), Fraction(620)))
    Fraction(620, 1)
    """
    if not velocities_fpm:
        raise ValueError("no velocity")
    return sum(velocities_fpm[1:], start=velocities_fpm[0]) / len(velocities_fpm)


def airflow_cfm(velocities_fpm: Sequence[N], area_ft2: N) -> N:
    """Airflow through a duct, cfm: mean velocity x area.

    >>> airflow_cfm((Fraction(600), Fraction(640), Fraction(620)), Fraction(2))
    Fraction(1240, 1)
    """
    positive("area", area_ft2, "ft2")
    return mean_fpm(velocities_fpm) * area_ft2
