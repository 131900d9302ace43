"""What can hurt someone, kept as text that a technician can read and change: how it is told by what people type, and
what may follow it. Common practice, no source. Its words: `answers/remarks/danger_words.py`.

Rows stand in the order in which they are said. `level`: DANGER (stop, before every other word) or WARNING (put right at
this visit). `leaves`: what of an answer may still follow: nothing (nobody touches a selector), figures (what was
measured, and no selector is moved), all.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from selector.text_table import read_table
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
soot            | DANGER  | nothing
oil             | DANGER  | nothing
burning         | DANGER  | nothing
two speeds      | DANGER  | nothing
limit           | DANGER  | figures
rise over       | DANGER  | figures
outlet over     | DANGER  | figures
input over      | DANGER  | figures
strip heat      | DANGER  | figures
smaller heater  | DANGER  | all
smaller nozzle  | DANGER  | all
unread heater   | DANGER  | all
unread nozzle   | DANGER  | all
shared tap      | DANGER  | all
shared 24 V tap | DANGER  | all
static over     | WARNING | all
rise under      | WARNING | all
return under    | WARNING | all
input derated   | WARNING | figures
iced coil       | WARNING | figures
high head       | WARNING | all
"""

SEEN = """
what            | typed in any words that hold these (a word may go on; several ways behind commas)
----------------|--------------------------------------------------------------------------------------------
gas             | gas smell, smell gas, gas odor, gas leak, CO alarm, CO detector, monoxide, CO room, CO house
gas             | headache, dizz, nausea, propane smell, propane leak, propane odor
gas             | rotten egg, rotten eggs, eggs smell, egg smell, sulfur smell, smell sulfur, sulphur, smell LP
gas             | LP smell, LP leak
live            | still live, live after, live disconnect, still volt, still show, door switch tied, door switch tape
live            | door switch jump, door switch hold, door switch held
flue CO         | flue CO, stack CO, CO air-free, CO flue
spillage        | spillage, spill, backdraft, back draft, downdraft, flue block, vent block, chimney block
spillage        | mirror fog, mirror fogs, mirror fogged, vent disconnect, flue disconnect, vent apart, flue apart
spillage        | vent loose, flue loose, vent separat, flue separat, vent fell, flue fell, flue pipe off
roll-out        | rollout, roll out
flame           | flame moves, flame move, flame lift, flame lean, flame chang, flame wave, flame blow
flame           | flame moving, flame disturb
flame           | flame danc, flame distort, flame roll, flame fan starts, flame blower starts, flame fan comes on
flame           | flame blower comes on, exchanger crack, exchanger hole, exchanger split
soot            | soot, smoke, smoki, smoky, fumes, exhaust smell, flame yellow, flame lazy, flame orange, puffback
soot            | puff back, delayed ignition, bang ignit, bang light, boom ignit, boom light
oil             | oil smell, smell oil, oil odor, oil leak, oil spill, oil drip, oil floor, fuel leak, fuel smell
burning         | burning smell, smell burnt, burnt, scorch, melted, arcing, sparks, sparking, breaker hot, wire hot
burning         | motor hums hot
two speeds      | two taps energized, two tap energ, two speed, taps energ, speeds energ
two speeds      | two lead energ, line voltage tap, line voltage 24, spade live, spades live, speeds live
two speeds      | relay weld, contacts weld, volts spade, V spade, two taps live, 120 V tap
two speeds      | 115 V tap, 208 V tap, 230 V tap, 240 V tap
limit           | limit trips, limit trip, limit open, limit jump, limit bypass, limit tied, limit cycl, high limit
limit           | limit wired, pressure switch jump, pressure switch bypass, pressure switch wired, rollout jump
limit           | rollout switch jump, safety jump, safety bypass
iced coil       | iced coil, ice coil, coil froz, coil freez, frozen coil, icing
high head       | high head, head pressure
"""

NOT_SEEN = ("no", "not", "none", "without", "never")
"""A clause that begins with one of these says that it was looked at and isn't there."""

Level = Literal["DANGER", "WARNING"]
Leaves = Literal["nothing", "figures", "all"]


class Danger(Struct, frozen=True, kw_only=True):
    """One row of the tables: name, level, what may follow it, the ways to type it."""

    what: str
    level: Level
    leaves: Leaves
    typed: tuple[tuple[str, ...], ...]


def read_dangers(levels: str, seen: str) -> Mapping[str, Danger]:
    """The rows of such texts by name, in the order of `levels`. A name of the other that it lacks, or a cell too many
    or too few, is a ValueError."""
    ways = [tuple(row.values()) for row in read_table(seen)]
    out: dict[str, Danger] = {}
    for row in read_table(levels):
        what, level, leaves = row.values()
        assert level in ("DANGER", "WARNING")
        assert leaves in ("nothing", "figures", "all")
        out[what] = Danger(
            what=what,
            level="DANGER" if level == "DANGER" else "WARNING",
            leaves="nothing" if leaves == "nothing" else "figures" if leaves == "figures" else "all",
            typed=tuple(tuple(way.split()) for one, said in ways if one == what for way in said.split(", ")),
        )
    stray = {row[0] for row in ways} - set(out)
    if stray:
        raise ValueError(f"not among the levels: {', '.join(sorted(stray))}")
    return out


DANGERS: Mapping[str, Danger] = read_dangers(LEVELS, SEEN)
"""Every danger and warning by its name, in the order they are said."""


def shared_tap(motor: str) -> Danger:
    """The row of two leads on one tap, by the kind of motor: the taps of a constant-torque motor take 24 V (common
    practice, no source)."""
    return DANGERS["shared 24 V tap" if motor == "constant torque" else "shared tap"]
