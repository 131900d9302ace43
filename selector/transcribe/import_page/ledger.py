"""Where every word of a page went: a cell, a head, a note, or left out with the reason."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby

from selector.transcribe.cells.columns import words_at
from selector.transcribe.cells.grid import Grid, GridCell
from selector.value import Struct

CELL, HEAD, NOTE = "cell", "head", "note"
NO_PART = "no part of a chart was seen in it"


class Use(Struct, frozen=True):
    """What was made of the words that stand on a line between two columns."""

    kind: str
    line: int
    left: int
    right: int


class LeftOut(Struct, frozen=True, kw_only=True):
    """Neighboring words of a line that nothing was made of, and why."""

    place: str
    text: str
    why: str


class Ledger(Struct, frozen=True, kw_only=True):
    """How many words of a page became cells, heads and notes, and those left out. They add up to `words`."""

    words: int
    cells: int
    heads: int
    notes: int
    left_out: tuple[LeftOut, ...]

    @property
    def lost(self) -> int:
        """How many words were left out."""
        return sum(len(left.text.split()) for left in self.left_out)


def uses_of(kind: str, cells: Sequence[GridCell]) -> list[Use]:
    """The same use for each of these cells."""
    return [Use(kind, line, left, right) for line, left, right in words_at(cells)]


def ledger_of(grid: Grid, uses: Sequence[Use], why: dict[int, str]) -> Ledger:
    """The account of a page; `why` says for some lines why words on them are left out."""
    by_line: dict[int, list[Use]] = {}
    for use in uses:
        by_line.setdefault(use.line, []).append(use)
    count = {CELL: 0, HEAD: 0, NOTE: 0}
    left: list[LeftOut] = []
    total = 0
    for row in grid.rows:
        told: list[tuple[str, GridCell]] = []
        for cell in row:
            if not cell.text:
                continue
            total += len(cell.text.split())
            at = [u for u in by_line.get(cell.line, ()) if u.left < cell.right and cell.left < u.right]
            kind = next((k for k in (CELL, HEAD, NOTE) if any(u.kind == k for u in at)), "")
            told.append((kind, cell))
        for kind, group in groupby(told, key=lambda t: t[0]):
            cells = [cell for _, cell in group]
            if kind:
                count[kind] += sum(len(c.text.split()) for c in cells)
                continue
            text = " ".join(c.text for c in cells)
            left.append(LeftOut(place=cells[0].place, text=text, why=why.get(cells[0].line, NO_PART)))
    return Ledger(words=total, cells=count[CELL], heads=count[HEAD], notes=count[NOTE], left_out=tuple(left))
