"""The answer of `verify` as data."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from typing import Any

from selector.air.figure import Figure, text
from selector.answers.danger import data as danger_data
from selector.answers.house.assumed import assumed_board, assumed_of_heat
from selector.answers.house.records import move_data
from selector.answers.house.setting import first_of_board
from selector.answers.parts import VERSION, judged_stage_data, setting_data
from selector.answers.remarks.remark import remark_data
from selector.answers.verify.cooling import cooling_data
from selector.answers.verify.figures import check_text
from selector.answers.verify.parts_of_static import profile_data, then_data
from selector.answers.verify.record import (
    BandData,
    ChangeData,
    CrossData,
    FigureData,
    JudgedData,
    LookData,
    NextData,
    ReadData,
    StaticData,
    UnusedData,
    VerifyAnswer,
    WhyData,
)
from selector.answers.verify.row_words import LOOK_AT, ROW_SAID
from selector.answers.verify.steps import UNLIKELY, condition_text, one_of, steps_of, suspect_text
from selector.answers.verify.verdict import said_of, verdict_of
from selector.answers.words.note import page_notes
from selector.answers.words.settle import settled_text
from selector.job.board.expected import Expected
from selector.job.targets.house import House
from selector.job.verify.causes import Explanation
from selector.job.verify.judged_state import JudgedState
from selector.job.verify.verify import Verified
from selector.table.model.table import No
from selector.value import data_of


def figures_of(one: JudgedState) -> tuple[Figure, ...]:
    """Every figure a state's verdict rests on."""
    verdict = one.verdict
    out: list[Figure] = [f for t in verdict.state.taken if t.flow is not None for f in (t.flow.airflow, t.flow.band)]
    out += [f for moved in verdict.moved for f in (moved.airflow, moved.band, moved.low, moved.high)]
    out += [
        f
        for f in (verdict.selected, verdict.aim, verdict.low, verdict.high, verdict.watts)
        if f is not None and not isinstance(f, No)
    ]
    if verdict.static is not None:
        out += [f for f in (verdict.static.measured, verdict.static.plate, verdict.static.holds) if f is not None]
    return (*out, *(check.figure for check in verdict.notes), *one.step.figures, *_read_beside(one))


def _read_beside(one: JudgedState) -> Iterable[Figure]:
    """The figures of the coil, of static part by part, and of the static to come."""
    cooling, profile, then = one.cooling, one.profile, one.static_then
    if cooling is not None:
        delivered = cooling.delivered
        yield from (figure for figure in (cooling.air.split, cooling.expected) if figure is not None)
        yield from () if delivered is None else (delivered.total, delivered.share)
    if profile is not None:
        yield from (part.drop for part in profile.parts)
    if then is not None:
        yield from dict.fromkeys((then.low, then.high))


def answer_of(found: Verified, judged: Sequence[JudgedState]) -> dict[str, Any]:
    """The answer as plain data, without the chains."""
    out: dict[str, Any] = data_of(verify_answer(found, judged))
    out.pop("why")
    return out


def verify_answer(found: Verified, judged: Sequence[JudgedState]) -> VerifyAnswer:
    """The published record."""
    house, setting = found.house, found.setting
    return VerifyAnswer(
        version=VERSION,
        table=house.table.name,
        setting=None if setting is None else setting_data(setting, house.table),
        dangers=danger_data(found.dangers, house.table),
        first=() if setting is None else tuple(first_of_board(house, setting)),
        assumed=() if setting is None else (*assumed_board(house), *assumed_of_heat(house, setting)),
        notes=tuple(remark_data(n, house.table) for n in house.notes if n not in house.known.notes),
        settled=tuple(settled_text(one, house.table) for one in found.settled),
        states=tuple(_state_data(one, house) for one in judged),
        not_used=tuple(
            UnusedData(line=p.line, column=p.column, code=p.code, message=p.message) for p in sorted(found.aside)
        ),
    )


