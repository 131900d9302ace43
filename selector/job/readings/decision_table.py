"""What a measurement says first: the decision table, kept as text that a technician can read and change. Common
practice, no source.

The first rows that fit are said, at most two. `any` fits everything; a figure that wasn't measured fits every word, and
is asked for.
`unclocked`: the airflow rests on a heat that was not measured, so neither LOW nor HIGH is spoken.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from selector.text_table import read_table, words_of
from selector.value import Struct

DECISIONS = """
row         | delivered            | static       | blower           | also       | then
------------|----------------------|--------------|------------------|------------|---------------
narrow      | low or unclocked low | high         | any              | -          | lower the ask
more heat   | unclocked low        | any          | any              | -          | clock it
wrong tap   | low                  | low          | taps             | -          | measure again
asks less   | low                  | low or usual | constant airflow | -          | measure again
less heat   | unclocked high       | any          | any              | -          | clock it
open        | high                 | low          | any              | -          | measure again
over-fired  | as selected          | any          | any              | rise high  | clock it
under-fired | as selected          | any          | any              | rise low   | clock it
at a price  | as selected          | high         | any              | watts high | know the price
contradict  | disagree             | any          | any              | -          | measure both
"""

LOOKS = """
row         | look at
------------|------------------------------------------------------
narrow      | filter, coil, dampers, duct
more heat   | probe, terminal, power-up, plug, dehumidify, wheel
wrong tap   | tap, wheel, voltage
asks less   | power-up, terminal, plug, dehumidify, wheel
less heat   | unlit, derate
open        | bypass, opening, other chart
over-fired  | probe
under-fired | unlit, derate
at a price  | duct, noise
contradict  | measurement
"""

Delivered = Literal["low", "as selected", "high", "unclocked low", "unclocked high", "disagree", "not known"]
Static = Literal["low", "usual", "high", "not known"]
Blower = Literal["constant airflow", "taps", "other"]


class DecisionRow(Struct, frozen=True, kw_only=True):
    """One row: the words that each column takes (empty: any), what to look at, the next step."""

    name: str
    delivered: tuple[str, ...]
    static: tuple[str, ...]
    blower: str
    also: str
    checks: tuple[str, ...]
    then: str


class Seen(Struct, frozen=True, kw_only=True):
    """What was measured, in the words of the table's columns."""

    delivered: Delivered
    static: Static
    blower: Blower
    also: frozenset[str] = frozenset()


def _rows() -> tuple[DecisionRow, ...]:
    looks = words_of(LOOKS)
    return tuple(
        DecisionRow(
            name=row["row"],
            delivered=tuple(row["delivered"].split(" or ")),
            static=() if row["static"] == "any" else tuple(row["static"].split(" or ")),
            blower="" if row["blower"] == "any" else row["blower"],
            also="" if row["also"] == "-" else row["also"],
            checks=tuple(looks[row["row"]].split(", ")),
            then=row["then"],
        )
        for row in read_table(DECISIONS)
    )


ROWS: tuple[DecisionRow, ...] = _rows()
MOST = 2
"""No more explanations than these are given."""


def fits(row: DecisionRow, seen: Seen) -> bool:
    """True where nothing that was measured speaks against the row."""
    if seen.delivered not in row.delivered or (row.blower and row.blower != seen.blower):
        return False
    if row.static and seen.static != "not known" and seen.static not in row.static:
        return False
    return not row.also or row.also in seen.also


def chosen(seen: Seen, rows: Sequence[DecisionRow] = ROWS) -> tuple[DecisionRow, ...]:
    """The rows to say, the first two that fit."""
    return tuple(row for row in rows if fits(row, seen))[:MOST]


def deciding(seen: Seen, rows: Sequence[DecisionRow]) -> str:
    """What to measure where it would leave fewer rows: `static`, or nothing."""
    return "static" if seen.static == "not known" and any(row.static for row in rows) else ""
