"""Brindlemoor 16S, recomputed from its page."""

from collections.abc import Iterator
from fractions import Fraction
from itertools import product
from typing import Any

from tests.worked.pages import Table, number, read
from tests.worked.ranking import first, off_by, rise

PAGE = read("brindlemoor-16s")
COOLING = PAGE.table("Cooling, second stage (cfm)")
FIRST_COOLING = PAGE.table("First-stage cooling, share of second stage")
TRIM = PAGE.table("Trim of cooling").lookup(1)
FAN = PAGE.table("Constant fan, share of second-stage cooling")
FAN_LEAST = PAGE.figure(r"Never under (\d+) cfm")
HEATING = PAGE.table("Heating, second stage (cfm)").lookup(3)
FIRST_HEATING = PAGE.table("First-stage heating, share of second stage").lookup(2)
HEAT_TRIM = PAGE.table("Trim of heating").lookup(2)
TIMES = PAGE.table("Times").rows
WAIT = PAGE.figure(r"the blower waits (\d+) s")
DEHUMIDIFY = PAGE.figure(r"cooling fall to (\d+) %") / 100
FIRST_INPUT = PAGE.figure(r"First stage burns (\d+) %") / 100
MODELS = ("S70", "S100")
PLATE = {
    model: PAGE.figures(model + r": input ([\d,]+) Btu/h, efficiency (\d+) %, rise (\d+) to (\d+) F")
    for model in MODELS
}
PRINTED = {"SW1": ("off", "on"), "SW2": ("open", "closed")}
PAIRS = ("00", "10", "01", "11")


def cell(table: Table, digits: str, column: int) -> Fraction | None:
    """The figure of the row that the digits fall on; None where it is reserved."""
    for row in table.rows:
        if all(mark in ("-", digit) for mark, digit in zip(row[0].split()[0], digits, strict=True)):
            return None if row[column] == "reserved" else number(row[column])
    raise ValueError(digits)


def words(digits: str, off: str, on: str) -> tuple[str, ...]:
    """Digits as the words a table prints."""
    return tuple(on if digit == "1" else off for digit in digits)


def trimmed(airflow: Fraction, text: str) -> Fraction:
    """The airflow after a trim printed as `none` or in percent."""
    return airflow if text == "none" else airflow * (1 + number(text) / 100)


def after(row: int, digits: str) -> Fraction:
    """The seconds the blower runs on."""
    text = TIMES[row][1 + PAIRS.index(digits)]
    return Fraction(0) if text == "none" else number(text.removesuffix(" s"))


def board(model: str, sw1: str, sw2: str) -> dict[str, Any]:
    """Everything the board does; digits of SW2 are 1 for CLOSED."""
    calls: dict[str, Fraction] = {}
    rises: dict[str, Fraction] = {}
    refused: list[str] = []
    idle = [] if sw2[0] == "1" else ["dehumidify"]
    high, low = cell(COOLING, sw1[:4], 1 + MODELS.index(model)), cell(FIRST_COOLING, sw1[2:5], 1)
    if high is None or low is None:
        refused += ["cooling", "fan"] + ["dehumidify"] * (not idle)
    else:
        high = trimmed(high, TRIM[(sw1[14:16],)][0])
        calls |= {"cooling first": high * low / 100, "cooling second": high}
        if not idle:
            calls |= {"dehumidify first": calls["cooling first"] * DEHUMIDIFY, "dehumidify second": high * DEHUMIDIFY}
        share = cell(FAN, sw1[3:6], 1)
        if share is None:
            refused.append("fan")
        else:
            calls["fan"] = max(high * share / 100, FAN_LEAST)
    heat = HEATING[words(sw1[7:10], "OFF", "ON")][2 * MODELS.index(model)]
    (trim,) = HEAT_TRIM[words(sw2[1:3], "OPEN", "CLOSED")]
    # a reserved row prints the word once, in the first column
    if "reserved" in (trim, HEATING[words(sw1[7:10], "OFF", "ON")][0]):
        refused.append("heating")
    else:
        input_btuh, efficiency, *_ = PLATE[model]
        second = trimmed(number(heat), trim)
        calls |= {
            "heating first": second * number(FIRST_HEATING[words(sw1[9:11], "OFF", "ON")][0]) / 100,
            "heating second": second,
        }
        output = input_btuh * efficiency / 100
        rises = {
            "heating first": rise(output * FIRST_INPUT, calls["heating first"]),
            "heating second": rise(output, second),
        }
    seconds = {
        "cooling on delay": WAIT if sw1[6] == "1" else Fraction(0),
        "cooling off delay": after(0, sw1[11:13]),
        "heating off delay": after(1, sw1[12:14]),
    }
    return {"calls": calls, "rise": rises, "seconds": seconds, "refused": refused, "not running": idle}


def fitting(
    model: str, hold: dict[str, str], free: list[str], aims: dict[str, int], rise_aims: dict[str, int]
) -> Iterator[dict[str, Any]]:
    """Every setting of the free switches that refuses nothing and keeps the rise on the plate, with its deviation."""
    _, _, least, most = PLATE[model]
    delivered = {f"SW1-{at}": "1" if at == 12 else "0" for at in range(1, 17)} | {
        f"SW2-{at}": "0" for at in range(1, 5)
    }
    for digits in product("01", repeat=len(free)):
        chosen = dict(zip(free, digits, strict=True))
        at = "".join((delivered | hold | chosen).values())
        found = board(model, at[:16], at[16:])
        if found["refused"] or not all(least <= each <= most for each in found["rise"].values()):
            continue
        deviation = sum((off_by(found["calls"][call], Fraction(aim)) for call, aim in aims.items()), Fraction(0))
        deviation += sum((off_by(found["rise"][call], Fraction(aim)) for call, aim in rise_aims.items()), Fraction(0))
        marks = " ".join(f"{switch}={PRINTED[switch[:3]][int(digit)]}" for switch, digit in chosen.items())
        yield {"set": marks, "calls": found["calls"], "rise": found["rise"], "deviation": deviation}


def answers() -> dict[int, dict[str, Any]]:
    """The worked answers by number."""
    cooling = ["SW1-1", "SW1-2", "SW1-3", "SW1-4", "SW1-15", "SW1-16"]
    heating = ["SW1-8", "SW1-9", "SW1-10", "SW2-2", "SW2-3"]
    fifth = fitting(
        "S100",
        {},
        ["SW1-5", *cooling, *heating],
        {"cooling second": 1480, "cooling first": 1090},
        {"heating second": 53},
    )
    sixth = fitting("S100", {"SW1-11": "1"}, [*cooling, *heating], {"cooling second": 1730}, {"heating second": 63})
    blocked = {"SW1-8": "1", "SW1-9": "1", "SW1-10": "1", "SW2-2": "0", "SW2-3": "1"}
    seen = [board("S70", f"010{digit}110000010000", "0000") for digit in "01"]
    return {
        1: board("S100", "1110011010101010", "1010"),
        2: seen[0]
        | {
            "values": {
                call: sorted(each["calls"][call] for each in seen)
                for call in ("cooling first", "cooling second", "fan")
            }
        },
        3: board("S70", "0111000000010000", "1000"),
        4: {"first": first(fitting("S70", {}, cooling, {"cooling second": 1150}, {}), 4)},
        5: {"first": first(fifth, 3)},
        6: {"first": first(sixth, 2)},
        7: {"nothing": not list(fitting("S70", blocked, [*cooling, "SW1-5", "SW1-11"], {"cooling second": 1200}, {}))},
    }
