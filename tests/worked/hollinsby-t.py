"""Worked answers of `tables/hollinsby-t.md`, recomputed from the page."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from tests.worked import pages
from tests.worked.working import Facts, Reading, Setting, Sheet, cell, switches, trim

PAGE = pages.read("hollinsby-t")
COOLING = PAGE.table("Cooling airflow, cfm (page 4)").lookup(3)
HEAT_PUMP = PAGE.table("Heat pump airflow, cfm (page 5)").lookup(1)
FAN = PAGE.table("Constant fan, cfm (page 5)").lookup(1)
TRIM = PAGE.table("Cooling trim (page 6)").lookup(2)
LOWEST, HIGHEST = PAGE.figures(r"between (\d+) and ([\d,]+) cfm in either stage")


def read(_facts: Facts, setting: Setting) -> Reading:
    """The page at one setting."""
    found = Reading()
    on = [setting[f"SW1-{k}"].upper() for k in range(1, 6)]
    factor = trim(TRIM[on[3], on[4]][0])
    first, second = (cell(text) for text in COOLING[on[0], on[1], on[2]])
    warm_first, warm_second = (cell(text) for text in HEAT_PUMP[setting["J2"],])
    found.calls = {
        "cooling first": first * factor,
        "cooling second": second * factor,
        "heat pump first": warm_first,
        "heat pump second": warm_second * factor,
        "fan": cell(FAN[setting["J1"],][0]) * (factor if setting["LK1"] == "cut" else Fraction(1)),
    }
    for stage in ("first", "second"):
        found.keep(found.calls[f"heat pump {stage}"], f"{LOWEST} to {HIGHEST}")
    return found


SHEET = Sheet(
    name="hollinsby-t",
    positions={**switches("SW1", 6), "J1": "1234", "J2": "ABCDE", "LK1": ("whole", "cut")},
    delivered="SW1=110000 J1=2 J2=C LK1=whole",
    reads={
        "cooling": ("SW1-1", "SW1-2", "SW1-3", "SW1-4", "SW1-5"),
        "heat pump": ("J2", "SW1-4", "SW1-5"),
        "fan": ("J1", "SW1-4", "SW1-5", "LK1"),
    },
    limited=("heat pump",),
    last={"cooling": "second", "heat pump": "second"},
    read=read,
)


def answers() -> dict[int, dict[str, Any]]:
    """Every worked answer by its number."""
    return SHEET.answers()
