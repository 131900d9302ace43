"""The words of changes and of what is owed, shared by `visits`, `jobs` and the sheets for people."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from selector.answers.verify.cooling import state_said
from selector.answers.verify.row_words import CLOCKING
from selector.answers.words.figure import ShownFigure, UnitNames, number_of, text_of
from selector.answers.words.listing import listed
from selector.job.house.heating import fuel_of
from selector.job.targets.house import House
from selector.job.visits.causes import Cause, Side
from selector.job.visits.changes import Change, MovedMark, StateChanges
from selector.job.visits.measured_at import WHOLE, MeasuredFigure
from selector.job.visits.owed import OwedWork, Season, UnitRecord, Work
from selector.solve.board.marks import mark
from selector.table.model.table import Table
from selector.units import Kind, convert, rise

KINDS: Mapping[str, Kind] = {"airflow": "airflow", "rise": "temperature difference", "input": "heat rate"}
SAID: Mapping[str, str] = {
    "more restriction": "more restriction{side}",
    "restriction or more air": "more restriction{side}, or more air",
    "more air": "more air than before",
    "less restriction": "less restriction{side}",
    "opened or less air": "less restriction, or less air",
    "less air": "less air than before",
    "works harder": "the motor works harder for the same static",
    "works less": "the motor draws less than before",
    "input up": "the burner takes more than before",
    "input down": "the burner takes less than before",
    "less air or more heat": "less air or more heat: a rise can't tell them apart",
    "more air or less heat": "more air or less heat: a rise can't tell them apart",
}
DO: Mapping[str, str] = {
    "more restriction": "Look at {parts}. Then measure again.",
    "restriction or more air": "Measure the airflow in this call. Look at {parts}.",
    "more air": "Compare the board, the taps and the thermostat's menu with the card.",
    "less restriction": "Is the filter in? Doors on, ducts closed? A new filter does the same.",
    "opened or less air": "Measure the airflow in this call. Is the filter in, are the doors on?",
    "less air": "Power cycled? Wheel clean and tight? On taps: the right lead, the capacitor. Dehumidify satisfied?",
    "works harder": "Look at wheel, filter and voltage.",
    "works less": "Look at wheel, call and voltage.",
    "input up": "Gas pressure and orifice: a licensed person with an analyzer.",
    "input down": "Gas pressure and orifice: a licensed person with an analyzer.",
    "less air or more heat": "{clock} first.",
    "more air or less heat": "{clock} first.",
}
PARTS: Mapping[Side, str] = {
    "return": "filter, return grilles and return duct",
    "supply": "coil, supply registers, dampers and duct",
    "": "filter, coil, registers and dampers",
}
SIDES: Mapping[Side, str] = {"return": " on the return side", "supply": " on the supply side", "": ""}
OWED: Mapping[Work, str] = {
    "measure": "measure the airflow",
    "measure again": "measure again: it was read{on} under other marks",
    "not usable": "the reading{on} is not usable: measure again (selector verify says why)",
    "no verdict": "measured, no verdict: selector verify says what settles it",
    "put right": "{verdict}{on}: put it right and measure again",
    "clock the meter": "clock the meter",
    "static": "measure the static",
    "charge": "recheck the charge: the cooling airflow was changed",
    "combustion": "combustion and flue CO, draft and spillage: the heating airflow was changed",
    "combustion after danger": "combustion and flue CO, draft and spillage: a danger was put right{on}; type it as"
    " done=flue CO ..",
    "first combustion": "combustion and flue CO, draft and spillage: no reading yet; type it as done=flue CO ..",
    "set": "set the board and type its marks under `as left`",
}
SEASONS: Mapping[Season, str] = {"cold": "when it's cold", "warm": "when it's warm", "any": "any time"}


def shown(figure: MeasuredFigure, table: Table, value: Fraction | None = None) -> ShownFigure:
    """A measured figure (or another value in its unit) in the table's units."""
    value, units = figure.value if value is None else value, UnitNames(units=table.units)
    if figure.name == "airflow":
        return units.worked(convert(value, "cfm", table.units.airflow), "airflow")
    if figure.name == "rise":
        return units.worked(rise(value, "F", table.units.temperature), "temperature difference")
    if figure.name == "static pressure" or figure.name not in WHOLE:
        return units.worked(convert(value, "in. w.c.", table.units.pressure), "pressure")
    if figure.name == "input":
        return units.worked(value, "heat rate")
    return ShownFigure(value=value, kind="heat rate", unit="W")


