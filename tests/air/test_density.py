"""Pressure, density and factors by altitude, against printed tables and the library fluids."""

from __future__ import annotations

from fractions import Fraction

import fluids.atmosphere
import pytest

from selector.air.density import (
    SENSIBLE_FACTOR,
    TOTAL_FACTOR,
    density_ratio,
    pressure_psia,
)


def test_standard_factors() -> None:
    # standard air 0.075 lb/ft3 and 0.24 Btu/(lb F): ASHRAE Handbook Fundamentals; the products
    assert Fraction("1.08") == SENSIBLE_FACTOR
    assert Fraction("4.5") == TOTAL_FACTOR


# ASHRAE Fundamentals 2017 ch. 1 eq. 3
@pytest.mark.parametrize(
    ("altitude_ft", "psia"),
    [(0, 14.696), (1000, 14.173), (2000, 13.664), (3000, 13.171), (5000, 12.228), (7000, 11.340), (10000, 10.107)],
)
def test_pressure_by_the_formula(altitude_ft: int, psia: float) -> None:
    assert pressure_psia(altitude_ft) == pytest.approx(psia, rel=2e-4)


# ASHRAE Fundamentals ch. 1 Table 1 as printed (its 4000 ft row is misprinted in some copies)
@pytest.mark.parametrize(
    ("altitude_ft", "psia"), [(1000, 14.175), (3000, 13.173), (5000, 12.230), (7000, 11.341), (10000, 10.108)]
)
def test_pressure_as_printed(altitude_ft: int, psia: float) -> None:
    assert pressure_psia(altitude_ft) == pytest.approx(psia, abs=0.003)


@pytest.mark.parametrize("altitude_ft", range(-1000, 15001, 500))
def test_standard_atmosphere_against_fluids(altitude_ft: int) -> None:
    # US Standard Atmosphere 1976; 6894.757 Pa a psi. fluids counts geopotential height from geometric: 0.03 % at 15,000
    # ft
    theirs = fluids.atmosphere.ATMOSPHERE_1976(altitude_ft * 0.3048)
    sea = fluids.atmosphere.ATMOSPHERE_1976(0)
    assert pressure_psia(altitude_ft) == pytest.approx(theirs.P / 6894.757293, rel=5e-4)
    assert density_ratio(altitude_ft) == pytest.approx(theirs.P / sea.P, rel=5e-4)


# p/p0; the US Bureau of Reclamation, Design Guide for HVAC Systems (2006) Table 6a prints those at 6000, 7000 and 8000
# ft
@pytest.mark.parametrize(
    ("altitude_ft", "ratio"),
    list(
        zip(
            range(1000, 10001, 1000),
            [0.964, 0.930, 0.896, 0.864, 0.832, 0.801, 0.772, 0.743, 0.715, 0.688],
            strict=True,
        )
    ),
)
def test_density_ratio_of_70_f_air(altitude_ft: int, ratio: float) -> None:
    assert density_ratio(altitude_ft) == pytest.approx(ratio, abs=0.001)


@pytest.mark.parametrize("altitude_ft", [-9000, -1501, 17001, 29029, float("nan")])
def test_no_house_stands_there(altitude_ft: float) -> None:
    for function in (pressure_psia, density_ratio):
        with pytest.raises(ValueError, match="no house stands there"):
            function(altitude_ft)
