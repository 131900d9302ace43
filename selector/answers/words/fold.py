"""Lines no longer than the terminal is wide, with hanging indents."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from unicodedata import combining, east_asian_width

from selector.value import Struct

HANG = 2
LEAST = 20
"""Fewer columns than these are taken as these."""


class Raw(Struct, frozen=True, kw_only=True):
    """Lines that are drawn and mustn't be folded."""

    lines: tuple[str, ...]


class Rows(Struct, frozen=True, kw_only=True):
    """Cells under each other, in columns where the terminal is wide enough; else what doesn't fit goes below its row.

    `right`: the columns whose cells are set to the right. `indent`: columns left free before each row.
    """

    cells: tuple[tuple[str, ...], ...]
    indent: int = 0
    right: frozenset[int] = frozenset()


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
    widths = [max((width_of(row[i]) for row in rows.cells if i < len(row)), default=0) for i in range(count)]
    pad = " " * rows.indent
    fits = len(pad) + sum(widths[:-1]) + 2 * max(0, count - 1)
    last_room = columns - fits
    if count and last_room >= min(widths[-1], max(12, columns // 3)):
        return [line for row in rows.cells for line in _aligned(row, widths, pad, rows.right, last_room)]
    out: list[str] = []
    for row in rows.cells:
        filled = [cell for cell in row if cell]
        if not filled:
            out.append("")
            continue
        first = filled[0] if row and row[0] else ""
        if first:
            out += fold(pad + first, columns)
            filled = filled[1:]
        out += [line for cell in filled for line in fold(f"{pad}  {cell}", columns)]
    return out


def figures_right(cells: Sequence[tuple[str, ...]], column: int, widest: int = 14) -> frozenset[int]:
    """The column, to be set right, where all its cells are short: figures, not sentences."""
    return frozenset({column}) if all(width_of(row[column]) <= widest for row in cells) else frozenset()


def _aligned(row: Sequence[str], widths: Sequence[int], pad: str, right: frozenset[int], room: int) -> list[str]:
    cells = list(row) + [""] * (len(widths) - len(row))
    head = pad
    for i, cell in enumerate(cells[:-1]):
        gap = " " * (widths[i] - width_of(cell))
        head += (gap + cell if i in right else cell + gap) + "  "
    last = cells[-1]
    if len(widths) - 1 in right:
        last = " " * (widths[-1] - width_of(last)) + last
    lines = fold(last, room, 0) if width_of(last) > room else [last]
    return [(head + lines[0]).rstrip(), *((" " * len(head) + line).rstrip() for line in lines[1:])]


def width_of(text: str) -> int:
    """Columns of a terminal that a text takes."""
    if text.isascii():
        return len(text)
    return sum(0 if combining(c) else 2 if east_asian_width(c) in "WF" else 1 for c in text)


def indented(lines: Iterable[str], by: int = HANG) -> list[str]:
    """Lines moved right."""
    return [" " * by + line if line else "" for line in lines]
