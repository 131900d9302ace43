"""A duct traverse, worked by hand."""

from __future__ import annotations

from fractions import Fraction as F

import pytest

from selector.air.figure import given, text
from selector.air.measured.arithmetic_flow import traverse, velocity_of
from selector.air.measured.traverse import airflow_cfm, mean_fpm, velocity_fpm
from tests.helpers.recompute import mismatches


def test_equal_areas() -> None:
    # 620 + 655 + 640 + 605 = 2,520; / 4 = 630 fpm; 20 x 12 in = 1.6667 ft2: 1,050 cfm
    points = [given("velocity", v, "fpm") for v in (620, 655, 640, 605)]
    found = traverse(points, given("area", F(240, 144), "ft2"))
    assert found.value == 1050
    assert mismatches(found) == ()
    assert text(found).endswith("= 1,050 cfm")


def test_velocity_pressures_are_averaged_as_velocities() -> None:
    # V = 4005 sqrt(p): 0.25 in. w.c. is 2,002.5 fpm, 0.01 is 400.5; the mean is 1,201.5, not 4005 sqrt(0.13) = 1,444
    assert (velocity_fpm(F("0.25")), velocity_fpm(F("0.01"))) == (F("2002.5"), F("400.5"))
    pair = [velocity_of(given("pressure", F(p), "in. w.c.")) for p in ("0.25", "0.01")]
    assert traverse(pair, given("area", 1, "ft2")).value == F("1201.5")
    assert mismatches(pair[0]) == ()


def test_nothing_read_is_refused() -> None:
    with pytest.raises(ValueError, match="no velocity"):
        mean_fpm(())
    with pytest.raises(ValueError, match="below 0"):
        velocity_fpm(F("-0.02"))
    with pytest.raises(ValueError, match="area must be above 0"):
        airflow_cfm((F(600),), F(0))
