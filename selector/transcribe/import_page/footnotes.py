"""What the footnotes of a page say, for the marks that its figures carry."""

from __future__ import annotations

import re
from collections.abc import Sequence

from selector.transcribe.cells.given import DAGGERS, footnote_marks
from selector.transcribe.cells.grid import Grid
from selector.value import Struct


class PageFootnote(Struct, frozen=True, kw_only=True):
    """A footnote: its line, its mark as it stands at the figures, what it says."""

    line: int
    mark: str
    text: str


class Dagger(Struct, frozen=True):
    """A footnote's mark at a figure or position: the head of its column ("" where there is but one), and the footnote
    itself, if there is one."""

    mark: str
    column: str
    note: PageFootnote | None


def footnotes(grid: Grid) -> tuple[PageFootnote, ...]:
    """Every line of the page that begins with a footnote's mark. `a)` and `1 ` stand as `a` and `1`."""
    out = []
    for row in grid.rows:
        text = " ".join(c.text for c in row if c.text)
        found = re.match(rf"\s*(([{re.escape(DAGGERS)}])\2*|\(\w\)|\w\)|\d(?=\s))\s*(\S.*)", text)
        if found and re.search(r"[A-Za-z]{2}", found.group(3)):
            said = " ".join(found.group(3).split()).rstrip(".,;| ")
            mark = found.group(1)
            out.append(
                PageFootnote(line=row[0].line, mark=mark if mark.startswith("(") else mark.rstrip(")"), text=said)
            )
    return tuple(out)


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
