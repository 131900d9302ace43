"""Marks of many boards of one table: pieces that were read before are not read again."""

from __future__ import annotations

import re

from selector.problems import Refused
from selector.solve.board.marks import read_marks
from selector.table.kinds import KINDS
from selector.table.model.table import Setting, Table

Marks = tuple[Setting, frozenset[int]]
"""A position for every part, and the parts that were looked at and can't be read."""


MOST_RUNS = 1 << 18
"""Pieces of a table's marks that are kept as they were read."""
_NONE: frozenset[int] = frozenset()
_QUOTED = re.compile(r'(?:^|(?<= ))[^ "]+(?:"[^"]*")?(?= |$)')
_PIECE = re.compile(r'([^\s=,;"]+)=("[^"]*"|[^\s=,;"]+)(?:\s+|$)')


class MarksReader:
    """Reads marks as `read_marks` does: what it can't cut into pieces of one selector each goes there whole."""

    def __init__(self, table: Table) -> None:
        self.table = table
        self._pieces: dict[tuple[str, str], dict[int, int | None] | None] = {}
        self._runs: dict[str, tuple[int, tuple[int, ...]]] = {}
        self._banks = {
            s.name: s.parts
            for s in table.selectors.values()
            if len(s.parts) > 1 and KINDS[s.kind].digits(table.parts[s.parts[0]])
        }
        self._nothing: tuple[int | None, ...] = (None,) * len(table.parts)

    def read(self, text: str) -> Marks:
        """A setting, with the parts typed as unreadable. Raises Refused as `read_marks` does."""
        whole = self._by_runs(text)
        if whole is not None:
            return whole, _NONE
        found = self._by_pieces(text)
        if found is None:
            found = read_marks([text], self.table)
        setting = list(self._nothing)
        for part, at in found.items():
            setting[part] = at
        if None in found.values():
            return tuple(setting), frozenset(part for part, at in found.items() if at is None)
        return tuple(setting), _NONE

    def _by_runs(self, text: str) -> Setting | None:
        """Pieces that were read before, with one blank between, and name every part in the order of the board."""
        out: list[int] = []
        pieces = _QUOTED.findall(text) if '"' in text else text.split(" ")
        for piece in pieces:
            run = self._runs.get(piece)
            if run is None or run[0] != len(out):
                return None
            out += run[1]
        return tuple(out) if len(out) == len(self._nothing) and " ".join(pieces) == text else None

    def _by_pieces(self, text: str) -> dict[int, int | None] | None:
        """The pieces between blanks put together; None where one isn't a selector with its marks, or two speak of one
        part."""
        out: dict[int, int | None] = {}
        at = count = 0
        while at < len(text):
            m = _PIECE.match(text, at)
            read = self._piece(*m.groups()) if m is not None else None
            if m is None or read is None:
                return None
            self._keep(m.group().rstrip(), read)
            out.update(read)
            count += len(read)
            at = m.end()
        return out if count and count == len(out) else None

    def _keep(self, piece: str, read: dict[int, int | None]) -> None:
        """A piece whose parts stand one behind the other, all read."""
        first, run = next(iter(read)), tuple(at for at in read.values() if at is not None)
        if len(self._runs) < MOST_RUNS and list(read) == list(range(first, first + len(run))):
            self._runs[piece] = first, run

    def _piece(self, name: str, marks: str) -> dict[int, int | None] | None:
        bank = self._banks.get(name)
        if bank is not None and len(marks) == len(bank) and not marks.strip("01"):
            return {part: int(mark) for part, mark in zip(bank, marks, strict=True)}
        if (name, marks) not in self._pieces:
            try:
                read = read_marks([f"{name}={marks}"], self.table) or None
            except Refused:
                read = None
            self._pieces[name, marks] = read
        return self._pieces[name, marks]
