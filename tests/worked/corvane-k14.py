"""Corvane K-14, recomputed from its page."""

from collections.abc import Iterator
from fractions import Fraction
from itertools import product
from typing import Any

from tests.worked.pages import number, read
from tests.worked.ranking import first, off_by, rise

PAGE = read("corvane-k14")
COOLING = PAGE.table("Cooling airflow, second stage (cfm)")
TRIMS = PAGE.table("Trim, on heating and on cooling").lookup(2)
HEATING = PAGE.table("Heating airflow, second stage (cfm)").lookup(1)
FIRST_COOLING = PAGE.figure(r"First stage: (\d+) %") / 100
MODELS = ("060", "080", "110")
INPUT = dict(zip(MODELS, PAGE.figures(r"Input ([\d,]+) / ([\d,]+) / ([\d,]+) Btu/h"), strict=True))
EFFICIENCY = PAGE.figure(r"efficiency (\d+) %") / 100
LEAST_RISE, MOST_RISE = PAGE.figures(r"rating plate: (\d+) to (\d+) F")
FIRST_INPUT, FIRST_HEATING = (
    share / 100 for share in PAGE.figures(r"First-stage heating: (\d+) % of the input, (\d+) % of the airflow")
)
RUN_ON = PAGE.figure(r"runs on for (\d+) s after cooling")
FAN_SHARE = dict(zip("01", PAGE.figures(r"SW1-7 OFF (\d+) %, ON (\d+) %"), strict=True))
FAN_LEAST = PAGE.figure(r"Constant fan: .* never under (\d+) cfm")


def printed(digits: str) -> tuple[str, ...]:
    """Switch digits as the page prints them."""
    return tuple("ON" if digit == "1" else "OFF" for digit in digits)


def trimmed(airflow: Fraction, digits: str) -> Fraction:
    """The airflow after the trim read at SW1-5 and SW1-6."""
    (cell,) = TRIMS[printed(digits)]
    return airflow if cell == "none" else airflow * (1 + number(cell) / 100)


def cooling(model: str, bank: str) -> Fraction | None:
    """Second-stage cooling; None where the page says do not use."""
    for row in COOLING.rows:
        if all(cell in ("-", mark) for cell, mark in zip(row[:3], printed(bank[1:4]), strict=True)):
            return None if row[3] == "do not use" else trimmed(number(row[3 + MODELS.index(model)]), bank[4:6])
    raise ValueError(bank)


def heating(model: str, bank: str) -> Fraction:
    """Second-stage heating."""
    return trimmed(number(HEATING[printed(bank[0])][2 * MODELS.index(model)]), bank[4:6])


def rises(model: str, bank: str) -> tuple[Fraction, Fraction]:
    """The rise in first and in second stage."""
    output, airflow = INPUT[model] * EFFICIENCY, heating(model, bank)
    return rise(output * FIRST_INPUT, airflow * FIRST_HEATING), rise(output, airflow)


def board(model: str, bank: str) -> dict[str, Any]:
    """Everything the board does at the digits of SW1."""
    high, heat = cooling(model, bank), heating(model, bank)
    low_rise, high_rise = rises(model, bank)
    calls = {"heating first": heat * FIRST_HEATING, "heating second": heat}
    if high is not None:
        calls |= {
            "cooling first": high * FIRST_COOLING,
            "cooling second": high,
            "fan": max(high * FAN_SHARE[bank[6]] / 100, FAN_LEAST),
        }
    refused = ["cooling", "fan"] if high is None else []
    seconds = {"cooling off delay": RUN_ON}
    return {
        "calls": calls,
        "rise": {"heating first": low_rise, "heating second": high_rise},
        "seconds": seconds,
        "refused": refused,
    }


def fitting(model: str, heat_switch: str, cooling_aim: int, rise_aim: int | None = None) -> Iterator[dict[str, Any]]:
    """Every setting of SW1-1 to SW1-6 that the page allows and that keeps the rise on the plate, with its deviation."""
    for digits in product(heat_switch, "01", "01", "01", "01", "01"):
        bank = "".join(digits) + "00"
        found = board(model, bank)
        if found["refused"] or not all(LEAST_RISE <= each <= MOST_RISE for each in found["rise"].values()):
            continue
        deviation = off_by(found["calls"]["cooling second"], Fraction(cooling_aim))
        if rise_aim:
            deviation += off_by(found["rise"]["heating second"], Fraction(rise_aim))
        marks = " ".join(f"SW1-{at}={'on' if digit == '1' else 'off'}" for at, digit in enumerate(digits, 1))
        yield {"set": marks, "calls": found["calls"], "rise": found["rise"], "deviation": deviation}


def answers() -> dict[int, dict[str, Any]]:
    """The worked answers by number."""
    seen = {found["calls"]["cooling second"] for found in (board("080", "1001" + digit + "000") for digit in "01")}
    return {
        1: {"first": first(fitting("080", "0", 1200), 6)},
        2: board("080", "10011000"),
        3: board("060", "01000000"),
        4: board("110", "00110000"),
        5: {"values": {"cooling second": sorted(seen)}},
        6: {"first": first(fitting("080", "1", 1338), 2)},
        7: {"first": first(fitting("080", "01", 870, 60), 2)},
        8: board("080", "10011010"),
    }
