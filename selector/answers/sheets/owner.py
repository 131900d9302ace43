"""The page for the owner of the house: what was wrong, what was done, before and after, what remains. Plain words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from selector.answers.danger import data as danger_data
from selector.answers.danger import sentence
from selector.answers.house.allowed import allowed_text
from selector.answers.house.setting import fires_to_right
from selector.answers.house.strips import strips_of
from selector.answers.sheets.sheet import PersonSheet, SheetSection, unit_text
from selector.answers.verify.verdict import verdict_of
from selector.answers.visits.words import SEASONS
from selector.answers.words.airflow import airflow_number, airflow_text
from selector.answers.words.listing import in_words, listed
from selector.answers.words.move import moved_parts, noun_of
from selector.draw.plots.strip import Strips
from selector.job.as_found.as_found import as_found
from selector.job.board.allowed import allowed_of
from selector.job.board.expected import Expected
from selector.job.house.lines_to_add import marks_to_add
from selector.job.targets.aims import AllowedRange
from selector.job.targets.house import House
from selector.job.visits.causes import Cause, Side
from selector.job.visits.changes import changes_at
from selector.job.visits.measured_at import VisitRecord
from selector.job.visits.owed import Season, UnitRecord, Work, needed
from selector.problems import Problem, Refused
from selector.solve.board.marks import mark
from selector.table.model.table import No, Setting
from selector.units import convert, format_number
from selector.value import replace

GAS = "Gas smell or CO alarm: everyone out of the house. Call the gas utility or the fire service from outside."
WAIT = "Leave it off until it is put right."
REMAINS: dict[Work, str] = {
    "measure": "{call}: measure the air it moves",
    "measure again": "{call}: measure again; it was last measured before the setting was changed",
    "not usable": "{call}: measure again; the last reading could not be used",
    "no verdict": "{call}: measured, but not sure yet; one more reading is needed",
    "put right": "{call}: moves {off} air; find out why",
    "clock the meter": "Time the gas meter, to know how much the burner really takes",
    "static": "{call}: measure the pressure in the ducts",
    "charge": "Check the refrigerant: the cooling airflow was changed",
    "combustion": "Check the flame and the flue gas: the heating airflow was changed",
    "first combustion": "Check the flame and the flue gas",
    "combustion after danger": "Check the flame and the flue gas: a danger was found and put right",
    "set": "Set the board",
}
PARTS: dict[Side, str] = {
    "return": "filter or return duct",
    "supply": "coil, registers or supply duct",
    "": "filter, coil or registers",
}
CAUSES: dict[str, str] = {
    "more restriction": "{parts} let less air through",
    "restriction or more air": "{parts} let less air through, or more air moves",
    "more air": "more air moves",
    "less restriction": "the air has an easier way",
    "less air": "less air moves",
    "opened or less air": "the air has an easier way, or less of it moves",
    "works harder": "the blower works harder",
    "works less": "the blower takes less power",
    "input up": "the burner takes more gas",
    "input down": "the burner takes less gas",
    "less air or more heat": "the air gets warmer",
    "more air or less heat": "the air gets less warm",
}
"""What a change means to somebody who lives there, before `than on ..`."""
ORDER: tuple[Season, ...] = ("any", "cold", "warm")
YOURS = (
    "Change the filter when it is gray; write the date on it.",
    "Keep registers and return grilles open and clear.",
    "Leave the switches on the board as they are; a technician sets them.",
)


def owner_sheet(unit: UnitRecord) -> PersonSheet:
    """The page after the last visit. Raises Refused where the job doesn't say how the board is left."""
    visit, house = unit.visits[-1], unit.house
    if visit.left is None:
        help = marks_to_add("as left", house.table, house.known.facts.model)
        message = "the job doesn't say how the board is left"
        raise Refused([Problem(file=house.job.file, line=0, column=0, code="no-marks", message=message, help=help)])
    first = [sentence(one, house.table) for one in unit.now.dangers]
    off = any(one.row.level == "DANGER" for one in unit.now.dangers)
    rows = tuple(_rows(unit, visit))
    table = SheetSection(
        title="Before and after",
        lines=(f"Air moved, in {_spoken_unit(house)}.",),
        heads=("", "before", "now set for", "measured", "should be"),
        rows=tuple((*row[:3], row[3] or "not yet", row[4]) for row in rows),
        strips=_strips(visit, {row[0] for row in rows}),
    )
    remains = tuple(_remains(unit))
    sections = (
        SheetSection(title="What was wrong", lines=tuple(_wrong(unit, visit)) or ("Nothing was found wrong.",)),
        SheetSection(title="What was done", lines=tuple(_done(visit)) or ("Nothing was changed.",)),
        table,
        SheetSection(title="What remains", lines=remains or ("Nothing.",), boxes=bool(remains)),
        SheetSection(title="What you can do", lines=YOURS),
    )
    job = visit.job
    return PersonSheet(
        reader="owner",
        title="Your heating and cooling",
        unit=unit_text(house),
        place=house.job.place.text if house.job.place is not None else "",
        first=(*first, *([WAIT] if off else [])),
        sections=sections,
        foot=(GAS,),
        signed=(("date", visit.date), ("by", job.by.text if job.by is not None else ""), ("phone", "")),
        dangers=danger_data(unit.now.dangers, house.table),
    )


