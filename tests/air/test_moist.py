"""Moist air: psychrolib as used here, against the ASHRAE Handbook's printed values and against CoolProp."""

from __future__ import annotations

import subprocess
import sys
from itertools import product

import psychrolib
import pytest
from CoolProp.CoolProp import HAPropsSI

from selector.air import moist

PA_PER_PSI = 6894.757293168
KG_PER_M3 = 16.01846337  # 1 lb/ft3
GRID = list(product(range(40, 141, 20), (0, 25, 50, 75, 100), (0, 2500, 5000, 7500, 10000)))


def kelvin(fahrenheit: float) -> float:
    """K of F."""
    return (fahrenheit + 459.67) / 1.8


def test_ashrae_example_1() -> None:
    # ASHRAE Fundamentals 2017 ch. 1 Example 1: 100 F dry bulb, 65 F wet bulb, 14.696 psia
    w = moist.humidity_ratio_from_wet_bulb(100, 65, 14.696)
    assert w == pytest.approx(0.00523, rel=0.01)
    assert moist.enthalpy_btulb(100, w) == pytest.approx(29.80, rel=0.003)


@pytest.mark.parametrize(("dry_bulb_f", "wet_bulb_f"), [(70, 58), (75, 63), (80, 67), (95, 75)])
def test_wet_bulb_against_coolprop(dry_bulb_f: int, wet_bulb_f: int) -> None:
    theirs = HAPropsSI("W", "T", kelvin(dry_bulb_f), "P", 14.696 * PA_PER_PSI, "B", kelvin(wet_bulb_f))
    assert moist.humidity_ratio_from_wet_bulb(dry_bulb_f, wet_bulb_f, 14.696) == pytest.approx(theirs, rel=0.01)


def test_nobody_elses_units_are_touched_or_heeded() -> None:
    before = moist.humidity_ratio_from_wet_bulb(80, 67, 14.696)
    psychrolib.SetUnitSystem(psychrolib.SI)
    try:
        assert moist.humidity_ratio_from_wet_bulb(80, 67, 14.696) == before
        assert psychrolib.GetUnitSystem() == psychrolib.SI
    finally:
        psychrolib.SetUnitSystem(psychrolib.IP)


def test_loaded_only_when_moist_air_is_asked_for() -> None:
    code = """
import sys
opened = []
names = lambda event, details: event == "open" and "psychrolib" in str(details[0])
sys.addaudithook(lambda event, details: opened.append(1) if names(event, details) else None)
from selector.air import arithmetic, arithmetic_duct, arithmetic_fan, cooling, density, derate, duct, fan, figure
from selector.air import expression, heat, measure, moist, motor
print(len(opened))
moist.enthalpy_btulb(80, 0.01)
print(len(opened) > 0)
"""
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout.split() == ["0", "True"]


@pytest.mark.parametrize(
    ("dry_bulb_f", "wet_bulb_f", "pressure", "words"),
    [
        (70, 75, 14.696, "swapped"),
        (90, 40, 14.696, "lower than dry air"),
        (70, float("nan"), 14.696, "swapped"),
        (-10, -12, 14.696, "outside 0 to 200 F"),
        (70, 60, 101.325, "outside 5 to 16 psia"),
        (float("nan"), 60, 14.696, "outside 0 to 200 F"),
    ],
)
def test_impossible_air_is_refused(dry_bulb_f: float, wet_bulb_f: float, pressure: float, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        moist.humidity_ratio_from_wet_bulb(dry_bulb_f, wet_bulb_f, pressure)


@pytest.mark.parametrize("percent", [-1, 101, float("nan")])
def test_impossible_humidity_is_refused(percent: float) -> None:
    with pytest.raises(ValueError, match="relative humidity"):
        moist.humidity_ratio_from_relative_humidity(70, percent, 14.696)
