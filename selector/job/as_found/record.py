"""What is said of a board as it was found."""

from __future__ import annotations

from selector.job.board.complaints import Advice
from selector.job.board.fewest import Fewest
from selector.job.board.stage_verdicts import Standing
from selector.job.board.unread import Unread
from selector.solve.search.decode import DeclaredDifference
from selector.table.model.table import No, Setting
from selector.value import Struct


class AsFound(Struct, frozen=True, kw_only=True):
    """`first`: what is said before anything else; `declared`: selectors that tell the board other equipment than is
    there.

    `moves` None: nothing has to move, or what can't be read decides first (`unread`).
    `offered` is False where moves would do nothing or can't be judged; `left` is how every stage stands after the
    moves.
    """

    setting: Setting
    first: tuple[str, ...]
    declared: tuple[DeclaredDifference, ...]
    standings: tuple[Standing, ...]
    refused: tuple[tuple[str, No], ...]
    unread: Unread | None
    moves: Fewest | None
    offered: bool
    left: tuple[Standing, ...] = ()
    remarks: tuple[str, ...] = ()
    advice: Advice | None = None

    @property
    def right(self) -> bool | None:
        """True: nothing is wrong. False: something is. None: it depends on marks that can't be read, or on facts
        that are missing."""
        if self.refused or self.declared or any(s.wrong for s in self.standings):
            return False
        if self.unread is not None:
            return self.unread.wrong.verdict
        asked = [s for s in self.standings if s.low is not None or s.high is not None]
        return None if any(s.place == "not known" for s in asked) else True
