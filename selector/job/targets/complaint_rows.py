"""What to do about a complaint: the table, kept as text that a technician can read and change. Common practice, no
source.

`look first` comes before the board. `may move`: which calls, and which way; `-`: no mark helps. `forbidden by` is held
against the job.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from selector.job.file.model import Job
from selector.job.readings.decision_table import read_table, words_of
from selector.table.model.roles import burns, roles
from selector.table.model.table import Table
from selector.value import Struct

COMPLAINTS = """
complaint               | look first                                         | may move                               | forbidden by
------------------------|----------------------------------------------------|----------------------------------------|-------------------------------
humid                   | fan mode, run-on, oversize, humidistat             | cooling down, dehumidify, slower ramp  | stacked floor, heat-pump floor
iced coil               | filter, coil, delivered, charge, stuck dehumidify  | cooling up                             | static
limit trips             | filter, static, zones, input, high fire, on-delay  | heat up                                | static, combustion
cool air in heat        | low rise, heat-pump air                            | heat down, heat pump down              | plate rise, heat-pump floor
noise                   | static, filter area, grille                        | any down                               | floors, rise, heater least
high head in heating    | filter, coil, delivered                            | heat pump up                           | static, shared trim
water carried over      | face velocity, coil position                       | cooling down                           | stacked floor
no change after setting | power cycle, control in force, wrong bank, plug    | -                                      | -
"""

FIRST = """
look first       | words
-----------------|----------------------------------------------------------------
fan mode         | fan mode: a fan that runs on between calls puts water back into the house
run-on           | run-on after cooling: it puts water back too
oversize         | oversize: short calls dry little
humidistat       | humidistat: is it wired, and does its contact open or close on rise?
filter           | filter
coil             | coil: dirty or iced
delivered        | delivered airflow: measure it before a mark is moved
charge           | charge: other work, for those licensed to do it
stuck dehumidify | dehumidify stuck: a cut link with nothing wired runs reduced for ever
static           | static pressure, in this call
zones            | zones: enough of them open?
input            | input: clock the gas at the meter, read the nozzle and the pump pressure
high fire        | high fire on low airflow: does the stage that burns have its own airflow?
on-delay         | on-delay: is the blower late?
low rise         | rise near the low end of the plate's window
heat-pump air    | a heat pump's air at 90 to 100 F is normal
filter area      | filter area: face velocity (300 fpm is a common limit)
grille           | grilles and registers: free area, dampers
face velocity    | face velocity of the coil
coil position    | position of the coil and its pan
power cycle      | power cycle: many boards read their marks only at power-up
control in force | which is in force, the switches or the thermostat?
wrong bank       | the bank or the row may be of another call
plug             | model plug: what model does the board believe?
"""

FORBIDS = """
forbidden by    | words
----------------|----------------------------------------------------------------
stacked floor   | the floor per ton, in every stage, with dehumidify and ramp stacked on it
heat-pump floor | the heat pump's own floor per ton: below it high head and trips; a trim may lower it too
static          | static pressure above the plate: no airflow is raised
combustion      | combustion, draft and spillage: checked after every change
plate rise      | the plate's rise: not past 5 F inside its upper end
floors          | the floors of every call
rise            | the plate's rise
heater least    | the least airflow of the heater
shared trim     | a trim shared with cooling
"""

Way = Literal["down", "up"]


class Complaint(Struct, frozen=True, kw_only=True):
    """One row: what to look at first, which roles may move which way (role `any`: every call that runs), and what
    forbids it."""

    name: str
    look: tuple[str, ...]
    moves: tuple[tuple[str, Way], ...]
    other: tuple[str, ...]
    forbids: tuple[str, ...]


def _items(text: str) -> tuple[str, ...]:
    return () if text == "-" else tuple(text.split(", "))


def _row(row: Mapping[str, str]) -> Complaint:
    moves: list[tuple[str, Way]] = []
    other = []
    for item in _items(row["may move"]):
        role, _, way = item.rpartition(" ")
        if way == "down":
            moves.append((role, "down"))
        elif way == "up":
            moves.append((role, "up"))
        else:
            other.append(item)
    return Complaint(
        name=row["complaint"],
        look=_items(row["look first"]),
        moves=tuple(moves),
        other=tuple(other),
        forbids=_items(row["forbidden by"]),
    )


ROWS: Mapping[str, Complaint] = {row["complaint"]: _row(row) for row in read_table(COMPLAINTS)}
LOOK: Mapping[str, str] = words_of(FIRST)
FORBIDDEN: Mapping[str, str] = words_of(FORBIDS)


def looks(row: Complaint, job: Job, table: Table) -> tuple[str, ...]:
    """What to look at first, in words; of a heat pump's air only where there is one."""
    return tuple(LOOK[name] for name in looked_at(row, job, table))


def looked_at(row: Complaint, job: Job, table: Table) -> tuple[str, ...]:
    """The names of what to look at first: of a plate's rise only where the plate has one, of a heat pump's air only
    where there is one."""
    kind = job.heat.kind.text if job.heat is not None and job.heat.kind is not None else ""
    pump = kind.startswith("heat pump") or (not kind and has_heat_pump(table))
    without = {*(() if pump else ("heat-pump air",)), *(() if has_plate_rise(job, table) else ("low rise",))}
    return tuple(name for name in row.look if name not in without)


def may_move(row: Complaint, table: Table) -> tuple[tuple[str, Way], ...]:
    """The roles that move, of a heat pump only where there is one."""
    return tuple((role, way) for role, way in row.moves if role != "heat pump" or has_heat_pump(table))


def forbidding(row: Complaint, job: Job, table: Table) -> tuple[str, ...]:
    """The names of what forbids a move: a heat pump's own floor and trim only where there is one, a plate's rise
    only where it has one."""
    without = {
        *(() if has_heat_pump(table) else ("heat-pump floor", "shared trim")),
        *(() if has_plate_rise(job, table) else ("plate rise",)),
    }
    return tuple(name for name in row.forbids if name not in without)


def has_heat_pump(table: Table) -> bool:
    """True where a call runs a heat pump in heating."""
    return not {"heat pump", "heat pump + auxiliary"}.isdisjoint(roles(table).values())


def has_plate_rise(job: Job, table: Table) -> bool:
    """True where the rating plate limits the rise of a call: it is typed or printed, or a burner heats."""
    burner = any(
        burns(table, table.calls[name]) in ("nozzle rate", "heat input", "rated")
        for name, role in roles(table).items()
        if role == "heat"
    )
    kind = job.heat.kind.text if job.heat is not None and job.heat.kind is not None else ""
    return burner or kind in ("gas", "oil") or knows_plate_rise(job, table)


def knows_plate_rise(job: Job, table: Table) -> bool:
    """True where the plate's rise is typed or printed."""
    return bool(job.heat is not None and job.heat.rise) or "temperature rise" in table.ratings
