"""The sheet for the one who helps at the unit: one act a step, in the order of the work, nothing to decide but when to
stop and call. Common practice, no source."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction

from selector.air.measure import ELECTRIC
from selector.answers.danger import data as danger_data
from selector.answers.danger import first_lines
from selector.answers.house.measuring import steady_minutes
from selector.answers.sheets.sheet import BlankLine, Bold, PersonSheet, SheetStep, say, unit_text
from selector.answers.words.airflow import airflow_text, in_units
from selector.answers.words.arithmetic import difference, temperature, worked_difference
from selector.answers.words.caution import SECOND_SUPPLY, TAPS
from selector.answers.words.figure import text_of
from selector.answers.words.listing import in_words, listed
from selector.answers.words.move import noun_of
from selector.draw.parts.draw import describe
from selector.draw.plots.strip import RiseBar, Strips
from selector.job.board.expected import Expected, expected, judged, rises_of
from selector.job.board.solution import Solution
from selector.job.danger.hazard import Hazard, no_moves
from selector.job.house.heating import fuel_of
from selector.job.house.plate import outlet_limit, rise_as_set
from selector.job.readings.static import chart_end, plate_static
from selector.job.targets.house import House
from selector.problems import Problem, Refused
from selector.solve.board.marks import mark
from selector.table.model.picture import Picture
from selector.table.model.roles import has_burner
from selector.table.model.table import Setting
from selector.units import convert, format_number, rise

GAS = "Gas smell or CO alarm: everyone out. Call from outside."
SIGNED = (("name", ""), ("date", ""), ("call", ""))
CALL = "stop and call"
MARGIN_F = 5
"""How far inside both ends of the plate a rise is aimed at (common practice, no source)."""
DEAD, SECOND = "A qualified person checks that it is dead.", "There may be a second disconnect."
VOLTS = "Volts and amps of every heater circuit: a qualified person."
MAY_READ = ("The board may read its selectors only now.",)


def helper_sheet(solution: Solution, dangers: Sequence[Hazard]) -> PersonSheet:
    """The sheet for the setting that is offered, or to measure the one that is left. Raises Refused where there is no
    setting to hand to anybody."""
    house, table = solution.house, solution.house.table
    made = {
        "reader": "helper",
        "unit": unit_text(house),
        "place": house.job.place.text if house.job.place is not None else "",
        "signed": SIGNED,
        "dangers": danger_data(dangers, table),
    }
    if no_moves(dangers):
        lines = [line.strip() for line in first_lines(dangers, table)]
        stop = SheetStep(do=say(Bold("Touch no switch."), " Call before you do anything else."))
        return PersonSheet(title="Stop", first=tuple(lines), steps=(stop,), **made)  # type: ignore[arg-type]
    target, before = _target(solution)
    moved = [i for i, (a, b) in enumerate(zip(before, target, strict=True)) if b is not None and a != b]
    stages = expected(house, house.engine, judged(house, house.engine, target))
    title = f"Set the blower: {in_words(len(moved), noun_of(table, moved))}" if moved else "Measure the blower"
    steps = (*_board(house, before, target, moved), *_measure(house, stages, target))
    foot = ("Airflow only. Local code, the maker and the one who sent you come first.",)
    return PersonSheet(title=title, first=(GAS,), steps=steps, foot=foot, **made)  # type: ignore[arg-type]


def _target(solution: Solution) -> tuple[Setting, Setting]:
    """The setting that is to stand, and the one that stands: what is left needs no move."""
    left = solution.house.known.left
    if left is not None:
        return left, left
    if solution.best is None:
        message = "no setting fits, so there is none to hand to a helper"
        help = "selector plan says what stands against it"
        file = solution.house.job.file
        raise Refused([Problem(file=file, line=0, column=0, code="no-setting", message=message, help=help)])
    return solution.best.setting, solution.before


# -- the board


def _board(house: House, before: Setting, target: Setting, moved: Sequence[int]) -> Iterator[SheetStep]:
    """The board with the power off; entries at the thermostat once it is on again."""
    table = house.table
    pictures = {p.name: p for p in describe(table, target, before)}
    yield SheetStep(
        do=say("Take a picture of the board, panel off."),
        more=(f"It should show {_read_back(house, before)}.",),
        stop=(f"Not so: {CALL}.",),
    )
    gives = {*(s.gives for s in table.selectors.values()), *(g for c in table.charts.values() for g in c.gives)}
    electric = "heater power" in gives
    yield SheetStep(
        do=say(Bold("Power off at the disconnect."), " Lock it, tag it."),
        more=(DEAD, SECOND_SUPPLY if electric else SECOND),
    )
    menus = [p for p in moved if _is_menu(house, p)]
    on_board = [p for p in moved if p not in menus]
    if on_board:
        yield SheetStep(
            do=say("Wait ", Bold("5 minutes"), ", or as the manual says. Touch bare metal."),
            more=("The motor stores charge. Unplug nothing.",),
        )
        yield from _moves(house, pictures, on_board, target)
        yield SheetStep(do=say("Read it back aloud: ", Bold(_read_back(house, target)), "."))
    yield SheetStep(
        do=say("Filter in. Registers and zones open. Panels on. ", Bold("Power on.")),
        more=_reads(house, on_board),
    )
    yield from _moves(house, pictures, menus, target)


def _moves(house: House, pictures: Mapping[str, Picture], moved: Sequence[int], target: Setting) -> Iterator[SheetStep]:
    """A step for each selector that moves."""
    for name, selector in house.table.selectors.items():
        parts = [p for p in selector.parts if p in moved]
        if parts:
            yield _move(house, pictures[name], parts, target)


def _is_menu(house: House, part: int) -> bool:
    return house.table.selectors[house.table.parts[part].selector].kind == "menu"


def _reads(house: House, moved: Sequence[int]) -> tuple[str, ...]:
    """What the board does with its selectors now; nothing of leads, which no board reads."""
    kinds = {house.table.selectors[house.table.parts[i].selector].kind for i in moved}
    if house.table.unit.reads == "always" or kinds == {"taps"}:
        return ()
    return ("The board reads its selectors only now.",) if house.table.unit.reads else MAY_READ


def _move(house: House, picture: Picture, parts: Sequence[int], target: Setting) -> SheetStep:
    """`Find SW1, eight switches. Move 6 to OFF. Leave the others.`"""
    table = house.table
    selector = table.selectors[table.parts[parts[0]].selector]
    rest = " Leave the others." if len(parts) < len(selector.parts) else ""
    to = [mark(table, part, target[part]) for part in parts]
    labels = [table.parts[part].name[len(selector.name) + 1 :] for part in parts]
    if selector.kind == "switches":
        by_mark: dict[str, list[str]] = {}
        for label, text in zip(labels, to, strict=True):
            by_mark.setdefault(text, []).append(label)
        said = listed(f"{listed(names)} to {text}" for text, names in by_mark.items())
        do = say(
            "Find ", Bold(selector.name), f", {in_words(len(selector.parts), 'switch')}. Move ", Bold(said), f".{rest}"
        )
    elif selector.kind == "taps":
        said = listed(f"{label} to {_tap(text)}" for label, text in zip(labels, to, strict=True))
        do = say("Find ", Bold(selector.name), ", the leads of the motor. Move ", Bold(f"lead {said}"), f".{rest}")
    else:
        do = say("Find ", Bold(selector.name), f"{_WHAT[selector.kind]} ", Bold(to[0]), ".")
    return SheetStep(do=do, more=TAPS if selector.kind == "taps" else (), pictures=(picture,))


_WHAT = {
    "jumper": ", a jumper. Move it to",
    "dial": ", a dial. Turn it to",
    "plug": ", a plug. Plug it into",
    "link": ", a link. It is to be",
    "menu": " at the thermostat. Set it to",
}


def _tap(text: str) -> str:
    return "parked, capped" if text == "parked" else f"tap {text}"


def _read_back(house: House, setting: Setting) -> str:
    """`SW1: 1 ON, 2 OFF, 3 OFF; J2 at b` of the board, switches that are not used left out."""
    out = []
    table = house.table
    for name, selector in table.selectors.items():
        parts = [table.parts[i] for i in selector.parts if setting[i] is not None and not table.parts[i].unused]
        if not parts or selector.kind == "menu":
            continue
        if len(selector.parts) == 1:
            out.append(f"{name} at {mark(table, parts[0].index, setting[parts[0].index])}")
            continue
        on = " on " if selector.kind == "taps" else " "
        each = [f"{p.name[len(name) + 1 :]}{on}{mark(table, p.index, setting[p.index])}" for p in parts]
        out.append(f"{name if len(table.selectors) > 1 else ''} {', '.join(each)}".strip())
    return "; ".join(out)


# -- measuring


def _measure(house: House, stages: Sequence[Expected], target: Setting) -> Iterator[SheetStep]:
    running = [one for one in stages if one.charted is not None and one.charted.value > 0]
    heats = [one for one in running if one.aim.role == "heat"]
    coolings = [one for one in running if one.aim.role in ("cooling", "heat pump")]
    for one in _last_of_each(heats):
        yield _heat(house, one, target)
        yield _static(house, one, target)
    for one in _last_of_each(coolings):
        yield _cooling(house, one)
        yield _static(house, one, target)
    if heats and has_burner(house.table):
        yield SheetStep(
            do=say("Combustion, draft, flue CO: ", Bold("a qualified person with an analyzer"), "."),
            more=("Doors as in use, then worst case: exhaust fans and dryer on.",),
            blanks=(BlankLine(name="flue CO", unit="ppm"), BlankLine(name="draft", unit="")),
        )


def _last_of_each(stages: Sequence[Expected]) -> list[Expected]:
    """The last stage of each call."""
    return list({one.aim.call: one for one in stages}.values())


def _heat(house: House, one: Expected, target: Setting) -> SheetStep:
    table = house.table
    fuel = fuel_of(house.job, table, table.calls[one.aim.call])
    minutes = steady_minutes(one, "electric" if fuel == "" else "gas")
    low, high = rise_as_set(house.job, house.engine, table.calls[one.aim.call], one.aim.stage, target)
    top, foot = (None if end is None else difference(end.value, table) for end in (high, low))
    outlet = outlet_limit(house.job, house.engine.table, house.engine.plate_model(), one.aim.stage)
    over = [f"rise over {top}" if top else "", f"supply over {temperature(outlet.value, table)}" if outlet else ""]
    passed = listed((text for text in over if text), "or")
    stop = [f"{passed[:1].upper()}{passed[1:]} at any time: heat off, {CALL}."] if passed else []
    most = None if top or fuel != "" else _heater_rise(house, one)
    stop += [f"Rise over {most} at any time, too little air: heater breakers off, {CALL}."] if most else []
    stop += [f"Rise under {foot} after {minutes} minutes: {CALL}."] if foot else []
    rises = rises_of(one, table)
    expects = listed(dict.fromkeys(worked_difference(value, table) for value in rises), "or")
    power = () if fuel else (BlankLine(name="volts", unit="V"), BlankLine(name="amps", unit="A"))
    unit = f"°{table.units.temperature}"
    return SheetStep(
        do=say(
            f"Call {_named(house, one)}, stage locked. Read both temperatures ",
            Bold("every minute"),
            ", for ",
            Bold(f"{minutes} minutes"),
            ".",
        ),
        more=(
            f"Rise is supply less return: about {expects}." if expects else "Rise is supply less return.",
            *((VOLTS,) if power else ()),
        ),
        stop=tuple(stop),
        blanks=(
            BlankLine(name="return", unit=unit),
            BlankLine(name="supply", unit=unit),
            BlankLine(name="rise", unit=unit),
            *power,
        ),
        bars=_bar(house, low.value, high.value, rises) if low is not None and high is not None else None,
    )


def _heater_rise(house: House, one: Expected) -> str:
    """The rise of the heater on its least air, and what a reading may be off: over it there is too little air."""
    heat, least = one.answer.heat, one.aim.heater_floor
    if not isinstance(heat, Fraction) or least is None:
        return ""
    air = convert(least.figure.value, "cfm", house.table.units.airflow) * (1 - ELECTRIC.band_percent / 100)
    over = house.engine.rise(heat, air)
    return "" if over is None else f"{format_number(over, 0)} {house.table.units.temperature}"


def _bar(house: House, low: Fraction, high: Fraction, rises: Sequence[Fraction]) -> Strips:
    """The plate's range, 5 F inside both ends, and what is expected where that is one figure."""
    unit = house.table.units.temperature
    ends = (float(rise(low, "F", unit)), float(rise(high, "F", unit)))
    at = float(rise(rises[0], "F", unit)) if len(set(rises)) == 1 else None
    said = f"about {difference(rises[0], house.table).replace(' ', ' °')}" if at is not None else ""
    margin = float(rise(MARGIN_F, "F", unit))
    return Strips(unit=unit, rows=(), bars=(RiseBar(name="rise", plate=ends, margin=margin, now=at, said=("", said)),))


