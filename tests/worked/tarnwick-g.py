"""Worked answers of `tables/tarnwick-g.md`, recomputed from the page."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from tests.worked import pages, ranking
from tests.worked.working import Facts, NoFigure, NotRunning, Reading, Setting, Sheet, cell, on_line, trim

PAGE = pages.read("tarnwick-g")
TAPS = PAGE.table("Airflow by tap, cfm (page 11)")
POINTS = [cell(head.removesuffix(" in. w.c.")) for head in TAPS.heads[1:]]
JUMPER = PAGE.table("J1, cooling (page 11)").lookup(1)
PLUGS = PAGE.table("Heat output by plug P1, Btu/h (page 12)").lookup(1)
ABOVE, LOWER = PAGE.figures(r"Above ([\d.]+) in\. w\.c\. cooling runs (\d+ %) lower")
MOST = PAGE.figure(r"G60: cooling at most ([\d,]+) cfm")
OLD = PAGE.figure(r"the fan gives about (\d+) cfm")
LOW = PAGE.figure(r"Low heat has about (\d+ %)") / 100
OFF, ON = PAGE.figures(r"waits for heat: OFF (\d+) s, ON (\d+) s")
AFTER_LOW, AFTER_HIGH = PAGE.figures(r"After low heat the blower runs on (\d+) s, after high heat (\d+) s")


def charted(tap: str, facts: Facts) -> Fraction:
    """The airflow of a tap at the static pressure; a starred figure is for the G80 alone."""
    if tap == "parked":
        raise NotRunning
    row = TAPS.lookup(1)[tap,]
    figures = [
        None if text.endswith("*") and facts["model"] != "G80" else cell(text.removesuffix(" *")) for text in row
    ]
    return on_line(Fraction(facts["static pressure"]), POINTS, figures)


def read(facts: Facts, setting: Setting) -> Reading:
    """The page at one setting."""
    found = Reading()
    leads = {lead: setting[f"M1-{lead}"] for lead in ("RED", "BLU", "YEL")}

    def tap(lead: str) -> Fraction:
        for other, at in leads.items():
            shared = {lead, other} == {"RED", "YEL"} and setting["J1"] == "B"
            if other != lead and at == leads[lead] != "parked" and not shared:
                raise NoFigure
        return charted(leads[lead], facts)

    def fan() -> Fraction:
        return OLD if setting["LK1"] == "out" else tap("YEL")

    def cooling() -> dict[str, Fraction]:
        airflow = tap("BLU") * trim(JUMPER[setting["J1"],][0])
        if Fraction(facts["static pressure"]) > ABOVE:
            airflow *= 1 - LOWER / 100
        try:
            return {"": max(airflow, fan())}
        except NotRunning:
            return {"": airflow}

    found.take("heating", lambda: {"low": tap("RED") * LOW, "high": tap("RED")})
    found.take("cooling", cooling)
    found.take("fan", lambda: {"": fan()})
    plug = PLUGS[setting["P1"],]
    for stage, output in (("low", plug[0]), ("high", plug[1])):
        call = f"heating {stage}"
        if call in found.calls:
            found.warm(call, ranking.rise(cell(output), found.calls[call]), plug[2])
    if facts["model"] == "G60" and "cooling" in found.calls:
        found.keep(found.calls["cooling"], f"0 to {MOST}")
    found.seconds = {
        "heating high on delay": ON if setting["SW1-1"] == "on" else OFF,
        "heating low off delay": AFTER_LOW,
        "heating high off delay": AFTER_HIGH,
    }
    return found


LEADS = ("1", "2", "3", "4", "parked")
SHEET = Sheet(
    name="tarnwick-g",
    positions={
        "M1-RED": LEADS,
        "M1-BLU": LEADS,
        "M1-YEL": LEADS,
        "J1": ("A", "B"),
        "LK1": ("in", "out"),
        "P1": ("A", "B", "C"),
        "SW1-1": ("off", "on"),
        "SW1-2": ("off", "on"),
    },
    delivered="M1-RED=3 M1-BLU=2 M1-YEL=1 J1=A LK1=in P1=B SW1=00",
    reads={
        "cooling": ("M1-BLU", "M1-YEL", "M1-RED", "J1", "LK1"),
        "heating": ("M1-RED", "M1-YEL", "M1-BLU", "P1"),
    },
    limited=("heating", "cooling"),
    last={"heating": "high"},
    read=read,
)


def answers() -> dict[int, dict[str, Any]]:
    """Every answer on the page, by number."""
    return SHEET.answers()
