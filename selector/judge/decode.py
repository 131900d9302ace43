"""Reading a board as found: how it stands, the steps of every call, and what its ramps and delays may be."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from fractions import Fraction

from selector.judge.judge import judge
from selector.judge.judgement import Judgement, StageJudgement
from selector.judge.known_facts import BoardMarks
from selector.solve.engine.chart_reading import ChartReading, Outcome
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import CallAnswer, evaluate
from selector.solve.search.declared import DeclaredDifference
from selector.table.model.table import Atom, Call, CellWord, Either, Named, No, Setting
from selector.value import Struct


class Decoded(Struct, frozen=True, kw_only=True):
    """A board as found. `answers` are its steps, exact where nothing a stage needs is open; `spoken` what a ramp or
    delay may be that an open position decides."""

    judgement: Judgement
    answers: Mapping[str, CallAnswer]
    spoken: Mapping[tuple[str, str, str], tuple[object, ...]]

    @property
    def values(self) -> Mapping[tuple[str, str], StageJudgement]:
        """Every call's stage: its airflow, or all that it may be."""
        return self.judgement.stages

    @property
    def differences(self) -> tuple[DeclaredDifference, ...]:
        """What the board is told against what is known to be there."""
        return self.judgement.contradictions


def decode(engine: Engine, setting: Setting, unread: Collection[int] = ()) -> Decoded:
    """Everything a setting says. `unread`: the parts that were looked at and can't be read; others without a position
    stand as their fact says, else as delivered, else they are not known. Raises rank.TooLarge naming charts where too
    much is open to be worked out."""
    judgement = judge(engine, BoardMarks(setting=setting, unread=frozenset(unread)))
    return with_steps(engine, judgement, unread)


def with_steps(engine: Engine, judgement: Judgement, unread: Collection[int] = ()) -> Decoded:
    """A judged board with its steps. `unread` as for `decode`."""
    answers = evaluate(engine, judgement.setting, unread)
    spoken: dict[tuple[str, str, str], tuple[object, ...]] = {}
    for call, stage in judgement.stages:
        one = engine.table.calls[call]
        for what, by_stage in (("ramp", one.ramp), ("on delay", one.on_delay), ("off delay", one.off_delay)):
            found = may_be_told(engine, by_stage.get(stage, by_stage.get("")), one, stage, judgement.setting)
            if found:
                spoken[call, stage, what] = found
    return Decoded(judgement=judgement, answers=answers, spoken=spoken)


def may_be_told(engine: Engine, atom: Atom | None, call: Call, stage: str, setting: Setting) -> tuple[object, ...]:
    """The distinct things a delay or ramp may be when its selector can't be read; empty where it can."""
    if not isinstance(atom, Named) or atom.kind == "ramp":
        return ()
    point = engine.asked(call, stage)
    for quantity, _, reading, cell, _ in engine.operands("seconds", atom, call, stage, point.rate):
        if reading is not None and quantity in ("ramp", "seconds") and any(setting[p] is None for p in reading.parts):
            every = (o.kind if isinstance(o, No) else o[cell] for o in _every(engine, reading, setting))
            said = (x for one in every for x in (one.figures if isinstance(one, Either) else (one,)))
            return tuple(
                dict.fromkeys(
                    Fraction(0) if one is CellWord.NONE else one.value if isinstance(one, CellWord) else one
                    for one in said
                )
            )
    return ()


def _every(engine: Engine, reading: ChartReading, setting: Setting) -> list[Outcome]:
    found: list[Outcome] = []
    open_parts: list[tuple[int, ...]] = [()]
    for p in reading.parts:
        at = setting[p]
        choices = engine.table.parts[p].open_positions if at is None else [at]
        open_parts = [(*o, c) for o in open_parts for c in choices][:70_000]
    for positions in open_parts:
        found.append(reading.find(positions))
    return found
