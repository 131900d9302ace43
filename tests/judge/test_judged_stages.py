"""Judging stage by stage over the positions each reads is judging the whole board."""

from __future__ import annotations

from pathlib import Path
from random import Random

import pytest

from selector.judge.judge import judge
from selector.judge.judged_stages import JudgedStages
from selector.judge.known_facts import BoardMarks, KnownFacts
from selector.solve.board.facts import Facts
from selector.table.library.library import load
from selector.value import replace

TABLES = Path(__file__).parents[2] / "tables"


@pytest.mark.parametrize("name", sorted(p.stem for p in TABLES.glob("*.yaml")))
def test_stage_by_stage_is_the_whole_board(name: str) -> None:
    """Boards at random that share most positions, some unread: each stage, its notes and pages apart, and each fault as
    `judge` has it (a limit is equal to itself alone: they are compared as they are written)."""
    table, _ = load(name)
    random = Random(name)
    engine = KnownFacts(facts=Facts(model=table.unit.models[0] if table.unit.models else None)).engine(table)
    kept = JudgedStages(engine, lambda one: one, lambda _, faults: faults)
    base = [random.randrange(len(p.positions)) for p in table.parts]
    for n in range(12):
        setting: list[int | None] = list(base)
        for part in random.sample(table.parts, min(3, len(table.parts))):
            setting[part.index] = random.randrange(len(part.positions))
        unread = frozenset(random.sample(range(len(table.parts)), 1)) if n % 3 == 0 else frozenset[int]()
        for i in unread:
            setting[i] = None
        marks = BoardMarks(setting=tuple(setting), unread=unread)
        want = judge(engine, marks)
        stages = [replace(one, notes=(), pages=()) for one in want.stages.values()]
        assert list(map(repr, kept.stages(want.setting, unread))) == list(map(repr, stages))
        faults = kept.faults(want.setting)
        assert (faults.untrue, faults.shared, faults.refused) == (want.untrue, want.shared, want.refused)
