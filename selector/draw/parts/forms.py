"""Where holes, marks and pointers stand in the frame of one selector, by its form, as at turn 0."""

from __future__ import annotations

from itertools import pairwise
from math import cos, pi, sin
from typing import Literal

from selector.draw.parts.draw import GAP_HERE, Detail, shown_of
from selector.draw.parts.shapes import text_width
from selector.table.model.picture import Line, Picture
from selector.value import Struct, field

HOLE = 16
"""Side of a hole. Nothing else in a drawing is a square of this size."""
PAD = 12
GAP = 4
SIZE = 11
MOST_IN_A_RING = 16
HIGHEST = 312
"""A bank that hangs sideways and is longer goes on beside itself; a list has as many rows as this holds."""
_APART = 3
_POINTER = 9
Side = Literal["on", "along", "away", "before"]


class FormSheet(Struct):
    """Things placed as at turn 0, u along the first side and v away from it; texts keep their upright size at every
    turn."""

    odd: bool
    detail: Detail = "whole"
    holes: list[tuple[float, float, Line, int]] = field(default_factory=list)
    words: list[tuple[float, float, str, Side]] = field(default_factory=list)
    pointers: list[tuple[float, float, int, int]] = field(default_factory=list)
    strokes: list[tuple[tuple[float, float], ...]] = field(default_factory=list)
    width: float = 0
    height: float = 0

    def u_of(self, text: str) -> float:
        """What a text takes along u."""
        return SIZE if self.odd else text_width(text, SIZE)

    def v_of(self, text: str) -> float:
        """What a text takes along v."""
        return text_width(text, SIZE) if self.odd else SIZE

    def hole(self, u: float, v: float, line: Line, at: int) -> None:
        """A hole with its middle at u, v."""
        self.holes.append((u, v, line, at))

    def word(self, u: float, v: float, text: str) -> None:
        """A text with its middle at u, v."""
        self.words.append((u, v, text, "on"))

    def word_along(self, u: float, v: float, text: str) -> None:
        """A text that begins at u and runs on along it."""
        if self.odd:
            self.word(u + self.u_of(text) / 2, v, text)
        else:
            self.words.append((u, v, text, "along"))

    def word_away(self, u: float, v: float, text: str) -> None:
        """A text that begins at v and lies on the far side of it."""
        if self.odd:
            self.words.append((u, v, text, "away"))
        else:
            self.word(u, v + self.v_of(text) / 2, text)

    def word_before(self, u: float, v: float, text: str) -> None:
        """A text that ends at v and lies on the near side of it."""
        if self.odd:
            self.words.append((u, v, text, "before"))
        else:
            self.word(u, v - self.v_of(text) / 2, text)


def placed(picture: Picture, limit: float, detail: Detail) -> FormSheet:
    """The sheet of one selector, no wider than `limit` where its marks allow, with so much of a long list."""
    sheet = FormSheet(odd=picture.turned in (90, 270), detail=detail)
    room = limit - 2 * PAD if not sheet.odd else HIGHEST - 2 * PAD if picture.bank else 100_000.0
    place = {"bank": _bank, "leads": _leads, "ring": _ring}.get(picture.form, _row)
    place(sheet, picture, room)
    return sheet


