"""What is known of a board as it was found."""

from __future__ import annotations

from collections.abc import Mapping

from selector.job.board.complaints import Turn
from selector.job.board.moisture import WaterPutBack
from selector.job.board.solution import Solution
from selector.job.board.stage_verdicts import Standing
from selector.job.board.unread import Unread
from selector.solve.search.decode import Values
from selector.value import Struct, field


class Humidistat(Struct, frozen=True, kw_only=True):
    """A selector against the humidistat: `enabled` with none wired runs reduced, not enabled ignores it."""

    part: int
    at: int
    call: str
    enabled: bool


class AsFound(Struct, frozen=True, kw_only=True):
    """`solution`: the fewest moves that put the board right, searched as plan searches; `standings`: how every stage
    stands as found, `left` after the moves.

    `offered` is False where moves would do nothing. `unread`: what marks that can't be read leave open, `possible`
    every airflow they leave. `turns`: the
    moves that a complaint asks for.
    """

    solution: Solution
    standings: tuple[Standing, ...]
    left: tuple[Standing, ...] = ()
    unread: Unread | None = None
    possible: Mapping[tuple[str, str], Values] = field(default_factory=dict)
    offered: bool = True
    humidistats: tuple[Humidistat, ...] = ()
    water: WaterPutBack | None = None
    turns: tuple[Turn, ...] = ()

    @property
    def right(self) -> bool | None:
        """True: nothing is wrong. False: something is. None: it depends on marks that can't be read, or nothing could
        be judged."""
        if self.solution.differs or any(s.wrong for s in self.standings):
            return False
        if self.unread is not None and self.unread.wrong.verdict is not True:
            return self.unread.wrong.verdict
        return True if any(s.place == "inside" for s in self.standings) or self.unread is not None else None

    @property
    def exit_code(self) -> int:
        """1 where a stage is outside or not usable in a possible case, or the board contradicts the equipment."""
        possible = self.unread is not None and self.unread.wrong.most > 0
        return 1 if self.right is False or possible else 0
