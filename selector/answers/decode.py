"""What `decode` says: every call of a board as it is set."""

from __future__ import annotations

from fractions import Fraction
from typing import Literal

from selector.answers.call import (
    CallData,
    NoData,
    beside_text,
    broken_limits,
    broken_lines,
    call_data,
    no_data,
    no_lines,
    not_checked_lines,
    outcome_text,
    pages_and_notes,
    stage_cells,
    timing_lines,
)
from selector.answers.parts import (
    VERSION,
    ContradictionData,
    SettingData,
    UnitsData,
    contradictions_data,
    setting_data,
    units_data,
)
from selector.answers.words.airflow import airflow_text, airflows_text, in_units
from selector.answers.words.contradiction import contradiction_text
from selector.answers.words.figure import as_printed, number_of
from selector.answers.words.fold import Block, Raw, Rows, figures_right
from selector.answers.words.head import head, pages_text
from selector.answers.words.listing import counted, listed
from selector.answers.words.note import note_lines
from selector.answers.words.ramp import DELAYS, seconds_text
from selector.draw.parts.text import board_text
from selector.job.observed.danger_table import shared_tap
from selector.solve.board.marks import mark, marks_of, shared_taps
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import Board, Told, beyond, told
from selector.solve.engine.together import Energised
from selector.solve.search.decode import Decoded, Values
from selector.table.model.figure_units import unit_of_quantity
from selector.table.model.table import CellWord, Either, No, Table
from selector.value import Published

SHOWN = 20
"""Distinct airflows listed; beyond that the range and the count."""


class ValuesData(Published, frozen=True, kw_only=True):
    """What a stage may be doing where something is unreadable or not given; `certain` where it makes no difference."""

    call: str
    stage: str
    airflows: tuple[Fraction, ...]
    exact: tuple[str, ...]
    noes: tuple[NoData, ...]
    certain: bool


class RunningStage(Published, frozen=True, kw_only=True):
    """A call's stage that runs."""

    call: str
    stage: str


class RunningData(Published, frozen=True, kw_only=True):
    """What the energized terminals call for."""

    stages: tuple[RunningStage, ...]
    airflow: Fraction | None
    no: NoData | None


class ToldData(Published, frozen=True, kw_only=True):
    """What a chart of labels, watts or speeds tells: a figure or a word; `call` and `stage` where it is printed with a
    call's airflow."""

    chart: str
    call: str
    stage: str
    quantity: str
    value: Fraction | None
    word: str
    no: NoData | None


class DecodeAnswer(Published, frozen=True, kw_only=True):
    """Answer of selector decode."""

    version: Literal[2]
    table: str
    model: str | None
    units: UnitsData
    dangers: tuple[str, ...]
    warnings: tuple[str, ...]
    contradictions: tuple[ContradictionData, ...]
    setting: SettingData
    open: tuple[str, ...]
    calls: tuple[CallData, ...]
    possible: tuple[ValuesData, ...]
    running: RunningData | None
    told: tuple[ToldData, ...]
    pages: tuple[str, ...]
    notes: tuple[str, ...]


def decode_answer(engine: Engine, decoded: Decoded, running: Energised | None) -> DecodeAnswer:
    """The answer for JSON."""
    table = engine.table
    pages, notes = pages_and_notes(table, decoded.answers)
    return DecodeAnswer(
        version=VERSION,
        table=table.name,
        model=engine.plate_model(),
        units=units_data(table),
        dangers=tuple(_shared_lines(table, decoded)),
        warnings=tuple(warnings(engine, decoded)),
        contradictions=contradictions_data(decoded.differences),
        setting=setting_data(decoded.setting, table),
        open=tuple(table.parts[i].name for i in decoded.unread),
        calls=tuple(map(call_data, decoded.answers.values())),
        possible=tuple(
            ValuesData(
                call=call,
                stage=stage,
                airflows=v.airflows,
                exact=tuple(map(str, v.airflows)),
                noes=tuple(NoData(code=n.kind, why=n.why) for n in v.noes),
                certain=v.certain,
            )
            for (call, stage), v in decoded.values.items()
        ),
        running=None
        if running is None
        else RunningData(
            stages=tuple(RunningStage(call=s.call, stage=s.stage) for s in running.stages),
            airflow=running.airflow if isinstance(running.airflow, Fraction) else None,
            no=no_data(running.airflow),
        ),
        told=tuple(
            ToldData(
                chart=one.chart,
                call=one.call,
                stage=one.stage,
                quantity=one.quantity,
                value=one.cell if isinstance(one.cell, Fraction) else None,
                word=one.cell if isinstance(one.cell, str) else "",
                no=no_data(one.cell),
            )
            for one in told(Board(engine, decoded.setting))
        ),
        pages=tuple(pages),
        notes=tuple(notes),
    )


