"""Where every figure of a chart stands in its file."""

from __future__ import annotations

import re

from selector.table.model.table import Chart, Row, Table
from selector.value import Struct

_TOKEN = re.compile(r"\S+")
_NOTE = re.compile(r"\(([^()]*)\)\s*$")


class FigurePlace(Struct, frozen=True, kw_only=True, order=True):
    """A piece of a line: line and column count from 1; `text` is what stands there."""

    line: int
    column: int
    text: str

    @property
    def length(self) -> int:
        """How many characters it covers."""
        return len(self.text)


def cell_places(table: Table, chart: Chart) -> list[list[FigurePlace]]:
    """For each row of the chart the places of its typed cells, in their order; an empty list for a row without
    figures."""
    out: list[list[FigurePlace]] = []
    line, at = 0, 0
    for row in chart.rows:
        at = at + 1 if row.line == line else 0
        line = row.line
        text = table.lines[line - 1] if 0 < line <= len(table.lines) else ""
        out.append(_places_in(text, line, at, row))
    return out


def row_place(table: Table, row: Row) -> FigurePlace:
    """The whole row, from its first character."""
    text = table.lines[row.line - 1] if 0 < row.line <= len(table.lines) else ""
    body = text.strip()
    return FigurePlace(line=row.line, column=len(text) - len(text.lstrip()) + 1, text=body)


def _places_in(text: str, line: int, at: int, row: Row) -> list[FigurePlace]:
    seconds = [words.split()[:1] for words in row.beside] or [[]] * len(row.typed)
    wanted = [
        (cell, word)
        for cell, (typed, second) in enumerate(zip(row.typed, seconds, strict=True))
        for cell, word in (*((cell, word) for word in typed.split()), *((-1, word) for word in second))
    ]
    pieces = [piece for piece in _pieces(text) if text[piece[0] : piece[1]].strip()]
    if row.same or not wanted or at >= len(pieces):
        return []
    start, end = pieces[at]
    body = text[start:end]
    note = _NOTE.search(body)
    if note:
        body = body[: note.start()]
    tokens = [(m.group(), start + m.start()) for m in _TOKEN.finditer(body.replace("|", " "))]
    found: dict[int, tuple[int, int]] = {}
    for cell, word in reversed(wanted):
        while tokens and not _same(tokens[-1][0], word):  # a footnote's mark behind it
            tokens.pop()
        if not tokens:
            return []
        begin = tokens.pop()[1]
        found[cell] = (begin, found[cell][1] if cell in found else begin + len(word))
    return [
        FigurePlace(line=line, column=begin + 1, text=text[begin:stop])
        for begin, stop in (found[cell] for cell in range(len(row.typed)))
    ]


def _same(token: str, word: str) -> bool:
    """True where the token is the word; the last row of a line in braces carries what closes them."""
    return token == word or (token.startswith(word) and not token[len(word) :].strip("}]\"',"))


def _pieces(text: str) -> list[tuple[int, int]]:
    """Ends of the rows of a line: parted by `;` outside parentheses."""
    out: list[tuple[int, int]] = []
    depth = at = 0
    start = text.find("rows:")
    if start >= 0:
        at = start + 5
    for i, char in enumerate(text + ";"):
        if i < at:
            continue
        depth += (char == "(") - (char == ")")
        if char == ";" and depth <= 0:
            out.append((at, i))
            at = i + 1
    return out
