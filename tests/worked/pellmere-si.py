"""Worked answers of `tables/pellmere-si.md`, recomputed from the page."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from tests.worked import pages
from tests.worked.working import Facts, Reading, Setting, Sheet, on_line, rise_c, switches, trim

PAGE = pages.read("pellmere-si")
COOLING = PAGE.table("Cooling, L/s (page 7)")
HEATING = PAGE.table("Heating at high fire, L/s (page 8)")
ADJUSTMENT = PAGE.table("Adjustment of cooling and heating (page 8)").lookup(2)
FAN = PAGE.table("Constant fan (page 9)").lookup(1)
LOW_SHARE, LOW, HIGH, EFFICIENCY = PAGE.figures(
    r"At low fire (\d+ %) of these\. Input ([\d.]+) kW at low and (\d+) kW at high fire, efficiency (\d+ %)"
)
RISE_LOW, RISE_HIGH = PAGE.figures(r"rating plate: (\d+) to (\d+) C")


def at_static(table: pages.Table, mark: str, static: Fraction) -> Fraction:
    """The figure of a row at a static pressure."""
    points = [pages.number(head.removesuffix(" Pa")) for head in table.heads[1:]]
    return on_line(static, points, [None if text == "-" else pages.number(text) for text in table.lookup(1)[mark,]])


def read(facts: Facts, setting: Setting) -> Reading:
    """The page at one setting and one static pressure."""
    found = Reading()
    static = pages.number(facts["static pressure"].removesuffix(" Pa"))
    factor = trim(ADJUSTMENT[setting["SW1-1"].upper(), setting["SW1-2"].upper()][0])

    def heating() -> dict[str, Fraction]:
        high = at_static(HEATING, setting["D2"], static) * factor
        return {"low": high * LOW_SHARE / 100, "high": high}

    found.take("cooling", lambda: {"": at_static(COOLING, setting["D1"], static) * factor})
    found.take("heating", heating)
    found.take(
        "fan",
        lambda: {"": at_static(COOLING, setting["D1"], static) * factor * pages.number(FAN[setting["J1"],][0]) / 100},
    )
    for stage, fire in (("low", LOW), ("high", HIGH)):
        if f"heating {stage}" in found.calls:
            found.warm(
                f"heating {stage}",
                rise_c(fire * EFFICIENCY / 100, found.calls[f"heating {stage}"]),
                f"{RISE_LOW} to {RISE_HIGH}",
            )
    return found


SHEET = Sheet(
    name="pellmere-si",
    positions={"D1": "ABCDEFG", "D2": "12345", "J1": "123", **switches("SW1", 2)},
    delivered="D1=C D2=3 J1=2 SW1=00",
    reads={
        "cooling": ("D1", "SW1-1", "SW1-2"),
        "heating": ("D2", "SW1-1", "SW1-2"),
        "fan": ("D1", "J1", "SW1-1", "SW1-2"),
    },
    limited=("heating",),
    last={"heating": "high"},
    read=read,
)


def answers() -> dict[int, dict[str, Any]]:
    """Every worked answer by its number."""
    return SHEET.answers()
