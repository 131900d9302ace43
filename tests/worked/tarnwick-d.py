"""Worked answers of `tables/tarnwick-d.md`, recomputed from the page."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from tests.worked import pages
from tests.worked.working import Facts, NoFigure, NotRunning, Reading, Setting, Sheet, cell, switches

PAGE = pages.read("tarnwick-d")
AIRFLOW = PAGE.table("Cooling and heat pump airflow, cfm (page 12)")
TRIM = PAGE.table("Heat pump trim (page 12)").lookup(2)
LOWER = PAGE.table("Dehumidify (page 13)").lookup(1)
LEAST = PAGE.table("Least airflow while dehumidifying, cfm (page 13)")
FAN = PAGE.table("Constant fan (page 14)").lookup(1)
FAN_LEAST = PAGE.figure(r"Never under (\d+) cfm")
AFTER = PAGE.figure(r"runs on for (\d+) s after cooling")


def read(facts: Facts, setting: Setting) -> Reading:
    """The page at one setting."""
    found, size = Reading(), facts["model"]
    on = tuple(setting[f"SW1-{k}"].upper() for k in (1, 2))

    def cooling() -> Fraction:
        row = AIRFLOW.lookup(1)[setting["D1"],]
        if row[0] == "not used":
            raise NoFigure
        return cell(row[AIRFLOW.heads.index(size) - 1])

    def heat_pump() -> Fraction:
        text = TRIM[on][0]
        return cooling() * (1 if text == "as cooling" else 1 + pages.number(text) / 100)

    def dehumidify() -> Fraction:
        if setting["J4"] == "none":
            raise NotRunning
        return max(
            cooling() * (1 - pages.number(LOWER[setting["J3"],][0]) / 100), cell(LEAST.rows[0][LEAST.heads.index(size)])
        )

    def fan() -> Fraction:
        share = Fraction(1, 2) if setting["J5"] == "fixed" else pages.number(FAN[setting["D2"],][0]) / 100
        return max(cooling() * share, FAN_LEAST)

    found.take("cooling", lambda: {"": cooling()})
    found.take("heat pump", lambda: {"": heat_pump()})
    found.take("dehumidify", lambda: {"": dehumidify()})
    found.take("fan", lambda: {"": fan()})
    found.seconds = {"cooling off delay": AFTER}
    return found


SHEET = Sheet(
    name="tarnwick-d",
    positions={
        **switches("SW1", 2),
        "D1": "0123456789",
        "D2": "012345",
        "J3": "1234",
        "J4": ("none", "opens", "closes"),
        "J5": ("fixed", "dial"),
    },
    delivered="D1=0 D2=3 J3=1 J4=none J5=fixed SW1=00",
    reads={
        "cooling": ("D1",),
        "heat pump": ("D1", "SW1-1", "SW1-2"),
        "dehumidify": ("D1", "J3"),
        "fan": ("D1", "D2", "J5"),
    },
    declares={"J4": "humidistat"},
    read=read,
)


def answers() -> dict[int, dict[str, Any]]:
    """Every worked answer by its number."""
    return SHEET.answers()