def spoken(title: str) -> str:
    """`Cooling, second stage` of `cooling second`; a call without stages as it is."""
    call, _, stage = title.rpartition(" ")
    if not call or stage not in ("first", "second", "third", "fourth", "fifth", "sixth"):
        return title[:1].upper() + title[1:]
    return f"{call[:1].upper()}{call[1:]}, {stage} stage"


def _spoken_unit(house: House) -> str:
    unit = house.table.units.airflow
    return {"cfm": "cubic feet a minute (cfm)", "L/s": "liters a second (L/s)"}.get(unit, unit)


# -- what was wrong


def _wrong(unit: UnitRecord, visit: VisitRecord) -> Iterator[str]:
    house, table = visit.house, visit.house.table
    if house.job.complaint is not None:
        yield f"You told us: {house.job.complaint.text}."
    yield from (f"Seen: {word.text}." for word in visit.job.seen)
    if unit.cleared:
        yield f"Found before and put right: {listed(unit.cleared)}."
    still = {sentence(one, table) for one in unit.now.dangers}
    for one in visit.verdicts.dangers:
        if one.call and not one.seen and (said := sentence(one, table)) not in still:
            yield said
    for aim, percent in fires_to_right(house):
        yield (
            f"{spoken(aim.title)}: the burner gives {format_number(percent, 0)} % of the heat on its plate. That is put"
            " right first, by licensed people."
        )
    changes = changes_at(unit.visits)
    if changes.moved:
        names = listed(table.parts[m.part].name for m in changes.moved)
        yield f"Since our last visit somebody had moved {names}."
    for state in changes.states:
        if (state.call, state.stage) in visit.set_for:
            for cause in (one for one in state.causes if not one.new_filter and not one.at_plate):
                yield f"{spoken(state.title)}: {_cause(cause)} than {_when(state.changes[0].since)}."
    if visit.found is not None and visit.found != visit.left:
        yield from (_outside(house, one) for one in _as_found(visit) if one.stands.stands == "outside")


def _cause(cause: Cause) -> str:
    return CAUSES[cause.name].format(parts=cause.part or PARTS[cause.side])


def _when(date: str) -> str:
    return f"on {date}" if date else "when it was set"


def _as_found(visit: VisitRecord) -> Sequence[Expected]:
    """How every stage stood as found, by the chart alone: readings were taken under the marks that are left."""
    from selector.job.targets.house import house_of

    job = replace(visit.job, left=(), measurements=(), complaint=None)
    return as_found(house_of(job, visit.house.table)).solution.now


