"""Marks of many boards of one table: pieces that were read before are not read again."""

from __future__ import annotations

from selector.problems import Refused
from selector.solve.board.marks import read_marks
from selector.table.model.table import Setting, Table

Marks = tuple[Setting, frozenset[int]]
"""A position for every part, and the parts that were looked at and can't be read."""


class MarksReader:
    """Reads marks as `read_marks` does: what it can't cut into pieces of one selector each goes there whole."""

    def __init__(self, table: Table) -> None:
        self.table = table
        self._pieces: dict[str, dict[int, int | None] | None] = {}
        self._nothing: tuple[int | None, ...] = (None,) * len(table.parts)

    def read(self, text: str) -> Marks:
        """A setting, with the parts typed as unreadable. Raises Refused as `read_marks` does."""
        found = self._by_pieces(text)
        if found is None:
            found = read_marks([text], self.table)
        setting = list(self._nothing)
        for part, at in found.items():
            setting[part] = at
        if None in found.values():
            return tuple(setting), frozenset(part for part, at in found.items() if at is None)
        return tuple(setting), frozenset()

    def _by_pieces(self, text: str) -> dict[int, int | None] | None:
        """The pieces between blanks put together; None where one isn't a selector with its marks, or two speak of one
        part."""
        out: dict[int, int | None] = {}
        count = 0
        for piece in text.split():
            if piece in self._pieces:
                read = self._pieces[piece]
            else:
                read = self._pieces[piece] = self._piece(piece)
            if read is None:
                return None
            out |= read
            count += len(read)
        return out if count and count == len(out) else None

    def _piece(self, piece: str) -> dict[int, int | None] | None:
        if piece.count("=") != 1 or any(c in piece for c in ",;\"'"):
            return None
        try:
            return read_marks([piece], self.table) or None
        except Refused:
            return None
