"""A page as it was given, cell by cell, with the place of each: what import reads before it understands anything."""

from __future__ import annotations

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

    `span` is how many columns a merged cell covers; `left` and `right` are the character columns it stands at in a
    plain text.
    """

    text: str
    place: str
    why: str = ""
    span: int = 1
    left: int = 0
    right: int = 0


class Grid(Struct, frozen=True, kw_only=True):
    """Rows of cells, with remarks on what had to be settled to read them; `fixed` where the columns are told by the
    file itself.

    `ruled` are the rows (their indices) that a line drawn below them sets off as headings.
    """

    name: str
    rows: tuple[tuple[GridCell, ...], ...]
    remarks: tuple[str, ...] = ()
    fixed: bool = True
    lines: tuple[str, ...] = ()
    ruled: frozenset[int] = frozenset()


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
