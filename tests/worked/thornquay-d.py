"""Thornquay D, recomputed from its page."""

from collections.abc import Iterator
from fractions import Fraction
from itertools import product
from typing import Any

from tests.worked.pages import number, read
from tests.worked.ranking import first, off_by, rise, to_nearest

PAGE = read("thornquay-d")
MODELS = ("T45", "T65", "T90")
COOLING = {row[0].split()[0]: row[1:] for row in PAGE.table("D1: cooling, second stage (cfm)").rows}
HEATING = PAGE.table("D2: heating, second stage (cfm)").lookup(1)
TRIM = {row[0].split()[0]: row[1] for row in PAGE.table("D3: trim of cooling").rows}
PLATE = {model: PAGE.figures(model + r": ([\d,]+) Btu/h, rise (\d+) to (\d+) F") for model in MODELS}
EFFICIENCY = PAGE.figure(r"Efficiency (\d+) %") / 100
FIRST_COOLING = PAGE.figure(r"First stage: (\d+) % of second") / 100
FIRST_INPUT, FIRST_HEATING = (
    share / 100 for share in PAGE.figures(r"First stage: (\d+) % of the input, (\d+) % of the airflow")
)
AFTER_COOLING, AFTER_HEATING = PAGE.figure(r"(\d+) s after cooling"), PAGE.figure(r"(\d+) s after heating")
FAN_SHARE, FAN_STEP, FAN_LEAST = PAGE.figures(
    r"Constant fan: (\d+) % .* to the nearest (\d+) cfm, never under (\d+) cfm"
)
BEHAVES_AS = tuple(str(mark) for mark in PAGE.figures(r"On (\d) the board behaves as on (\d)"))


def cooling(model: str, d1: str, d3: str) -> Fraction | None:
    """Second-stage cooling; None where the row is reserved, its figure is cut off or the letter is not used."""
    cell = COOLING[d1][MODELS.index(model)]
    if cell.startswith("as "):
        return cooling(model, cell.removeprefix("as "), d3)
    if cell in ("", "reserved") or d3 not in TRIM:
        return None
    return number(cell) * (1 if TRIM[d3] == "none" else 1 + number(TRIM[d3]) / 100)


def board(model: str, d1: str, d2: str, d3: str) -> dict[str, Any]:
    """Everything the board does at the three marks."""
    calls: dict[str, Fraction] = {}
    rises: dict[str, Fraction] = {}
    refused: list[str] = []
    high = cooling(model, d1, d3)
    if high is None:
        refused += ["cooling", "fan"]
    else:
        fan = max(to_nearest(high * FAN_SHARE / 100, FAN_STEP), FAN_LEAST)
        calls |= {"cooling first": high * FIRST_COOLING, "cooling second": high, "fan": fan}
    row = HEATING.get((BEHAVES_AS[1] if d2 == BEHAVES_AS[0] else d2,))
    if row is None:
        refused.append("heating")
    else:
        heat, output = number(row[2 * MODELS.index(model)]), PLATE[model][0] * EFFICIENCY
        calls |= {"heating first": heat * FIRST_HEATING, "heating second": heat}
        rises = {
            "heating first": rise(output * FIRST_INPUT, heat * FIRST_HEATING),
            "heating second": rise(output, heat),
        }
    seconds = {"cooling off delay": AFTER_COOLING, "heating off delay": AFTER_HEATING}
    return {"calls": calls, "rise": rises, "seconds": seconds, "refused": refused}


def fitting(model: str, aims: dict[str, int], rise_aims: dict[str, int], d2: str) -> Iterator[dict[str, Any]]:
    """Every setting with a row of its own on the page that refuses nothing and keeps the rise on the plate; `d2`
    holds the marks to be tried."""
    _, least, most = PLATE[model]
    for one, two, three in product("0123456789ABCDEF", d2, "ABCDEFGH"):
        found = board(model, one, two, three)
        fallback = COOLING[one][0].startswith("as ") or two == BEHAVES_AS[0]
        if fallback or found["refused"] or not all(least <= each <= most for each in found["rise"].values()):
            continue
        deviation = sum((off_by(found["calls"][call], Fraction(aim)) for call, aim in aims.items()), Fraction(0))
        deviation += sum((off_by(found["rise"][call], Fraction(aim)) for call, aim in rise_aims.items()), Fraction(0))
        yield {
            "set": f"D1={one} D2={two} D3={three}",
            "calls": found["calls"],
            "rise": found["rise"],
            "deviation": deviation,
        }


def answers() -> dict[int, dict[str, Any]]:
    """The worked answers by number."""
    seen = [board("T65", "5", "2", letter) for letter in "ABCDEFGH"]
    values = sorted(each["calls"]["cooling second"] for each in seen if not each["refused"])
    digits = "0123456789"
    return {
        1: board("T65", "B", "4", "E"),
        2: board("T90", "C", "6", "C"),
        3: board("T45", "E", "7", "F"),
        4: seen[0] | {"values": {"cooling second": values}},
        5: board("T45", "2", "9", "G"),
        6: board("T45", "0", "3", "A"),
        7: {"first": first(fitting("T65", {"cooling second": 1180}, {}, "3"), 4)},
        8: {"first": first(fitting("T45", {"cooling second": 870}, {"heating second": 43}, digits), 2)},
        9: {"first": first(fitting("T90", {"cooling second": 1850, "fan": 900}, {"heating second": 66}, digits), 2)},
    }
