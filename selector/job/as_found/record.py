"""What is known of a board as it was found."""

from __future__ import annotations

from selector.job.board.complaints import Turn
from selector.job.board.moisture import WaterPutBack
from selector.job.board.solution import Solution
from selector.job.board.would_fit import WouldFit
from selector.judge.marks_to_read import OpenMarks
from selector.value import Struct


class Humidistat(Struct, frozen=True, kw_only=True):
    """A selector against the humidistat: `enabled` with none wired runs reduced, not enabled ignores it."""

    part: int
    at: int
    call: str
    enabled: bool


class AsFound(Struct, frozen=True, kw_only=True):
    """`solution`: how the board stands, and the fewest moves that put it right, searched as plan searches.

    `offered` is False where moves would do nothing. `unread`: what marks without a position leave open.
    `turns`: the moves that a complaint asks for. `fits`: what would make a setting fit where none does.
    """

    solution: Solution
    unread: OpenMarks | None = None
    offered: bool = True
    humidistats: tuple[Humidistat, ...] = ()
    water: WaterPutBack | None = None
    turns: tuple[Turn, ...] = ()
    fits: tuple[WouldFit, ...] = ()

    @property
    def right(self) -> bool | None:
        """True: nothing is wrong. False: something is. None: it depends on marks that aren't known, nothing could be
        judged, or a chart that no call reads refuses where the board stands."""
        stages = self.solution.judged.stages.values()
        if self.solution.untrue or any(s.wrong for s in stages):
            return False
        if self.unread is not None and self.unread.wrong.verdict is not True:
            return self.unread.wrong.verdict
        if self.solution.judged.refused:
            return None
        return True if any(s.stands == "inside" or "inside" in s.cases.values() for s in stages) else None

    @property
    def reduced(self) -> tuple[Humidistat, ...]:
        """Selectors under which cooling runs reduced for ever: enabled, and nothing is wired."""
        return tuple(one for one in self.humidistats if one.enabled)

    @property
    def exit_code(self) -> int:
        """1 where a stage is outside or not usable in a possible case, the board contradicts the equipment, or cooling
        runs reduced for ever."""
        possible = self.unread is not None and self.unread.wrong.most > 0
        return 1 if self.right is False or possible or self.reduced else 0
