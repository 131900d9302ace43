"""How one board stands: the one judgement that every command takes its limits, noes and notes from."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from fractions import Fraction
from itertools import product
from math import prod

from selector.judge.judgement import Judgement, LimitCheck, Note, StageJudgement, Stands, State
from selector.judge.known import BoardMarks
from selector.solve.board.marks import tapped_twice
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import Board
from selector.solve.engine.instructions import Instruction
from selector.solve.engine.limit import JudgedLimit
from selector.solve.rank.rank import TooLarge
from selector.solve.search.decode import differences
from selector.table.model.table import ABSENT, Call, No, Setting, figures_of
from selector.value import Struct

MOST_LISTED = 20_000
"""Completions of open positions that one stage is judged in."""
OFF_PINS = "off pins"


class _Case(Struct, frozen=True):
    """One completion of what a stage reads: the positions filled in, its airflow, its limits, each in its worst
    point."""

    filled: tuple[int, ...]
    airflow: Fraction | No
    limits: tuple[JudgedLimit, ...]


def judge(engine: Engine, marks: BoardMarks, must_run: Collection[tuple[str, str]] = ()) -> Judgement:
    """How a board stands; the stages in `must_run` have to run here. Raises rank.TooLarge where too many positions are
    open to judge every completion."""
    table = engine.table
    setting, assumed = marks.standing(engine)
    stages = {
        at: judge_stage(engine, table.calls[at[0]], at[1], setting, marks.unread, needed=at in must_run)
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


def judge_stage(
    engine: Engine, call: Call, stage: str, setting: Setting, unread: frozenset[int], *, needed: bool = False
) -> StageJudgement:
    """How one stage stands on a board whose parts stand as they are judged (`BoardMarks.standing`); `needed`: it has to
    run here. Raises rank.TooLarge as `judge` does."""
    program = _program(engine, call, stage)
    read = dict.fromkeys(p for i in program for r in i.readings for p in r.parts)
    reads = tuple(p for p in read if setting[p] is None)
    cases = list(_cases(engine, call, stage, setting, reads, unread))
    outcomes = [c.airflow.kind if isinstance(c.airflow, No) else c.airflow for c in cases]
    depends = _deciding(reads, cases, outcomes)
    airflows = tuple(sorted({x for c in cases for x in figures_of(c.airflow)}))
    noes = {c.airflow.kind: c.airflow for c in reversed(cases) if isinstance(c.airflow, No)}
    outcome = cases[0].airflow
    if depends:
        seen = any(p in unread for p in depends)
        names = ", ".join(engine.table.parts[p].name for p in depends)
        outcome = No(kind="unreadable" if seen else "not_known", why=f"depends on {names}")
    return StageJudgement(
        call=call.name,
        stage=stage,
        outcome=outcome,
        airflows=airflows,
        noes=tuple(noes[k] for k in sorted(noes, key=lambda kind: noes[kind].rank)),
        depends=depends,
        checks=_checks(reads, [c for c in cases if figures_of(c.airflow)]),
        notes=_notes(engine, call, program, setting),
        rate=engine.asked(call, stage).rate,
        reads=reads,
        cases={case.filled: _stands(case, needed=needed) for case in cases},
        needed=needed,
    )


def _stands(case: _Case, *, needed: bool) -> Stands:
    if isinstance(case.airflow, No):
        return "stopped" if needed and case.airflow.kind == "does_not_run" else case.airflow.kind
    if any(j.ok is False for j in case.limits):
        return "outside"
    return "inside" if any(j.ok for j in case.limits) else "not_judged"


def parts_judged(engine: Engine, call: Call, stage: str) -> frozenset[int]:
    """The parts that a stage's judgement may depend on: all it reads, and leads that may share a tap with those."""
    read = {p for i in _program(engine, call, stage) for r in (*i.readings, *i.conditions) for p in r.parts}
    table = engine.table
    return frozenset(
        p
        for s in table.selectors.values()
        for p in s.parts
        if p in read or (s.exclusive and not read.isdisjoint(s.parts))
    )


def _program(engine: Engine, call: Call, stage: str) -> tuple[Instruction, ...]:
    """Everything that is read to judge a stage."""
    out: dict[Instruction, None] = {}
    for point in (*engine.points(call, stage), engine.asked(call, stage)):
        limits, extra = engine.limits(call, stage, point.rate)
        out.update(dict.fromkeys((*engine.airflow(call, stage, point.rate), *extra)))
        if any(limit.of_heat for limit in limits):
            out.update(dict.fromkeys(engine.heat(call, stage, point.rate)))
    return tuple(out)


