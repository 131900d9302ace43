"""A page as it was given, cell by cell, with the place of each: what import reads before it understands anything."""

from __future__ import annotations

from bisect import bisect_right

from selector.problems import Problem, Refused
from selector.value import Struct

MOST_ROWS = 70_000
"""One row more than a chart of sixteen switches has is no chart any more."""
MOST_COLUMNS = 200
MOST_CELLS = 400_000
"""Cells that a spreadsheet may hold in all, those covered by merged ones counted; a chart has a few hundred."""


class GridCell(Struct, frozen=True, kw_only=True):
    """What stands in a cell. `place` names it as its program does (`B3`, `line 4`); `why` says why it can't be read, ""
    where it can.

    `line` is its line or row, from 1; it covers the columns from `left` up to, not with, `right`: characters of a plain
    text, cells of a sheet or of a file with marks between them. `down` tells a cell that a merged one above it covers.
    """

    text: str
    place: str
    why: str = ""
    line: int = 0
    left: int = 0
    right: int = 0
    down: bool = False


class Grid(Struct, frozen=True, kw_only=True):
    """Rows of cells, with remarks on what had to be settled to read them; `fixed` where the columns are told by the
    file itself.

    `ruled` are the rows (their indices) that a line drawn below them sets off as headings; `breaks` the lines at which
    a page begins.
    """

    name: str
    rows: tuple[tuple[GridCell, ...], ...]
    remarks: tuple[str, ...] = ()
    fixed: bool = True
    lines: tuple[str, ...] = ()
    ruled: frozenset[int] = frozenset()
    breaks: tuple[int, ...] = ()

    def page_of(self, line: int) -> int:
        """Which page of the text a line is on, from 0."""
        return bisect_right(self.breaks, line)


def too_large(name: str, rows: int, what: str = "rows") -> Refused:
    """The refusal of a file with more rows (or cells) than a chart can have."""
    message = f"This has more than {rows - 1:,} {what}; no chart has as many."
    return Refused(
        [
            Problem(
                file=name,
                line=0,
                column=0,
                code="too-many-rows",
                message=message,
                help="Give the sheet or the part of it with the chart.",
            )
        ]
    )


def refused(name: str, code: str, message: str, help: str) -> Refused:
    """A refusal of the whole file."""
    return Refused([Problem(file=name, line=0, column=0, code=code, message=message, help=help)])
