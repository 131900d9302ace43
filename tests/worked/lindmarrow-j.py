"""Lindmarrow J, recomputed from its page."""

from collections.abc import Iterator
from fractions import Fraction
from itertools import product
from typing import Any

from tests.worked.pages import number, read
from tests.worked.ranking import first, off_by, to_nearest

PAGE = read("lindmarrow-j")
CHART = {
    row[0].split()[0]: row[1:]
    for row in PAGE.table("Airflow with the compressor running (cfm), cooling and heat pump").folded(3).rows
}
TRIM = PAGE.table("Heat pump trim").lookup(1)
FAN = PAGE.table("Constant fan").lookup(1)
FAN_STEP = PAGE.figure(r"to the nearest (\d+) cfm")
LEAST_HEAT, MOST_HEAT = PAGE.figures(r"must stay between (\d+) and ([\d,]+) cfm")
HUMID = PAGE.figure(r"cooling is lower by (\d+) %")
LOST = "off pins"


def board(j1: str, j2: str, j3: str, j4: str, j5: str, link: str) -> dict[str, Any]:
    """Everything the board does; `off pins` for a jumper that is missing."""
    calls: dict[str, Fraction] = {}
    row = None if LOST in (j1, j2) else CHART[j1 + j2 + ("A" if j3 == LOST else j3)]
    idle = ["fan"] if j4 == LOST else []
    if row is None or "reserved" in row:
        return {"calls": calls, "refused": ["cooling", "heat pump"] + ["fan"] * (not idle), "not running": idle}
    (trim,) = TRIM[(j5,)]
    for stage, cell in zip(("low", "high"), row, strict=True):
        calls[f"cooling {stage}"] = number(cell) * (1 - HUMID / 100 if link == "cut" else 1)
        calls[f"heat pump {stage}"] = number(cell) * (1 if trim == "none" else 1 + number(trim) / 100)
    if not idle:
        calls["fan"] = to_nearest(calls["cooling high"] * number(FAN[(j4,)][0]) / 100, FAN_STEP)
    return {"calls": calls, "refused": [], "not running": idle}


def fitting(aims: dict[str, int], link: str, j4: str = "1", j5: str = "1") -> Iterator[dict[str, Any]]:
    """Every setting the page allows that keeps heat pump heating between its limits; `j4` and `j5` hold the
    positions to be tried."""
    for j1, j2, j3, fan, trim in product("ABCD", "ABCD", "ABCD", j4, j5):
        found = board(j1, j2, j3, fan, trim, link)
        calls = found["calls"]
        if found["refused"] or not all(
            LEAST_HEAT <= calls[f"heat pump {stage}"] <= MOST_HEAT for stage in ("low", "high")
        ):
            continue
        deviation = sum((off_by(calls[call], Fraction(aim)) for call, aim in aims.items()), Fraction(0))
        yield {"set": f"J1={j1} J2={j2} J3={j3} J4={fan} J5={trim}", "calls": calls, "deviation": deviation}


def answers() -> dict[int, dict[str, Any]]:
    """The worked answers by number."""
    if len(CHART) != 64:
        raise ValueError("the chart has 64 rows")
    seen = [board("A", j2, "D", "3", "1", "whole")["calls"] for j2 in "ABCD"]
    eighth = fitting(
        {"cooling low": 850, "cooling high": 1200, "heat pump high": 1320, "fan": 550}, "whole", "123", "1234"
    )
    return {
        1: board("B", "D", "C", "2", "4", "cut"),
        2: {"values": {call: sorted(calls[call] for calls in seen) for call in ("cooling low", "cooling high", "fan")}},
        3: board("C", "B", LOST, LOST, "3", "whole"),
        4: board("D", "D", "C", "1", "1", "whole"),
        5: board("D", LOST, "C", "1", "1", "whole"),
        6: {"first": first(fitting({"cooling high": 1244}, "whole"), 4)},
        7: {"first": first(fitting({"cooling high": 1092}, "cut"), 3)},
        8: {"first": first(eighth, 2)},
        9: {"first": first(fitting({"cooling high": 1950, "heat pump high": 2100}, "whole", j5="1234"), 2)},
    }
