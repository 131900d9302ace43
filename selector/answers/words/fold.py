"""Lines no longer than the terminal is wide, with hanging indents."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import lru_cache
from itertools import zip_longest
from unicodedata import combining, east_asian_width

from selector.value import Struct, replace

HANG = 2
LEAST = 20
"""Fewer columns than these are taken as these."""
NARROW = 16
"""A column of a table that is no wider isn't folded: `heating second`, `1,083 to 2,011`."""


class Raw(Struct, frozen=True, kw_only=True):
    """Lines that are drawn and mustn't be folded."""

    lines: tuple[str, ...]


class Rows(Struct, frozen=True, kw_only=True):
    """Cells under each other, in columns, the widest ones folded where the terminal is narrow; where even that is too
    wide each row's cells go below its first one, named by the head of their column.

    `headed`: the first row is the head. `right`: the columns whose cells are set to the right. `indent`: columns left
    free before each row. `banded`: where they are too wide, as many columns as fit stand beside the first, the others
    below beside it once more.
    """

    cells: tuple[tuple[str, ...], ...]
    indent: int = 0
    right: frozenset[int] = frozenset()
    headed: bool = False
    banded: bool = False


class Paragraph(Struct, frozen=True, kw_only=True):
    """A text whose lines all begin in one column."""

    text: str
    indent: int = 0


Block = str | Raw | Rows | Paragraph
"""What an answer is made of before it is folded: a sentence, a drawing, cells in columns."""


def folded(blocks: Iterable[Block], columns: int) -> list[str]:
    """Lines of at most so many columns; a word that is longer than a line stays whole."""
    columns = max(columns, LEAST)
    out: list[str] = []
    for block in blocks:
        if isinstance(block, Raw):
            out += block.lines
        elif isinstance(block, Rows):
            out += _rows(block, columns)
        elif isinstance(block, Paragraph):
            out += fold(" " * block.indent + block.text, columns, 0)
        else:
            out += fold(block, columns)
    return out


def fold(text: str, columns: int, hang: int = HANG) -> list[str]:
    """One sentence in as many lines as it takes, those after the first `hang` columns further in.

    >>> fold("  Power off at the disconnect, lock and tag.", 30, 0)
    ['  Power off at the disconnect,', '  lock and tag.']
    """
    if width_of(text) <= columns:
        return [text.rstrip()]
    body = text.lstrip(" ")
    lead = len(text) - len(body)
    out: list[str] = []
    line, start = " " * lead, True
    for word in _whole(body.split(" ")):
        if not start and width_of(line) + 1 + width_of(word) > columns:
            out.append(line.rstrip())
            line, start = " " * (lead + hang), True
        line += word if start else f" {word}"
        start = False
    return [*out, line.rstrip()]


def _whole(words: Sequence[str]) -> list[str]:
    """Words, a figure kept together with the unit behind it and a move with its arrow."""
    out: list[str] = []
    for word in words:
        joins = bool(out) and (
            (out[-1][:1].isdigit() and out[-1][-1:].isdigit() and word.rstrip(",;.:)") in _UNITS)
            or word == "->"
            or (out[-1].endswith(" ->"))
        )
        if joins:
            out[-1] += f" {word}"
        else:
            out.append(word)
    return out


_UNITS = frozenset(
    ("cfm", "L/s", "m3/h", "cfm/ton", "F", "C", "Pa", "in.", "w.c.", "%", "s", "min", "Btu/h", "kW", "MBH", "tons")
)


def _rows(rows: Rows, columns: int) -> list[str]:
    count = max((len(row) for row in rows.cells), default=0)
    cells = [[*row, *[""] * (count - len(row))] for row in rows.cells]
    widths = _widths(cells, columns - rows.indent)
    if widths is None:
        return _in_bands(rows, cells, columns) if rows.banded and count > 2 else _stacked(rows, columns)
    return [line for row in cells for line in _aligned(row, widths, " " * rows.indent, rows.right)]


