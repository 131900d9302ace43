"""Many boards of one table: each stage is judged once for every combination of the positions that it reads."""

from __future__ import annotations

from collections.abc import Callable
from operator import itemgetter
from typing import Any, Generic, TypeVar

from selector.judge.judge import judge_stage, parts_judged, refused_charts, shared_leads
from selector.judge.judgement import StageJudgement
from selector.solve.engine.engine import Engine
from selector.solve.search.declared import DeclaredDifference, declared_otherwise
from selector.solve.search.space import motors
from selector.table.model.table import ABSENT, Call, No, Setting
from selector.value import Struct

_NOBODY: frozenset[int] = frozenset()
_Kept = TypeVar("_Kept")
_Fault = TypeVar("_Fault")


class BoardFaults(Struct, frozen=True, kw_only=True):
    """What is wrong with a board apart from its stages, as in `Judgement`."""

    untrue: tuple[DeclaredDifference, ...]
    shared: tuple[tuple[int, ...], ...]
    refused: tuple[tuple[str, No], ...]


class JudgedStages(Generic[_Kept, _Fault]):
    """The judgements of one engine's stages, each what `judge` gives but for notes and pages; kept is what `keep` and
    `keep_faults` make of them."""

    def __init__(
        self,
        engine: Engine,
        keep: Callable[[StageJudgement], _Kept],
        keep_faults: Callable[[Setting, BoardFaults], _Fault],
    ) -> None:
        self.engine = engine
        self._keep, self._keep_faults = keep, keep_faults
        table = engine.table
        self._stages: list[tuple[Call, str, frozenset[int], Callable[[Setting], Any], dict[Any, _Kept]]] = [
            (call, stage, *_picker(parts_judged(engine, call, stage)), {})
            for call in table.calls.values()
            for stage in call.stages
        ]
        board = {part.index for part in engine.declarers.values()}
        board |= set(motors(table))
        board |= {p for reading in engine.unread_charts() for p in reading.parts}
        self._pick = _picker(frozenset(board))[1]
        self._faults: dict[Any, _Fault] = {}

    def stages(self, setting: Setting, unread: frozenset[int] = _NOBODY) -> tuple[_Kept, ...]:
        """Every stage in the table's order. Raises rank.TooLarge as `judge` does."""
        out = []
        for call, stage, parts, pick, known in self._stages:
            key = (pick(setting), unread & parts) if unread else pick(setting)
            found = known.get(key)
            if found is None:
                found = known[key] = self._keep(judge_stage(self.engine, call, stage, setting, unread, noted=False))
            out.append(found)
        return tuple(out)

    def faults(self, setting: Setting) -> _Fault:
        """What is wrong apart from the stages."""
        key = self._pick(setting)
        found = self._faults.get(key)
        if found is None:
            faults = BoardFaults(
                untrue=tuple(declared_otherwise(self.engine, setting)),
                shared=shared_leads(self.engine, setting),
                refused=refused_charts(self.engine, setting),
            )
            found = self._faults[key] = self._keep_faults(setting, faults)
        return found


def _picker(parts: frozenset[int]) -> tuple[frozenset[int], Callable[[Setting], Any]]:
    """The parts, and what takes their positions out of a setting."""
    at = sorted(parts)
    return parts, itemgetter(*at) if at else _nothing


def _nothing(_: Setting) -> int:
    return ABSENT
