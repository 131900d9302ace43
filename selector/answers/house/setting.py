"""What is to be set: the sentence on top, the cautions where the hand is, the board before and after; the same for
plan and found."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from fractions import Fraction

from selector.air.figure import written
from selector.answers.call import outcome_text
from selector.answers.remarks.remark import as_sentence, remark_text
from selector.answers.words.arithmetic import in_table_units
from selector.answers.words.caution import Cautions, cautions_for
from selector.answers.words.contradiction import contradiction_text, not_left_texts
from selector.answers.words.fold import Block, Raw, indented
from selector.answers.words.listing import listed
from selector.answers.words.move import board_rows, move_text, set_text
from selector.job.board.move import Move
from selector.job.board.solution import OfferedSetting, Solution
from selector.job.house.heating import fuel_of
from selector.job.targets.aims import StageAim
from selector.job.targets.house import House
from selector.judge.judge import refused_charts
from selector.solve.board.marks import mark, marks_of
from selector.solve.engine.engine import Engine
from selector.solve.search.declared import differences
from selector.table.model.roles import COMPRESSOR
from selector.table.model.table import Setting, Table
from selector.units import format_number

ROW = {"factory": "factory", "found": "found", "left": "was"}
"""What the row of a board before its moves is called."""


def set_short(table: Table, moves: Sequence[Move]) -> str:
    """`Set SW1-1, SW1-4 and SW1-6 ON`; `Set D1 4, J3 B`."""
    by_mark: dict[str, list[str]] = {}
    for move in moves:
        by_mark.setdefault(mark(table, move.part, move.to), []).append(table.parts[move.part].name)
    return "Set " + ", ".join(f"{listed(names)} {text}" for text, names in by_mark.items())


def cautions_of(house: House, before: Setting, moves: Sequence[Move]) -> Cautions:
    """The cautions for these moves, by what they change."""
    parts = {m.part for m in moves}
    roles = {name for name in house.table.calls if reads(house.engine, name, parts)}
    table = house.table
    return cautions_for(
        table,
        heat=any(house.roles[name] in ("heat", "heat pump + auxiliary") for name in roles),
        cooling=any(house.roles[name] in COMPRESSOR for name in roles),
        cut=any(m.to in table.parts[m.part].final and before[m.part] != m.to for m in moves),
    )


def reads(engine: Engine, name: str, parts: set[int]) -> bool:
    """True where the airflow of a call reads one of these parts."""
    call = engine.table.calls[name]
    return any(
        p in parts
        for stage in call.stages
        for i in engine.airflow(call, stage, engine.asked(call, stage).rate)
        for r in i.readings
        for p in r.parts
    )


def set_blocks(solution: Solution, choice: OfferedSetting, columns: int) -> list[Block]:
    """`Set SW1-1 and SW1-4: OFF -> ON` and the board below it."""
    table = solution.house.table
    before = solution.before
    moves = [m.part for m in choice.moves if m.was is not None]
    unread = [m for m in choice.moves if m.was is None]
    drawn = board_rows(table, before, choice.setting, first=ROW[solution.start], second="set", columns=columns - 2)
    said = [set_text(table, before, choice.setting, moves)] if moves else []
    said += [move_text(table, m) for m in unread]
    return [*said, *indented(matching_lines(solution, choice)), Raw(lines=tuple(indented(drawn)))]


def matching_lines(solution: Solution, choice: OfferedSetting) -> list[str]:
    """`P1: set to match the equipment.`: selectors that tell the board what is installed."""
    table = solution.house.table
    told = {part.index for part in solution.house.engine.declarers.values()}
    names = [table.parts[m.part].name for m in choice.moves if m.part in told]
    return [f"{listed(names)}: set to match the equipment."] if names else []


def leaving(table: Table, choice: OfferedSetting) -> str:
    """`leaving SW1=00011000`: the selectors that move, as they would be typed."""
    moved = {table.parts[m.part].selector for m in choice.moves}
    parts = [p for name, s in table.selectors.items() if name in moved for p in s.parts]
    return f"leaving {marks_of(choice.setting, table, parts)}"


def off_targets(solution: Solution, choice: OfferedSetting, least: Fraction) -> list[tuple[str, Fraction]]:
    """Each stage aimed at that misses its target by more than `least`, with how much of it: over 0, below under 0."""
    out = []
    for one in choice.stages:
        aim, got = one.aim.aim, one.charted
        if (one.aim.call, one.aim.stage) not in solution.targets or aim.charted is None or got is None:
            continue
        low, high = (aim.low_cfm or aim.charted.value, aim.high_cfm or aim.charted.value)
        end = low if got.value < low else high if got.value > high else got.value
        if end and abs(got.value - end) / end > least:
            out.append((one.title, (got.value - end) / end))
    return out


MAY_NOT_STAY = "No airflow asks for a move, but the board may not stay so: put that right by the manual first."


def first_of_board(house: House, setting: Setting | None, told: Collection[str] = ()) -> list[str]:
    """What has to be known before a figure is believed: a board that believes another model, other equipment than is
    installed (not of the selectors that a danger has `told`), selectors left elsewhere than the page says, selectors
    that may be dead."""
    out = [as_sentence(remark_text(note, house.table)) for note in house.known.notes]
    differs = () if setting is None else (d for d in differences(house.engine, setting) if d.selector not in told)
    out += [f"{contradiction_text(house.table, d)}." for d in differs]
    out += [f"{text}." for text in (not_left_texts(house.table, setting) if setting is not None else ())]
    refused = refused_charts(house.engine, setting) if setting is not None else ()
    out += [as_sentence(f"{name}: {outcome_text(house.table, no)}") for name, no in refused]
    in_force = house.job.in_force
    if in_force is not None and in_force.text == "thermostat":
        out.append("The thermostat is in force: the selectors on the board may be dead. Set it there.")
    return out


def fires_to_right(house: House) -> Iterator[tuple[StageAim, Fraction]]:
    """The highest stage of each call whose fire has to be put right, and what it was read to give as a share of its
    plate's, in %."""
    for call in house.table.calls.values():
        for stage in reversed(call.stages):
            aim = house.aim(call.name, stage)
            if aim.as_read is not None and aim.heat is not None:
                yield aim, 100 * aim.as_read.value / aim.heat.value
                break


