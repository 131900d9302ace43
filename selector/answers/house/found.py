"""What `found` says of a board as found: how it stands, the fewest moves that put it right, what to read first."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from selector.answers.call import broken_lines
from selector.answers.house.allowed import allowed_text, limits_text
from selector.answers.house.assumed import (
    assumed_lines,
    not_checked_lines,
)
from selector.answers.house.complaints import first_lines, limits_on, looks, moved_lines, quoted, sentences, turn_text
from selector.answers.house.house_answer import HouseAnswer, house_answer
from selector.answers.house.notes import (
    FIT_HEADING,
    coil_lines,
    fit_lines,
    page_notes,
    part_lines,
    static_lines,
    water_line,
)
from selector.answers.house.plan import closest_lines, nothing_text
from selector.answers.house.records import (
    ChoiceData,
    HouseStageData,
    choice_data,
    moves_text,
    stage_data,
    why_of,
)
from selector.answers.house.setting import (
    MAY_NOT_STAY,
    cautions_of,
    fire_lines,
    fires_to_right,
    first_of_board,
    leaving,
    matching_lines,
    open_names,
)
from selector.answers.house.stages import airflow_of, apart_text, rise_of, short_of, slow_start
from selector.answers.house.strips import strips_of
from selector.answers.house.why import solution_figures
from selector.answers.parts import (
    SettingData,
    setting_data,
)
from selector.answers.remarks.remark import remark_text
from selector.answers.words.airflow import airflow_number, no_text, possible_text
from selector.answers.words.caution import PANELS
from selector.answers.words.fold import Block, Raw, Rows, folded, indented
from selector.answers.words.listing import counted, ended, listed
from selector.answers.words.move import board_rows, noun_of
from selector.answers.words.note import note_text
from selector.answers.words.settle import settled_text
from selector.draw.plots.strip import strips_text
from selector.job.as_found.record import AsFound, Humidistat
from selector.job.board.allowed import allowed_of
from selector.job.board.expected import Expected, expected, judged
from selector.job.board.solution import OfferedSetting
from selector.job.file.report import Report
from selector.job.targets.house import House
from selector.judge.judgement import Stands
from selector.judge.marks_to_read import MarkToRead, OpenMarks
from selector.solve.board.marks import mark, marks_of
from selector.table.model.table import No, Table
from selector.units import convert
from selector.value import Published, asdict, data_of, replace

MOST_FIGURES = 6
"""So many possible airflows are listed; of more, the least and the greatest."""


class StageStandsData(HouseStageData, frozen=True, kw_only=True):
    """One stage as found: `stands` inside or outside its limits, not_judged, stopped (it has to run here and doesn't),
    or the code of its no; `needed`: it has to run here."""

    stands: Stands
    needed: bool
    off: str


class ReadFirstData(Published, frozen=True, kw_only=True):
    """A mark that can't be read: for every position whether the board is then right (null: still open); `outside`: what
    is then outside, in words."""

    selector: str
    settles: bool
    positions: dict[str, bool | None]
    outside: dict[str, str]


class UnreadData(Published, frozen=True, kw_only=True):
    """What unreadable marks leave open. `right`: null where it depends on them; `idle`: those that don't matter."""

    right: bool | None
    wrong_at_least: int
    wrong_at_most: int
    read_first: tuple[ReadFirstData, ...]
    idle: tuple[str, ...]


class FoundAnswer(HouseAnswer, frozen=True, kw_only=True):
    """Answer of selector found. `right`: null where it depends on marks that can't be read or nothing could be judged.

    `fewest`: the fewest moves that put the board right, null where nothing has to move or none does; `also`: others
    with as few. `offered` is false where moves would do nothing.
    """

    found: SettingData
    right: bool | None
    stages: tuple[StageStandsData, ...]
    unread: UnreadData | None
    settled: tuple[str, ...]
    offered: bool
    fewest: ChoiceData | None
    also: tuple[ChoiceData, ...]
    complaint_moves: tuple[str, ...]


def found_report(
    answer: AsFound, *, columns: int = 80, told: frozenset[str] = frozenset(), why: bool = False
) -> Report:
    """The answer for people and for JSON. `told`: selectors that a danger has spoken of."""
    named = tuple(solution_figures(answer.solution))
    return Report(
        lines=tuple(folded(found_blocks(answer, columns=columns, told=told), columns)),
        data=data_of(replace(found_answer(answer), why=why_of(named) if why else None)),
        exit_code=answer.exit_code,
        figures=tuple(dict.fromkeys(figure for _, figure in named)),
        named=named,
    )


def found_answer(answer: AsFound) -> FoundAnswer:
    """The published record."""
    found = answer.solution
    house, shown = found.house, moving(answer)
    return FoundAnswer(
        **house_answer(
            found,
            first=_first(answer),
            checked=found.now,
            shown=(*found.now, *(() if shown is None else shown.stages)),
            closest=found.nearest if answer.right is False else None,
            offered=shown,
            water=answer.water,
            fits=answer.fits,
        ),
        found=setting_data(house.known.found or found.before, house.table),
        right=answer.right,
        stages=tuple(_stands_data(house, s) for s in found.now),
        unread=None if answer.unread is None else _unread_data(answer, answer.unread),
        settled=tuple(settled_text(one, house.table) for one in found.settled),
        offered=answer.offered,
        fewest=None if shown is None else choice_data(house, shown),
        also=() if shown is None else tuple(choice_data(house, one) for one in as_few(answer, shown)),
        complaint_moves=tuple(turn_text(t, house.table) for t in answer.turns),
    )


def _stands_data(house: House, one: Expected) -> StageStandsData:
    return StageStandsData(
        **asdict(stage_data(house, one)),
        stands=one.stands.stands,
        needed=one.stands.needed,
        off="" if one.stands.stands != "outside" else apart_text(house, one),
    )


def _unread_data(answer: AsFound, unread: OpenMarks) -> UnreadData:
    table = answer.solution.house.table
    return UnreadData(
        right=unread.wrong.verdict,
        wrong_at_least=unread.wrong.least,
        wrong_at_most=unread.wrong.most,
        read_first=tuple(
            ReadFirstData(
                selector=table.parts[look.part].name,
                settles=look.decides,
                positions={
                    mark(table, look.part, at): wrong.verdict
                    for at, wrong in zip(look.positions, look.wrong, strict=True)
                },
                outside={
                    mark(table, look.part, at): detail
                    for at, wrong in zip(look.positions, look.wrong, strict=True)
                    if n == 0 and wrong.verdict is False and (detail := _detail(answer, look, at))
                },
            )
            for n, look in enumerate(unread.looks)
        ),
        idle=tuple(table.parts[i].name for i in unread.idle),
    )


def moving(answer: AsFound) -> OfferedSetting | None:
    """The moves that are offered: none where the board is right, depends on a mark, or a control is in force."""
    best = answer.solution.best
    return best if answer.right is False and answer.offered and best is not None and best.moves else None


def as_few(answer: AsFound, best: OfferedSetting) -> list[OfferedSetting]:
    """Other settings with as few moves."""
    return [one for one in answer.solution.others if one.counted == best.counted]


# -- the text


def found_blocks(answer: AsFound, *, columns: int, told: frozenset[str] = frozenset()) -> Iterator[Block]:
    """The answer, a blank line between its parts."""
    found = answer.solution
    house, table = found.house, found.house.table
    yield from _first(answer, told)
    yield from verdict_lines(answer, told)
    yield from coil_lines(found, off=(True,))
    yield from _complaint_first(answer)
    yield ""
    yield f"as found: {marks_of(house.known.found or found.before, table)}"
    yield from (f"{settled_text(one, table)}." for one in found.settled)
    choice = moving(answer)
    if choice is not None:
        cautions = cautions_of(house, found.before, choice.moves)
        yield ""
        yield from cautions.before_lines()
        yield ""
        yield from _set_lines(answer, choice)
        rows = board_rows(table, found.before, choice.setting, first="found", second="set", columns=columns - 2)
        yield Raw(lines=tuple(indented(rows)))
    elif answer.right is False and answer.offered and found.best is None:
        yield from _nothing(answer)
    yield ""
    yield stage_rows(answer, choice)
    yield from (f"  {line}" for line in [*limits_text(house, found.now), *_rises(answer, choice)])
    yield from (f"  {line}" for line in _noes(answer))
    if choice is not None:
        drawn = strips_text(strips_of(house, choice.stages, found.now), columns - 2)
        yield Raw(lines=("", *indented(drawn), ""))
    yield from (
        f"  {line}" for s in (choice.stages if choice is not None else found.now) for line in slow_start(house, s)
    )
    if choice is not None:
        then = cautions_of(house, found.before, choice.moves).then_lines()
        yield from (f"  {line}" for line in then if line != PANELS)
    yield from _turn_lines(answer)
    yield from _rest(answer, choice)


def _first(answer: AsFound, told: frozenset[str] = frozenset()) -> list[str]:
    """What comes before the verdict."""
    found, house = answer.solution, answer.solution.house
    return [*first_lines(house, told), *first_of_board(house, found.before, told), *fire_lines(house, told)]


def verdict_lines(answer: AsFound, told: frozenset[str] = frozenset()) -> list[str]:
    """`Cooling is set too high in both stages. SW1-2 OFF brings it inside by the chart; measure static and split.`
    Behind a danger or a warning that was `told`, or a fire to put right, nothing is OK: only the board is spoken of."""
    found = answer.solution
    table = found.house.table
    if answer.right is None:
        return _open_verdict(answer)
    if answer.right:
        inside = [s for s in found.now if s.stands.stands == "inside"]
        rest = [s for s in found.now if s.stands.stands in ("not_judged", "not_known")]
        within = "the limits that could be checked" if rest and _unknown(rest) else "limits"
        told = told or frozenset(aim.title for aim, _ in fires_to_right(found.house))
        said = f"The board as set: within {within}." if told else f"OK: as set, within {within}."
        idle = answer.unread.idle if answer.unread is not None else ()
        if idle:
            names = listed(table.parts[i].name for i in idle)
            said += f" {names} {'doesn' if len(idle) == 1 else 'don'}'t matter to that."
        left = bool(found.judged.not_left)
        if answer.reduced:
            return [*(_reduced(answer, one) for one in answer.reduced), f"Otherwise as set, within {within}."]
        if told:
            return [said]
        idle_board = (inside or answer.unread is not None) and not left and all(t.choice is None for t in answer.turns)
        return [f"{said} Change nothing."] if idle_board else [said]
    wrong = _wrong_text(answer)
    choice = moving(answer)
    reduced = [_reduced(answer, one) for one in answer.reduced]
    if choice is None:
        return [*([wrong] if wrong else []), *reduced]
    return [f"{wrong} {_brings(answer, choice)}".strip(), *reduced]


def _unknown(rest: Sequence[Expected]) -> bool:
    return any(s.stands.unjudged or s.stands.stands == "not_known" or s.aim.unknown for s in rest)


def _open_verdict(answer: AsFound) -> list[str]:
    found = answer.solution
    if answer.unread is None or not answer.unread.looks:
        models = found.house.table.unit.models
        if found.judged.refused:
            return [MAY_NOT_STAY]
        if models and found.house.known.facts.model is None:
            return [f"No verdict: model is not given. Add model={listed(models, 'or')}."]
        return ["No verdict: nothing here could be checked (see Not checked)."]
    names = listed(found.house.table.parts[look.part].name for look in answer.unread.looks)
    return [f"Can't tell until {names} {'is' if len(answer.unread.looks) == 1 else 'are'} read."] + [
        line for n, look in enumerate(answer.unread.looks) for line in _look_lines(answer, look, first=n == 0)
    ]


def _look_lines(answer: AsFound, look: MarkToRead, *, first: bool) -> list[str]:
    """`Read J2: it settles it.` and what follows from each of its positions."""
    house = answer.solution.house
    table = house.table
    name = table.parts[look.part].name
    if not first:
        return [f"  then {name}"]
    out = [f"Read {name}: it settles it." if look.decides else f"Read {name} first."]
    said: dict[str, list[int]] = {}
    for at, wrong in zip(look.positions, look.wrong, strict=True):
        words = {True: "inside", False: "outside", None: "still open"}[wrong.verdict]
        detail = f" ({said_of})" if wrong.verdict is False and (said_of := _detail(answer, look, at)) else ""
        said.setdefault(f"{words}{detail}", []).append(at)
    out += [f"  {name} {_positions(look.part, ats, look.positions, table)}: {words}" for words, ats in said.items()]
    taken = [at for at in range(len(table.parts[look.part].positions)) if at not in look.positions]
    if taken and table.selectors[table.parts[look.part].selector].exclusive:
        every = range(len(table.parts[look.part].positions))
        out.append(f"  {name} {_positions(look.part, taken, every, table)}: another lead is there")
    return out


def _detail(answer: AsFound, look: MarkToRead, at: int) -> str:
    """What is outside with this position, where that is certain: `cooling 1,150 cfm, 25 over`."""
    found = answer.solution
    setting = tuple(at if i == look.part else was for i, was in enumerate(found.before))
    house = found.house
    out = [
        s for s in expected(house, house.search, judged(house, house.search, setting)) if s.stands.stands == "outside"
    ]
    return ", ".join(f"{s.title} {airflow_of(house, s)}, {apart_text(house, s)}".rstrip(", ") for s in out)


def _positions(part: int, ats: Sequence[int], every: Sequence[int], table: Table) -> str:
    """Positions by their marks, three or more in a row by the first and the last: `300 to 320, 425 to 450`."""
    runs: list[list[int]] = []
    for at in ats:
        if runs and every.index(at) == every.index(runs[-1][-1]) + 1:
            runs[-1].append(at)
        else:
            runs.append([at])
    words = []
    for run in runs:
        marks = [mark(table, part, at) for at in run]
        words += [f"{marks[0]} to {marks[-1]}"] if len(marks) > 2 else marks
    return listed(words, "or")


def _wrong_text(answer: AsFound) -> str:
    """`Cooling is set too high in both stages.`"""
    by_call: dict[str, list[Expected]] = {}
    static = []
    for one in answer.solution.now:
        broken = one.stands.broken
        if broken and all(j.limit.quantity == "static pressure" for j in broken):
            static += [(one.stands, j) for j in broken]
        elif one.stands.wrong:
            by_call.setdefault(one.aim.call, []).append(one)
    said = [ended(f"{line[:1].upper()}{line[1:]}") for line in broken_lines(answer.solution.house.table, static)]
    return " ".join(said + [_call_wrong(answer, call, found) for call, found in by_call.items()])


def _call_wrong(answer: AsFound, call: str, wrong: Sequence[Expected]) -> str:
    house = answer.solution.house
    every = [s for s in answer.solution.now if s.aim.call == call]
    name = f"{call[:1].upper()}{call[1:]}"
    where = ""
    if len(wrong) == len(every) and len(every) > 1:
        where = " in both stages" if len(every) == 2 else " in every stage"
    elif len(every) > 1:
        name += f" {listed(s.aim.stage for s in wrong)}"
    sides = {_side(house, s) for s in wrong}
    side = sides.pop() if len(sides) == 1 else "outside"
    if side == "no":
        no = wrong[0].answer.airflow
        stopped = wrong[0].aim.role == "heat" and wrong[0].stands.stands == "stopped"
        heat = ", and its heat would have no air" if stopped else ""
        return f"{name}: {airflow_of(house, wrong[0])}{heat}." if isinstance(no, No) else f"{name} is outside."
    if side in ("over", "below"):
        return f"{name} is set too {'high' if side == 'over' else 'low'}{where}."
    return f"{name} is outside its limits{where}."


def _side(house: House, one: Expected) -> str:
    if not one.stands.airflows:
        return "no"
    allowed = allowed_of(house, one).range
    sides = {"inside" if allowed.empty else allowed.side(x) for x in one.stands.airflows}
    side = sides.pop() if len(sides) == 1 else "inside"
    return {"below": "below", "above": "over", "inside": "outside"}[side]


def _brings(answer: AsFound, choice: OfferedSetting) -> str:
    """`SW1-2 OFF brings it inside by the chart; measure static and split.`"""
    table = answer.solution.house.table
    sets = listed(f"{table.parts[m.part].name} {mark(table, m.part, m.to)}" for m in choice.moves)
    bring = "brings" if len(choice.moves) == 1 else "bring"
    wrong = {s.aim.call: s.aim.role for s in answer.solution.now if s.stands.wrong}
    if not wrong:
        return f"Set {sets} to match the equipment."
    it = "it" if len(wrong) == 1 else "them"
    then = "split" if {"cooling", "dehumidify"} & set(wrong.values()) else "rise"
    return f"{sets} {bring} {it} inside by the chart; measure static and {then}."


def _set_lines(answer: AsFound, choice: OfferedSetting) -> Iterator[str]:
    """`Set SW1-2 ON -> OFF, leaving SW1=00011000. No way with fewer moves.` and others with as few."""
    found = answer.solution
    table = found.house.table
    moves = choice.moves
    text = moves_text(moves, table)
    head = (
        f"Set {text}"
        if len(moves) == 1
        else f"Set {counted(len(moves), noun_of(table, [m.part for m in moves]))}: {text}"
    )
    proof = " No way with fewer moves." if choice.counted else ""
    yield f"{head}, {leaving(table, choice)}.{proof}"
    yield from indented(matching_lines(found, choice))
    for other in as_few(answer, choice):
        more = _further(answer, choice, other)
        yield f"  Also {counted(other.counted, 'move')}: {moves_text(other.moves, table)}{more}"


def _further(answer: AsFound, best: OfferedSetting, other: OfferedSetting) -> str:
    """` (cooling second 1,338 cfm, further from 1,200)`: the first stage aimed at that differs."""
    found, table = answer.solution, answer.solution.house.table
    for mine, theirs in zip(best.stages, other.stages, strict=True):
        key = (mine.aim.call, mine.aim.stage)
        aim = mine.aim.aim.charted
        if key not in found.targets or mine.charted is None or theirs.charted is None or aim is None:
            continue
        if mine.charted.value == theirs.charted.value:
            continue
        far = abs(theirs.charted.value - aim.value) > abs(mine.charted.value - aim.value)
        side = "further from" if far else "nearer"
        target = airflow_number(table, convert(aim.value, "cfm", table.units.airflow))
        return f" ({theirs.title} {airflow_of(found.house, theirs)}, {side} {target})"
    return ""


def stage_rows(answer: AsFound, choice: OfferedSetting | None) -> Rows:
    """Allowed, as found, as left, of every stage."""
    house = answer.solution.house
    left = {s.title: s for s in choice.stages} if choice is not None else {}
    rows = [("", "allowed", "as found", *(("as left",) if left else ()))]
    for one in answer.solution.now:
        allowed = allowed_of(house, left[one.title] if left and one.charted is None else one)
        cells = (one.title, allowed_text(house, allowed), _cell(answer, one))
        rows.append((*cells, _left_cell(house, left[one.title])) if left else cells)
    return Rows(cells=tuple(rows), indent=2, headed=True)


def _noes(answer: AsFound) -> Iterator[str]:
    """Why a stage has no airflow, the calls of one fate together."""
    by_why: dict[str, list[str]] = {}
    for one in answer.solution.now:
        no = one.answer.airflow
        if isinstance(no, No) and no.why and not _possible(answer, one):
            by_why.setdefault(no_text(no), []).append(one.title)
    yield from (f"{listed(titles)}: {why}" for why, titles in by_why.items())


def _cell(answer: AsFound, one: Expected) -> str:
    house = answer.solution.house
    if isinstance(one.answer.airflow, No):
        return _possible(answer, one) or short_of(house, one)
    said = apart_text(house, one)
    return airflow_of(house, one) + (f", {said}" if said else "")


def _rises(answer: AsFound, choice: OfferedSetting | None) -> Iterator[str]:
    """`Rise: heating low 47.1 F (42.9 F as left), heating high 53.2 F (48.4 F as left).`"""
    found = answer.solution
    said = []
    for n, now in enumerate(found.now):
        was = rise_of(found.house, now)
        then = "" if choice is None else rise_of(found.house, choice.stages[n])
        if was or then:
            left = f" ({then} as left)" if then and then != was else ""
            said.append(f"{now.title} {was or 'not known'}{left}")
    if said:
        yield f"Rise: {', '.join(said)}."


def _possible(answer: AsFound, one: Expected) -> str:
    """`1,010, 1,095 or 1,150 cfm (J2 unreadable)`: what a stage may be with marks that aren't known."""
    found = answer.solution
    house, several = found.house, one.stands.airflows
    if not one.stands.depends or not several:
        return ""
    text = possible_text(house.table, several, one.stands.facts, MOST_FIGURES)
    noes = "".join(f", or {no_text(no)}" for no in one.stands.noes[:1])
    parts = {house.table.parts[p].name for p in one.stands.depends}
    open_parts = "; ".join(
        f"{listed(n for n in names if n in parts)} {word}"
        for word, names in open_names(house, found.before).items()
        if parts.intersection(names)
    )
    return f"{text}{noes} ({open_parts})"


def _left_cell(house: House, one: Expected) -> str:
    said = apart_text(house, one)
    return short_of(house, one) + (f", {said}" if said else "")


def _nothing(answer: AsFound) -> Iterator[Block]:
    found = answer.solution
    yield ""
    yield nothing_text(found)
    if found.nearest is not None:
        yield from closest_lines(found, found.nearest)
    fits = fit_lines(found.house, answer.fits)
    if fits:
        yield ""
        yield FIT_HEADING
        yield from indented(fits)


def _complaint_first(answer: AsFound) -> Iterator[str]:
    """What to look at for a complaint, before the moves."""
    house = answer.solution.house
    if house.eased.row is None:
        return
    said = sentences([*moved_lines(house), *looks(house)])
    yield f"{quoted(house)}: {said or 'no setting helps.'}"


def _turn_lines(answer: AsFound) -> Iterator[str]:
    house = answer.solution.house
    if not answer.turns:
        return
    yield ""
    wrong = " (the board is outside: put that right first)" if answer.right is False else ""
    may = "change nothing" if all(t.met for t in answer.turns) else "a setting may move"
    yield f"For {quoted(house)}: {may}{wrong}"
    yield from (f"  {turn_text(t, house.table)}" for t in answer.turns)
    limits = limits_on(house)
    if limits and not all(t.met for t in answer.turns):
        yield f"  Limits: {'; '.join(limits)}."


def _rest(answer: AsFound, choice: OfferedSetting | None) -> Iterator[str]:
    found = answer.solution
    house = found.house
    taken = assumed_lines(house)
    missing = not_checked_lines(house, choice.stages if choice is not None else found.now)
    read = [*coil_lines(found, off=(False,)), *part_lines(found)]
    for title, lines in (("Measured", read), ("Assumed", taken), ("Not checked", missing)):
        if lines:
            yield ""
            yield title
            yield from (f"  {line}" for line in lines)
    notes = [
        one
        for one in (
            water_line(answer.water),
            *(_humidistat(h, house.table) for h in answer.humidistats if not h.enabled),
        )
        if one
    ]
    notes += [line for line in static_lines(found) if not line.startswith("WARNING")]
    notes += [remark_text(n, house.table) for n in house.notes if n not in house.known.notes]
    table = house.table
    notes += [
        f"{remark_text(w.wish, table)} is wanted: {remark_text(w.why, table)}."
        for w in found.granted.outcomes
        if w.why is not None
    ]
    notes += _wish_moves(answer) if answer.right else []
    notes += [f"{name} left alone: type what is installed to have it checked." for name in found.untold]
    notes += page_notes(house, (*found.now, *(choice.stages if choice is not None else ())))
    in_force = house.job.in_force
    if not answer.offered and in_force is not None and in_force.text == "thermostat":
        notes.append("no move is offered while the thermostat is in force.")
    if notes:
        yield ""
        yield from (note_text(note) for note in dict.fromkeys(notes))


def _wish_moves(answer: AsFound) -> list[str]:
    """The moves of wishes that would be granted on a board that is right."""
    best = answer.solution.best
    if best is None or not best.moves or not answer.solution.granted.outcomes:
        return []
    table = answer.solution.house.table
    granted = [remark_text(w.wish, table) for w in answer.solution.granted.outcomes if w.why is None]
    return [f"{listed(granted)} is wanted: {moves_text(best.moves, table)} gives it."] if granted else []


def _reduced(answer: AsFound, one: Humidistat) -> str:
    """`LK1 is cut and there is no humidistat: dehumidify runs reduced for ever, 921 cfm. Fit one, or ..`"""
    house = answer.solution.house
    name, at = house.table.parts[one.part].name, house.table.parts[one.part].word(one.at)
    flows = [airflow_of(house, s) for s in answer.solution.now if s.aim.call == one.call]
    back = f"join {name} again" if at == "cut" else f"set {name} otherwise"
    ever = "a cut link with nothing wired runs reduced for ever" if at == "cut" else "it runs reduced for ever"
    return (
        f"{name} is {at}, so {one.call} is enabled; there is no humidistat, and {ever} ({', '.join(flows)})."
        f" Fit a humidistat, or {back}."
    )


def _humidistat(one: Humidistat, table: Table) -> str:
    name, at = table.parts[one.part].name, table.parts[one.part].word(one.at)
    return f"{name} is {at}: the humidistat is ignored, {one.call} never runs."
