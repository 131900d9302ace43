"""Worked answers of `tables/ostrandel-v.md`, recomputed from the page."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from tests.worked import pages, ranking
from tests.worked.working import Facts, NoFigure, NotRunning, Ramp, Reading, Setting, Sheet, cell, trim

PAGE = pages.read("ostrandel-v")
COOL = PAGE.table("Letter for cooling, R1 (page 6)").lookup(1)
HEAT = PAGE.table("Letter for heat, J1 (page 6)").lookup(1)
LETTERS = PAGE.table("Airflow (page 7)").lookup(1)
SLIDE = PAGE.table("S1 (page 7)").lookup(1)
FIRST_KW_V, SECOND_KW, SECOND_V = Fraction(240), *PAGE.figures(r"heater of (\d+) kW at (\d+) V")
LIMITED = PAGE.figure(r"only up to ([\d.]+) in")
PERCENT, FEET, ABOVE = PAGE.figures(r"plus (\d+ %) for each ([\d,]+) ft above ([\d,]+) ft")
FIRST = PAGE.figure(r"First stage: (\d+ %) of it")
PUMP = PAGE.figure(r"runs (\d+ %) more than second-stage")
DRY, PER_TON = PAGE.figures(r"Dehumidify: (\d+ %) of second-stage cooling, never under (\d+) cfm a ton")
FAN, EACH = PAGE.figures(r"Fan: (\d+) cfm and (\d+) more for each number")
FOOT = PAGE.figure(r"starts at (\d+ %) and climbs")


def charted(letter: str, facts: Facts) -> Fraction:
    """The airflow of a letter; one with the footnote's mark only up to its static pressure."""
    printed = LETTERS[letter,][0]
    if printed.endswith("*") and Fraction(facts.get("static pressure", "0")) > LIMITED:
        raise NoFigure
    return cell(printed.removesuffix(" *"))


def read(facts: Facts, setting: Setting) -> Reading:
    """The page at one setting."""
    found, column = Reading(), ("V24", "V36").index(facts["model"])
    higher = 1 + PERCENT / 100 * max(Fraction(facts.get("altitude", "0")) - ABOVE, Fraction(0)) / FEET

    def second() -> Fraction:
        row = COOL.get((setting["R1"],))
        if row is not None and row[0].startswith("same as "):
            row = COOL[row[0].removeprefix("same as "),]
        if row is None:
            raise NoFigure
        slide = "−" if setting["S1"] == "minus" else setting["S1"]
        return charted(row[column], facts) * trim(SLIDE[slide,][0])

    def heater() -> Fraction:
        if setting["J1"] == "none":
            raise NotRunning
        return charted(HEAT[setting["J1"],][column], facts)

    def pump() -> dict[str, Fraction]:
        if setting["SW1-1"] != "on":
            raise NotRunning
        return {"": second() * (1 + PUMP / 100)}

    found.take("cooling", lambda: {"first": second() * FIRST / 100, "second": second()})
    found.take("heat pump", pump)
    found.take("heater alone", lambda: {"": heater()})
    found.take("heater with heat pump", lambda: {"": max(heater(), second())})
    found.take("dehumidify", lambda: {"": max(second() * DRY / 100, PER_TON * Fraction(facts["outdoor tons"]))})
    found.take("fan", lambda: {"": (FAN + EACH * int(setting["D2"])) * higher})
    supply = Fraction(facts.get("supply voltage", "0"))
    for call in ("heater alone", "heater with heat pump"):
        if call in found.calls:
            power = Fraction(setting["J1"]) * ((supply / FIRST_KW_V) ** 2 if supply else 1)
            if setting["J2"] != "none":
                power += SECOND_KW * ((supply / SECOND_V) ** 2 if supply else 1)
            found.rise[call] = ranking.rise(power * ranking.KW_BTUH, found.calls[call])
    climb = (Fraction(setting["N1"]), (FOOT / 100 + 1) / 2)
    found.ramps = {"cooling second": Ramp(parts=(climb,))}
    return found


COOLING = ("R1", "S1")
SHEET = Sheet(
    name="ostrandel-v",
    positions={
        "R1": ("0", "1", "2", "3", "A", "B"),
        "S1": ("+", "0", "minus"),
        "SW1-1": ("off", "on"),
        "SW1-2": ("off", "on"),
        "J1": ("none", "5", "10"),
        "J2": ("none", "3"),
        "D2": ("0", "1", "2", "3"),
        "N1": ("0", "30", "60"),
    },
    delivered="R1=0 S1=0 SW1=00 J1=none J2=none D2=0 N1=30",
    reads={"cooling": COOLING, "fan": ("D2",)},
    last={"cooling": "second"},
    declares={"SW1-1": "outdoor kind", "J1": "heater", "J2": "second heater"},
    read=read,
)


def answers() -> dict[int, dict[str, Any]]:
    """Every answer on the page, by number."""
    return SHEET.answers()