def _cooling(house: House, one: Expected) -> SheetStep:
    table = house.table
    splits = [worked_difference(read.split.value, table) for read in one.read_as if read.split is not None]
    apart = f" Return less supply: about {listed(dict.fromkeys(splits), 'or')}." if splits else ""
    airflow = one.answer.airflow
    about = f"Hood: about {airflow_text(table, airflow)}." if isinstance(airflow, Fraction) else ""
    unit = f"°{table.units.temperature}"
    word = "Not when it's colder outside than the manual allows." if one.aim.role == "cooling" else ""
    return SheetStep(
        do=say(f"Call {_named(house, one)}, wait ", Bold(f"{steady_minutes(one, 'cooling')} minutes"), ", then read."),
        more=tuple(text for text in (f"{about}{apart}".strip(), word) if text),
        blanks=(
            BlankLine(name="hood", unit=table.units.airflow),
            BlankLine(name="return", unit=unit),
            BlankLine(name="supply", unit=unit),
        ),
    )


def _static(house: House, one: Expected, target: Setting) -> SheetStep:
    """The static of the call that runs, at ports that are there."""
    most, unit = _most_static(house, one, target), house.table.units.pressure
    where = "after the filter, before the coil" if has_burner(house.table) else "where the plate counts it"
    return SheetStep(
        do=say(f"{one.title[:1].upper()}{one.title[1:]} still running: read the static."),
        more=(f"At the ports that are there, {where}. Drill no holes.",),
        stop=(f"Return and supply added, over {most}: {CALL}.",) if most else (),
        blanks=(BlankLine(name="return side", unit=unit), BlankLine(name="supply side", unit=unit)),
    )


def _most_static(house: House, one: Expected, target: Setting) -> str:
    """The greatest static of plate and charts, in the unit that is read; the plate's as it was typed."""
    table, typed = house.table, house.job.site.plate_static
    plate = plate_static(house.job, house.engine)
    chart = chart_end(table.calls[one.aim.call], one.aim.stage, house.engine, target)
    end = min((end for end in (plate, chart) if end is not None), key=lambda end: end.value, default=None)
    unit = table.units.pressure
    if end is None:
        return ""
    if end is plate and typed is not None:
        turned = in_units(table).worked(convert(typed.value, typed.unit, unit), "pressure")
        return typed.text if typed.text.endswith(unit) else text_of(turned)
    value = format_number(convert(end.value, end.unit, unit), 2)
    return f"{value.rstrip('0').rstrip('.') if '.' in value else value} {unit}"


def _named(house: House, one: Expected) -> str:
    """`heating second (W1 W2)`."""
    call = house.table.calls[one.aim.call]
    terminals = " ".join(call.terminals.get(one.aim.stage, call.terminals.get("", ())))
    return f"{one.title} ({terminals})" if terminals else one.title
