"""What a measurement says first: the decision table, kept as text that a technician can read and change. Common
practice, no source.

The first rows that fit are said, at most two. `any` fits everything; a figure that wasn't measured fits every word, and
is asked for.
`heat taken`: the airflow rests on a heat that was not measured.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Literal

from selector.value import Struct

DECISIONS = """
row         | delivered   | static       | blower           | also                  | look at                                     | then
------------|-------------|--------------|------------------|-----------------------|---------------------------------------------|---------------
narrow      | low         | high         | any              | -                     | filter, coil, dampers, duct                 | lower the ask
more heat   | low         | low or usual | any              | rise high, heat taken | meter, probe                                | clock it
asks less   | low         | low or usual | constant airflow | -                     | power-up, terminal, plug, dehumidify, wheel | measure again
wrong tap   | low         | low          | taps             | -                     | tap, wheel, voltage                         | measure again
less heat   | high        | any          | any              | rise low, heat taken  | input, unlit, derate                        | clock it
open        | high        | low          | any              | -                     | bypass, opening, other chart                | measure again
over-fired  | as selected | any          | any              | rise high             | meter, probe                                | clock it
under-fired | as selected | any          | any              | rise low              | input, unlit, derate                        | clock it
at a price  | as selected | high         | any              | watts high            | duct, noise                                 | know the price
contradict  | disagree    | any          | any              | -                     | measurement                                 | measure both
"""

SAID = """
row         | what is said
------------|----------------------------------------------------------------
narrow      | something narrow holds the air back
asks less   | the board asks for less than these marks say, or the wheel moves less
wrong tap   | the lead is not on the tap it is taken for, or the wheel or the voltage is down
more heat   | the heat was not measured: more of it than the plate says looks like less air
less heat   | the heat was not measured: less of it than the plate says looks like more air
open        | the air goes round the filter or coil, or through an opening, or another chart is in force
over-fired  | the airflow is right and the rise is high: more heat is made than the plate says, or a probe sees the exchanger
under-fired | the airflow is right and the rise is low: less heat is made than the plate says
at a price  | it works, at a price: the static is high and the blower draws much
contradict  | two methods contradict each other: a measurement is wrong
"""

CHECKS = """
check       | what to look at
------------|----------------------------------------------------------------
filter      | filter: clogged, too small, two of them
coil        | coil: dirty, iced or wet
dampers     | closed dampers, registers or zones
duct        | duct: too small, crushed or leaking
power-up    | the marks may not have been read since they were set: switch the board's power off and on
terminal    | terminals: is the call energised that is meant?
plug        | model plug or motor module: is it the one for this unit?
dehumidify  | dehumidify: is it reducing the airflow (humidistat, link)?
wheel       | wheel: dirty or loose
tap         | leads: is each on the tap it is said to be on?
voltage     | voltage at the motor
bypass      | filter or coil bypassed
opening     | a door or duct open
other chart | the chart may be of another model
meter       | over-fired: clock the gas at the meter, read the nozzle and the pump pressure, or the volts and amps
probe       | a probe sees the exchanger: move it out of its sight
input       | under-fired: clock the gas at the meter, read the nozzle and the pump pressure, or the volts and amps
unlit       | one stage or element is not on
derate      | the input may be derated for altitude
noise       | noise at the registers and the return
measurement | both measurements: stage, probes, registers all counted, filter in, panels on
"""

STEPS = """
then          | what comes next
--------------|----------------------------------------------------------------
lower the ask | clear the way first and measure again; if it stays, lower the airflow asked for, never raise it
measure again | put that right, then measure again before any mark is moved
clock it      | find out the heat first; don't move a mark for it
know the price | leave it, knowing the price, or widen the duct
measure both  | repeat both in the same stage; no mark is moved on a wrong figure
"""

Delivered = Literal["low", "as selected", "high", "disagree", "not known"]
Static = Literal["low", "usual", "high", "not known"]
Blower = Literal["constant airflow", "taps", "other"]


class DecisionRow(Struct, frozen=True, kw_only=True):
    """One row: the words that each column takes (empty: any), what is said, what to look at, the next step."""

    name: str
    delivered: str
    static: tuple[str, ...]
    blower: str
    also: str
    said: str
    checks: tuple[str, ...]
    then: str


class Seen(Struct, frozen=True, kw_only=True):
    """What was measured, in the words of the table's columns."""

    delivered: Delivered
    static: Static
    blower: Blower
    also: frozenset[str] = frozenset()


def read_table(text: str) -> tuple[dict[str, str], ...]:
    """The rows of such a text, by head. A row of another width than the heads is a ValueError."""
    lines = [[cell.strip() for cell in line.split("|")] for line in text.strip().splitlines()]
    heads, body = lines[0], [line for line in lines[1:] if not set("".join(line)) <= {"-"}]
    for line in body:
        if len(line) != len(heads):
            raise ValueError(f"{len(line)} cells under {len(heads)} heads: {' | '.join(line)}")
    return tuple(dict(zip(heads, line, strict=True)) for line in body)


def words_of(text: str) -> Mapping[str, str]:
    """A text of two columns as a map."""
    rows = read_table(text)
    key, value = rows[0].keys()
    return {row[key]: row[value] for row in rows}


def _rows() -> tuple[DecisionRow, ...]:
    said = words_of(SAID)
    return tuple(
        DecisionRow(
            name=row["row"],
            delivered=row["delivered"],
            static=() if row["static"] == "any" else tuple(row["static"].split(" or ")),
            blower="" if row["blower"] == "any" else row["blower"],
            also="" if row["also"] == "-" else row["also"],
            said=said[row["row"]],
            checks=tuple(row["look at"].split(", ")),
            then=row["then"],
        )
        for row in read_table(DECISIONS)
    )


ROWS: tuple[DecisionRow, ...] = _rows()
LOOK_AT: Mapping[str, str] = words_of(CHECKS)
NEXT: Mapping[str, str] = words_of(STEPS)
MOST = 2
"""No more explanations than these are given."""


def fits(row: DecisionRow, seen: Seen) -> bool:
    """True where nothing that was measured speaks against the row."""
    if row.delivered != seen.delivered or (row.blower and row.blower != seen.blower):
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
