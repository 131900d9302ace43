"""The usual cautions, shown once where a hand is about to move. Common practice, no source, but where one is named.
Local code comes first."""

from __future__ import annotations

from selector.table.model.table import Table

POWER = (
    "Power off at the disconnect before a hand goes to the board (electric heat often has a second supply); lock and"
    " tag, check dead. The motor stores charge: never unplug it under power, wait as the manual says (commonly 5"
    " minutes). Touch bare metal first."
)
"""After 29 CFR 1910.147(d) and 1910.333(b): isolate, lock or tag, make stored energy safe."""
READ_AT_POWER_UP = "The board reads its selectors only when power comes on: switch it off and on after setting."
MAY_READ_AT_POWER_UP = "The board may read its selectors only when power comes on: switch it off and on after setting."
PLATE = "Stay inside the rating plate's temperature rise and static pressure."
COMBUSTION = (
    "After raising airflow or changing heat: check combustion, draft and spillage with doors as in use, and CO."
)
CHARGE = "Check the refrigerant charge again after any change of cooling or heat-pump airflow."
MEASURE = "Measure with panels on; don't tie the door switch down."
SCOPE = "This is the airflow setting only; local code, the maker's instructions and licensed practice come first."
TAPS = (
    "Line-voltage leads not in use are live while the motor runs; two energised burn the winding. 24 V taps take 24 V"
    " only."
)
CUT = "A cut link can't be made whole again."


def burns(table: Table) -> bool:
    """True where the table speaks of a burner: an input, an efficiency or a nozzle."""
    given = (
        {g for chart in table.charts.values() for g in chart.gives}
        | {s.gives for s in table.selectors.values()}
        | set(table.ratings)
    )
    return bool(given & {"heat input", "nozzle rate", "efficiency", "heat per gallon"})


def cautions(table: Table, *, heat: bool, cooling: bool) -> tuple[str, ...]:
    """The cautions for setting this board, for changes that touch heating, cooling or both."""
    out = [POWER]
    if table.unit.reads != "always":
        out.append(READ_AT_POWER_UP if table.unit.reads else MAY_READ_AT_POWER_UP)
    if any(s.exclusive for s in table.selectors.values()):
        out.append(TAPS)
    if heat:
        out.append(f"{PLATE} {COMBUSTION}" if burns(table) else PLATE)
    if cooling:
        out.append(CHARGE)
    return (*out, MEASURE, SCOPE)
