"""Worked answers of `tables/fenwarren-4m.md`, recomputed from the page."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from tests.worked import pages, ranking
from tests.worked.working import Facts, NotRunning, Reading, Setting, Sheet, cell, switches, trim

PAGE = pages.read("fenwarren-4m")
PLATE = PAGE.table("Rating plate").lookup(1)
COOLING = PAGE.table("Cooling airflow, cfm (page 11)")
HEATING = PAGE.table("Heating airflow, cfm (page 12)")
ADJUSTMENT = PAGE.table("Adjustment (page 12)")
FAN = PAGE.table("Constant fan, cfm (page 13)")
EFFICIENCY = PAGE.figure(r"(\d+ %) of it reaches the air") / 100


def staged(table: pages.Table, keys: int, size: str, setting: list[str]) -> dict[str, Fraction]:
    """Airflow by stage as charted: heads of two levels, the size over its stages."""
    row = table.lookup(keys)[tuple(setting)]
    start = table.heads.index(size) - keys
    return {stage: cell(text) for stage, text in zip(("low", "high"), row[start : start + 2], strict=True)}


def read(facts: Facts, setting: Setting) -> Reading:
    """The page at one setting."""
    found, size = Reading(), facts["model"]
    on = {name: position.upper() for name, position in setting.items()}

    def adjusted(charted: dict[str, Fraction]) -> dict[str, Fraction]:
        text = ADJUSTMENT.lookup(1)[on["SW1-6"],][ADJUSTMENT.heads.index(on["J1"]) - 1]
        return {stage: airflow * (trim(text) if text != "-" else cell(text)) for stage, airflow in charted.items()}

    def fan() -> dict[str, Fraction]:
        if FAN.lookup(1)[on["J2"],][0] == "ignored":
            raise NotRunning
        return {"": cell(FAN.lookup(1)[on["J2"],][FAN.heads.index(size) - 1])}

    found.take("cooling", lambda: adjusted(staged(COOLING, 3, size, [on["SW1-1"], on["SW1-2"], on["SW1-3"]])))
    found.take("heating", lambda: adjusted(staged(HEATING, 2, size, [on["SW1-4"], on["SW1-5"]])))
    found.take("fan", fan)
    for stage, fire in zip(("low", "high"), PLATE[size,], strict=False):
        if f"heating {stage}" in found.calls:
            delivered = pages.number(fire) * EFFICIENCY
            found.warm(f"heating {stage}", ranking.rise(delivered, found.calls[f"heating {stage}"]), PLATE[size,][2])
    start, heating, cooling = PAGE.figures(
        r"starts (\d+) s after the burner, runs (\d+) s after heating and (\d+) s after cooling"
    )
    found.seconds = {"heating on delay": start, "heating off delay": heating, "cooling off delay": cooling}
    return found


SHEET = Sheet(
    name="fenwarren-4m",
    positions={**switches("SW1", 6), "J1": "ABC", "J2": "1234"},
    delivered="SW1=001000 J1=B J2=2",
    reads={
        "cooling": ("SW1-1", "SW1-2", "SW1-3", "SW1-6", "J1"),
        "heating": ("SW1-4", "SW1-5", "SW1-6", "J1"),
        "fan": ("J2",),
    },
    limited=("heating",),
    last={"cooling": "high", "heating": "high"},
    read=read,
)


def answers() -> dict[int, dict[str, Any]]:
    """Every worked answer by its number."""
    return SHEET.answers()