def exit_code(decoded: Decoded, running: Energised | None) -> int:
    """1 where a call shown is not usable, outside its chart or beyond a limit in a possible case, or the equipment is
    contradicted; else 0."""
    if running is not None:
        return int(isinstance(running.airflow, No) and running.airflow.kind != "does_not_run")
    refused = any(n.refused for v in decoded.values.values() for n in v.noes)
    return int(refused or bool(broken_limits(decoded.answers)) or bool(decoded.differences))


def lines(engine: Engine, decoded: Decoded, running: Energised | None, *, wide: bool, columns: int = 80) -> list[Block]:
    """The answer for people."""
    table = engine.table
    out: list[Block] = [head(table, engine.plate_model())]
    shared = _shared_lines(table, decoded)
    said = [
        *shared,
        *(f"  {step}" for step in shared_tap(table.unit.motor).steps if shared),
        *(f"Warning: {text}." for text in warnings(engine, decoded)),
    ]
    if running is None:
        said += _refused_lines(table, decoded)
        said += broken_lines(table, broken_limits(decoded.answers)) or _verdict(decoded)
    drawn = board_text(table, decoded.setting, wide=wide, columns=columns - 2)
    out += [*said, "", marks_of(decoded.setting, table), Raw(lines=tuple(f"  {x}".rstrip() for x in drawn)), ""]
    if running is not None:
        return out + _running(table, running)
    cells = [
        (f"{call} {stage}".strip(), *_possible(engine, decoded, call, stage, v))
        for (call, stage), v in decoded.values.items()
        if v.airflows or len(v.noes) > 1
    ]
    if cells:
        out.append(Rows(cells=tuple(cells), right=figures_right(cells, 1)))
    only = [(at, v.noes[0]) for at, v in decoded.values.items() if not v.airflows and len(v.noes) == 1]
    out += no_lines(table, [(at, no) for at, no in only if not no.refused])
    extras = [text for answer in decoded.answers.values() for text in timing_lines(table, answer, decoded.answers)]
    extras += _timing(decoded)
    extras += [text for one in told(Board(engine, decoded.setting)) if (text := _told(table, one))]
    if extras:
        out += ["", *extras]
    unchecked = [
        (s.call, s.stage, j.limit.source, j.why)
        for a in decoded.answers.values()
        for s in a.stages
        for j in s.judged
        if j.ok is None
    ]
    if unchecked:
        out += ["", "Not checked", *(f"  {text}" for text in not_checked_lines(table, unchecked))]
    pages, notes = pages_and_notes(table, decoded.answers)
    tail = [*note_lines([*notes, *remarks(table, decoded)]), *([pages_text(pages)] if pages else [])]
    return [*out, "", *tail] if tail else out


def warnings(engine: Engine, decoded: Decoded) -> list[str]:
    """What is said first: equipment that the board contradicts, static pressure beyond what the figures hold to,
    selectors that the page says to leave elsewhere."""
    table = engine.table
    out = [contradiction_text(table, d) for d in decoded.differences]
    out += beyond(engine)
    for part in table.parts:
        at = decoded.setting[part.index]
        if part.leave_at is not None and at is not None and at != part.leave_at:
            stands, leave = mark(table, part.index, at), mark(table, part.index, part.leave_at)
            out.append(f"{part.name} is {stands}; the manual says to leave it {leave}")
    return out


def _refused_lines(table: Table, decoded: Decoded) -> list[str]:
    """`cooling first and second, fan: not usable (page 23: do not use)`: calls with one fate on one line."""
    noes = [(at, no) for at, v in decoded.values.items() for no in v.noes if no.refused and not v.airflows]
    return no_lines(table, noes)


def _shared_lines(table: Table, decoded: Decoded) -> list[str]:
    """The danger of leads that share a tap, each pair once."""
    row = shared_tap(table.unit.motor)
    out = []
    for lead, other, tap in shared_taps(decoded.setting, table):
        said = row.first.format(what=f"{lead} and {other} share tap {tap}")
        out.append(f"{row.level}: {said}")
    return out


