"""Many boards of one table: each stage is judged once for every combination of the positions that it reads."""

from __future__ import annotations

from collections.abc import Callable
from operator import itemgetter
from typing import Any

from selector.judge.judge import judge_stage, parts_judged, refused_charts, shared_leads
from selector.judge.judgement import StageJudgement
from selector.solve.engine.engine import Engine
from selector.solve.search.declared import DeclaredDifference, differences
from selector.table.model.table import ABSENT, Call, No, Setting
from selector.value import Struct

_NOBODY: frozenset[int] = frozenset()
_Stage = tuple[Call, str, frozenset[int], Callable[[Setting], Any], dict[Any, StageJudgement]]
"""A call and stage, the parts it reads, what picks their positions, and what was judged of them."""


class BoardFaults(Struct, frozen=True, kw_only=True):
    """What is wrong with a board apart from its stages, as in `Judgement`."""

    contradictions: tuple[DeclaredDifference, ...]
    shared: tuple[tuple[int, ...], ...]
    refused: tuple[tuple[str, No], ...]


class JudgedStages:
    """The judgements of one engine's stages, kept as they are asked for; the same as `judge` gives."""

    def __init__(self, engine: Engine) -> None:
        self.engine = engine
        table = engine.table
        self._stages: list[_Stage] = [
            (call, stage, *_picker(parts_judged(engine, call, stage)), {})
            for call in table.calls.values()
            for stage in call.stages
        ]
        board = {part.index for part in engine.declarers.values()}
        board |= {p for s in table.selectors.values() if s.exclusive for p in s.parts}
        board |= {p for reading in engine.unread_charts() for p in reading.parts}
        self._pick = _picker(frozenset(board))[1]
        self._faults: dict[Any, BoardFaults] = {}

    def stages(self, setting: Setting, unread: frozenset[int] = _NOBODY) -> list[StageJudgement]:
        """Every stage in the table's order. Raises rank.TooLarge as `judge` does."""
        out = []
        for call, stage, parts, pick, known in self._stages:
            key = (pick(setting), unread & parts) if unread else pick(setting)
            found = known.get(key)
            if found is None:
                found = known[key] = judge_stage(self.engine, call, stage, setting, unread)
            out.append(found)
        return out

    def faults(self, setting: Setting) -> BoardFaults:
        """What is wrong apart from the stages."""
        key = self._pick(setting)
        found = self._faults.get(key)
        if found is None:
            found = self._faults[key] = BoardFaults(
                contradictions=differences(self.engine, setting),
                shared=shared_leads(self.engine, setting),
                refused=refused_charts(self.engine, setting),
            )
        return found


def _picker(parts: frozenset[int]) -> tuple[frozenset[int], Callable[[Setting], Any]]:
    """The parts, and what takes their positions out of a setting."""
    at = sorted(parts)
    return parts, itemgetter(*at) if at else _nothing


def _nothing(_: Setting) -> int:
    return ABSENT