def _cases(
    engine: Engine, call: Call, stage: str, setting: Setting, needed: Sequence[int], unread: frozenset[int]
) -> Iterator[_Case]:
    parts = engine.table.parts
    choices = [
        [i for i, word in enumerate(parts[p].positions) if not (p in unread and word == OFF_PINS)] for p in needed
    ]
    if prod(len(c) for c in choices) > MOST_LISTED:
        raise TooLarge(
            variables=tuple(parts[p].name for p in needed), factors=(call.name,), entries=prod(len(c) for c in choices)
        )
    for filled in product(*choices):
        at = dict(zip(needed, filled, strict=True))
        whole = tuple(at.get(i, was) for i, was in enumerate(setting))
        if at and any(p in at for p in tapped_twice(whole, engine.table)):
            continue
        board = Board(engine, whole, unread)
        airflow = board.airflow(engine.asked(call, stage))
        yield _Case(filled, airflow, _worst(engine, board, call, stage) if figures_of(airflow) else ())


def _worst(engine: Engine, board: Board, call: Call, stage: str) -> tuple[JudgedLimit, ...]:
    """Each limit of a stage, in the point where it is worst."""
    points = [board.judged(p) for p in (*engine.points(call, stage), *board.bends(call, stage))]
    return tuple(max(at, key=_badness) for at in zip(*(p for p in points if p), strict=True))


def _badness(judged: JudgedLimit) -> tuple[int, Fraction]:
    return (2 if judged.ok is False else 1 if judged.ok is None else 0, abs(judged.beyond))


def _deciding(needed: Sequence[int], cases: Sequence[_Case], results: Sequence[object]) -> tuple[int, ...]:
    """The parts that change a result by themselves in some completion; all, where only together they do."""
    if len(set(results)) <= 1:
        return ()
    out = []
    for n, part in enumerate(needed):
        seen: dict[tuple[int, ...], object] = {}
        for case, result in zip(cases, results, strict=True):
            rest = (*case.filled[:n], *case.filled[n + 1 :])
            if seen.setdefault(rest, result) != result:
                out.append(part)
                break
    return tuple(out) or tuple(needed)


def _checks(needed: Sequence[int], cases: Sequence[_Case]) -> tuple[LimitCheck, ...]:
    """Every limit over all completions in which the stage has an airflow."""
    if not cases:
        return ()
    out = []
    for n, limit in enumerate(cases[0].limits):
        judged = [case.limits[n] for case in cases]
        oks = [j.ok for j in judged]
        state: State = "kept" if set(oks) == {True} else "broken" if set(oks) == {False} else "depends"
        if set(oks) == {None}:
            state = "not_judged"
        distinct = {(j.ok, j.value, j.low, j.high, j.why): j for j in judged}
        worst = sorted(distinct.values(), key=_badness, reverse=True)
        open_ = next((j for j in worst if j.ok is None), None)
        out.append(
            LimitCheck(
                limit=limit.limit,
                state=state,
                judged=tuple(worst),
                depends=_deciding(needed, cases, oks),
                needs=open_.needs if open_ is not None else "",
                why=open_.why if open_ is not None else "",
            )
        )
    return tuple(out)


def _notes(engine: Engine, call: Call, program: Iterable[Instruction], setting: Setting) -> tuple[Note, ...]:
    """The notes of the call, and of every chart, row and selector that it reads, as far as its conditions may hold."""
    table = engine.table
    out: dict[Note, None] = {}
    if call.note:
        out[Note(of="call", name=call.name, text=call.note)] = None
    for i in program:
        if any(not isinstance(o := c.at(setting), No) and o[0] != 1 for c in i.conditions):
            continue
        for reading in i.readings:
            for p in reading.parts:
                out |= {Note(of="selector", name=name, text=note): None for name, note in table.notes_at(p)}
            chart = table.charts.get(reading.name)
            if chart is None:
                continue
            if chart.note:
                out[Note(of="chart", name=chart.name, text=chart.note, page=chart.page)] = None
            at = [setting[p] for p in reading.parts]
            choices = [
                range(len(table.parts[p].positions)) if a is None else (a,)
                for p, a in zip(reading.parts, at, strict=True)
            ]
            if prod(len(c) for c in choices) > MOST_LISTED:
                continue
            for positions in product(*choices):
                row = reading.row(positions)
                if row is not None and row.note:
                    out[Note(of="row", name=chart.name, text=row.note, page=chart.page)] = None
    return tuple(out)


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
