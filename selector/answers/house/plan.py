"""What `plan` says: danger and contradictions, what to set, what to expect, why, what to measure."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from typing import Literal

from selector.answers.house.allowed import allowed_text, end_words, limits_text
from selector.answers.house.assumed import (
    assumed_lines,
    not_checked_lines,
)
from selector.answers.house.complaints import against_lines, first_lines, looks, moved_lines, quoted, sentences
from selector.answers.house.conflict import conflicts_data, inner
from selector.answers.house.house_answer import HouseAnswer, house_answer
from selector.answers.house.measuring import HEADING, measure_lines
from selector.answers.house.notes import (
    FIT_HEADING,
    coil_lines,
    fit_lines,
    page_notes,
    part_lines,
    static_lines,
    water_line,
    watts_lines,
)
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
    first_of_board,
    off_targets,
    set_blocks,
    set_short,
)
from selector.answers.house.stages import airflow_of, apart_text, more_of, short_of, slow_start
from selector.answers.house.strips import strips_of
from selector.answers.house.targets import target_text, why_targets
from selector.answers.house.why import plan_figures
from selector.answers.parts import (
    SettingData,
    setting_data,
)
from selector.answers.remarks.remark import as_sentence, remark_text
from selector.answers.words.airflow import airflow_text
from selector.answers.words.figure import percent
from selector.answers.words.fold import Block, Raw, Rows, folded, indented
from selector.answers.words.head import head
from selector.answers.words.listing import counted, listed
from selector.answers.words.note import note_text
from selector.draw.plots.strip import strips_text
from selector.job.board.allowed import allowed_of
from selector.job.board.expected import Expected
from selector.job.board.solution import OfferedSetting, Solution
from selector.job.file.report import Report
from selector.job.plan.plan import CLOSE, Plan
from selector.job.targets.house import House
from selector.solve.board.marks import marks_of
from selector.table.model.table import No
from selector.units import convert
from selector.value import data_of, replace

MISSED = Fraction(5, 100)
"""A target missed by more than this is said in the first line (our choice, no source: the band of most methods)."""


class PlanAnswer(HouseAnswer, frozen=True, kw_only=True):
    """Answer of selector plan: one setting of the whole board for a house, or why there is none.

    `start`: what the moves start from, the factory setting, the board as found or as left, and `now` its stages.
    Airflows are in `units.airflow`, rises in its degrees, heat in Btu/h.
    """

    start: Literal["factory", "found", "left"]
    before: SettingData
    now: tuple[HouseStageData, ...]
    best: ChoiceData | None
    others: tuple[ChoiceData, ...]
    measure: tuple[str, ...]


def plan_report(
    plan: Plan,
    *,
    details: bool = False,
    columns: int = 80,
    offered: bool = True,
    told: frozenset[str] = frozenset(),
    why: bool = False,
) -> Report:
    """A plan for people and for JSON; with `details` the whole arithmetic and what else comes close. `offered` False:
    no selector may be moved yet, so no setting is said. `told`: selectors that a danger has spoken of."""
    if not offered:
        plan = replace(plan, solution=replace(plan.solution, best=None, others=(), nearest=None, held_back=True))
    named = tuple(plan_figures(plan))
    return Report(
        lines=tuple(folded(plan_blocks(plan, details=details, columns=columns, told=told), columns)),
        data=data_of(replace(plan_answer(plan), why=why_of(named) if why else None)),
        exit_code=plan.exit_code,
        figures=tuple(figure for _, figure in named),
        named=named,
    )


def plan_answer(plan: Plan) -> PlanAnswer:
    """The published record."""
    found, house = plan.solution, plan.house
    best = found.best
    return PlanAnswer(
        **house_answer(
            found,
            first=_first(plan),
            checked=_checked(found),
            shown=_shown(found),
            closest=found.nearest,
            offered=best if best is not None and best.moves else None,
            water=plan.water,
            fits=plan.fits,
        ),
        start=found.start,
        before=setting_data(found.before, house.table),
        now=tuple(stage_data(house, one) for one in found.now),
        best=None if best is None else choice_data(house, best),
        others=tuple(choice_data(house, one) for one in found.others),
        measure=tuple(measure_lines(house, best.stages)) if best is not None else (),
    )


# -- the text


def plan_blocks(plan: Plan, *, details: bool, columns: int, told: frozenset[str] = frozenset()) -> Iterator[Block]:
    """The answer, a blank line between its parts."""
    found, house = plan.solution, plan.house
    yield head(house.table, house.known.facts.model)
    yield from _first(plan, told)
    yield from verdict(found)
    yield from coil_lines(found, off=(True,))
    if found.best is None:
        yield from _nothing(found)
        yield from _part(FIT_HEADING, fit_lines(house, plan.fits))
    else:
        yield from _something(plan, found.best, columns, details=details)
    yield from _part(
        "Why these targets",
        why_targets(house, found.now, details=details)
        if found.best is None
        else why_targets(house, found.best.stages, details=details),
    )
    yield from _part("", complaint_lines(found))
    yield from _part("Wanted", _wished(found))
    yield from _part("Measured", [*coil_lines(found, off=(False,)), *part_lines(found)])
    yield from _part("Assumed", assumed_lines(house))
    yield from _part("Not checked", not_checked_lines(house, _checked(found)))
    if found.best is not None:
        yield from _part("Fan power", watts_lines(plan))
        yield from _part(HEADING, measure_lines(house, found.best.stages))
    if details:
        yield from _part("Other settings", _others(found))
    yield from _notes(plan)
    yield from _end(plan, details=details)


def _part(title: str, lines: Iterable[Block]) -> Iterator[Block]:
    listed_lines = list(lines)
    if not listed_lines:
        return
    yield ""
    if title:
        yield title
    for line in listed_lines:
        yield f"  {line}" if isinstance(line, str) else line


def _first(plan: Plan, told: frozenset[str] = frozenset()) -> list[str]:
    """What comes before the verdict: what the board believes, what it is set for, static over its end, ice."""
    found = plan.solution
    house = found.house
    out = [*first_lines(house, told), *first_of_board(house, found.house.now, told), *fire_lines(house, told)]
    if not found.targets:
        out.append("No targets: add tons=.., the heat, or targets. Only limits are checked.")
    return out


def verdict(found: Solution) -> list[str]:
    """One or two sentences: what to set, and how well it fits."""
    table, best = found.house.table, found.best
    if found.held_back:
        return ["No setting is offered until that is put right."]
    if best is None:
        return [nothing_text(found)]
    missed = off_targets(found, best, MISSED)
    fits = f"Fits by the chart; {_static_said(found)}."
    open_, whole = _not_known(found, best)
    if whole:
        return [f"{set_short(table, best.moves)}. {open_}" if best.moves else f"Change nothing yet. {open_}"]
    if missed:
        said = listed(
            f"{title} is {percent(abs(share))} {'over' if share > 0 else 'below'} its target" for title, share in missed
        )
        in_all = " in all" if len(found.targets) > 1 else ""
        airs = (s.answer.airflow for s in best.stages)
        needs = dict.fromkeys(air.needs for air in airs if isinstance(air, No) and air.needs)
        known = f"while {listed(needs)} isn't known none" if needs else "no setting"
        fits = f"Inside every limit that was checked, but {said}: {known} comes closer{in_all}."
    if open_:
        fits = f"{fits} {open_}"
    if not best.moves and found.judged.refused:
        return [MAY_NOT_STAY]
    if not best.moves:
        return [
            f"Change nothing. {fits}"
            if missed or open_
            else f"Change nothing: it is set right by the chart; {_static_said(found)}."
        ]
    return [f"{set_short(table, best.moves)}. {fits}"]


def _not_known(found: Solution, best: OfferedSetting) -> tuple[str, bool]:
    """`Cooling: not known (static pressure is not given).` of the stages aimed at, and whether all of them are."""
    aimed = [s for s in best.stages if (s.aim.call, s.aim.stage) in found.targets]
    open_ = [s for s in aimed if isinstance(s.answer.airflow, No) and s.answer.airflow.kind == "not_known"]
    if not open_:
        return "", False
    why = listed(dict.fromkeys(s.answer.airflow.why for s in open_ if isinstance(s.answer.airflow, No)))
    if len(open_) == len(aimed):
        return f"Whether it fits isn't known: {why}.", True
    titles = listed(s.title for s in open_)
    return f"{titles[:1].upper()}{titles[1:]}: not known ({why}).", False


def _static_said(found: Solution) -> str:
    if not found.pressures:
        return "static not measured yet"
    return "static is over its limit" if found.above is not None else "static is within the plate"


def _something(plan: Plan, best: OfferedSetting, columns: int, *, details: bool) -> Iterator[Block]:
    found, house = plan.solution, plan.house
    if best.moves:
        cautions = cautions_of(house, found.before, best.moves)
        yield ""
        yield from cautions.before_lines()
        yield ""
        yield from set_blocks(found, best, columns)
        yield from indented([line for line in cautions.then_lines() if line.startswith("Then")])
        yield from (f"  {as_sentence(remark_text(one, found.house.table))}" for one in found.granted.careful)
    yield ""
    yield expect_rows(found, best.stages)
    yield from indented(over_own_limit(found, best.stages))
    yield from indented(
        [*limits_text(house, best.stages), *(line for s in best.stages for line in slow_start(house, s))]
    )
    read = found.start != "factory" and bool(best.moves)
    if read or details:
        strips = strips_of(house, best.stages, found.now if read else (), (f"as {found.start}", "set"))
        yield Raw(lines=("", *indented(strips_text(strips, columns - 2))))


def expect_rows(found: Solution, stages: Sequence[Expected]) -> Rows:
    """Target, allowed range and what to expect of every stage; what it does now where the board was read."""
    house = found.house
    was = {one.title: one for one in found.now}
    shown = found.start != "factory" and found.best is not None and bool(found.best.moves)
    before = ("as found" if found.start == "found" else "as left",) if shown else ()
    rows = [("Expect", "target", "allowed", *before, "expect", "")]
    for one in stages:
        now = (short_of(house, was[one.title]),) if shown else ()
        target = (
            target_text(house, one.aim) if (one.aim.call, one.aim.stage) in found.targets else _lower_target(house, one)
        )
        if one.charted is None:
            rows.append((f"  {one.title}", target, "", *now, "", airflow_of(house, one)))
            continue
        rows.append(
            (
                f"  {one.title}",
                target,
                allowed_text(house, allowed_of(house, one)).removesuffix(f" {house.table.units.airflow}"),
                *now,
                airflow_of(house, one),
                more_of(house, one),
            )
        )
    right = frozenset((1,)) if not any(" " in row[1] for row in rows) else frozenset()
    return Rows(cells=tuple(rows), right=right, headed=True)


def over_own_limit(found: Solution, stages: Sequence[Expected]) -> list[str]:
    """`cooling second: the target 1,500 cfm is over its own maximum, 1,350 cfm.`"""
    out = []
    unit = found.house.table.units.airflow
    for one in stages:
        aim = one.aim.aim.charted
        if aim is None or (one.aim.call, one.aim.stage) not in found.targets:
            continue
        target = convert(aim.value, "cfm", unit)
        allowed = allowed_of(found.house, one)
        above = allowed.high is not None and target > allowed.high.airflow
        side, end = ("over its own maximum", allowed.high) if above else ("below its own minimum", allowed.low)
        if end is None or allowed.range.side(target) == "inside":
            continue
        shown, limit = (airflow_text(found.house.table, x) for x in (target, end.airflow))
        out.append(f"{one.title}: the target {shown} is {side}, {limit} ({inner(end_words(found.house, end).words)}).")
    return out


def _lower_target(house: House, one: Expected) -> str:
    """The target that follows the last stage's: shown, though it doesn't rank."""
    aim = one.aim.aim
    return (
        target_text(house, one.aim)
        if aim.charted is not None and one.aim.role in ("cooling", "heat", "heat pump")
        else ""
    )


def complaint_lines(found: Solution) -> Iterator[str]:
    """`"Cool air in heat": your mid rise is kept. ..`, what to look at, what goes the other way."""
    house = found.house
    if house.eased.row is None:
        return
    said = [*moved_lines(house), *looks(house)]
    if found.best is not None:
        said += against_lines(house, found.now, found.best.stages)
        said += _too_little(found, found.best)
    if not house.eased.row.moves and not house.eased.row.other and not house.eased.row.torn:
        said.append("No setting helps.")
    yield f"{quoted(house)}: {sentences(said)}"


def _too_little(found: Solution, best: OfferedSetting) -> Iterator[str]:
    """An iced coil needs its airflow: said where the board can't give it."""
    row = found.house.eased.row
    if row is None or "iced coil" not in row.names:
        return
    for title, share in off_targets(found, best, MISSED):
        if share < 0 and found.house.aim(*_split(found, title)).role == "cooling":
            yield f"This board can't give {title} the airflow this coil needs: {percent(-share)} is missing."


