"""One selector moved."""

from __future__ import annotations

from selector.solve.board.marks import mark
from selector.table.model.table import Setting, Table
from selector.value import Struct


class Move(Struct, frozen=True, kw_only=True):
    """One part from a position to another; `was` None where it couldn't be read and has to be set whatever it stands
    at: it is not counted."""

    part: int
    was: int | None
    to: int

    def text(self, table: Table) -> str:
        """`SW1-4 OFF -> ON`, with the marks printed on the board."""
        return f"{table.parts[self.part].name} {mark(table, self.part, self.was)} -> {mark(table, self.part, self.to)}"


def moves_between(before: Setting, after: Setting) -> tuple[Move, ...]:
    """Every part that is to be set, in the order the selectors stand on the board."""
    return tuple(
        Move(part=i, was=was, to=to)
        for i, (was, to) in enumerate(zip(before, after, strict=True))
        if to is not None and was != to
    )
