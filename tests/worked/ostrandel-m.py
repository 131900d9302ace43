"""Worked answers of `tables/ostrandel-m.md`, recomputed from the page."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from tests.worked import pages, ranking
from tests.worked.working import Facts, NoFigure, Reading, Setting, Sheet, cell, on_line, switches, trim

PAGE = pages.read("ostrandel-m")
HEATING = PAGE.table("Heating airflow at the firing rate, cfm (page 17)")
ADJUSTMENT = PAGE.table("Adjustment, on heating and cooling (page 18)").lookup(2)
COOLING = PAGE.table("Cooling airflow, cfm (page 18)")
FAN = PAGE.table("Constant fan (page 19)").lookup(1)
INPUT = dict(zip(("060", "100"), PAGE.figures(r"of its input, ([\d,]+) or ([\d,]+) Btu/h"), strict=True))
EFFICIENCY, RISE_LOW, RISE_HIGH = PAGE.figures(
    r"Efficiency (\d+ %) at every rate\. Rise on the rating plate (\d+) to (\d+) F"
)
AFTER = dict(zip(("off", "on"), PAGE.figures(r"after heating: OFF (\d+) s, ON (\d+) s"), strict=True))


def read(facts: Facts, setting: Setting) -> Reading:
    """The page at one setting; the rise is held to the plate at every printed rate, where the line bends."""
    found, size = Reading(), facts["model"]
    on = ["", *(setting[f"SW1-{k}"].upper() for k in range(1, 7))]
    factor = trim(ADJUSTMENT[on[4], on[5]][0])
    start = HEATING.heads.index(size)
    rates = [pages.number(text) for text in HEATING.rows[0][start : start + 4]]
    figures = [cell(text) for text in HEATING.lookup(1)[setting["D1"],][start - 1 : start + 3]]

    def cooling() -> Fraction:
        row = COOLING.lookup(3)[on[1], on[2], on[3]]
        if row[0] == "do not use":
            raise NoFigure
        return cell(row[COOLING.heads.index(size) - 3]) * factor

    def rise(rate: Fraction) -> Fraction:
        return ranking.rise(INPUT[size] * EFFICIENCY / 100 * rate / 100, on_line(rate, rates, figures) * factor)

    found.take("cooling", lambda: {"": cooling()})
    found.take("fan", lambda: {"": cooling() * pages.number(FAN[setting["J1"],][0]) / 100})
    for rate in rates:
        found.keep(rise(rate), f"{RISE_LOW} to {RISE_HIGH}")
    rate = pages.number(facts["firing rate"])
    found.take("heating", lambda: {"": on_line(rate, rates, figures) * factor})
    if "heating" in found.calls:
        found.rise["heating"] = rise(rate)
    found.seconds = {"heating off delay": AFTER[setting["SW1-6"]]}
    return found


COOL = ("SW1-1", "SW1-2", "SW1-3", "SW1-4", "SW1-5")
SHEET = Sheet(
    name="ostrandel-m",
    positions={**switches("SW1", 6), "D1": "12345", "J1": "abc"},
    delivered="SW1=000000 D1=1 J1=a",
    reads={"cooling": COOL, "heating": ("D1", "SW1-4", "SW1-5"), "fan": (*COOL, "J1")},
    limited=("heating",),
    read=read,
)


def answers() -> dict[int, dict[str, Any]]:
    """Every worked answer by its number."""
    return SHEET.answers()
