"""What can hurt someone, kept as text that a technician can read and change: how it is told by what people type, its
first sentence, what to do next. Common practice, no source.

Rows stand in the order in which they are said. `level`: DANGER (stop, before every other word) or WARNING (put right at
this visit). `leaves`: what of an answer may still follow: nothing (nobody touches a selector), figures (what was
measured, and no selector is moved), all. In a sentence `{value}`, `{over}`, `{under}`, `{limit}`, `{whose}` and
`{hurts}` are filled in; a part in [..] is said only where its figures are known.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from selector.value import Struct

LEVELS = """
what            | level   | leaves
----------------|---------|--------
gas             | DANGER  | nothing
live            | DANGER  | nothing
flue CO         | DANGER  | nothing
spillage        | DANGER  | nothing
roll-out        | DANGER  | nothing
flame           | DANGER  | nothing
two speeds      | DANGER  | nothing
limit           | DANGER  | figures
rise over       | DANGER  | figures
outlet over     | DANGER  | figures
input over      | DANGER  | figures
strip heat      | DANGER  | figures
smaller heater  | DANGER  | all
smaller nozzle  | DANGER  | all
shared tap      | DANGER  | all
shared 24 V tap | DANGER  | all
static over     | WARNING | all
rise under      | WARNING | all
return under    | WARNING | all
input derated   | WARNING | figures
iced coil       | WARNING | figures
high head       | WARNING | all
"""

FIRST = """
what            | first sentence
----------------|--------------------------------------------------------------------------------------------
gas             | gas or CO. Everyone out.
live            | still live. Hands out.
flue CO         | flue CO[ {value}][, {over} over {whose} {limit}]. Shut it off.
spillage        | flue gas spills. Shut it off.
roll-out        | suspect the heat exchanger. Shut it off.
flame           | suspect the heat exchanger. Shut it off.
two speeds      | two speeds energized. Power off.
limit           | the limit is tripping. Heat off.
rise over       | rise {value}, {over} over {whose} {limit}: {hurts}.
outlet over     | supply {value}, {over} over {whose} {limit}.
input over      | input {value}, {over} over {whose} {limit}.
strip heat      | {what} on {value}; minimum {limit}, {under} under.
smaller heater  | {what} is set for {value}; {limit} installed.
smaller nozzle  | {what} is set for {value}; {limit} installed.
shared tap      | {what}: one call can back-feed the other (line voltage: two taps energized together burn the winding).
shared 24 V tap | {what}: one call can back-feed the other.
static over     | static {value}, {over} over {whose} {limit}.
rise under      | rise {value}, {under} under {whose} {limit}: {hurts}.
return under    | return air {value}, {under} under {whose} {limit}.
input derated   | input {value}, {over} over {whose} {limit}.
iced coil       | the coil is iced: readings on ice mean nothing.
high head       | high head pressure.
"""

NEXT = """
what            | what to do next, in this order
----------------|--------------------------------------------------------------------------------------------
gas             | Touch no switch, no phone inside. Call the gas utility or the fire service from outside.
live            | Find the second supply (electric heat often has one). Lock and tag every one.
live            | Live-dead-live test. Wait as the manual says before you unplug anything. Untie the door switch.
flue CO         | Tag it out. Look at vent, combustion air, input and heat exchanger. No airflow work until it is right.
spillage        | Tag it out. Look at vent, combustion air, input and heat exchanger. No airflow work until it is right.
roll-out        | Don't reset it. Gas off. Look at heat exchanger, panel seals and vent.
flame           | Don't reset anything. Gas off, tag it out. Look at heat exchanger, panel seals and vent.
two speeds      | Power off, prove it dead. One speed a call, by the diagram. Replace what was hit.
limit           | Take the jumper out. Look at wheel, filter, static and input. Never bypass or raise a limit.
rise over       | Run it only while you measure: filter, registers, clock the meter. Then heat off.
outlet over     | Heat off. Look at the return temperature, a bypass, the smallest zone.
input over      | Heat off. A licensed person with an analyzer: inlet and manifold pressure, orifice.
input over      | Never hide it with airflow.
strip heat      | Heater breakers off. Set the selector for the heater that is there. Prove the blower before heat.
smaller heater  | Heater breakers off. Set the selector for the heater that is there. Prove the blower before heat.
smaller nozzle  | Burner off. Set the selector for the nozzle that is there; moving it doesn't change the nozzle.
shared tap      | Power off, prove it dead. One speed a call, by the diagram; cap each unused lead separately.
shared 24 V tap | Power off, prove it dead. One speed a call, by the diagram. Replace what was hit.
static over     | Clear the restriction first: filter, coil, dampers, duct. No airflow is raised while static is over.
rise under      | Clock the input, look for a stage that isn't lit, then lower the heating airflow if it stays.
return under    | Find what cools the return (bypass, outdoor air, setback), and measure again.
input derated   | Ask which rule holds here; inlet and manifold pressure, orifice, by a licensed person.
iced coil       | Cooling off, fan on, thaw it fully, watch the drain. Then filter, coil, wheel, airflow, charge.
high head       | Filter, coil, then the airflow.
"""

SEEN = """
what            | typed in any words that hold these (a word may go on; several ways behind commas)
----------------|--------------------------------------------------------------------------------------------
gas             | gas smell, smell gas, gas odor, gas leak, CO alarm, CO detector, monoxide, CO room, CO house
live            | still live, live after, live disconnect, still volt, still show, door switch tied, door switch tape
live            | door switch jump, door switch hold, door switch held
flue CO         | flue CO, stack CO, CO air-free, CO flue
spillage        | spill, backdraft, back draft, downdraft
roll-out        | rollout, roll out
flame           | flame move, flame moving, flame lift, flame lean, flame chang, flame wave, flame blow, flame disturb
flame           | flame danc, flame distort, flame roll
two speeds      | two tap energ, two speed, taps energ, speeds energ, two lead energ, line voltage tap, line voltage 24
limit           | limit trip, limit open, limit jump, limit bypass, limit tied, limit cycl, high limit
iced coil       | ice coil, iced coil, coil froz, coil freez, frozen coil, icing
high head       | high head, head pressure
"""

NOT_SEEN = ("no", "not", "none", "without", "never")
"""A clause that begins with one of these says that it was looked at and isn't there."""

