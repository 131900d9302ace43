"""Wickerby five-tap, recomputed from its page."""

from fractions import Fraction
from itertools import pairwise, permutations
from typing import Any

from tests.worked.pages import number, read
from tests.worked.ranking import first, off_by

PAGE = read("wickerby-5")
CHART = PAGE.table("Airflow, L/s, against external static pressure, Pa")
PRESSURES = [number(head) for head in CHART.heads[1:]]
TAPS = {row[0]: [number(cell) for cell in row[1:]] for row in CHART.rows}
CFM_LPS = Fraction("0.4719474432")
"""L/s in one cfm (NIST SP 811)."""
LEADS = {"cooling low": "Y1", "cooling high": "Y2", "heat": "W", "fan": "G"}


def airflow(tap: str, static_pa: Fraction) -> Fraction | None:
    """The tap's airflow in L/s on the straight line at the pressure; None outside the page."""
    for (low, left), (high, right) in pairwise(zip(PRESSURES, TAPS[tap], strict=True)):
        if low <= static_pa <= high:
            return left + (right - left) * (static_pa - low) / (high - low)
    return None


def crossing(tap: str, measured_pa: Fraction, measured: Fraction) -> dict[str, Fraction]:
    """Where the tap's curve meets the duct curve through the measured point, by halving the pressures between which
    it lies."""
    low, high = PRESSURES[0], PRESSURES[-1]
    for _ in range(40):
        middle = (low + high) / 2
        flow = airflow(tap, middle)
        assert flow is not None
        low, high = (middle, high) if measured_pa * (flow / measured) ** 2 > middle else (low, middle)
    flow = airflow(tap, low)
    assert flow is not None
    return {"airflow": flow, "static pressure": low}


def board(taps: dict[str, str], static_pa: int) -> dict[str, Any]:
    """Each call's airflow with its lead on its tap; two leads on a tap and a pressure outside the page are refused."""
    calls, refused = {}, []
    for call, lead in LEADS.items():
        flow = airflow(taps[lead], Fraction(static_pa))
        if flow is None or list(taps.values()).count(taps[lead]) > 1:
            refused.append(call)
        else:
            calls[call] = flow
    if {"cooling low", "cooling high"} <= set(refused):
        refused = ["cooling", *(call for call in refused if not call.startswith("cooling "))]
    return {"calls": calls, "refused": refused}


def marks(taps: dict[str, str]) -> str:
    """The leads with their taps, as marks."""
    return " ".join(f"M1-{lead}={tap}" for lead, tap in taps.items())


def answers() -> dict[int, dict[str, Any]]:
    """The worked answers by number."""
    found = {"Y1": "2", "Y2": "4", "W": "3", "G": "1"}
    aims = {"cooling high": 480, "cooling low": 400, "heat": 420, "fan": 250}
    fitting = []
    for taps in permutations(TAPS, len(LEADS)):
        leads = dict(zip(LEADS.values(), taps, strict=True))
        calls = board(leads, 100)["calls"]
        deviation = sum((off_by(calls[call], Fraction(aim)) for call, aim in aims.items()), Fraction(0))
        fitting.append({"set": marks(leads), "calls": calls, "deviation": deviation})
    at_150 = board(found, 150)
    running = board(found, 100)["calls"]["cooling high"]
    return {
        1: at_150 | {"cfm": {"cooling high": at_150["calls"]["cooling high"] / CFM_LPS}},
        2: board(found, 240),
        3: {"first": first(fitting, 2)},
        4: board(found | {"W": "4"}, 100),
        5: {"taps": {tap: crossing(tap, Fraction(100), running) for tap in "1235"}},
    }
