"""What to do about a complaint: the table, kept as text that a technician can read and change. Common practice, no
source.

`look first` comes before the board. `may move`: which calls, and which way; `-`: no mark helps. `forbidden by` is held
against the job. The words of both: `answers/remarks/complaint_words.py`.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from selector.job.file.complaint_words import complaints_in
from selector.job.file.model import Job
from selector.job.house.heating import has_heat_pump_here, kind_of
from selector.table.model.roles import burns, has_heat_pump_call, roles
from selector.table.model.table import Table
from selector.text_table import read_table
from selector.value import Struct

_ROWS = """
complaint               | look first                                                              | may move                               | forbidden by
------------------------|-------------------------------------------------------------------------|----------------------------------------|-------------------------------
humid                   | fan mode, run-on, oversize, humidistat                                  | cooling down, dehumidify, slower ramp  | stacked floor, heat-pump floor
iced coil               | thaw, filter, coil, wheel, delivered, charge, stuck dehumidify          | cooling up                             | static
limit trips             | limit, roll-out, filter, static, zones, input, high fire, on-delay      | heat up                                | static, combustion
cool air in heat        | low rise, heat-pump air                                                 | heat down, heat pump down              | plate rise, heat-pump floor
noise                   | static, filter area, grille                                             | any down                               | floors, rise, heater least
high head in heating    | filter, coil, delivered                                                 | heat pump up                           | static, shared trim
water carried over      | face velocity, coil position                                            | cooling down                           | stacked floor
no change after setting | power cycle, control in force, wrong bank, plug                         | -                                      | -
uneven rooms            | registers, zones, branch, return path                                   | -                                      | -
high bills              | filter, static, watts, fan mode, charge                                 | -                                      | -
"""

Way = Literal["down", "up"]


class Complaint(Struct, frozen=True, kw_only=True):
    """One row, or several that stand in one job: what to look at first, which roles may move which way (role `any`:
    every call that runs), what forbids it. `torn`: roles that one row moves up and another down: they stay."""

    names: tuple[str, ...]
    look: tuple[str, ...]
    moves: tuple[tuple[str, Way], ...]
    other: tuple[str, ...]
    forbids: tuple[str, ...]
    torn: tuple[str, ...] = ()

    @property
    def name(self) -> str:
        """`humid and noise`."""
        return " and ".join(self.names)


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
        names=(row["complaint"],),
        look=_items(row["look first"]),
        moves=tuple(moves),
        other=tuple(other),
        forbids=_items(row["forbidden by"]),
    )


ROWS: Mapping[str, Complaint] = {row["complaint"]: _row(row) for row in read_table(_ROWS)}


def complaint_of(job: Job) -> Complaint | None:
    """The row of a job's complaint; several run together as one. None where there is none."""
    rows = [] if job.complaint is None else [ROWS[name] for _, name in complaints_in(job.complaint.text) if name]
    if not rows:
        return None
    moves = tuple(dict.fromkeys(move for row in rows for move in row.moves))
    ways: dict[str, set[str]] = {}
    for role, way in moves:
        ways.setdefault(role, set()).add(way)
    torn = tuple(role for role, found in ways.items() if len(found) > 1 or _against_any(role, found, ways))
    return Complaint(
        names=tuple(dict.fromkeys(row.names[0] for row in rows)),
        look=tuple(dict.fromkeys(name for row in rows for name in row.look)),
        moves=tuple(move for move in moves if move[0] not in torn),
        other=tuple(dict.fromkeys(name for row in rows for name in row.other)),
        forbids=tuple(dict.fromkeys(name for row in rows for name in row.forbids)),
        torn=torn,
    )


def _against_any(role: str, found: set[str], ways: Mapping[str, set[str]]) -> bool:
    """True where a row moves every role the other way."""
    return role != "any" and "any" in ways and not found <= ways["any"]


def looked_at(row: Complaint, job: Job, table: Table) -> tuple[str, ...]:
    """The names of what to look at first: of a plate's rise only where the plate has one, of a heat pump's air only
    where there is one."""
    typed = job.heat is not None and job.heat.kind is not None
    pump = has_heat_pump_here(job.heat) if typed else has_heat_pump_call(table)
    without = {*(() if pump else ("heat-pump air",)), *(() if has_plate_rise(job, table) else ("low rise",))}
    return tuple(name for name in row.look if name not in without)


def forbidding(row: Complaint, job: Job, table: Table) -> tuple[str, ...]:
    """The names of what forbids a move: a heat pump's own floor and trim only where there is one, a plate's rise
    only where it has one."""
    without = {
        *(() if has_heat_pump_call(table) else ("heat-pump floor", "shared trim")),
        *(() if has_plate_rise(job, table) else ("plate rise",)),
    }
    return tuple(name for name in row.forbids if name not in without)


def has_plate_rise(job: Job, table: Table) -> bool:
    """True where the rating plate limits the rise of a call: it is typed or printed, or a burner heats."""
    burner = any(
        burns(table, table.calls[name]) in ("nozzle rate", "heat input", "rated")
        for name, role in roles(table).items()
        if role == "heat"
    )
    return (
        burner
        or (job.heat is not None and job.heat.kind is not None and kind_of(job.heat) in ("gas", "oil"))
        or knows_plate_rise(job, table)
    )


def knows_plate_rise(job: Job, table: Table) -> bool:
    """True where the plate's rise is typed or printed."""
    return bool(job.heat is not None and job.heat.rise) or "temperature rise" in table.ratings
