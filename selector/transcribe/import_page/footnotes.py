"""What the footnotes of a page say, for the marks that its figures carry."""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import pairwise

from selector.transcribe.cells.given import BRACKETED, DAGGERS, footnote_marks
from selector.transcribe.cells.grid import Grid, GridCell
from selector.transcribe.import_page.rows import is_footnote, is_heading
from selector.value import Struct

_FOOTNOTE = re.compile(rf"\s*(([{re.escape(DAGGERS)}])\2*|{BRACKETED}|\w\)|\d(?=\s))\s*(\S.*)")
_BESIDE = re.compile(BRACKETED)
_MOST_LINES = 4
"""Most lines that go on with a footnote."""


class PageFootnote(Struct, frozen=True, kw_only=True):
    """A footnote: its line, its mark as it stands at the figures, what it says, and the words it was read from."""

    line: int
    mark: str
    text: str
    cells: tuple[GridCell, ...] = ()


class Dagger(Struct, frozen=True):
    """A footnote's mark at a figure or position: the head of its column ("" where there is but one), and the footnote
    itself, if there is one."""

    mark: str
    column: str
    note: PageFootnote | None


def footnotes(grid: Grid) -> tuple[PageFootnote, ...]:
    """Every footnote of the page, with the lines that go on with it. `a)` and `1 ` stand as `a` and `1`."""
    out = []
    for n, row in enumerate(grid.rows):
        first = [k for k, c in enumerate(row) if not k or (c.left - row[k - 1].right > 1 and _BESIDE.match(c.text))]
        for k, end in pairwise([*first, len(row)]):
            text = " ".join(c.text for c in row[k:end] if c.text)
            found = _FOOTNOTE.match(text)
            if not found or not re.search(r"[A-Za-z]{2}", found.group(3)):
                continue
            more = _gone_on(grid, n, row[k]) if end == len(row) and not grid.fixed and not text.endswith(".") else []
            told = " ".join([found.group(3), *(c.text for line in more for c in line)])
            mark = found.group(1)
            out.append(
                PageFootnote(
                    line=row[0].line,
                    mark=mark if mark[0] in "([" else mark.rstrip(")"),
                    text=" ".join(told.split()).rstrip(".,;| "),
                    cells=(*row[k:end], *(c for line in more for c in line)),
                )
            )
    return tuple(out)


def _gone_on(grid: Grid, n: int, mark: GridCell) -> list[Sequence[GridCell]]:
    """The lines right below a footnote that go on with its sentence: prose that begins right of its mark."""
    out: list[Sequence[GridCell]] = []
    for k in range(n + 1, min(n + 1 + _MOST_LINES, len(grid.rows))):
        row = grid.rows[k]
        prose = not any(b.left - a.right > 2 for a, b in pairwise(row)) and re.search(r"[A-Za-z]{2}", row[0].text)
        if row[0].line != grid.rows[k - 1][0].line + 1 or row[0].left <= mark.left or not prose:
            break
        if is_footnote(" ".join(c.text for c in row)) or is_heading(row):
            break
        out.append(row)
        if row[-1].text.endswith("."):
            break
    return out if out and out[-1][-1].text.endswith(".") else []


def said(notes: Sequence[PageFootnote], mark: str, line: int) -> PageFootnote | None:
    """The footnote of a mark at a line: the first with it below, else the first of all."""
    same = [n for n in notes if n.mark == mark or n.mark == f"({mark})" or f"({n.mark})" == mark]
    return next((n for n in same if n.line > line), same[0] if same else None)


def daggers_of(marks: str, column: str, notes: Sequence[PageFootnote], line: int) -> list[Dagger]:
    """The marks behind a figure or position, each with its footnote."""
    return [Dagger(mark, column, said(notes, mark, line)) for mark in footnote_marks(marks)]


def note_of(daggers: Sequence[Dagger]) -> str:
    """The note of a row with these marks."""
    told = dict.fromkeys(f"{d.column}: {d.note.text}" if d.column else d.note.text for d in daggers if d.note)
    unknown = dict.fromkeys(d.mark for d in daggers if not d.note)
    return ", ".join([*told, *([f"the page has {' '.join(unknown)} here"] if unknown else [])])
