"""Worked answers of `tables/marrowdale-t.md`, recomputed from the page."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from tests.worked import pages
from tests.worked.ranking import to_nearest
from tests.worked.working import Facts, NoFigure, Reading, Setting, Sheet, switches, trim

PAGE = pages.read("marrowdale-t")
SIZE = PAGE.table("Size (SW1-1 to SW1-3, page 8)").lookup(1)
PER_TON = PAGE.table("Airflow per ton (SW1-4, SW1-5, page 8)").lookup(1)
TRIM = PAGE.table("Cooling trim (SW1-6, SW1-7, page 9)").lookup(1)
OFFSET = PAGE.table("Heat pump offset (SW2-1, SW2-2, page 9)").lookup(1)
FLOOR = PAGE.table("Heater floor (SW2-3, SW2-4, page 10)").lookup(1)
FAN = PAGE.table("Constant fan (SW1-8, page 10)").lookup(1)
LOW_SHARE, MOST, STEP = PAGE.figures(
    r"Low stage: (\d+ %) of .* at most ([\d,]+) cfm in either stage; .* nearest (\d+) cfm"
)
LEAST = dict(zip(("low", "high"), PAGE.figures(r"not under (\d+) cfm in low and (\d+) cfm in high stage"), strict=True))
LESS, UP = PAGE.figures(r"Heater alone: (\d+ %) less than that, rounded up to full (\d+) cfm")
HEATER_LOW, HEATER_HIGH = PAGE.figures(r"must lie between (\d+) and ([\d,]+) cfm")
DOWN, FAN_LEAST = PAGE.figures(r"Rounded down to full (\d+) cfm, but never under (\d+) cfm")


def read(_facts: Facts, setting: Setting) -> Reading:
    """The page at one setting."""
    found = Reading()

    def digits(bank: str, *switches: int) -> tuple[str]:
        return ("".join("1" if setting[f"{bank}-{k}"] == "on" else "0" for k in switches),)

    def cooling() -> dict[str, Fraction]:
        tons = SIZE[digits("SW1", 1, 2, 3)][0]
        if tons == "do not use":
            raise NoFigure
        full = pages.number(tons) * pages.number(PER_TON[digits("SW1", 4, 5)][0]) * trim(TRIM[digits("SW1", 6, 7)][0])
        return {
            stage: to_nearest(min(full * share, MOST), STEP)
            for stage, share in (("low", LOW_SHARE / 100), ("high", Fraction(1)))
        }

    def heat_pump() -> dict[str, Fraction]:
        text = OFFSET[digits("SW2", 1, 2)][0]
        offset = Fraction(0) if text == "none" else pages.number(text)
        return {stage: min(max(airflow + offset, LEAST[stage]), MOST) for stage, airflow in cooling().items()}

    def both() -> dict[str, Fraction]:
        text = FLOOR[digits("SW2", 3, 4)][0]
        airflow = heat_pump()["high"]
        return {"": airflow if text == "no floor" else max(airflow, pages.number(text))}

    def heater() -> dict[str, Fraction]:
        airflow = both()[""] * (1 - LESS / 100)
        return {"": -(-airflow // UP) * UP}

    def fan() -> dict[str, Fraction]:
        return {"": max(cooling()["high"] * pages.number(FAN[digits("SW1", 8)][0]) / 100 // DOWN * DOWN, FAN_LEAST)}

    for call, work in (
        ("cooling", cooling),
        ("heat pump", heat_pump),
        ("auxiliary", both),
        ("heater", heater),
        ("fan", fan),
    ):
        found.take(call, work)
    if "heater" in found.calls:
        found.keep(found.calls["heater"], f"{HEATER_LOW} to {HEATER_HIGH}")
    return found


COOLING = tuple(f"SW1-{k}" for k in range(1, 8))
SHEET = Sheet(
    name="marrowdale-t",
    positions={**switches("SW1", 8), **switches("SW2", 4)},
    delivered="SW1=00100000 SW2=0000",
    reads={
        "cooling": COOLING,
        "heat pump": (*COOLING, "SW2-1", "SW2-2"),
        "auxiliary": (*COOLING, *switches("SW2", 4)),
        "heater": (*COOLING, *switches("SW2", 4)),
        "fan": (*COOLING, "SW1-8"),
    },
    limited=("heater",),
    last={"cooling": "high", "heat pump": "high"},
    read=read,
)


def answers() -> dict[int, dict[str, Any]]:
    """Every worked answer by its number."""
    return SHEET.answers()
