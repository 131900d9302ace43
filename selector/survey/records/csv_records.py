"""Records from a CSV file, by the standard library: no engine's reader keeps every bad row.

A row with too few cells is filled up, one with too many keeps what is beyond in its note; bytes that are no UTF-8 are
replaced; blank lines are counted. What was done is said in the row's note.
"""

from __future__ import annotations

import csv
from collections.abc import Iterator
from typing import BinaryIO

from selector.problems import Problem, Refused
from selector.survey.columns import CHUNK, Columns, of_texts, together

PIECE = 100_000
"""Rows that are held as lists before they become columns."""
LONGEST_LINE = 4_000_000
"""Bytes; a longer one is no record."""
MOST_LINES = 200
"""A record over more lines than these has a quote that nobody closed."""


class CsvRecords:
    """A file that is read once, chunk by chunk. `names` are its heads; `blank` lines and `flagged` rows are counted
    while it is read."""

    def __init__(self, file: BinaryIO, path: str) -> None:
        self.path = path
        self.blank = 0
        self.flagged = 0
        self._lines = self._decoded(file)
        self._replaced = False
        self._line = 0
        head = next((line for line in self._lines if line.strip()), None)
        if head is None:
            raise self._refused("nothing-came", "This file is empty.", "Give a file with a line of column names.")
        mark = max(",;\t|", key=head.count)
        self._said = self._line
        self._rows = csv.reader(self._lines, delimiter=mark)
        try:
            first = next(csv.reader([head], delimiter=mark))
        except csv.Error as error:
            raise self._unread(error) from error
        self.names = tuple(" ".join(cell.split()) or f"column {n}" for n, cell in enumerate(first, 1))

    def chunks(self, size: int = CHUNK) -> Iterator[Columns]:
        """Columns c0, c1, .. and `note`. Raises Refused where the file can't be read on."""
        width = len(self.names)
        rows: list[list[str]] = []
        notes: dict[int, str] = {}
        pieces: list[Columns] = []
        count = 0
        names = [*(f"c{n}" for n in range(width)), "note"]
        try:
            for row in self._rows:
                if not row:
                    self.blank += 1
                    self._said += 1
                    continue
                if len(row) != width or self._replaced or self._line - self._said != 1:
                    note = self._note(row, width)
                    if note:
                        notes[len(rows)] = note
                else:
                    self._said += 1
                rows.append(row)
                if len(rows) == min(PIECE, size - count):
                    pieces.append(self._columns(rows, notes, names))
                    count += len(rows)
                    rows, notes = [], {}
                if count == size:
                    yield together(pieces)
                    pieces, count = [], 0
        except csv.Error as error:
            raise self._unread(error) from error
        if rows:
            pieces.append(self._columns(rows, notes, names))
        if pieces:
            yield together(pieces)

    def _unread(self, error: csv.Error) -> Refused:
        if "new-line" in str(error):
            message = f"Line {self._line:,} has a line end of another kind (CR alone) in it."
            return self._refused("unreadable-file", message, "Save it in an editor with the line ends LF.")
        message = f"Line {self._line:,} can't be read: {error}."
        return self._refused("unreadable-file", message, 'Is a quote " left open there?')

    def _columns(self, rows: list[list[str]], notes: dict[int, str], names: list[str]) -> Columns:
        self.flagged += len(notes)
        said = [""] * len(rows)
        for at, note in notes.items():
            said[at] = note
        return of_texts([*zip(*rows, strict=True), said], names)

    def _note(self, row: list[str], width: int) -> str:
        """What was done to a row, which gets the width it should have."""
        said = []
        lines = self._line - self._said
        self._said = self._line
        if lines > 1:
            said.append(f"a quoted cell runs over {lines} lines")
        if lines > MOST_LINES:
            message = f"A quoted cell runs over {lines:,} lines, up to line {self._said:,}."
            raise self._refused("unreadable-file", message, 'Is a quote " left open before it?')
        if self._replaced:
            self._replaced = False
            said.append("bytes that are no UTF-8 were replaced")
        if len(row) < width:
            said.append(f"{width - len(row)} of {width} cells missing")
            row.extend([""] * (width - len(row)))
        elif len(row) > width:
            said.append(f"more cells than columns: {' | '.join(row[width:])}")
            del row[width:]
        return "; ".join(said)

    def _decoded(self, file: BinaryIO) -> Iterator[str]:
        while line := file.readline(LONGEST_LINE + 1):
            self._line += 1
            if len(line) > LONGEST_LINE:
                message = f"Line {self._line:,} is longer than {LONGEST_LINE:,} bytes: no record is."
                raise self._refused("unreadable-file", message, "Give a CSV file with one record a line.")
            if self._line == 1:
                if line[:2] in (b"\xff\xfe", b"\xfe\xff"):
                    message = "This file is in UTF-16."
                    raise self._refused("not-utf-8", message, "Save it as CSV in UTF-8.")
                line = line.removeprefix(b"\xef\xbb\xbf")
            try:
                yield line.decode()
            except UnicodeDecodeError:
                self._replaced = True
                yield line.decode(errors="replace")

    def _refused(self, code: str, message: str, help: str) -> Refused:
        return Refused([Problem(file=self.path, line=0, column=0, code=code, message=message, help=help)])
