"""Worked answers of `tables/drossfield-x.md`, recomputed from the page."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from tests.worked import pages, ranking
from tests.worked.working import Facts, NoFigure, Reading, Setting, Sheet, cell, switches

PAGE = pages.read("drossfield-x")
SHORT = PAGE.table("Cooling, short ducts, SW1-8 OFF, cfm (page 20)")
LONG = PAGE.table("Cooling, long ducts, SW1-8 ON, cfm (page 21)")
HEATING = PAGE.table("Heating, cfm (page 22)")
SEVEN = PAGE.table("SW1-7 (page 22)").lookup(1)
PLATE = PAGE.table("Rating plate")
LOWER = PAGE.figure(r"cooling runs (\d+ %) lower") / 100
EFFICIENCY, FAN = PAGE.figures(r"Efficiency (\d+ %)\. Constant fan: (\d+ %)")


def charted(table: pages.Table, size: str, marks: tuple[str, ...], proposed: list[bool]) -> Fraction:
    """The figure of the row that the marks are on; `proposed` is told when it is a row that only behaves as another."""
    for row in table.rows:
        if all(printed in ("-", mark) for printed, mark in zip(row, marks, strict=False)):
            text = row[len(marks)]
            if text.startswith("as "):
                proposed.append(False)
                return charted(table, size, tuple(text.split()[1:]), proposed)
            if text in ("reserved", "do not use"):
                raise NoFigure
            return cell(row[table.heads.index(size)])
    raise NoFigure


def read(facts: Facts, setting: Setting) -> Reading:
    """The page at one setting; a row that behaves as another is told but never proposed."""
    found, size = Reading(), facts["model"]
    on = [setting[f"SW1-{k}"].upper() for k in range(1, 9)]
    proposed: list[bool] = []

    def cooling() -> dict[str, Fraction]:
        airflow = (
            charted(LONG, size, tuple(on[:2]), proposed)
            if on[7] == "ON"
            else charted(SHORT, size, tuple(on[:3]), proposed)
        )
        return {"": airflow * (1 - LOWER if on[5] == "ON" else 1)}

    def heating() -> dict[str, Fraction]:
        text = SEVEN[on[6],][0] if size in ("030", "040") else "as charted"
        return {
            "": charted(HEATING, size, tuple(on[3:5]), proposed)
            * (1 if text == "as charted" else 1 + pages.number(text) / 100)
        }

    found.take("cooling", cooling)
    found.take("heating", heating)
    found.take("fan", lambda: {"": cooling()[""] * FAN / 100})
    at = PLATE.heads.index(size)
    if "heating" in found.calls:
        found.warm(
            "heating",
            ranking.rise(pages.number(PLATE.rows[0][at]) * EFFICIENCY / 100, found.calls["heating"]),
            PLATE.rows[1][at],
        )
    found.seconds = {"heating off delay": cell(SEVEN[on[6] if size in ("050", "060") else "OFF",][1])}
    found.kept = found.kept and all(proposed)
    return found


COOL = ("SW1-1", "SW1-2", "SW1-3", "SW1-6", "SW1-8")
SHEET = Sheet(
    name="drossfield-x",
    positions=switches("SW1", 8),
    delivered="SW1=00000000",
    reads={"cooling": COOL, "heating": ("SW1-4", "SW1-5", "SW1-7"), "fan": COOL},
    limited=("heating",),
    read=read,
)


def answers() -> dict[int, dict[str, Any]]:
    """Every worked answer by its number."""
    return SHEET.answers()
