"""What is said to a complaint, by the names that `job/targets/complaint_rows.py` uses: what to look at before the
board, what forbids a move."""

from __future__ import annotations

from collections.abc import Mapping

from selector.text_table import words_of

_LOOK = """
look first       | words
-----------------|----------------------------------------------------------------
thaw             | Cooling off, fan on: thaw it fully and watch the drain. Readings on ice mean nothing.
limit            | Never bypass a limit or raise it.
roll-out         | Roll-out switch tripped? Don't reset it.
fan mode         | Thermostat fan on AUTO? A fan between calls puts water back in the air.
run-on           | Blower-off delay after cooling: it puts water back in the air.
oversize         | Short calls? An oversized unit dries little.
humidistat       | Humidistat wired? Does it open or close on rise?
filter           | Filter clean?
coil             | Coil clean, clear of ice?
wheel            | Blower wheel clean?
delivered        | Measure the airflow before you move a switch.
charge           | Then the charge (other work).
stuck dehumidify | Dehumidify stuck? A cut link with nothing wired runs reduced for ever.
static           | Static pressure in this call?
zones            | Enough zones open?
input            | Clock the gas at the meter; nozzle and pump pressure on oil.
high fire        | High fire on low airflow?
on-delay         | Blower-on delay too long?
low rise         | Is the rise near the plate's low end?
heat-pump air    | 90 to 100 F from a heat pump is normal.
filter area      | Filter area: 300 fpm is a common limit.
grille           | Grilles and registers open, large enough?
face velocity    | Face velocity at the coil?
coil position    | Coil and pan level, right way round?
power cycle      | Power cycled since it was set? Many boards read selectors only at power-up.
control in force | Switches or thermostat in force?
wrong bank       | Right bank, right row?
plug             | Right model plug?
registers        | Registers and dampers of these rooms open?
branch           | Branch ducts: crushed, loose, too long?
return path      | Can the air get back with the doors shut?
watts            | Blower watts: read them.
"""

_FORBIDDEN = """
forbidden by    | words
----------------|----------------------------------------------------------------
stacked floor   | minimum cfm per ton in every stage, dehumidify and ramp included
heat-pump floor | the heat pump's own minimum cfm per ton
static          | static over the plate: no airflow goes up
combustion      | combustion, draft and spillage after every change
plate rise      | the plate's rise, 5 F inside its upper end
floors          | minimum cfm per ton of every call
rise            | the plate's rise
heater least    | the heater's minimum airflow
shared trim     | a trim shared with cooling
"""

LOOK: Mapping[str, str] = words_of(_LOOK)
FORBIDDEN: Mapping[str, str] = words_of(_FORBIDDEN)
