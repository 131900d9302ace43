"""What a charted airflow means at altitude, by motor."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import strategies as st

from selector.air.density import density_ratio
from selector.air.motor import (
    Means,
    Motor,
    Way,
    actual_cfm,
    readings,
    standard_cfm,
    too_much_percent,
)

F = Fraction
ratios = st.fractions(min_value=F(1, 2), max_value=F(11, 10), max_denominator=1000)
airflows = st.fractions(min_value=100, max_value=3000, max_denominator=10)


def test_standard_and_actual() -> None:
    # 5,000 ft, density ratio .832: 832 standard cfm are 1,000 actual
    assert standard_cfm(F(1000), F("0.832")) == 832
    assert actual_cfm(F(832), F("0.832")) == 1000


# common practice, no source: constant airflow holds mass, constant torque about 1/sqrt(density ratio), fixed speed
# holds volume. At .81: sqrt .9
@pytest.mark.parametrize(
    ("motor", "way", "standard", "actual"),
    [
        ("constant airflow", "mass held", F(1000), F(1000) / F("0.81")),
        ("constant torque", "torque held", F(900), F(1000) / F("0.9")),
        ("fixed speed", "volume held", F(810), F(1000)),
    ],
)
def test_each_motor(motor: Motor, way: Way, standard: Fraction, actual: Fraction) -> None:
    (reading,) = readings(F(1000), F("0.81"), motor=motor)
    assert (reading.way, reading.standard_cfm, reading.actual_cfm) == (way, standard, actual)


@pytest.mark.parametrize(("means", "way"), [("standard air", "mass held"), ("actual", "volume held")])
def test_what_the_table_says_goes_first(means: Means, way: Way) -> None:
    (reading,) = readings(F(1000), F("0.81"), motor="constant torque", means=means)
    assert reading.way == way


def test_nothing_said_shows_both() -> None:
    both = readings(F(1000), F("0.832"))
    assert [reading.way for reading in both] == ["mass held", "volume held"]
    assert [reading.standard_cfm for reading in both] == [1000, 832]


def test_at_sea_level_there_is_one_reading() -> None:
    (reading,) = readings(F(1000), F(1))
    assert (reading.standard_cfm, reading.actual_cfm) == (F(1000), F(1000))


def test_correcting_twice_at_5000_ft() -> None:
    # 1 / .832 = 1.20: 20 % too much
    assert round(too_much_percent(density_ratio(5000))) == 20


@pytest.mark.parametrize("wrong", [0.0, -0.8])
def test_no_air_no_reading(wrong: float) -> None:
    with pytest.raises(ValueError, match="density ratio"):
        readings(1000.0, wrong)
