"""Quillhaven P, recomputed from its page."""

from collections.abc import Iterator
from fractions import Fraction
from itertools import product
from typing import Any

from tests.worked.pages import number, read
from tests.worked.ranking import KW_BTUH, first, off_by, rise

PAGE = read("quillhaven-p")
LIMIT = {mark: number(cell) for (mark,), (cell,) in PAGE.table("Plugs").lookup(1).items()}
TRIM = PAGE.table("Links").lookup(2)
HEATER = PAGE.table("Heater").lookup(1)
HUMIDITY = PAGE.table("Dehumidify").lookup(1)
MENUS = {row[0].split(":")[0]: row for row in PAGE.table("Menus at the thermostat").rows}
LOW_COOLING, LOW_HEATING = (
    share / 100 for share in PAGE.figures(r"(\d+) % of it in cooling, (\d+) % with the heat pump")
)
LOW_CAPACITY = PAGE.figure(r"low stage is (\d+) % of the capacity") / 100
LEAST, MOST = PAGE.figures(r"between (\d+) and (\d+) cfm for each ton of the running stage")
RATED_VOLTS = PAGE.figure(r"Rated at (\d+) V")
DELIVERED = {"P1": "4", "P2": "none", "P3": "R", "LK1": "open", "LK2": "open"} | {
    name: row[2] for name, row in MENUS.items()
}


def entries(menu: str) -> list[str]:
    """The entries of a menu of numbers."""
    low, high, step = (int(word) for word in MENUS[menu][1].replace(" step ", " to ").split(" to "))
    return [str(entry) for entry in range(low, high + 1, step)]


def trimmed(text: str) -> Fraction:
    """The factor of a trim."""
    return Fraction(1) if text == "none" else 1 + number(text) / 100


def board(at: dict[str, str], volts: int = 240) -> dict[str, Any]:
    """Everything the board does."""
    calls: dict[str, Fraction] = {}
    rises: dict[str, Fraction] = {}
    refused: list[str] = []
    idle: list[str] = []
    tons, limit = Fraction(at["P1"]), LIMIT[at["P3"]]
    low_trim, high_trim = TRIM[(at["LK1"], at["LK2"])]
    (share,) = HUMIDITY[(at["N4"],)]
    if share == "none":
        idle.append("dehumidify")
    if low_trim == "reserved":
        refused += ["cooling"] + ["dehumidify"] * (share != "none")
    else:
        charted = tons * number(at["N1"])
        calls |= {
            "cooling low": min(charted * trimmed(low_trim) * LOW_COOLING, limit),
            "cooling high": min(charted * trimmed(high_trim), limit),
        }
        if share != "none":
            calls |= {
                f"dehumidify {stage}": calls[f"cooling {stage}"] * number(share) / 100 for stage in ("low", "high")
            }
    heat = tons * number(at["N2"])
    calls |= {
        "heat pump low": min(heat * LOW_HEATING, limit),
        "heat pump high": min(heat, limit),
        "fan": min(number(at["N3"]), limit),
    }
    alone, least, power = HEATER[(at["P2"],)]
    if alone == "none":
        idle += ["heat pump with heater", "heater alone"]
    else:
        calls |= {"heat pump with heater": max(calls["heat pump high"], number(least)), "heater alone": number(alone)}
        rises["heater alone"] = rise(number(power) * KW_BTUH * (volts / RATED_VOLTS) ** 2, number(alone))
    return {"calls": calls, "rise": rises, "refused": refused, "not running": idle}


def within(tons: str, calls: dict[str, Fraction]) -> bool:
    """Whether both stages of heat pump heating keep their limits per running ton."""
    per_ton = calls["heat pump low"] / (Fraction(tons) * LOW_CAPACITY), calls["heat pump high"] / Fraction(tons)
    return all(LEAST <= each <= MOST for each in per_ton)


def fitting(plugs: dict[str, str], aims: dict[str, int], free: dict[str, list[str]]) -> Iterator[dict[str, Any]]:
    """Every setting of the free selectors that refuses nothing and keeps the limits, with its deviation."""
    for choice in product(*free.values()):
        chosen = dict(zip(free, choice, strict=True))
        found = board(DELIVERED | plugs | chosen)
        if found["refused"] or not within(plugs["P1"], found["calls"]):
            continue
        deviation = sum((off_by(found["calls"][call], Fraction(aim)) for call, aim in aims.items()), Fraction(0))
        yield {
            "set": " ".join(f"{name}={mark}" for name, mark in chosen.items()),
            "calls": found["calls"],
            "deviation": deviation,
        }


def answers() -> dict[int, dict[str, Any]]:
    """The worked answers by number."""
    found = {
        "P1": "3.5",
        "P2": "10",
        "P3": "M",
        "LK1": "1-2",
        "LK2": "4-5",
        "N1": "385",
        "N2": "400",
        "N3": "650",
        "N4": "medium low",
    }
    seen = [board(DELIVERED | {"P3": plug, "N1": "405", "N3": "600"})["calls"] for plug in LIMIT]
    links = {"LK1": ["open", "1-2", "2-3"], "LK2": ["open", "4-5"], "N1": entries("N1")}
    fifth = fitting(
        {"P1": "3.5"}, {"cooling high": 1263, "cooling low": 900, "heat pump high": 1310}, links | {"N2": entries("N2")}
    )
    return {
        1: board(found),
        2: {"rise": board(found, 208)["rise"]},
        3: {"calls": seen[0], "values": {"cooling high": sorted(calls["cooling high"] for calls in seen)}},
        4: board(DELIVERED | {"P1": "2.5", "LK1": "2-3", "LK2": "4-5", "N4": "low"}),
        5: {"first": first(fitting({"P1": "3"}, {"cooling high": 1193}, links), 4)},
        6: {"first": first(fifth, 2)},
        7: {
            "first": first(
                fitting({"P1": "3"}, {"heat pump high": 1135, "fan": 610}, {"N2": entries("N2"), "N3": entries("N3")}),
                2,
            )
        },
        8: {"first": first(fitting({"P1": "2"}, {"heat pump high": 900}, {"N2": entries("N2")}), 2)},
        9: {
            "nothing": not list(
                fitting({"P1": "5", "P3": "K"}, {"cooling high": 1100}, {"N1": entries("N1"), "N2": entries("N2")})
            )
        },
    }
