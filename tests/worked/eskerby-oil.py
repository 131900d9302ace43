"""Worked answers of `tables/eskerby-oil.md`, recomputed from the page."""

from __future__ import annotations

from fractions import Fraction
from math import sqrt
from typing import Any

from tests.worked import pages, ranking
from tests.worked.working import Facts, Reading, Setting, Sheet, switches

PAGE = pages.read("eskerby-oil")
RISE = PAGE.table("Heating by rise (page 14)").lookup(1)
HEATING = PAGE.table("Heating adjustment (page 14)").lookup(1)
COOLING = PAGE.table("Cooling airflow, cfm (page 15)").lookup(3)
AFTER = PAGE.table("Blower after heating (page 16)").lookup(2)
MARKED_PSI, PUMP_PSI, GALLON, EFFICIENCY = PAGE.figures(
    r"for (\d+) psi\. .*Pump pressure (\d+) psi\. Oil ([\d,]+) Btu a gallon, efficiency (\d+ %)"
)
PLATE_LOW, PLATE_HIGH = PAGE.figures(r"rating plate: (\d+) to (\d+) F")
LEAST, MOST = PAGE.figures(r"held between (\d+) and ([\d,]+) cfm")
FAN, FAN_LEAST = PAGE.figures(r"Constant fan: (\d+ %) of the cooling airflow, never under (\d+) cfm")


def read(_facts: Facts, setting: Setting) -> Reading:
    """The page at one setting; the nozzle is the one that J1 tells."""
    found = Reading()
    on = {name: position.upper() for name, position in setting.items()}
    delivered = Fraction(setting["J1"]) * Fraction(sqrt(PUMP_PSI / MARKED_PSI)) * GALLON * EFFICIENCY / 100
    text = HEATING[on["SW1-6"],][0]
    worked = delivered / (Fraction(108, 100) * pages.number(RISE[setting["J2"],][0]))
    heating = min(max(worked * (1 if text == "as worked out" else 1 + pages.number(text) / 100), LEAST), MOST)
    cooling = pages.number(COOLING[on["SW1-1"], on["SW1-2"], on["SW1-3"]][0])
    found.calls = {"cooling": cooling, "heating": heating, "fan": max(cooling * FAN / 100, FAN_LEAST)}
    found.warm("heating", ranking.rise(delivered, heating), f"{PLATE_LOW} to {PLATE_HIGH}")
    start, cool = PAGE.figures(r"starts (\d+) s after the burner\. After cooling it runs on for (\d+) s")
    found.seconds = {
        "heating on delay": start,
        "cooling off delay": cool,
        "heating off delay": pages.number(AFTER[on["SW1-4"], on["SW1-5"]][0]),
    }
    return found


SHEET = Sheet(
    name="eskerby-oil",
    positions={**switches("SW1", 6), "J1": ("0.65", "0.75", "0.85", "1.00", "1.10"), "J2": "12345"},
    delivered="SW1=000000 J1=0.85 J2=3",
    reads={"cooling": ("SW1-1", "SW1-2", "SW1-3"), "heating": ("SW1-6", "J2"), "fan": ("SW1-1", "SW1-2", "SW1-3")},
    limited=("heating",),
    declares={"J1": "nozzle fitted"},
    read=read,
)


def answers() -> dict[int, dict[str, Any]]:
    """Every worked answer by its number."""
    return SHEET.answers()
