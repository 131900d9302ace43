"""What `decode` says: every call of a board as it is set."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Literal

from selector.answers.assumed_facts import assumed_fact_lines
from selector.answers.board import (
    danger_lines,
    other_warnings,
    set_for_lines,
    shared_lines,
    shared_steps,
    unchecked_lines,
    unknown_lines,
    unread_lines,
    verdict_lines,
    warnings,
    wrong_lines,
)
from selector.answers.call import (
    START,
    CallData,
    NoData,
    beside_text,
    call_data,
    no_data,
    no_lines,
    note_texts,
    outcome_text,
    timing_lines,
)
from selector.answers.parts import (
    VERSION,
    AssumedFactData,
    ContradictionData,
    NoteData,
    SettingData,
    UnitsData,
    assumed_facts_data,
    contradictions_data,
    notes_data,
    setting_data,
    units_data,
)
from selector.answers.words.airflow import airflow_text, as_range, possible_text, rise_text
from selector.answers.words.assumed_marks import assumed_marks
from selector.answers.words.figure import as_printed
from selector.answers.words.fold import Block, Raw, Rows, figures_right
from selector.answers.words.head import head, pages_text
from selector.answers.words.listing import ended, listed
from selector.answers.words.note import note_lines
from selector.answers.words.ramp_and_delay import DELAYS, seconds_text
from selector.answers.words.settle import settled_text
from selector.draw.parts.text import board_text
from selector.job.readings.settled_marks import SettledMark
from selector.judge.decode import Decoded
from selector.judge.judgement import Judgement, StageJudgement
from selector.solve.board.marks import mark, marks_of
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import Board, Told, told
from selector.solve.engine.together import Energised
from selector.table.model.figure_units import unit_of_quantity
from selector.table.model.quantities import HEATS, RISE, TOLD
from selector.table.model.table import CellWord, Either, No, Table
from selector.units import format_number, rise, unit_named
from selector.value import Published, replace

SHOWN = 20
"""Distinct airflows listed; beyond that the range and the count."""


class ValuesData(Published, frozen=True, kw_only=True):
    """What a stage may be doing where something is unreadable or not given; `certain` where it makes no difference,
    else `depends` on selectors and facts. `which`: the marks that lead to an airflow, where one selector decides."""

    call: str
    stage: str
    airflows: tuple[Fraction, ...]
    exact: tuple[str, ...]
    noes: tuple[NoData, ...]
    certain: bool
    depends: tuple[str, ...]
    which: dict[str, tuple[str, ...]]


class OpenTimingData(Published, frozen=True, kw_only=True):
    """A ramp or delay that an open position decides: all that it may be, seconds or names of ramps, and its words."""

    call: str
    stage: str
    what: str
    seconds: tuple[Fraction, ...]
    ramps: tuple[str, ...]
    text: str


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
    assumed: tuple[str, ...]
    assumed_facts: tuple[AssumedFactData, ...]
    calls: tuple[CallData, ...]
    possible: tuple[ValuesData, ...]
    possible_timing: tuple[OpenTimingData, ...]
    running: RunningData | None
    told: tuple[ToldData, ...]
    pages: tuple[str, ...]
    notes: tuple[NoteData, ...]
    remarks: tuple[str, ...]
    settled: tuple[str, ...]


def decode_answer(
    engine: Engine, decoded: Decoded, running: Energised | None, settled: Sequence[SettledMark] = ()
) -> DecodeAnswer:
    """The answer for JSON."""
    table, judgement = engine.table, decoded.judgement
    names = [p.name for p in table.parts]
    return DecodeAnswer(
        version=VERSION,
        table=table.name,
        model=engine.plate_model(),
        units=units_data(table),
        dangers=(*shared_lines(table, judgement), *danger_lines(table, _shown(judgement, running))),
        warnings=tuple(warnings(engine, judgement)),
        contradictions=contradictions_data(judgement.contradictions),
        setting=setting_data(judgement.setting, table),
        open=tuple(names[i] for i in judgement.open),
        assumed=tuple(names[i] for i in judgement.assumed),
        assumed_facts=assumed_facts_data(judgement.assumed_facts),
        calls=tuple(call_data(table, answer, judgement, decoded.answers) for answer in decoded.answers.values()),
        possible=tuple(
            ValuesData(
                call=call,
                stage=stage,
                airflows=v.airflows,
                exact=tuple(map(str, v.airflows)),
                noes=tuple(NoData(code=n.kind, why=n.why, needs=n.needs) for n in v.noes),
                certain=v.certain,
                depends=(*(names[i] for i in v.depends), *v.facts),
                which={str(x): tuple(f"{names[p]} {mark(table, p, at)}" for p, at in v.which[x]) for x in v.which},
            )
            for (call, stage), v in judgement.stages.items()
        ),
        possible_timing=tuple(
            OpenTimingData(
                call=call,
                stage=stage,
                what=what,
                seconds=tuple(x for x in options if isinstance(x, Fraction)),
                ramps=tuple(str(x) for x in options if not isinstance(x, Fraction)),
                text=_open_timing(what, options),
            )
            for (call, stage, what), options in decoded.spoken.items()
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
            for one in told(Board(engine, judgement.setting))
        ),
        pages=judgement.pages,
        notes=notes_data(judgement.every_note),
        remarks=(*remarks(table, decoded), *_rises_apart(engine, decoded)),
        settled=tuple(settled_text(one, table) for one in settled),
    )


def _shown(judgement: Judgement, running: Energised | None) -> Judgement:
    """The judgement of the stages that are shown: those that terminals call for, else all."""
    if running is None:
        return judgement
    return replace(judgement, stages={at: judgement.stages[at] for at in ((s.call, s.stage) for s in running.stages)})


def exit_code(decoded: Decoded, running: Energised | None) -> int:
    """1 where a call shown is not usable, outside its chart or beyond a limit in a possible case, or the equipment is
    contradicted; else 0. What only a fact not given decides is not known."""
    judgement = _shown(decoded.judgement, running)
    stages = [s for s in judgement.stages.values() if s.depends or not s.facts]
    refused = any(no.refused for s in stages for no in s.noes)
    if running is not None and isinstance(running.airflow, No) and running.airflow.refused:
        refused = True
    outside = any(j.ok is False for s in stages for c in s.checks if c.depends or not c.facts for j in c.judged)
    return int(refused or outside or bool(judgement.untrue or judgement.shared or judgement.refused))


def lines(
    engine: Engine,
    decoded: Decoded,
    running: Energised | None,
    settled: Sequence[SettledMark] = (),
    *,
    wide: bool,
    columns: int = 80,
) -> list[Block]:
    """The answer for people."""
    table, judgement = engine.table, _shown(decoded.judgement, running)
    out: list[Block] = [head(table, engine.plate_model())]
    shared = shared_lines(table, judgement)
    out += [*shared, *(f"  {step}" for step in shared_steps(table) if shared), *danger_lines(table, judgement)]
    out += set_for_lines(table, decoded.judgement.contradictions)
    out += unread_lines(engine, judgement.setting, range(len(table.parts)))
    out += [ended(f"Warning: {text}") for text in other_warnings(engine, decoded.judgement)]
    out += [*wrong_lines(table, judgement), *unknown_lines(table, judgement)]
    if len(out) == 1 and running is None:
        out += verdict_lines(judgement)
    drawn = board_text(table, judgement.setting, wide=wide, columns=columns - 2)
    out += ["", marks_of(judgement.setting, table), Raw(lines=tuple(f"  {x}".rstrip() for x in drawn))]
    assumed = assumed_marks(engine, judgement.setting, judgement.assumed)
    out += [f"Assumed, {text}. Type what you see." for text in assumed]
    out += assumed_fact_lines(table, judgement.assumed_facts)
    out += [f"{settled_text(one, table)}." for one in settled]
    out.append("")
    if running is not None:
        out += _running(table, decoded, running)
    else:
        out += _table(engine, decoded)
    items = unchecked_lines(table, judgement, decoded.answers.values())
    if items:
        out += ["", "Not checked", *(f"  {text}" for text in items)]
    pages = pages_text(judgement.pages)
    rises = _rises_apart(engine, decoded)
    tail = [*note_lines([*note_texts(judgement), *remarks(table, decoded), *rises]), *([pages] if pages else [])]
    return [*out, "", *tail] if tail else out


def _table(engine: Engine, decoded: Decoded) -> list[Block]:
    """What every call does, how it starts and stops, and what else the charts tell."""
    table = engine.table
    stages = decoded.judgement.stages
    out: list[Block] = []
    cells = [
        (s.title, *_possible(table, decoded, s)) for s in stages.values() if s.airflows or len(s.noes) > 1 or s.facts
    ]
    if cells:
        out.append(Rows(cells=tuple(cells), right=figures_right(cells, 1)))
    only = [(at, s.noes[0]) for at, s in stages.items() if not s.airflows and len(s.noes) == 1 and not s.facts]
    out += no_lines(table, [(at, no) for at, no in only if not no.refused])
    extras = [text for answer in decoded.answers.values() for text in timing_lines(table, answer, decoded.answers)]
    extras += _timing(decoded)
    extras += [text for one in told(Board(engine, decoded.judgement.setting)) if (text := _told(table, one))]
    return [*out, "", *extras] if extras else out


def _running(table: Table, decoded: Decoded, running: Energised) -> list[Block]:
    if not running.stages:
        return [outcome_text(table, running.airflow)]
    stages = [decoded.judgement.stages[s.call, s.stage] for s in running.stages]
    out: list[Block] = [Rows(cells=tuple((s.title, *_possible(table, decoded, s)) for s in stages))]
    if len(running.stages) > 1:
        out.append(f"together: {outcome_text(table, running.airflow)}")
    return out


def _possible(table: Table, decoded: Decoded, s: StageJudgement) -> tuple[str, str]:
    """The airflow, or all it may be, and what goes with it."""
    answer = decoded.answers[s.call].stage(s.stage)
    if not s.depends and not s.facts:
        certain = s.reads and isinstance(s.outcome, Fraction)
        return (
            f"{outcome_text(table, s.outcome)}{' (certain, whatever the open positions are)' if certain else ''}",
            beside_text(table, answer),
        )
    words = []
    ends = as_range(table, s.airflows, s.facts, SHOWN)
    if s.airflows and not ends and all(x in s.which for x in s.airflows):
        words.append(" or ".join(f"{airflow_text(table, x)}{_when(table, s.which[x])}" for x in s.airflows))
    elif s.airflows:
        words.append(possible_text(table, s.airflows, s.facts, SHOWN))
    words += [outcome_text(table, n) for n in s.noes]
    depends = f" (by {listed(s.facts)})" if s.facts else ""
    return f"{'; or '.join(words)}{depends}", ""


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
        else f"{format_number(cell, 0) if one.quantity in TOLD else as_printed(cell)} {unit}"
        if isinstance(cell, Fraction)
        else f"{cell.words} {unit}"
        if isinstance(cell, Either)
        else cell.value
        if isinstance(cell, CellWord)
        else cell
    )
    several = bool(one.call) or len(table.charts[one.chart].gives) > 1
    quantity = "printed rise" if one.quantity == RISE else one.quantity
    return f"{' '.join(w for w in (one.call or one.chart, one.stage, quantity if several else '') if w)}: {shown}"


_SAID = {"ramp": START, "on delay": DELAYS["on"], "off delay": DELAYS["off"]}


def _open_timing(what: str, options: tuple[object, ...]) -> str:
    """`blower-off delay 30 s or 60 s`."""
    shown = listed(dict.fromkeys(seconds_text(o) if isinstance(o, Fraction) else str(o) for o in options), "or")
    return f"{_SAID[what]} {shown}"


def _timing(decoded: Decoded) -> list[str]:
    """Ramps and delays that an open position decides: all they may be."""
    return [
        f"{f'{call} {stage}'.strip()}: {_open_timing(what, options)}"
        for (call, stage, what), options in decoded.spoken.items()
    ]


def _rises_apart(engine: Engine, decoded: Decoded) -> list[str]:
    """Rises printed beside an airflow that the plate's heat and the airflow don't make."""
    table, facts = engine.table, engine.facts
    if facts.air != 1 or facts.burned != 1 or facts.delivered or not set(HEATS).isdisjoint(facts.values):
        return []  # the page was not printed for this house
    near, out = rise(Fraction(1), unit_named("F"), unit_named(table.units.temperature)), []
    for one in told(Board(engine, decoded.judgement.setting)):
        if one.quantity != RISE or not one.call or not isinstance(one.cell, Fraction):
            continue
        stage = decoded.answers[one.call].stage(one.stage)
        if stage.rise is not None and abs(stage.rise - one.cell) > near:
            printed = f"the printed rise is {as_printed(one.cell)} {table.units.temperature}"
            worked = rise_text(table, stage.rise).removeprefix("rise ")
            out.append(f"{stage.title}: {printed}, heat and airflow make {worked}; hold the typing against the page")
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
