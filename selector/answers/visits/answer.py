"""What `visits` says: danger, what changed since the baseline and what to do, then every visit, what is verified and
what is owed in which season."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from selector.answers.danger import data as danger_data
from selector.answers.danger import first_lines, sentence
from selector.answers.parts import VERSION, MoveData, SettingData, setting_data, units_data
from selector.answers.verify.cooling import state_said
from selector.answers.verify.data import verify_answer
from selector.answers.verify.verdict import titled
from selector.answers.visits.record import (
    CauseData,
    ChangedFigureData,
    NotComparedData,
    OwedData,
    StateChangeData,
    VerifiedStageData,
    VisitData,
    VisitsAnswer,
    VisitStateData,
)
from selector.answers.visits.words import (
    SEASONS,
    cause_text,
    change_text,
    do_text,
    moved_text,
    owed_text,
    short_change,
    shown,
)
from selector.answers.words.airflow import airflow_text
from selector.answers.words.fold import Block, Rows, folded
from selector.answers.words.head import head
from selector.answers.words.listing import listed
from selector.job.danger.hazard import stops
from selector.job.file.model import TypedWord
from selector.job.file.report import Report
from selector.job.targets.house import House
from selector.job.visits.changes import Change, NotCompared, StateChanges, VisitChanges, changes_at
from selector.job.visits.measured_at import WHOLE, VisitRecord
from selector.job.visits.owed import OwedWork, Season, UnitRecord
from selector.solve.board.marks import mark, marks_of
from selector.table.model.table import Setting, Table
from selector.units import convert
from selector.value import data_of

NO_DATE = "the first visit"
BANDS = "  bands: static 5 %, at least 0.02 in. w.c., watts 5 %, airflow by its method: common practice, no source"
FIGURES = {"static pressure": "static"}
"""What a figure is called in a row, where its own name is longer."""


def visits_report(unit: UnitRecord, *, columns: int = 80) -> Report:
    """The visits of a unit for people and for JSON. Exit code 1 for a danger, and for a measured stage that isn't
    right."""
    changes = changes_at(unit.visits)
    wrong = bool(unit.now.dangers) or any(not stage.fine for stage in unit.stages)
    return Report(
        lines=tuple(folded(_blocks(unit, changes), columns)),
        data=data_of(visits_answer(unit, changes)),
        exit_code=1 if wrong else 0,
        problems=unit.now.aside if unit.house.job.measurements else (),
    )


def changed_lines(unit: UnitRecord, *, columns: int = 80) -> list[str]:
    """What changed since the baseline, for an answer that has said the dangers and the verdict."""
    changes = changes_at(unit.visits)
    if len(unit.visits) < 2:
        return []
    return folded([*_headline(unit, changes), *_changes(unit, changes), *_owed(unit)], columns)


# -- the text


def _blocks(unit: UnitRecord, changes: VisitChanges) -> Iterator[Block]:
    house, table = unit.house, unit.house.table
    place = f"; {house.job.place.text}" if house.job.place is not None else ""
    yield f"{head(table, house.known.facts.model)}{place}"
    yield from first_lines(unit.now.dangers, table)
    if stops(unit.now.dangers):
        return
    for one in unit.owed:
        if one.hazard is not None:
            yield sentence(one.hazard, table)
            yield f"  Read on {one.since}. Other marks were set since, and nobody measured it again."
    yield from _headline(unit, changes)
    yield from (titled(one.judged.verdict, one.visit.house) for one in unit.stages if not one.fine)
    yield from _changes(unit, changes)
    yield ""
    yield "Visits"
    for visit in unit.visits:
        yield from _visit(visit, table)
    fine = [f"{one.title} ({one.date})" if one.date else one.title for one in unit.stages if one.fine]
    if fine:
        yield ""
        yield f"Verified: {listed(fine)}."
    yield from _owed(unit)


def _headline(unit: UnitRecord, changes: VisitChanges) -> Iterator[str]:
    """What changed in a sentence or two, and what to do."""
    table = unit.house.table
    if changes.moved:
        yield moved_text(changes.moved, table)
    if len(unit.visits) < 2:
        yield "One visit so far: nothing to compare it with."
        return
    caused = [state for state in changes.states if state.causes]
    for state in caused:
        ways = [short_change(one, table) for one in state.changes if one.way != "same" and _whole(one)]
        causes = listed(cause_text(one) for one in state.causes)
        yield f"Since {_since(state)}, {state.title}: {', '.join(ways)}: {causes}."
    yield from dict.fromkeys(f"Do: {do_text(one, state, unit.house)}" for state in caused for one in state.causes)
    if not caused and changes.states:
        yield f"No change to be seen since {_since(changes.states[0])}: every reading is inside the bands."
    elif not caused:
        marks = " under these marks" if changes.not_compared else ""
        yield f"Nothing that was read at this visit was read before{marks}: nothing to compare."


def _whole(change: Change) -> bool:
    """Sides and parts stand in the rows below."""
    return change.now.name in WHOLE


def _since(state: StateChanges) -> str:
    return listed(dict.fromkeys(change.since or NO_DATE for change in state.changes))


def _changes(unit: UnitRecord, changes: VisitChanges) -> Iterator[Block]:
    table = unit.house.table
    for state in changes.states:
        yield ""
        yield f"{state.title}, since {_since(state)}"
        rows = [(FIGURES.get(one.now.name, one.now.name), change_text(one, table)) for one in state.changes]
        yield Rows(cells=tuple(rows), indent=2)
    if changes.states:
        yield BANDS
    if changes.not_compared:
        yield ""
        yield from (_not_compared(one, table) for one in changes.not_compared)


def _not_compared(one: NotCompared, table: Table) -> str:
    """`fan, airflow: not compared: set for 478 cfm on 2026-11-30, 539 cfm now.`"""
    then, now = (
        airflow_text(table, convert(x, "cfm", table.units.airflow)) if x is not None else "no airflow"
        for x in (one.set_for_then, one.set_for_now)
    )
    name = FIGURES.get(one.figure.name, one.figure.name)
    since = f"on {one.since}" if one.since else f"at {NO_DATE}"
    return f"{one.figure.title}, {name}: not compared: set for {then} {since}, {now} now."


def _visit(visit: VisitRecord, table: Table) -> Iterator[str]:
    """`2026-11-30, R. M.: set SW1=10011000. heating second OK. Done: filter changed.`"""
    job = visit.job
    by = f", {job.by.text}" if job.by is not None else ""
    said = [_marks(visit, table)]
    judged = [f"{one.verdict.state.title} {state_said(one, visit.house)[0]}" for one in visit.verdicts.judged]
    said += [f"Measured: {listed(judged)}."] if judged else []
    for what, words in (("Seen", job.seen), ("Done", job.done), ("Note", job.notes)):
        said += [f"{what}: {', '.join(word.text for word in words)}."] if words else []
    yield f"  {visit.date or NO_DATE}{by}: {' '.join(text for text in said if text)}"


def _marks(visit: VisitRecord, table: Table) -> str:
    found, left = visit.found, visit.left
    if left is None:
        return "No marks."
    if found is None or found == left:
        return f"Set {marks_of(left, table)}."
    return f"Found {marks_of(found, table)}, left {marks_of(left, table)}."


def _owed(unit: UnitRecord) -> Iterator[Block]:
    cells: list[tuple[str, str]] = []
    by_season: dict[Season, list[OwedWork]] = {}
    for one in unit.owed:
        by_season.setdefault(one.season, []).append(one)
    if not by_season:
        return
    yield ""
    yield "Owed"
    for season in ("any", "cold", "warm"):
        rows = [("", owed_text(one, unit)) for one in by_season.get(season, ())]
        rows = [(SEASONS[season], rows[0][1]), *rows[1:]] if rows else []
        cells += rows
    yield Rows(cells=tuple(cells), indent=2)


# -- the record


def visits_answer(unit: UnitRecord, changes: VisitChanges) -> VisitsAnswer:
    """The published record."""
    house, table = unit.house, unit.house.table
    return VisitsAnswer(
        version=VERSION,
        table=table.name,
        model=house.known.facts.model,
        place=house.job.place.text if house.job.place is not None else "",
        units=units_data(table),
        dangers=danger_data(unit.now.dangers, table),
        visits=tuple(_visit_data(visit, table) for visit in unit.visits),
        moved=tuple(
            MoveData(selector=table.parts[m.part].name, was=mark(table, m.part, m.was), to=mark(table, m.part, m.now))
            for m in changes.moved
        ),
        changes=tuple(_state_data(state, house) for state in changes.states),
        not_compared=tuple(
            NotComparedData(
                call=one.figure.call,
                stage=one.figure.stage,
                figure=one.figure.name,
                since=one.since,
                set_for_then=one.set_for_then,
                set_for_now=one.set_for_now,
            )
            for one in changes.not_compared
        ),
        verified=tuple(
            VerifiedStageData(call=one.call, stage=one.stage, date=one.date, fine=one.fine) for one in unit.stages
        ),
        owed=tuple(owed_data(unit)),
        verdict=verify_answer(unit.now, unit.now.judged) if unit.now.judged else None,
    )


def owed_data(unit: UnitRecord) -> Iterator[OwedData]:
    """What is owed, for JSON."""
    for one in unit.owed:
        said = owed_text(one, unit)
        yield OwedData(work=one.work, call=one.call, stage=one.stage, season=one.season, since=one.since, said=said)


def _visit_data(visit: VisitRecord, table: Table) -> VisitData:
    job = visit.job
    return VisitData(
        date=visit.date,
        by=job.by.text if job.by is not None else "",
        found=_setting(visit.found, table),
        left=_setting(visit.left, table),
        states=tuple(
            VisitStateData(
                call=one.verdict.state.call,
                stage=one.verdict.state.stage,
                verdict=state_said(one, visit.house)[0],
                said=": ".join(state_said(one, visit.house)),
            )
            for one in visit.verdicts.judged
        ),
        seen=_texts(job.seen),
        done=_texts(job.done),
        notes=_texts(job.notes),
    )


def _texts(words: Sequence[TypedWord]) -> tuple[str, ...]:
    return tuple(word.text for word in words)


def _setting(setting: Setting | None, table: Table) -> SettingData | None:
    return None if setting is None else setting_data(setting, table)


def _state_data(state: StateChanges, house: House) -> StateChangeData:
    table = house.table
    return StateChangeData(
        call=state.call,
        stage=state.stage,
        figures=tuple(
            ChangedFigureData(
                figure=one.now.name,
                since=one.since,
                read=None if one.read is None else shown(one.read, table).value,
                was=shown(one.was, table).value,
                was_band=shown(one.was, table, one.was.band).value,
                now=shown(one.now, table).value,
                now_band=shown(one.now, table, one.now.band).value,
                unit=shown(one.now, table).unit,
                way=one.way,
            )
            for one in state.changes
        ),
        causes=tuple(
            CauseData(cause=one.name, side=one.side, part=one.part, said=cause_text(one), do=do_text(one, state, house))
            for one in state.causes
        ),
    )


__all__ = ["changed_lines", "owed_data", "visits_answer", "visits_report"]
