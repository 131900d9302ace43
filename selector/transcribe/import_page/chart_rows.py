"""Which rows of a page belong to its chart, and how many of their cells are positions."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence

from selector.transcribe.cells.columns import aligned, is_figure, joined
from selector.transcribe.cells.given import EMPTY, FILLED, is_date, refusing_word, without_dagger
from selector.transcribe.cells.grid import Grid, GridCell
from selector.transcribe.import_page.headings import LABEL, Hints

_MARKS = frozenset(("off", "open", "closed", "none", "whole", "cut", "n/a"))


def chart_rows(grid: Grid, hints: Hints) -> tuple[list[list[GridCell]], list[int], int]:
    """The rows of the chart, equally long, which rows of the grid they are, and how many cells each has."""
    rows = [list(row) if grid.fixed else joined(row) for row in grid.rows]
    first = _first_row(rows, grid, hints)
    at = [i for i in range(first, len(rows)) if i not in grid.ruled and is_data(rows[i], headed=first > 0)]
    if len(at) > 2 and _words(rows[at[0]][:1]) and not any(_words(rows[i][:1]) for i in at[1:]):
        at = at[1:]
    if len(at) > 3 and _numbers_above_marks(rows[at[0]], [rows[i] for i in at[1:]]):
        at = at[1:]
    if not grid.fixed:
        heads = rows[at[0] - 1] if at and at[0] else []
        together = len(hints.set) > 1 and at and all(len(rows[i][0].text) == len(hints.set) for i in at)
        lead = 1 if together else len(hints.set) or _labels(heads) or 1
        found, width = aligned([rows[i] for i in at], lead, heads)
        return found, at, width
    lengths = Counter(_length(rows[i]) for i in at if not any(refusing_word(c.text) for c in rows[i]))
    if not lengths:
        return [], [], 0
    count = max(lengths, key=lambda n: (lengths[n], n))
    return [_fitted(rows[i], count) for i in at], at, count


def _first_row(rows: Sequence[Sequence[GridCell]], grid: Grid, hints: Hints) -> int:
    """Where the rows below the last heading begin that has any below it; 0 where no heading is found."""
    labels = {name.casefold() for name in hints.set}
    titled = {
        i
        for i, row in enumerate(rows)
        if any(c.text.casefold() in labels or (LABEL.fullmatch(c.text) and "-" in c.text) for c in row)
    }
    titled = titled or {
        i
        for i, row in enumerate(rows)
        if row and LABEL.fullmatch(row[0].text) and any(c.isdigit() for c in row[0].text)
    }
    for i in sorted(titled | grid.ruled, reverse=True):
        if any(is_data(row, headed=True) for row in rows[i + 1 :]):
            return i + 1
    return 0


def _labels(row: Sequence[GridCell]) -> int:
    """How many labels a heading row begins with."""
    return next(
        (k for k, c in enumerate(row) if not (LABEL.fullmatch(c.text) and any(x.isdigit() for x in c.text))), len(row)
    )


def _fitted(row: list[GridCell], count: int) -> list[GridCell]:
    """A row of a file with columns, as long as the others."""
    row = row + [GridCell(text="", place=row[-1].place)] * (count - len(row))
    extra = [c for c in row[count:] if c.text]
    if not extra or any(refusing_word(c.text) for c in row):
        return row[:count]
    note = [c for c in extra if c.text.startswith("(")]
    if note:
        return row[:count] + note
    return [
        GridCell(text=c.text, place=c.place, why=f"more cells than the {count} of the other rows") for c in row[:count]
    ]


def _length(row: Sequence[GridCell]) -> int:
    return max((i + 1 for i, c in enumerate(row) if (c.text or c.why) and not c.text.startswith("(")), default=0)


def is_data(row: Sequence[GridCell], *, headed: bool) -> bool:
    """True for a row with figures behind its first cell, or one that is ruled out; below a heading also for one that
    begins with ON or OFF."""
    behind = [c for c in row[1:] if c.text or c.why]
    if any(refusing_word(c.text) for c in behind) and len(_words(row)) <= 1:
        return True
    if headed and row and row[0].text.casefold() in ("on", "off", "open", "closed"):
        return True
    figures = sum(
        1
        for c in behind
        if is_figure(c.text) or c.why or re.fullmatch(r"[\dOolI,.]{3,}", c.text) or c.text.casefold() == "none"
    )
    return figures > 0 and len(_words(row)) <= figures // 2 and (headed or bool(row[0].text))


def _words(row: Sequence[GridCell]) -> list[str]:
    """What stands in a row that is neither a figure nor a position, nor rules it out."""
    return [
        c.text
        for c in row
        if re.search(r"[A-Za-z]{3,}", c.text)
        and not is_figure(c.text)
        and c.text.casefold() not in _MARKS
        and not c.text.startswith("(")
        and not refusing_word(c.text)
        and not is_date(c.text)
    ]


def count_positions(rows: Sequence[Sequence[GridCell]], grid: Grid, first: int) -> int:
    """How many cells at the left are positions: those under labels or under words before figures, else those that
    aren't figures, at least one."""
    for row in reversed(grid.rows[:first]):
        labels = 0
        for cell in row:
            if not LABEL.fullmatch(cell.text):
                break
            labels += 1
        if labels:
            return labels
    named = named_columns(grid.rows[first - 1], len(rows[0])) if first else 0
    if named:
        return named
    count = 0
    for c in range(len(rows[0])):
        column = [row[c] for row in rows if c < len(row) and not any(refusing_word(x.text) for x in row)]
        if not column or all(is_figure(x.text) and len(without_dagger(x.text)[0]) > 1 for x in column):
            break
        filled = [x for x in column if x.text and without_dagger(x.text)[0] not in EMPTY]
        if c > 0 and filled and sum(1 for x in filled if is_figure(x.text)) > len(filled) // 2:
            break
        count += 1
    return max(1, count)


def named_columns(row: Sequence[GridCell], width: int) -> int:
    """How many columns a heading row names with words before those it names with figures: two in `Unit Tap 50 75
    100`; 0 where it doesn't."""
    count = next((i for i, cell in enumerate(row) if any(c.isdigit() for c in cell.text)), 0)
    words = all(re.fullmatch(r"[A-Za-z]+", cell.text) for cell in row[:count])
    return count if words and len(row) == width and all(is_figure(cell.text) for cell in row[count:]) else 0


def _numbers_above_marks(first: Sequence[GridCell], others: Sequence[Sequence[GridCell]]) -> bool:
    """True where the first row has only figures and all the others have marks of switches among theirs: it numbers
    the switches."""

    def on(row: Sequence[GridCell]) -> bool:
        return any(c.text in FILLED or c.text.casefold() in ("on", "off") for c in row)

    marked = all(on(row) or sum(1 for c in row if c.text in EMPTY) > 1 for row in others)
    numbers = [int(c.text) for c in first[:2] if c.text.isdecimal()]
    counted = len(numbers) == 2 and numbers[1] == numbers[0] + 1 and all(is_figure(c.text) for c in first)
    return counted and marked and any(on(row) for row in others)