Level = Literal["DANGER", "WARNING"]
Leaves = Literal["nothing", "figures", "all"]


class Danger(Struct, frozen=True, kw_only=True):
    """One row of the tables: name, level, what may follow it, first sentence, steps, the ways to type it."""

    what: str
    level: Level
    leaves: Leaves
    first: str
    steps: tuple[str, ...]
    typed: tuple[tuple[str, ...], ...]


def _rows(text: str) -> list[list[str]]:
    lines = [[cell.strip() for cell in line.split("|")] for line in text.strip().splitlines()]
    body = [line for line in lines[1:] if not set("".join(line)) <= {"-"}]
    for line in body:
        if len(line) != len(lines[0]):
            raise ValueError(f"{len(line)} cells under {len(lines[0])} heads: {' | '.join(line)}")
    return body


def read_dangers(levels: str, first: str, steps: str, seen: str) -> Mapping[str, Danger]:
    """The rows of such texts by name, in the order of `levels`. A name of the others that it lacks, or a cell too many
    or too few, is a ValueError."""
    out: dict[str, Danger] = {}
    sentences = {row[0]: row[1] for row in _rows(first)}
    for what, level, leaves in _rows(levels):
        assert level in ("DANGER", "WARNING")
        assert leaves in ("nothing", "figures", "all")
        out[what] = Danger(
            what=what,
            level="DANGER" if level == "DANGER" else "WARNING",
            leaves="nothing" if leaves == "nothing" else "figures" if leaves == "figures" else "all",
            first=sentences[what],
            steps=tuple(row[1] for row in _rows(steps) if row[0] == what),
            typed=tuple(tuple(way.split()) for row in _rows(seen) if row[0] == what for way in row[1].split(", ")),
        )
    stray = {row[0] for text in (first, steps, seen) for row in _rows(text)} - set(out)
    if stray:
        raise ValueError(f"not among the levels: {', '.join(sorted(stray))}")
    return out


DANGERS: Mapping[str, Danger] = read_dangers(LEVELS, FIRST, NEXT, SEEN)
"""Every danger and warning by its name, in the order they are said."""


def shared_tap(motor: str) -> Danger:
    """The row of two leads on one tap, by the kind of motor: the taps of a constant-torque motor take 24 V (common
    practice, no source)."""
    return DANGERS["shared 24 V tap" if motor == "constant torque" else "shared tap"]