def _verdict(decoded: Decoded) -> list[str]:
    """`OK: as set, within limits.` where every stage that runs was checked against a limit and none was open."""
    judged = [j for a in decoded.answers.values() for s in a.stages for j in s.judged]
    if any(n.refused for v in decoded.values.values() for n in v.noes):
        return []
    if decoded.differences or any(not v.certain for v in decoded.values.values()) or not judged:
        return []
    return ["OK: as set, within limits."] if all(j.ok for j in judged) else []


def _running(table: Table, running: Energised) -> list[Block]:
    if not running.stages:
        return [outcome_text(table, running.airflow)]
    out: list[Block] = [Rows(cells=tuple(stage_cells(table, s) for s in running.stages))]
    if len(running.stages) > 1:
        out.append(f"together: {outcome_text(table, running.airflow)}")
    return out


def _possible(engine: Engine, decoded: Decoded, call: str, stage: str, values: Values) -> tuple[str, str]:
    """The airflow, or all it may be, and what goes with it."""
    table = engine.table
    answer = decoded.answers[call].stage(stage)
    open_ = isinstance(answer.airflow, No) and answer.airflow.kind in ("unreadable", "not_known")
    if not (open_ and decoded.unread and (values.airflows or len(values.noes) > 1)):
        return outcome_text(table, answer.airflow), beside_text(table, answer)
    words = []
    if len(values.airflows) > SHOWN:
        low = number_of(in_units(table).worked(values.airflows[0], "airflow"))
        high = airflow_text(table, values.airflows[-1])
        words.append(f"one of {counted(len(values.airflows), 'airflow')}, {low} to {high}")
    elif values.airflows and all(x in values.which for x in values.airflows):
        words.append(" or ".join(f"{airflow_text(table, x)}{_when(table, values.which[x])}" for x in values.airflows))
    elif values.airflows:
        words.append(airflows_text(table, values.airflows))
    words += [outcome_text(table, n) for n in values.noes]
    text = "; or ".join(words)
    return (f"{text} (certain, whatever the open positions are)" if values.certain else text), ""


def _when(table: Table, which: tuple[tuple[int, int], ...]) -> str:
    """` (J2 a or c)` behind an airflow that a single open selector decides."""
    if not which:
        return ""
    part = table.parts[which[0][0]]
    return f" ({part.name} {listed((mark(table, part.index, at) for _, at in which), 'or')})"


def _told(table: Table, one: Told) -> str:
    """`lock-out: 40 F`; `watts low: 320 W`. Nothing where no figure is printed, or an open position decides."""
    cell = one.cell
    if (isinstance(cell, No) and not cell.refused) or cell is CellWord.BLANK:
        return ""
    unit = unit_of_quantity(one.quantity, table.units)
    shown = (
        outcome_text(table, cell)
        if isinstance(cell, No)
        else f"{as_printed(cell)} {unit}"
        if isinstance(cell, Fraction)
        else f"{cell.words} {unit}"
        if isinstance(cell, Either)
        else cell.value
        if isinstance(cell, CellWord)
        else cell
    )
    several = len(table.charts[one.chart].gives) > 1
    return f"{' '.join(w for w in (one.call or one.chart, one.stage, one.quantity if several else '') if w)}: {shown}"


_SAID = {"ramp": "start", "on delay": DELAYS["on"], "off delay": DELAYS["off"]}


def _timing(decoded: Decoded) -> list[str]:
    """Ramps and delays that an open position decides: all they may be."""
    out = []
    for (call, stage, what), options in decoded.spoken.items():
        shown = listed(dict.fromkeys(seconds_text(o) if isinstance(o, Fraction) else str(o) for o in options), "or")
        out.append(f"{call} {stage}".strip() + f": {_SAID[what]} {shown}")
    return out


def remarks(table: Table, decoded: Decoded) -> list[str]:
    """What is odd though nothing forbids it: a constant fan above the lowest cooling stage."""
    out = []
    for call in table.calls.values():
        words = {t.upper() for w in call.terminals.values() for t in w}
        if words != {"G"}:
            continue
        fan = decoded.answers[call.name].stages[0].airflow
        for other in table.calls.values():
            low = decoded.answers[other.name].stages[0]
            names = {t.upper() for t in other.terminals.get(low.stage, other.terminals.get("", ()))}
            cools = "Y1" in names and not other.heats
            if cools and isinstance(fan, Fraction) and isinstance(low.airflow, Fraction) and fan > low.airflow:
                more = f"more than {low.title}, {airflow_text(table, low.airflow)}"
                out.append(f"{call.name} runs {airflow_text(table, fan)}, {more}")
    return out