def fire_lines(house: House, told: Collection[str] = (), *, board: bool = True) -> Iterator[str]:
    """What the fire needs before a setting means anything, where no danger has `told` it: `Put the input right first
    (licensed work): heating gives 44,353 Btu/h, 58 % of the 76,000 Btu/h by the plate.`, and what the `board` is to be
    set for."""
    for aim, percent in fires_to_right(house) if "input over" not in told else ():
        assert aim.as_read is not None
        assert aim.heat is not None
        whose = "page" if fuel_of(house.job, house.table, house.table.calls[aim.call]) == "oil" else "plate"
        set_for = f" Set the board for the {whose}'s." if board else ""
        read, full = (written(in_table_units(one, house.table)) for one in (aim.as_read, aim.heat))
        yield (
            f"Put the input right first (licensed work): {aim.title} gives {read}, {format_number(percent, 0)} % of the"
            f" {full} by the {whose}.{set_for}"
        )


def open_names(house: House, setting: Setting) -> dict[str, list[str]]:
    """Parts without a position by the word for them: `unreadable` where they were looked at, else `not given`."""
    out: dict[str, list[str]] = {}
    for part in house.table.parts:
        if setting[part.index] is None and not part.unused:
            out.setdefault("unreadable" if part.index in house.known.unread else "not given", []).append(part.name)
    return out


def open_lines(house: House, setting: Setting) -> list[str]:
    """`unreadable: SW1-5`, `not given: SW1-7`."""
    return [f"{word}: {', '.join(names)}" for word, names in open_names(house, setting).items()]
