"""Saltmarsh 12, recomputed from its page."""

from collections.abc import Iterator
from fractions import Fraction
from itertools import product
from typing import Any

from tests.worked.pages import number, read
from tests.worked.ranking import KW_BTUH, first, off_by, rise

PAGE = read("saltmarsh-12")
COMPRESSOR = {
    mark: number(cfm)
    for (mark,), (cfm,) in PAGE.table("Cooling or heat-pump airflow (cfm)").folded(2).lookup(1).items()
}
FAN = dict(zip("123", PAGE.figures(r"J3, .* 1 = (\d+) %, 2 = (\d+) %, 3 = (\d+) %; delivered"), strict=True))
HEATER = PAGE.table("Other jumpers").lookup(1)
RATED_VOLTS = PAGE.figure(r"rated (\d+) V")
DEHUMIDIFY = PAGE.figure(r"cooling falls to (\d+) %") / 100
STEPS = PAGE.figures(r"3 = (\d+) s at (\d+) %, (\d+) s at (\d+) %, then full")


def board(j1: str, j2: str, j3: str, j4: str, link: str, *, fitted_kw: int = 0, volts: int = 240) -> dict[str, Any]:
    """Everything the board does; a position without a row refuses what reads it."""
    calls: dict[str, Fraction] = {}
    refused, idle, rises = [], [], {}
    compressor = COMPRESSOR.get(j1 + j2)
    if compressor is None:
        refused = ["cooling", "heat pump", "fan"]
    else:
        calls = {"cooling": compressor, "heat pump": compressor, "fan": compressor * FAN[j3] / 100}
    if link == "whole":
        idle.append("dehumidify")
    elif compressor is not None:
        calls["dehumidify"] = compressor * DEHUMIDIFY
    alone, least = HEATER[(j4,)]
    if alone == "none":
        idle += ["heat pump with heater", "heater alone"]
    else:
        calls["heater alone"] = number(alone)
        rises["heater alone"] = rise(fitted_kw * KW_BTUH * (volts / RATED_VOLTS) ** 2, number(alone))
        if compressor is not None:
            calls["heat pump with heater"] = max(compressor, number(least))
    differs = ["J4"] if fitted_kw and j4 != str(fitted_kw) else []
    return {"calls": calls, "rise": rises, "refused": refused, "not running": idle, "differs": differs}


def coming_up(full: Fraction, second: int) -> Fraction:
    """The airflow of the third start, seconds after the call."""
    one, low, two, high = STEPS
    return full * (low if second < one else high if second < one + two else 100) / 100


def fitting() -> Iterator[dict[str, Any]]:
    """Every setting of J1, J2, J3 for cooling 1,250 and fan 700."""
    for j1, j2, j3 in product("12345", "abc", "123"):
        calls = board(j1, j2, j3, "none", "whole")["calls"]
        deviation = off_by(calls["cooling"], Fraction(1250)) + off_by(calls["fan"], Fraction(700))
        yield {"set": f"J1={j1} J2={j2} J3={j3}", "calls": calls, "deviation": deviation}


def answers() -> dict[int, dict[str, Any]]:
    """The worked answers by number."""
    full = board("3", "a", "1", "none", "whole")["calls"]["cooling"]
    # whole seconds: the steps last whole seconds, so the mean over them is the mean over time
    mean = sum((coming_up(full, second) for second in range(600)), Fraction(0)) / 600
    both = board("4", "b", "3", "8", "whole")
    return {
        1: {"first": first(fitting(), 2)},
        2: board("2", "c", "3", "none", "cut"),
        3: {"values": {"cooling": [board("4", j2, "1", "none", "whole")["calls"]["cooling"] for j2 in "abc"]}},
        4: board("4", "off pins", "1", "none", "whole"),
        5: {
            "calls": {"cooling": full},
            "ramp": {"cooling": {second: coming_up(full, second) for second in (30, 200, 500)}},
            "average": {"cooling": {600: mean}},
        },
        6: board("3", "b", "1", "10", "whole", fitted_kw=10),
        7: board("3", "b", "1", "10", "whole", fitted_kw=10, volts=208),
        8: board("2", "b", "1", "15", "whole", fitted_kw=15),
        9: board("2", "b", "1", "5", "whole", fitted_kw=15),
        10: both | {"together": max(both["calls"]["heater alone"], both["calls"]["fan"])},
    }