def _in_bands(rows: Rows, cells: Sequence[Sequence[str]], columns: int) -> list[str]:
    """The most columns that fit beside the first, then the others."""
    count = len(cells[0])
    fits = next((n for n in range(count - 1, 2, -1) if _widths([row[:n] for row in cells], columns - rows.indent)), 2)
    bands = [[tuple(row[:fits]) for row in cells], [(row[0], *row[fits:]) for row in cells]]
    first, rest = (_rows(replace(rows, cells=tuple(band)), columns) for band in bands)
    return [*first, "", *rest]


def _widths(cells: Sequence[Sequence[str]], room: int) -> list[int] | None:
    """The columns' widths, the widest made narrower until all fit; None where words are too long for that."""
    columns = [frozenset(column) for column in zip(*cells, strict=True)]
    widths = [max(map(width_of, column)) for column in columns]
    over = sum(widths) + 2 * (len(widths) - 1) - room
    if over <= 0:
        return widths
    words = [max(width_of(w) for cell in column for w in _cell_words(cell)) for column in columns]
    least = [max(word, min(width, NARROW)) for word, width in zip(words, widths, strict=True)]
    while over > 0:
        loose = [i for i, width in enumerate(widths) if width > least[i]]
        if not loose:
            return None
        widths[max(loose, key=lambda i: (widths[i], i))] -= 1
        over -= 1
    return widths


def _cell_words(cell: str) -> list[str]:
    """What a cell may be folded between; its indent belongs to its first word."""
    lead = len(cell) - len(cell.lstrip(" "))
    first, *rest = _whole(cell.lstrip(" ").split(" "))
    return [" " * lead + first, *rest]


def _stacked(rows: Rows, columns: int) -> list[str]:
    heads, body = (rows.cells[0], rows.cells[1:]) if rows.headed else ((), rows.cells)
    pad = " " * rows.indent
    out = [] if not heads or not heads[0] else fold(pad + heads[0], columns)
    for row in body:
        named = [
            f"{heads[i]} {cell}".strip() if i < len(heads) and heads[i] != cell else cell
            for i, cell in enumerate(row)
            if cell and i
        ]
        out += fold(pad + row[0], columns) if row and row[0] else [] if named else [""]
        lead = pad + " " * (len(row[0]) - len(row[0].lstrip(" ")) if row else 0)
        out += [line for cell in named for line in fold(f"{lead}  {cell}", columns)]
    return out


def figures_right(cells: Sequence[tuple[str, ...]], column: int, widest: int = 14) -> frozenset[int]:
    """The column, to be set right, where all its cells are short: figures, not sentences."""
    return frozenset({column}) if all(width_of(row[column]) <= widest for row in cells) else frozenset()


def _aligned(row: Sequence[str], widths: Sequence[int], pad: str, right: frozenset[int]) -> list[str]:
    columns = [_filled(cell, width, i in right) for i, (cell, width) in enumerate(zip(row, widths, strict=True))]
    lines = zip_longest(*columns) if max(map(len, columns)) > 1 else zip(*columns, strict=True)
    blank = [" " * width for width in widths]
    return [(pad + "  ".join(map(_or_blank, line, blank))).rstrip() for line in lines]


def _or_blank(text: str | None, blank: str) -> str:
    return blank if text is None else text


@lru_cache(4096)
def _filled(cell: str, width: int, right: bool) -> tuple[str, ...]:
    """The lines of a cell, each as wide as its column."""
    lead = len(cell) - len(cell.lstrip(" "))
    lines = [cell] if width_of(cell) <= width else fold(cell, width, lead and 2)
    gaps = (" " * (width - width_of(line)) for line in lines)
    return tuple(gap + line if right else line + gap for gap, line in zip(gaps, lines, strict=True))


def width_of(text: str) -> int:
    """Columns of a terminal that a text takes."""
    if text.isascii():
        return len(text)
    return sum(0 if combining(c) else 2 if east_asian_width(c) in "WF" else 1 for c in text)


def indented(lines: Iterable[str], by: int = HANG) -> list[str]:
    """Lines moved right."""
    return [" " * by + line if line else "" for line in lines]