def _bank(sheet: FormSheet, picture: Picture, room: float) -> None:
    """Two rows of holes; a bank too long for the sheet goes on in two more rows."""
    lines = picture.lines
    off, on = lines[0].marks[0], lines[0].marks[1]
    pitch = max(20.0 if len(lines) > 12 else 26.0, *(sheet.u_of(line.label) + 3 for line in lines))
    left = max(sheet.u_of(on), sheet.u_of(off)) + 6
    bands = -(-len(lines) // max(1, int((room - left - HOLE) // pitch) + 1))
    per_band = -(-len(lines) // bands)
    first = PAD + left + HOLE / 2
    deep = max(sheet.v_of(line.label) for line in lines)
    on_v = PAD + max(HOLE, sheet.v_of(on)) / 2
    for start in range(0, len(lines), per_band):
        off_v = on_v + max(float(HOLE + GAP), (sheet.v_of(on) + sheet.v_of(off)) / 2 + 7)
        number_v = off_v + HOLE / 2 + 5
        sheet.word(PAD + (left - 6) / 2, on_v, on)
        sheet.word(PAD + (left - 6) / 2, off_v, off)
        for i, line in enumerate(lines[start : start + per_band]):
            u = first + i * pitch
            sheet.hole(u, on_v, line, 1)
            sheet.hole(u, off_v, line, 0)
            sheet.word_away(u, number_v, line.label)
            if line.changed:
                sheet.pointers.append((u, number_v + deep + 7, 0, -1))
        end = number_v + deep + (13 if picture.changed else 0)
        on_v = end + 10 + HOLE / 2
    sheet.width = first + (per_band - 1) * pitch + HOLE / 2 + PAD
    sheet.height = end + PAD


def _leads(sheet: FormSheet, picture: Picture, _: float) -> None:
    lines = picture.lines
    marks = max((line.marks for line in lines), key=len)
    left = max(sheet.u_of(line.label) for line in lines)
    deep = max(sheet.v_of(mark) for mark in marks)
    pitch = max(sheet.v_of(line.label) for line in lines) + 8
    pitch = max(pitch, HOLE + 8)
    column = PAD + left + 8
    columns: list[float] = []
    for mark in marks:
        wide = max(HOLE + 8, sheet.u_of(mark) + 8)
        columns.append(column + wide / 2)
        sheet.word_before(column + wide / 2, PAD + deep, mark)
        column += wide
    for i, line in enumerate(lines):
        v = PAD + deep + 6 + HOLE / 2 + i * pitch
        sheet.word(PAD + left / 2, v, line.label)
        for at in range(len(line.marks)):
            sheet.hole(columns[at], v, line, at)
        if line.changed:
            sheet.pointers.append((column + 6, v, -1, 0))
    sheet.width = column + (_POINTER if picture.changed else 0) + PAD
    sheet.height = PAD + deep + 6 + HOLE + (len(lines) - 1) * pitch + PAD


def _row(sheet: FormSheet, picture: Picture, room: float) -> None:
    line = picture.lines[0]
    widths = [max(HOLE + 8, sheet.u_of(mark) + 8) for mark in line.marks]
    if sum(widths) > room or picture.form == "list":
        _list(sheet, line, room)
        return
    top = PAD + (_POINTER if line.changed else 0) + HOLE / 2
    deep = max(sheet.v_of(mark) for mark in line.marks)
    u = float(PAD)
    for at, (mark, wide) in enumerate(zip(line.marks, widths, strict=True)):
        middle = u + wide / 2
        sheet.hole(middle, top, line, at)
        sheet.word_away(middle, top + HOLE / 2 + 5, mark)
        if line.changed and at == line.filled:
            sheet.pointers.append((middle, top - HOLE / 2 - 6, 0, 1))
        u += wide
    sheet.width = u + PAD
    sheet.height = top + HOLE / 2 + 5 + deep + PAD


def _list(sheet: FormSheet, line: Line, room: float) -> None:
    """Entries with the mark behind the hole: in one row where they fit, else row under row in columns."""
    pointer = _POINTER + 3 if line.changed else 0
    shown = shown_of([line], sheet.detail)
    wide = [20.0 if at == GAP_HERE else pointer + HOLE + 5 + sheet.u_of(line.marks[at]) + 12 for at in shown]
    high = max(HOLE, *(sheet.v_of(mark) for mark in line.marks)) + 6
    count = per_row = len(shown)
    if sum(wide) - 12 > room or sheet.odd:
        wide = [pointer + HOLE + 5 + max(sheet.u_of(mark) for mark in line.marks) + 12] * count
        per_row = max(1, min(count, int((room + 12) // wide[0])))
        if not sheet.odd:
            per_row = -(-count // -(-count // per_row))
        elif count > 6:
            per_row = -(-count // max(1, int(HIGHEST // high)))
    for i, at in enumerate(shown):
        first = i - i % per_row
        u = PAD + sum(wide[first:i])
        v = PAD + (i // per_row) * high + (high - 6) / 2
        if at == GAP_HERE:
            sheet.word_along(u + (pointer + HOLE + 5 if per_row < count else 0), v, "..")
            continue
        sheet.hole(u + pointer + HOLE / 2, v, line, at)
        sheet.word_along(u + pointer + HOLE + 5, v, line.marks[at])
        if line.changed and at == line.filled:
            sheet.pointers.append((u + 5, v, 1, 0))
    sheet.width = 2 * PAD + sum(wide[:per_row]) - 12
    sheet.height = 2 * PAD + -(-count // per_row) * high - 6


def _ring(sheet: FormSheet, picture: Picture, room: float) -> None:
    line = picture.lines[0]
    count = len(line.marks)
    mark_u, mark_v = max(sheet.u_of(m) for m in line.marks), max(sheet.v_of(m) for m in line.marks)
    radius = _radius(count)
    out_u, out_v = radius + HOLE / 2 + 5 + mark_u, radius + HOLE / 2 + 5 + mark_v
    if count > MOST_IN_A_RING or 2 * out_u > room:
        _list(sheet, line, room)
        return
    middle_u, middle_v = PAD + out_u, PAD + out_v
    at_hole: list[tuple[float, float]] = []
    for at, mark in enumerate(line.marks):
        angle = 2 * pi * at / count - pi / 2
        cu, cv = cos(angle), sin(angle)
        at_hole.append((middle_u + radius * cu, middle_v + radius * cv))
        sheet.hole(*at_hole[-1], line, at)
        aside, over = sheet.u_of(mark) / 2 + HOLE / 2 + 5, sheet.v_of(mark) / 2 + HOLE / 2 + 5
        reach = radius + min(aside / max(abs(cu), 1e-9), over / max(abs(cv), 1e-9))
        sheet.word(middle_u + reach * cu, middle_v + reach * cv, mark)
    if line.changed and line.was is not None and line.filled is not None:
        short = (radius - HOLE * 0.75 - 3) / radius
        ends = [
            (middle_u + (u - middle_u) * short, middle_v + (v - middle_v) * short)
            for u, v in (at_hole[line.was], at_hole[line.filled])
        ]
        sheet.strokes.append(tuple(ends))
        sheet.strokes.append(_arrow_head(*ends))
    sheet.width, sheet.height = 2 * middle_u, 2 * middle_v


def _radius(count: int) -> float:
    """The least radius at which upright holes on a ring stay apart, slanting neighbours too."""
    angles = [2 * pi * at / count for at in range(count + 1)]
    steps = [max(abs(cos(b) - cos(a)), abs(sin(b) - sin(a))) for a, b in pairwise(angles)]
    return max(26.0, (HOLE + _APART + 1) / min(steps))


def _arrow_head(start: tuple[float, float], end: tuple[float, float]) -> tuple[tuple[float, float], ...]:
    du, dv = end[0] - start[0], end[1] - start[1]
    long = max((du * du + dv * dv) ** 0.5, 0.001)
    du, dv = du / long * 6, dv / long * 6
    return ((end[0] - du - dv * 0.7, end[1] - dv + du * 0.7), end, (end[0] - du + dv * 0.7, end[1] - dv - du * 0.7))