def _split(found: Solution, title: str) -> tuple[str, str]:
    return next((one.call, one.stage) for one in found.house.aims if one.title == title)


def _wished(found: Solution) -> Iterator[str]:
    for wish in found.granted.outcomes:
        said, table = remark_text(wish.wish, found.house.table), found.house.table
        yield f"{said}: set." if wish.why is None else f"{said}: not set. {as_sentence(remark_text(wish.why, table))}"


def _others(found: Solution) -> Iterator[str]:
    best = found.best
    for other in found.others if best is not None else ():
        assert best is not None
        yield f"{marks_of(other.setting, found.house.table)}: {trade_text(found.house, best, other)}"


def trade_text(house: House, best: OfferedSetting, other: OfferedSetting) -> str:
    """What another setting gives for what: airflows that differ, and its moves."""
    parts = []
    for mine, theirs in zip(best.stages, other.stages, strict=True):
        if mine.answer.airflow != theirs.answer.airflow:
            parts.append(f"{theirs.title} {airflow_of(house, theirs)}, not {airflow_of(house, mine)}")
    same = other.counted == best.counted
    moves = "same number of moves" if same else f"{counted(other.counted, 'move')}, not {best.counted}"
    return "; ".join([*parts, moves])


def _notes(plan: Plan) -> Iterator[Block]:
    found = plan.solution
    said = [
        f"{remark_text(note, found.house.table)}." for note in found.house.notes if note not in found.house.known.notes
    ]
    water = water_line(plan.water)
    said += [water] if water else []
    said += [f"{name} left alone: type what is installed to have it checked." for name in found.untold]
    said += [line for line in static_lines(found) if not line.startswith("WARNING")]
    said += page_notes(found.house, _shown(found))
    if said:
        yield ""
        yield from (note_text(one) for one in dict.fromkeys(said))


