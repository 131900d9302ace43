"""Worked answers of `tables/garrowby-r.md`, recomputed from the page."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Any

from tests.worked import pages, ranking
from tests.worked.working import Facts, NoFigure, Ramp, Reading, Setting, Sheet, cell, switches

PAGE = pages.read("garrowby-r")
COOLING = PAGE.table("Cooling airflow, cfm, second stage (page 30)").lookup(3)
HEATING = PAGE.table("Heating airflow, cfm (page 31)").lookup(1)
COMES_UP = PAGE.table("How the blower comes up in cooling (page 32)").lookup(1)
AFTER_COOLING = PAGE.table("Blower after cooling (page 32)").lookup(2)
AFTER_HEATING = PAGE.table("Blower after heating, seconds (page 33)").lookup(1)
WAIT = PAGE.table("Wait before the blower in heating (page 33)").lookup(2)
FIRST = PAGE.figure(r"First stage: (\d+ %)") / 100
LOW, HIGH, EFFICIENCY, RISE_LOW, RISE_HIGH = PAGE.figures(
    r"Input ([\d,]+) Btu/h at low and ([\d,]+) at high fire, efficiency (\d+ %); rise on the rating plate (\d+) to"
    r" (\d+) F"
)
LOWER = PAGE.figure(r"cooling and heating run (\d+ %) lower") / 100
COOLING_WAIT = PAGE.figures(r"the blower waits (\d+) s in first and (\d+) s in second stage")
FAN, FAN_LEAST = PAGE.figures(r"Constant fan: (\d+ %) of first-stage cooling as set, (\d+) cfm at least")


def ramp(text: str) -> Ramp:
    """The parts of a ramp before the full airflow, as the page says them."""
    during = text.split(";")[0]
    return Ramp(
        parts=tuple(
            (Fraction(lasts), Fraction(share) / 100) for lasts, share in re.findall(r"(\d+) s at (\d+) %", during)
        )
    )


def read(_facts: Facts, setting: Setting) -> Reading:
    """The page at one setting; a row that behaves as another is told but never proposed."""
    found = Reading()
    on = ["", *(setting[f"SW1-{k}"].upper() for k in range(1, 9))]
    factor = 1 - LOWER if on[6] == "ON" else Fraction(1)

    def cooling() -> dict[str, Fraction]:
        text = COOLING[on[1], on[2], on[3]][0]
        if text == "reserved":
            raise NoFigure
        second = cell(text) * factor
        return {"first": second * FIRST, "second": second}

    found.take("cooling", cooling)
    found.take(
        "heating",
        lambda: {
            stage: cell(text) * factor for stage, text in zip(("low", "high"), HEATING[setting["J1"],], strict=True)
        },
    )
    found.take("fan", lambda: {"": max(cooling()["first"] * FAN / 100, FAN_LEAST)})
    for stage, fire in (("low", LOW), ("high", HIGH)):
        heating = found.calls[f"heating {stage}"]
        found.warm(f"heating {stage}", ranking.rise(fire * EFFICIENCY / 100, heating), f"{RISE_LOW} to {RISE_HIGH}")
        found.ramps[f"heating {stage}"] = ramp(
            PAGE.text[PAGE.text.index("In heating it always comes up with") :].split(", then full")[0]
        )
    for stage in ("first", "second"):
        found.ramps[f"cooling {stage}"] = ramp(COMES_UP[setting["D1"],][0])
    wait = WAIT[on[7], on[8]][0]
    if wait.startswith("as "):
        found.kept = False
        wait = WAIT[tuple(wait.split()[1:])][0]
    after = AFTER_COOLING[on[4], on[5]][0]
    after_heating = AFTER_HEATING[setting["J2"],]
    found.seconds = {
        "heating on delay": cell(wait),
        "heating low off delay": cell(after_heating[0]),
        "heating high off delay": cell(after_heating[1]),
        "cooling off delay": Fraction(0) if after == "none" else cell(after),
        "cooling first on delay": COOLING_WAIT[0],
        "cooling second on delay": COOLING_WAIT[1],
    }
    return found


COOL = ("SW1-1", "SW1-2", "SW1-3", "SW1-6")
SHEET = Sheet(
    name="garrowby-r",
    positions={**switches("SW1", 8), "D1": "12345", "J1": "ABCD", "J2": "1234"},
    delivered="SW1=01000000 D1=2 J1=A J2=1",
    reads={"cooling": COOL, "heating": ("J1", "SW1-6"), "fan": COOL},
    limited=("heating",),
    last={"cooling": "second", "heating": "high"},
    read=read,
)


def answers() -> dict[int, dict[str, Any]]:
    """Every worked answer by its number."""
    return SHEET.answers()
