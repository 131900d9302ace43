"""Worked answers of `tables/wickerby-z.md`, recomputed from the page."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from tests.worked import pages
from tests.worked.working import Facts, NoFigure, Reading, Setting, Sheet, on_line

PAGE = pages.read("wickerby-z")
DIAL = PAGE.table("Airflow in the highest stage, cfm (page 11)").lookup(1)
SHARES = PAGE.table("Stages (page 11)").lookup(1)
COIL = PAGE.table("Water coil, cfm (page 12)").lookup(2)
ZONES = PAGE.table("Zones (page 13)").lookup(1)
STATICS = (Fraction("0.2"), Fraction("0.5"))
WATERS = ("120", "180")
LOW, HIGH = {}, {}
LOW["Z20"], HIGH["Z20"], LOW["Z30"], HIGH["Z30"] = PAGE.figures(r"Z20 (\d+) to (\d+) cfm, Z30 (\d+) to ([\d,]+) cfm")
FIRST = PAGE.figure(r"Z30 needs (\d+) cfm at least")
VOLTS, LESS = PAGE.figures(r"At a supply of (\d+) V the water coil's airflow is (\d+ %) lower")
LEAST = PAGE.figure(r"never under (\d+) cfm")


def highest(model: str, mark: str) -> list[Fraction]:
    """The airflow of the highest stage; two where the page leaves open which."""
    printed = DIAL[mark,][("Z20", "Z30").index(model)]
    return [pages.number(one) for one in printed.split(" or ")]


def coil(facts: Facts, jumper: str) -> Fraction:
    """The water coil's airflow: along the water's temperature at each static, then along the static."""
    water, static = Fraction(facts["water temperature"]), Fraction(facts["static pressure"])
    by_static = [
        on_line(water, [Fraction(w) for w in WATERS], [pages.number(COIL[jumper, w][n]) for w in WATERS])
        for n in range(len(STATICS))
    ]
    airflow = on_line(static, STATICS, by_static)
    return airflow * (1 - LESS / 100) if Fraction(facts["supply voltage"]) == VOLTS else airflow


def read(facts: Facts, setting: Setting) -> Reading:
    """The page at one setting."""
    found, model = Reading(), facts["model"]

    def stages() -> dict[str, Fraction]:
        figures = highest(model, setting["D1"])
        if len(figures) > 1:
            raise NoFigure
        by_stage = {stage: figures[0] * pages.number(share) / 100 for (stage,), (share,) in SHARES.items()}
        kept = LOW[model] <= by_stage["s7"] <= HIGH[model] and (model == "Z20" or by_stage["s1"] >= FIRST)
        found.kept = found.kept and kept
        return by_stage

    def zones() -> dict[str, Fraction]:
        calling = [pages.number(cfm) for (zone,), (cfm,) in ZONES.items() if facts[f"zone {zone}"] == "calls"]
        return {"": max(sum(calling, Fraction(0)), LEAST)}

    found.take("cooling", stages)
    if "water temperature" in facts:
        found.take("water coil", lambda: {"": coil(facts, setting["J1"])})
    if "zone A" in facts:
        found.take("zones", zones)
    return found


SHEET = Sheet(
    name="wickerby-z",
    positions={"D1": ("1", "2", "3"), "J1": ("A", "B")},
    delivered="D1=1 J1=A",
    reads={"cooling": ("D1",), "water coil": ("J1",)},
    last={"cooling": "s7"},
    read=read,
)


def answers() -> dict[int, dict[str, Any]]:
    """Every answer on the page, by number; in the third the figures that the page leaves open."""
    found = SHEET.answers()
    found[3]["values"] = {"cooling s7": [float(x) for x in highest("Z30", "2")]}
    found[3]["refused"].remove("cooling")
    return found