def _checked(found: Solution) -> tuple[Expected, ...]:
    """The stages that are checked: of the setting that is offered, else of the first that was looked at."""
    return found.best.stages if found.best is not None else found.now


def _shown(found: Solution) -> tuple[Expected, ...]:
    """The stages of the board as it stands, where it was read or no setting is offered, and of the setting that is."""
    now = found.now if found.best is None or found.start != "factory" else ()
    return (*now, *(() if found.best is None else found.best.stages))


def _end(plan: Plan, *, details: bool) -> Iterator[Block]:
    found = plan.solution
    best = found.best
    if best is not None and best.moves:
        cautions = cautions_of(found.house, found.before, best.moves)
        yield cautions.scope
    if not details:
        stage = next((one.title for one in reversed(found.house.aims) if one.aim.counts), "")
        others = f", {counted(len(found.others), 'other setting')}" if found.others else ""
        yield ""
        yield f"More: --details (arithmetic{others})" + (f'; --why "{stage}"' if stage else "")


# -- nothing fits


def nothing_text(found: Solution) -> str:
    """`Nothing fits. LIMIT and LIMIT conflict.`"""
    house = found.house
    table = house.table
    if found.above is not None and found.start == "factory":
        return (
            "No setting while static is over its limit: the board as it stands is not known. Type its marks (found ..)."
        )
    if found.blame and not found.conflicts:
        names = [table.parts[p].name for p in found.blame]
        free = (
            f"Release {names[0]}"
            if len(names) == 1
            else "Release all of them"
            if found.together
            else "Release any one of them"
        )
        held = listed(f"{table.parts[p].name} held" for p in found.blame) if found.together else f"{listed(names)} held"
        return f"Nothing fits with {held}. {free} and a setting fits."
    said = [one.words for one in conflicts_data(house, found.conflicts)]
    if said:
        return "Nothing fits. " + " ".join(said)
    refused = [f"{call} {stage}".strip() + f": {no.why}." for call, stage, no in found.refused]
    return (
        "Nothing fits. " + " ".join(dict.fromkeys(refused))
        if refused
        else "Nothing fits: the manual allows no setting of this board."
    )


def _nothing(found: Solution) -> Iterator[Block]:
    if found.nearest is None:
        return
    yield ""
    yield from closest_lines(found, found.nearest)


def closest_lines(found: Solution, nearest: OfferedSetting) -> Iterator[Block]:
    """`Closest (do not set): SW1=10001100` and the limits it breaks."""
    house = found.house
    yield f"Closest (do not set): {marks_of(nearest.setting, house.table)}"
    for one in nearest.stages:
        if one.stands.stands == "outside":
            yield f"  {one.title} {airflow_of(house, one)}: {apart_text(house, one)}"
        elif (one.aim.call, one.aim.stage) in found.targets:
            target = target_text(house, one.aim)
            yield f"  {one.title} {airflow_of(house, one)}" + (f"; target {target}" if target else "")


__all__ = ["CLOSE", "PlanAnswer", "moves_text", "plan_answer", "plan_blocks", "plan_report"]
