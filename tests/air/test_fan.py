"""Fan power, its cost, air changes."""

from __future__ import annotations

from fractions import Fraction

from selector.air.fan import (
    air_changes_cfm,
    fan_cost,
    watts_per_cfm,
)

F = Fraction


def test_watts_for_the_air_moved() -> None:
    # 540 W / 1,200 cfm = 0.45 W/cfm
    assert watts_per_cfm(F(540), F(1200)) == F("0.45")


def test_air_changes_and_cost() -> None:
    # 16,000 ft3 x 4.5 / 60 = 1,200 cfm; 400 W x 2,000 h = 800 kWh at 0.15 = 120
    assert air_changes_cfm(F(16_000), F("4.5")) == 1200
    assert fan_cost(F(400), F(2000), F("0.15")) == 120