def change_text(change: Change, table: Table) -> str:
    """`0.52 -> 0.69 in. w.c., 0.17 up`; `1,190 -> 1,180 cfm, no change to be seen`; `0.50, 0.39 at the setting now ->
    0.40 in. w.c., no change to be seen`."""
    was, now = shown(change.was, table), shown(change.now, table)
    apart = ShownFigure(value=abs(now.value - was.value), kind=_difference(now.kind), unit=now.unit)
    said = "no change to be seen" if change.way == "same" else f"{number_of(apart)} {change.way}"
    before = "" if change.read is None else f"{number_of(shown(change.read, table))}, at the setting now "
    return f"{before}{number_of(was)} -> {text_of(now)}, {said}"


def _difference(kind: Kind) -> Kind:
    return "temperature difference" if kind == "temperature" else kind


def short_change(change: Change, table: Table) -> str:
    """`static up 0.17 in. w.c.`"""
    was, now = shown(change.was, table), shown(change.now, table)
    apart = ShownFigure(value=abs(now.value - was.value), kind=now.kind, unit=now.unit)
    name = "static" if change.now.name == "static pressure" else change.now.name
    return f"{name} {change.way} {text_of(apart)}"


def cause_text(cause: Cause) -> str:
    """`more restriction on the return side`; `more restriction, in the filter`."""
    said = SAID[cause.name].format(side=f", in the {cause.part}" if cause.part else SIDES[cause.side])
    return f"{said} (now as the plate says)" if cause.at_plate else said


def do_text(cause: Cause, state: StateChanges, house: House) -> str:
    """What to do about it; the heat is measured by what the call burns."""
    fuel = fuel_of(house.job, house.table, house.table.calls[state.call])
    how = {"": "electric", "hot water": "water", "oil": "oil"}.get(fuel or "gas", "gas")
    if cause.new_filter:
        return "The filter that was changed explains it: this is the static to compare with from now on."
    if cause.at_plate:
        return "Nothing at the burner: this is the input to compare with from now on."
    parts = f"the {cause.part}" if cause.part else PARTS[cause.side]
    return DO[cause.name].format(parts=parts, clock=CLOCKING[how].partition(",")[0])


def moved_text(moved: Sequence[MovedMark], table: Table) -> str:
    """`SW1-6 was left ON and found OFF: somebody moved it.`"""
    each = [
        f"{table.parts[m.part].name} was left {mark(table, m.part, m.was)} and found {mark(table, m.part, m.now)}"
        for m in moved
    ]
    return f"{listed(each)}: somebody moved {'it' if len(moved) == 1 else 'them'}."


def owed_by_season(unit: UnitRecord) -> dict[Season, list[str]]:
    """Each season's work in a word or two: a call to measure by its name alone; not the setting itself."""
    out: dict[Season, dict[str, None]] = {}
    for one in unit.owed:
        if one.work != "set":
            out.setdefault(one.season, {})[_short(one, unit)] = None
    return {season: list(words) for season, words in out.items()}


def _short(owed: OwedWork, unit: UnitRecord) -> str:
    words = {
        "measure": owed.title,
        "measure again": f"{owed.title} again",
        "put right": f"{owed.title} {_word(owed, unit)}",
        "not usable": f"{owed.title} again",
        "no verdict": f"{owed.title} unsure",
        "combustion after danger": "combustion",
        "first combustion": "combustion",
        "clock the meter": "clock",
    }
    return words.get(owed.work, owed.work)


def _word(owed: OwedWork, unit: UnitRecord) -> str:
    """The verdict's word on a stage that was measured, empty for one that wasn't."""
    at = (owed.call, owed.stage)
    return "".join(state_said(one.judged, one.visit.house)[0] for one in unit.stages if (one.call, one.stage) == at)


def owed_text(owed: OwedWork, unit: UnitRecord) -> str:
    """`cooling second: measure the airflow`, with why where it isn't the first time."""
    where = f"{owed.title}: " if owed.call else ""
    on = f" on {owed.since}" if owed.since else ""
    return f"{where}{OWED[owed.work].format(on=on, verdict=_word(owed, unit))}"