def _outside(house: House, one: Expected) -> str:
    """`Cooling, second stage: too much air, 1,611 cfm; at most 1,350 is right.`"""
    got = one.answer.airflow
    allowed = allowed_of(house, one)
    if isinstance(got, No):
        return ""
    much = allowed.high is not None and got > allowed.high.airflow
    end = allowed.high if much else allowed.low
    if end is None:
        return f"{spoken(one.title)}: outside what the maker allows."
    side, word = ("much", "at most") if much else ("little", "at least")
    right = airflow_number(house.table, end.airflow)
    return f"{spoken(one.title)}: too {side} air, {airflow_text(house.table, got)}; {word} {right} is right."


# -- what was done


def _done(visit: VisitRecord) -> Iterator[str]:
    table, found, left = visit.house.table, visit.found, visit.left
    if found is not None and left is not None:
        parts = moved_parts(found, left)
        if parts:
            each = listed(f"{table.parts[i].name} to {mark(table, i, left[i])}" for i in parts)
            noun = in_words(len(parts), noun_of(table, parts))
            yield f"{noun[:1].upper()}{noun[1:]} on the control board moved, with the power off: {each}."
    yield from (f"{word.text[:1].upper()}{word.text[1:]}." for word in visit.job.done)


# -- before and after


def _rows(record: UnitRecord, visit: VisitRecord) -> Iterator[tuple[str, ...]]:
    house = visit.house
    before = _stages(house, visit.found) if visit.found is not None else {}
    now = _stages(house, visit.left)
    wanted = set(needed(house))
    read = {(one.call, one.stage): one for one in record.stages}
    for at, one in now.items():
        if at not in wanted and at not in read:
            continue
        measured = ""
        if at in read:
            moved = read[at].judged.verdict.moved[0]
            unit = house.table.units.airflow
            measured = airflow_number(house.table, convert(moved.airflow.value, "cfm", unit))
        was = _figure(house, before.get(at))
        yield spoken(one.title), was, _figure(house, one), measured, _right(house, allowed_of(house, one))


def _strips(visit: VisitRecord, titles: set[str]) -> Strips | None:
    """The same drawn: from before to now, on what is allowed; None where nothing was moved."""
    if visit.found is None or visit.found == visit.left:
        return None
    now, before = (tuple(_stages(visit.house, at).values()) for at in (visit.left, visit.found))
    drawn = strips_of(visit.house, now, before, ("before", "now"))
    rows = tuple(replace(row, name=spoken(row.name), target=None) for row in drawn.rows if spoken(row.name) in titles)
    return replace(drawn, rows=rows, bars=())


def _stages(house: House, setting: Setting | None) -> dict[tuple[str, str], Expected]:
    from selector.job.board.expected import expected, judged

    if setting is None:
        return {}
    stages = expected(house, house.search, judged(house, house.search, setting))
    return {(one.aim.call, one.aim.stage): one for one in stages}


def _figure(house: House, one: Expected | None) -> str:
    if one is None:
        return ""
    got = one.answer.airflow
    return airflow_number(house.table, got) if isinstance(got, Fraction) else got.words


def _right(house: House, allowed: AllowedRange) -> str:
    """`900 to 1,350`; where its limits conflict no airflow is right."""
    if allowed.range.empty:
        return "not possible"
    text = allowed_text(house, allowed)
    return "" if text == "no limit" else text.removesuffix(f" {house.table.units.airflow}")


# -- what remains


def _remains(unit: UnitRecord) -> Iterator[str]:
    off = {
        (one.call, one.stage): {"LOW": "too little", "HIGH": "too much"}.get(
            verdict_of(one.judged.verdict, one.visit.house)[0], "an unsure amount of"
        )
        for one in unit.stages
    }
    for season in ORDER:
        for one in unit.owed:
            if one.season == season:
                text = REMAINS[one.work].format(call=spoken(one.title), off=off.get((one.call, one.stage), ""))
                yield f"{text} ({SEASONS[season]})" if season != "any" else text
