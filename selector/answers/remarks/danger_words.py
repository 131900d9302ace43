"""What is said of each danger and warning of `job/observed/danger_table.py`: its first sentence and what to do next,
kept as text that a technician can read and change. Common practice, no source.

In a sentence `{value}`, `{over}`, `{under}`, `{limit}`, `{whose}`, `{what}` and `{hurts}` are filled in; a part in [..]
is said only where its figures are known.
"""

from __future__ import annotations

from collections.abc import Mapping

from selector.text_table import read_table, words_of

_FIRST = """
what            | first sentence
----------------|--------------------------------------------------------------------------------------------
gas             | gas or CO. Everyone out.
live            | still live. Hands out.
flue CO         | flue CO[ {value}][, {over} over {whose} {limit}]. Shut it off.
spillage        | flue gas spills. Shut it off.
roll-out        | suspect the heat exchanger. Shut it off.
flame           | suspect the heat exchanger. Shut it off.
soot            | smoke, soot or fumes: it burns badly. Shut it off.
oil             | oil leaks or smells. Shut it off.
burning         | something burns or has burnt. Power off.
two speeds      | two speeds energized. Power off.
limit           | the limit is tripping. Heat off.
rise over       | rise {value}, {over} over {whose} {limit}: {hurts}.
outlet over     | supply {value}, {over} over {whose} {limit}.
input over      | input {value}, {over} over {whose} {limit}.
strip heat      | {what} on {value}; minimum {limit}, {under} under.
smaller heater  | {what} is set for {value}; {limit} installed.
smaller nozzle  | {what} is set for {value}; {limit} installed.
unread heater   | {what} can't be read: set for less than the {limit} installed, the heater overheats.
unread nozzle   | {what} can't be read: set for less than the {limit} installed, the burner gets too little air.
shared tap      | {what}: one call can back-feed the other (line voltage: two taps energized together burn the winding).
shared 24 V tap | {what}: one call can back-feed the other.
static over     | static {value}, {over} over {whose} {limit}.
rise under      | rise {value}, {under} under {whose} {limit}: {hurts}.
return under    | return air {value}, {under} under {whose} {limit}.
input derated   | input {value}, {over} over {whose} {limit}.
iced coil       | the coil is iced: readings on ice mean nothing.
high head       | high head pressure.
"""

_NEXT = """
what            | what to do next, in this order
----------------|--------------------------------------------------------------------------------------------
gas             | Touch no switch, no phone inside. Call the gas utility or the fire service from outside.
live            | Find the second supply (electric heat often has one). Lock and tag every one.
live            | Live-dead-live test. Wait as the manual says before you unplug anything. Untie the door switch.
flue CO         | Tag it out. Look at vent, combustion air, input and heat exchanger. No airflow work until it is right.
spillage        | Tag it out. Look at vent, combustion air, input and heat exchanger. No airflow work until it is right.
roll-out        | Don't reset it. Gas off (or oil). Look at heat exchanger, panel seals and vent.
flame           | Don't reset anything. Gas off (or oil), tag it out. Look at heat exchanger, panel seals and vent.
soot            | Air out. Don't reset it. Tag it out. Vent, combustion air, burner and heat exchanger, by analyzer.
soot            | No airflow work until it is right.
oil             | Close the valve at the tank, no flame near it. Tag it out. Oil line, pump, nozzle, flooded chamber.
burning         | If it smokes or burns: everyone out, fire service. Else lock, tag, prove it dead; find what was hot.
two speeds      | Power off, prove it dead. One speed a call, by the diagram. Replace what was hit.
limit           | Jumpered? Take the jumper out. Look at wheel, filter, static and input. Never bypass or raise a limit.
rise over       | Run it only while you measure: filter, registers, {heat}. Then heat off.
outlet over     | Heat off. Look at the return temperature, a bypass, the smallest zone.
input over      | Heat off. A licensed person with an analyzer: {fire}.
input over      | Never hide it with airflow.
strip heat      | Heater breakers off. Set {selector} for the heater that is there. Prove the blower before heat.
smaller heater  | Heater breakers off. Set {selector} for the heater that is there. Prove the blower before heat.
smaller nozzle  | Burner off. Set {selector} for the nozzle that is there; moving it doesn't change the nozzle.
unread heater   | Heater breakers off until it is read.
unread nozzle   | Burner off until it is read.
shared tap      | Power off, prove it dead. One speed a call, by the diagram; cap each unused lead separately.
shared 24 V tap | Power off, prove it dead. One speed a call, by the diagram. Replace what was hit.
static over     | Clear the restriction first: filter, coil, dampers, duct. No airflow is raised while static is over.
rise under      | {Heat}, look for a stage that isn't lit, then lower the heating airflow if it stays.
return under    | Find what cools the return (bypass, outdoor air, setback), and measure again.
input derated   | Ask which rule holds here; inlet and manifold pressure, orifice, by a licensed person.
iced coil       | Cooling off, fan on, thaw it fully, watch the drain. Then filter, coil, wheel, airflow, charge.
high head       | Filter, coil, then the airflow.
"""

_TAPPED = """
what       | how it is named where it is tapped, and typed in the record
-----------|-----------------------------------------------------------
gas        | gas smell or CO alarm
live       | still live after the disconnect
flue CO    | flue CO over the limit
spillage   | flue gas spills
roll-out   | roll-out tripped
flame      | flame moves with the blower
soot       | smoke, soot or fumes
oil        | oil leaks or smells
burning    | burning smell or burnt wire
two speeds | two speeds energized
limit      | limit trips or is jumpered
iced coil  | coil iced
high head  | high head pressure
"""
TAPPED: Mapping[str, str] = words_of(_TAPPED)
"""What can be seen -> its words on the phone page."""

_HEAT = """
fuel      | how the heat of a call is looked at
----------|----------------------------
gas       | clock the meter
oil       | nozzle and pump pressure
electric  | volts and amps
hot water | the water's flow and drop
fuel      | clock the meter (oil: nozzle and pump pressure)
"""
HEAT: Mapping[str, str] = words_of(_HEAT)

_FIRE = """
fuel      | what makes a fire too big
----------|-------------------------------------
gas       | inlet and manifold pressure, orifice
oil       | nozzle and pump pressure
"""
FIRE: Mapping[str, str] = words_of(_FIRE)

FIRST: Mapping[str, str] = words_of(_FIRST)
"""Danger -> its first sentence."""
STEPS: Mapping[str, tuple[str, ...]] = {
    what: tuple(row["what to do next, in this order"] for row in read_table(_NEXT) if row["what"] == what)
    for what in FIRST
}
"""Danger -> what to do next, in order; `{heat}` and `{selector}` are filled in by `steps`."""


def steps(what: str, fuel: str, selector: str = "the selector") -> tuple[str, ...]:
    """What to do next, by what the call burns (empty: electric); `selector`: the move that puts it right."""
    heat, fire = HEAT[fuel or "electric"], FIRE.get(fuel, FIRE["gas"])
    words = {"selector": selector, "heat": heat, "Heat": heat[:1].upper() + heat[1:], "fire": fire}
    return tuple(step.format(**words) for step in STEPS[what])
