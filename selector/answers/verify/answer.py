"""What `verify` says: danger, verdict, what to do, then the figures; the same as data."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from selector.air.figure import written
from selector.answers.danger import first_lines, subjects
from selector.answers.house.assumed import heat_assumed_texts
from selector.answers.house.setting import fire_lines, first_of_board, open_lines
from selector.answers.remarks.coil import cooling_title
from selector.answers.remarks.remark import remark_text
from selector.answers.verify.cooling import cooling_rows
from selector.answers.verify.data import answer_of, figures_of
from selector.answers.verify.figures import check_text, reading_lines, set_for_text, static_text, window_text
from selector.answers.verify.steps import looks_of, others_of, row_text, setting_lines, steps_of, suspect_text
from selector.answers.verify.verdict import said_of, titled
from selector.answers.words.arithmetic import in_table_units
from selector.answers.words.assumed_marks import assumed_marks
from selector.answers.words.note import page_notes
from selector.answers.words.settle import settled_text
from selector.answers.words.static_parts import parts_rows, then_text
from selector.job.danger.hazard import stops
from selector.job.file.report import Report
from selector.job.targets.house import House
from selector.job.verify.judged_state import JudgedState
from selector.job.verify.verify import Verified, verified
from selector.problems import Problem
from selector.solve.board.marks import marks_of
from selector.table.model.table import Setting


def verify(house: House, only: tuple[str, str] | None = None) -> Report:
    """The verdicts of a job as a command answers with them."""
    return report(verified(house, only))


def report(found: Verified) -> Report:
    """The verdicts for people and as data."""
    table = found.house.table
    if stops(found.dangers):
        lines = tuple(first_lines(found.dangers, table))
        return Report(lines=lines, data=answer_of(found, ()), exit_code=1)
    if found.setting is None or not found.house.job.measurements:
        lines = tuple(first_lines(found.dangers, table))
        data = answer_of(found, ()) if lines else {}
        return Report(lines=lines, data=data, exit_code=1, problems=found.aside)
    return Report(
        lines=tuple(_lines(found, found.setting)),
        data=answer_of(found, found.judged),
        exit_code=0 if found.fine else 1,
        problems=tuple(sorted(found.aside)),
        figures=tuple(dict.fromkeys(figure for one in found.judged for figure in figures_of(one))),
    )


def _lines(found: Verified, setting: Setting) -> Iterator[str]:
    house = found.house
    yield from first_lines(found.dangers, house.table)
    danger = bool(found.dangers)
    yield from first_of_board(house, setting, subjects(found.dangers))
    if not danger:
        for one in found.judged:
            yield from _titles(one, house)
        if not found.judged:
            yield "No verdict: no usable reading."
    yield from fire_lines(house, subjects(found.dangers))
    yield ""
    yield f"set: {marks_of(setting, house.table)}"
    yield from open_lines(house, setting)
    yield from (f"assumed, {text}" for text in assumed_marks(house.engine, setting, house.known.assumed))
    yield from (f"assumed, {text}" for text in heat_assumed_texts(house, setting))
    yield from (f"{settled_text(one, house.table)}." for one in found.settled)
    for one in found.judged:
        yield ""
        yield from _state(one, house, danger=danger)
    yield from _unused(found.aside)
    notes = [note for note in house.notes if note not in house.known.notes]
    if notes:
        yield ""
        yield from (f"Note: {remark_text(note, house.table)}" for note in notes)


def _titles(one: JudgedState, house: House) -> Iterator[str]:
    """A heater that isn't all on, the verdict on the airflow, where it was measured, and that on the coil."""
    for check in one.verdict.notes if one.verdict.heater_short else ():
        if check.sort == "power":
            yield f"{one.verdict.state.title}: {check_text(check, house)}."
    if one.cooling is None or one.verdict.moved or one.verdict.apart is not None:
        yield titled(one.verdict, house)
    if one.cooling is not None:
        yield cooling_title(one.verdict.state.title, one.cooling, house)


def _unused(aside: Sequence[Problem]) -> Iterator[str]:
    if aside:
        yield ""
        yield "readings not used:"
        yield from (f"  line {p.line}: {p.message}" for p in sorted(aside))


def _state(one: JudgedState, house: House, *, danger: bool) -> Iterator[str]:
    verdict = one.verdict
    yield verdict.state.title
    if danger:
        yield row_text("verdict", said_of(verdict, house))
        if one.cooling is not None:
            yield row_text("", cooling_title("coil", one.cooling, house))
    steps = steps_of(one, house)
    if len(steps) == 1:
        yield row_text("do", steps[0])
    else:
        yield row_text("do", " ".join(f"{n} {step}" for n, step in enumerate(steps, 1)))
    if one.step.kind == "set":
        yield from setting_lines(one, house)
    looks = list(looks_of(one, house))
    for n, look in enumerate(looks):
        yield row_text("then look" if n == 0 else "", look)
    yield from (row_text("fits", suspect_text(s, house)) for s in others_of(verdict))
    readings = list(reading_lines(verdict, house))
    yield from (row_text("measured" if n == 0 else "", line) for n, line in enumerate(readings))
    yield row_text("set for", set_for_text(verdict, house))
    if verdict.aim is not None:
        over = verdict.high is not None and verdict.aim.value > verdict.high.value
        more = ", more than the static allows" if over and verdict.ceiling else ""
        yield row_text("target", written(in_table_units(verdict.aim, house.table)) + more)
    if verdict.low is not None or verdict.high is not None:
        yield row_text("allowed", window_text(verdict, house))
    if verdict.static is not None:
        yield row_text("static", static_text(verdict.static, house, parts=one.profile is not None))
    if one.profile is not None:
        yield from (
            row_text("by part" if n == 0 else "", line) for n, line in enumerate(parts_rows(one.profile, house))
        )
    if one.static_then is not None:
        yield row_text("then", f"static {then_text(one.static_then, house)}")
    if one.cooling is not None:
        yield from (row_text(label, line) for label, line in cooling_rows(one.cooling, house))
    told = verdict.heater_short and not danger  # said first
    checks = (check for check in verdict.notes if not (told and check.sort == "power"))
    yield from (row_text("check", check_text(check, house)) for check in checks)
    notes = dict.fromkeys(remark_text(r, house.table) for taken in verdict.state.taken for r in taken.remarks)
    notes |= dict.fromkeys(page_notes(verdict.notes_of_page))
    yield from (row_text("Note", note) for note in notes)
