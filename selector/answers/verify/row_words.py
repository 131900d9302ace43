"""What a row of the decision table, a thing to look at and a next step say, kept as text that a technician can read and
change. Common practice, no source."""

from __future__ import annotations

from collections.abc import Mapping

from selector.text_table import words_of

SAID = """
row         | what is said
------------|----------------------------------------------------------------
narrow      | a restriction holds the air back
asks less   | the board calls for less than set, or the wheel moves less
wrong tap   | the lead is on another tap, or wheel or voltage is down
more heat   | over-firing reads as low air
less heat   | under-firing reads as high air
open        | air goes round the filter or coil, or another chart is in force
over-fired  | airflow as set and a high rise: over-fired, or a probe sees the heat exchanger
under-fired | airflow as set and a low rise: under-fired
at a price  | works, but with high static and watts
contradict  | the two methods disagree: one measurement is wrong
"""

CHECKS = """
check       | what to look at
------------|----------------------------------------------------------------
filter      | filter clogged, too small, two stacked?
coil        | coil dirty, iced or wet?
dampers     | dampers, registers or zones closed?
duct        | duct too small, crushed or leaking?
power-up    | power cycled since setting?
terminal    | right terminals on?
plug        | right model plug or motor module?
dehumidify  | dehumidify holding it down (humidistat, link)?
wheel       | wheel dirty or loose?
tap         | each lead on its tap?
voltage     | voltage at the motor?
bypass      | filter or coil bypassed?
opening     | a door or duct open?
other chart | chart of another model?
probe       | probe in sight of the heat exchanger?
unlit       | a stage or an element not on?
derate      | input derated for altitude?
noise       | noise at registers and return?
measurement | stage, probes, all registers counted, filter in, panels on?
"""

STEPS = """
then           | what comes next, a sentence a step
---------------|----------------------------------------------------------------
lower the ask  | Clear the restriction. Measure again. If it stays, lower the airflow asked for, never raise it.
measure again  | Put right what is found below. Measure again before any move.
clock it       | Filter and registers, at a glance. {clock}. Change no switch until the input is known.
know the price | Leave it, or widen the duct.
measure both   | Repeat both in the same stage. Move nothing on a wrong figure.
"""

CLOCK = """
fuel     | how its heat is measured
---------|----------------------------------------------------------------
gas      | Clock the meter, other gas appliances off
oil      | Read the nozzle and the pump pressure
electric | Read volts at the heater under load and amps of every circuit, blower left out
water    | Read the water's flow and drop
"""

ROW_SAID: Mapping[str, str] = words_of(SAID)
LOOK_AT: Mapping[str, str] = words_of(CHECKS)
NEXT: Mapping[str, str] = words_of(STEPS)
CLOCKING: Mapping[str, str] = words_of(CLOCK)
