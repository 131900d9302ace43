"""How one board stands: the one judgement that every command takes its limits, noes and notes from."""

from __future__ import annotations

from collections.abc import Collection

from selector.judge.assumed_facts import taken_for
from selector.judge.judgement import Judgement, Note, StageJudgement
from selector.judge.known_facts import BoardMarks
from selector.judge.possible_cases import PossibleCases
from selector.solve.board.marks import tapped_twice
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import Board
from selector.solve.search.declared import differences
from selector.solve.search.space import with_leads
from selector.table.model.table import ABSENT, Call, No, Setting


def judge(engine: Engine, marks: BoardMarks, must_run: Collection[tuple[str, str]] = ()) -> Judgement:
    """How a board stands; the stages in `must_run` have to run here. Raises rank.TooLarge where too much is open to
    tell its outcomes."""
    table = engine.table
    setting, assumed = marks.standing(engine)
    boards: dict[tuple[object, ...], Board] = {}
    stages = {
        at: judge_stage(engine, table.calls[at[0]], at[1], setting, marks.unread, needed=at in must_run, boards=boards)
        for at in ((call.name, stage) for call in table.calls.values() for stage in call.stages)
    }
    return Judgement(
        setting=setting,
        open=tuple(i for i, at in enumerate(setting) if at is None),
        assumed=assumed,
        stages=stages,
        contradictions=differences(engine, setting),
        shared=shared_leads(engine, setting),
        cut=tuple(p.index for p in table.parts if setting[p.index] in p.final),
        not_left=tuple(
            p.index for p in table.parts if p.leave_at is not None and setting[p.index] not in (None, p.leave_at)
        ),
        refused=refused_charts(engine, setting),
        notes=(Note(of="unit", name=table.name, text=table.unit.note),) if table.unit.note else (),
    )


def judge_setting(engine: Engine, setting: Setting, unread: Collection[int] = ()) -> Judgement:
    """How a board would stand in a setting that is proposed; those in `unread` stay unreadable where it gives them no
    position."""
    return judge(engine, BoardMarks(setting=setting, unread=frozenset(i for i in unread if setting[i] is None)))


def judge_stage(
    engine: Engine,
    call: Call,
    stage: str,
    setting: Setting,
    unread: frozenset[int],
    *,
    needed: bool = False,
    noted: bool = True,
    boards: dict[tuple[object, ...], Board] | None = None,
) -> StageJudgement:
    """How one stage stands on a board whose parts stand as they are judged (`BoardMarks.standing`); `needed`: it has to
    run here; `noted` False: without notes and pages. `boards`: boards already made of this setting, by the facts filled
    in. Raises rank.TooLarge as `judge` does."""
    one = PossibleCases(engine, call, stage, setting, unread, {} if boards is None else boards)
    return one.judged(needed=needed, noted=noted)


def parts_judged(engine: Engine, call: Call, stage: str) -> frozenset[int]:
    """The parts that a stage's judgement may depend on, its notes apart: all it reads, and all of a motor of which it
    reads a lead."""
    heat = any(taken_for(engine, call, stage))
    read = {p for i in engine.all_read(call, stage, heat=heat) for r in (*i.readings, *i.conditions) for p in r.parts}
    return frozenset(with_leads(engine.table, read))


def shared_leads(engine: Engine, setting: Setting) -> tuple[tuple[int, ...], ...]:
    """Leads that stand on one tap, tap by tap."""
    by: dict[tuple[str, int | None], list[int]] = {}
    for p in tapped_twice(setting, engine.table):
        by.setdefault((engine.table.parts[p].selector, setting[p]), []).append(p)
    return tuple(tuple(sorted(leads)) for leads in by.values())


def refused_charts(engine: Engine, setting: Setting) -> tuple[tuple[str, No], ...]:
    """Charts that no call reads, on a row that the page refuses."""
    out = []
    for reading in engine.unread_charts():
        if any(setting[p] in (None, ABSENT) for p in reading.parts):
            continue
        outcome = reading.at(setting)
        if isinstance(outcome, No) and outcome.refused:
            out.append((reading.name, outcome))
    return tuple(out)
