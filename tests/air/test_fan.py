"""Fan laws, grades, outdoor air: printed figures."""

from __future__ import annotations

from fractions import Fraction

import pytest

from selector.air.fan import (
    air_changes_cfm,
    airflow_grade,
    fan_cost,
    flow_at_speed,
    off_design_percent,
    power_at_speed,
    pressure_at_speed,
    ventilation_cfm,
    watt_grade,
    watts_per_cfm,
)

F = Fraction


def test_fan_laws() -> None:
    # ASHRAE Handbook, AMCA: flow, pressure, power as the first, second, third power of speed; x 0.8 -> .8, .64, .512
    assert (flow_at_speed(F(1), F("0.8")), pressure_at_speed(F(1), F("0.8")), power_at_speed(F(1), F("0.8"))) == (
        F("0.8"),
        F("0.64"),
        F("0.512"),
    )
    with pytest.raises(ValueError, match="speed ratio"):
        power_at_speed(F(1), F(0))


# ANSI/RESNET/ACCA 310-2020, from memory: I within 15 %, II 15 to 25 %, III beyond
@pytest.mark.parametrize(
    ("measured", "grade"),
    [
        (1000, "I"),
        (850, "I"),
        (1150, "I"),
        (849, "II"),
        (1151, "II"),
        (750, "II"),
        (1250, "II"),
        (749, "III"),
        (1251, "III"),
    ],
)
def test_airflow_grades(measured: int, grade: str) -> None:
    assert airflow_grade(F(measured), F(1000)) == grade
    assert airflow_grade(float(measured), 1000.0) == grade


# ANSI/RESNET/ACCA 310-2020, from memory: watts/cfm I up to 0.45, II up to 0.58
@pytest.mark.parametrize(
    ("w_per_cfm", "grade"), [("0.3", "I"), ("0.45", "I"), ("0.451", "II"), ("0.58", "II"), ("0.581", "III")]
)
def test_watt_grades(w_per_cfm: str, grade: str) -> None:
    assert watt_grade(F(w_per_cfm)) == grade
    assert watts_per_cfm(F(w_per_cfm) * 1200, F(1200)) == F(w_per_cfm)


def test_off_design() -> None:
    assert off_design_percent(F(1150), F(1000)) == 15
    assert off_design_percent(F(700), F(1000)) == -30
    with pytest.raises(ValueError, match="design airflow"):
        off_design_percent(F(700), F(0))


# ASHRAE 62.2 Table 4.1a as printed in the Uniform Mechanical Code, row 1001-1500 ft2: 60 68 75 83 90, halves up
@pytest.mark.parametrize(("bedrooms", "cfm"), [(1, 60), (2, 68), (3, 75), (4, 83), (5, 90)])
def test_ventilation(bedrooms: int, cfm: int) -> None:
    assert int(ventilation_cfm(F(1500), bedrooms) + F(1, 2)) == cfm


def test_ventilation_halves() -> None:
    # the same table rounds 52.5 to 53: 0.03 x 1,000 + 7.5 x 3
    assert ventilation_cfm(F(1000), 2) == F("52.5")
    with pytest.raises(ValueError, match="bedrooms"):
        ventilation_cfm(F(1000), -1)


def test_air_changes_and_cost() -> None:
    # 16,000 ft3 x 4.5 / 60 = 1,200 cfm; 400 W x 2,000 h = 800 kWh at 0.15 = 120
    assert air_changes_cfm(F(16_000), F("4.5")) == 1200
    assert fan_cost(F(400), F(2000), F("0.15")) == 120