def _figure_data(figure: Figure) -> FigureData:
    return FigureData(value=figure.value, unit=figure.unit, text=text(figure))


def _maybe(figure: Figure | None) -> FigureData | None:
    return None if figure is None else _figure_data(figure)


def _state_data(one: JudgedState, house: House) -> JudgedData:
    verdict = one.verdict
    selected = verdict.selected
    word, _ = verdict_of(verdict, house)
    static = verdict.static
    said = (remark for taken in verdict.state.taken for remark in taken.remarks)
    return JudgedData(
        call=verdict.state.call,
        stage=verdict.state.stage,
        firing_rate=verdict.state.rate,
        verdict=word,
        said=said_of(verdict, house),
        against_setting=verdict.against,
        stands=verdict.standing,
        by_chart=verdict.by_chart,
        plate_heat=verdict.plate_heat,
        measured=tuple(
            ReadData(method=t.flow.method, airflow=_figure_data(t.flow.airflow), band=t.flow.band.value)
            for t in verdict.state.taken
            if t.flow is not None
        ),
        delivered=tuple(
            BandData(way=m.way.way, airflow=_figure_data(m.airflow), low=_figure_data(m.low), high=_figure_data(m.high))
            for m in verdict.moved
        ),
        set_for=None if isinstance(selected, No) else _figure_data(selected),
        no=selected.kind if isinstance(selected, No) else "",
        why_no=selected.why if isinstance(selected, No) else "",
        target=_maybe(verdict.aim),
        low=_maybe(verdict.low),
        high=_maybe(verdict.high),
        static=None
        if static is None
        else StaticData(
            measured=_figure_data(static.measured),
            word=static.word,
            plate=_maybe(static.plate),
            holds_up_to=_maybe(static.holds),
        ),
        profile=profile_data(one.profile, house),
        cooling=cooling_data(one.cooling, house),
        static_then=then_data(one.static_then, house),
        checks=tuple(
            CrossData(sort=c.sort, side=c.side, figure=_figure_data(c.figure), said=check_text(c, house))
            for c in verdict.notes
        ),
        fits=tuple(suspect_text(s, house) for s in verdict.fits),
        explanations=tuple(_why_data(e, house) for e in verdict.explanations),
        notes=tuple(remark_data(one, house.table) for one in dict.fromkeys(said)),
        page_notes=tuple(page_notes(verdict.notes_of_page)),
        judged=None if verdict.board is None else judged_stage_data(house.table, verdict.board),
        next=_next_data(one, house),
    )


def _why_data(e: Explanation, house: House) -> WhyData:
    looks = tuple(
        LookData(
            check=c.name,
            words=LOOK_AT[c.name],
            fits=tuple(suspect_text(s, house) for s in c.evidence),
            unlikely=UNLIKELY if c.unlikely else "",
        )
        for c in e.checks
    )
    return WhyData(row=e.row, said=ROW_SAID[e.row], condition=condition_text(e), look_at=looks)


def _changes(before: Iterable[Expected], after: Iterable[Expected]) -> Iterator[ChangeData]:
    for now, then in zip(before, after, strict=True):
        was, to = now.answer.airflow, then.answer.airflow
        if was != to:
            yield ChangeData(
                call=then.aim.call,
                stage=then.aim.stage,
                was=was if isinstance(was, Fraction) else None,
                to=to if isinstance(to, Fraction) else None,
            )


def _next_data(one: JudgedState, house: House) -> NextData:
    step, table = one.step, house.table
    offered = step.moves.best if step.kind == "set" and step.moves is not None else None
    return NextData(
        kind=step.kind,
        reason=step.reason,
        steps=tuple(steps_of(one, house)),
        moves=() if offered is None else tuple(move_data(m, table) for m in offered.moves),
        setting=None if offered is None else setting_data(offered.setting, table),
        changes=() if offered is None or step.moves is None else tuple(_changes(step.moves.now, offered.stages)),
        against=one_of(step),
    )
