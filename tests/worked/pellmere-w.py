"""Worked answers of `tables/pellmere-w.md`, recomputed from the page."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from tests.worked import pages
from tests.worked.working import Facts, Reading, Setting, Sheet, switches

PAGE = pages.read("pellmere-w")
COOLING = PAGE.table("Cooling, second stage (page 4)")
FIRST = PAGE.table("First stage of cooling (page 4)").lookup(1)
HEAT_PUMP = PAGE.table("Heat pump (page 5)")
FAN = PAGE.table("Constant fan (page 5)")
COOLING_START = PAGE.figure(r"Cooling starts from (\d+) m3/h")
FAN_START = PAGE.figure(r"fan starts from (\d+) m3/h")
LEAST, MOST = PAGE.figures(r"never runs under (\d+) m3/h, and must not be set to run over ([\d,]+) m3/h")


def added(table: pages.Table, setting: Setting) -> Fraction:
    """What the switches that are ON add."""
    return sum((pages.number(adds) for switch, adds in table.rows if setting[switch] == "on"), Fraction(0))


def read(_facts: Facts, setting: Setting) -> Reading:
    """The page at one setting."""
    found = Reading()
    cooling = COOLING_START + added(COOLING, setting)
    heat_pump = max(cooling + added(HEAT_PUMP, setting), LEAST)
    found.calls = {
        "cooling first": cooling * pages.number(FIRST[setting["SW1-8"].upper(),][0]) / 100,
        "cooling second": cooling,
        "heat pump": heat_pump,
        "fan": min(FAN_START + added(FAN, setting), cooling),
    }
    found.keep(heat_pump, f"{LEAST} to {MOST}")
    return found


COOL = tuple(f"SW1-{k}" for k in range(1, 6))
SHEET = Sheet(
    name="pellmere-w",
    positions={**switches("SW1", 8), **switches("SW2", 4)},
    delivered="SW1=01010000 SW2=0100",
    reads={"cooling": (*COOL, "SW1-8"), "heat pump": (*COOL, "SW1-6", "SW1-7"), "fan": (*COOL, *switches("SW2", 4))},
    limited=("heat pump",),
    last={"cooling": "second"},
    read=read,
)


def answers() -> dict[int, dict[str, Any]]:
    """Every worked answer by its number."""
    return SHEET.answers()
