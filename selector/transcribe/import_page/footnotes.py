"""What the footnotes of a page say, for the daggers that its figures carry."""

from __future__ import annotations

import re
from collections.abc import Sequence

from selector.transcribe.cells.given import DAGGERS
from selector.transcribe.cells.grid import Grid
from selector.value import Struct


class Dagger(Struct, frozen=True):
    """A footnote's mark at a figure or position: the head of its column ("" where there is but one), and what the
    footnote says, if anything."""

    mark: str
    column: str
    text: str


def footnotes(grid: Grid) -> tuple[tuple[int, str, str], ...]:
    """(line, mark, what it says) of every line of the page that begins with a footnote's mark."""
    texts = (
        enumerate(grid.lines, start=1)
        if grid.lines
        else ((line_of(row[0].place), " ".join(c.text for c in row)) for row in grid.rows)
    )
    out = []
    for number, line in texts:
        found = re.match(rf"\s*([{DAGGERS}]|\(\d\))\s*(\S.*)", line)
        if found and re.search(r"[A-Za-z]{2}", found.group(2)):
            out.append((number, found.group(1), " ".join(found.group(2).split()).rstrip(".,;| ")))
    return tuple(out)


def said(notes: Sequence[tuple[int, str, str]], mark: str, place: str) -> str:
    """What a mark at a place says: the first footnote with it below the place, else the first of all; "" where there
    is none."""
    texts = [(number, text) for number, other, text in notes if other == mark]
    return next((text for number, text in texts if number > line_of(place)), texts[0][1] if texts else "")


def note_of(daggers: Sequence[Dagger]) -> str:
    """The note of a row with these marks."""
    told = dict.fromkeys(f"{d.column}: {d.text}" if d.column else d.text for d in daggers if d.text)
    unknown = dict.fromkeys(d.mark for d in daggers if not d.text)
    return ", ".join([*told, *([f"the page has {' '.join(unknown)} here"] if unknown else [])])


def line_of(place: str) -> int:
    """The number of the line or row that a place names, 0 for none."""
    found = re.search(r"\d+", place)
    return int(found.group()) if found else 0
