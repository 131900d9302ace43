"""Worked answers of `tables/eskerby-e.md`, recomputed from the page."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from tests.worked import pages, ranking
from tests.worked.working import Facts, NoFigure, NotRunning, Reading, Setting, Sheet, cell, switches

PAGE = pages.read("eskerby-e")
COOLING = PAGE.table("Cooling and heat pump airflow, cfm (page 6)")
ADJUSTMENT = PAGE.table("Adjustment, on cooling, heat pump, heater and burner (page 6)").lookup(2)
HEATER = PAGE.table("Electric heater (page 7)").lookup(1)
BURNER = PAGE.table("Burner section (page 8)").lookup(1)
VOLTS = PAGE.figure(r"rated at (\d+) V")
LOW_FIRE, EFFICIENCY, RISE_LOW, RISE_HIGH = PAGE.figures(
    r"Low fire is (\d+ %) of the input\. Efficiency (\d+ %)\. .* between (\d+) and (\d+) F"
)


def read(facts: Facts, setting: Setting) -> Reading:
    """The page at one setting."""
    found = Reading()
    on = {name: position.upper() for name, position in setting.items()}
    text = ADJUSTMENT[on["SW1-5"], on["SW1-6"]][0]
    factor = Fraction(1) if text == "as charted" else 1 + pages.number(text) / 100

    def charted() -> dict[str, Fraction]:
        for row in COOLING.rows:
            if all(printed in ("-", on[name]) for printed, name in zip(row, ("SW1-1", "SW1-2", "SW1-3"), strict=False)):
                if row[3] == "reserved":
                    raise NoFigure
                return {"first": cell(row[3]), "second": cell(row[4])}
        raise NoFigure

    def adjusted() -> dict[str, Fraction]:
        return {stage: airflow * factor for stage, airflow in charted().items()}

    def fitted(table: dict[tuple[str, ...], tuple[str, ...]], kind: str) -> tuple[str, ...]:
        if setting[kind] == "none":
            raise NotRunning
        return table[setting[kind],]

    def both() -> dict[str, Fraction]:
        least = cell(fitted(HEATER, "J1")[2])
        return {"": max(adjusted()["second"], least)}

    def burner() -> dict[str, Fraction]:
        row = fitted(BURNER, "J2")
        return {
            stage: cell(text) * factor
            for stage, text in zip(("low", "high"), row[2:] if on["SW1-4"] == "ON" else row[:2], strict=True)
        }

    for call, work in (
        ("cooling", adjusted),
        ("heat pump", adjusted),
        ("auxiliary", both),
        ("heater alone", lambda: {"": cell(fitted(HEATER, "J1")[on["SW1-4"] == "ON"]) * factor}),
        ("burner", burner),
        ("fan", lambda: {"": adjusted()["second"] / 2}),
    ):
        found.take(call, work)
    if "burner high" in found.calls:
        for stage, fire in (("low", LOW_FIRE / 100), ("high", Fraction(1))):
            delivered = pages.number(setting["J2"]) * 1000 * fire * EFFICIENCY / 100
            found.warm(
                f"burner {stage}", ranking.rise(delivered, found.calls[f"burner {stage}"]), f"{RISE_LOW} to {RISE_HIGH}"
            )
    if "heater alone" in found.calls and "supply voltage" in facts:
        volts = pages.number(facts["supply voltage"].removesuffix(" V"))
        delivered = pages.number(setting["J1"]) * ranking.KW_BTUH * (volts / VOLTS) ** 2
        found.rise["heater alone"] = ranking.rise(delivered, found.calls["heater alone"])
    found.seconds = {"burner on delay": PAGE.figure(r"on (\d+) s after the burner lights")}
    return found


COOL = ("SW1-1", "SW1-2", "SW1-3", "SW1-5", "SW1-6")
SHEET = Sheet(
    name="eskerby-e",
    positions={**switches("SW1", 6), "J1": ("none", "5", "8", "10", "15", "20"), "J2": ("none", "40", "60", "75")},
    delivered="SW1=010000 J1=none J2=none",
    reads={
        "cooling": COOL,
        "heat pump": COOL,
        "auxiliary": COOL,
        "heater alone": ("SW1-4", "SW1-5", "SW1-6"),
        "burner": ("SW1-4", "SW1-5", "SW1-6"),
        "fan": COOL,
    },
    limited=("burner",),
    last={"cooling": "second", "heat pump": "second", "burner": "high"},
    declares={"J1": "heater fitted", "J2": "burner fitted"},
    read=read,
)


def answers() -> dict[int, dict[str, Any]]:
    """Every worked answer by its number."""
    return SHEET.answers()
