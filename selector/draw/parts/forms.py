"""Where a selector's places, marks and lines are, by its form, as at turn 0 and in every state it can be in."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import cos, hypot, pi, sin

from selector.draw.parts.draw import GAP_HERE, Detail, shown_of
from selector.draw.parts.shapes import (
    PITCH,
    SMALL,
    WHOLE_PART,
    At,
    Box,
    Lettering,
    Shape,
    Stroke,
    Tone,
    When,
    moved,
    text_width,
)
from selector.table.model.picture import Line, Picture
from selector.value import Struct, field

SLOT = 88.0
TOUCH = 92.0
"""Length of a switch's slot on paper, and on the page, where a half is touched."""
NUMBER = 15.0
MOST_IN_A_RING = 16
_INSET = 4.0
SIDE = 22.0
"""Height of the ON side's words and bar."""
_TO = 16.0
_BRACKET = 22.0
_BETWEEN_BANKS = 10.0
_ASKED = 26.0
"""Room for a question mark."""


class Sheet(Struct):
    """Shapes placed as at turn 0, u along the first side and v away from it. `odd`: turned a quarter or three, so that
    texts, upright in the end, take their width along v. `larger`: how much larger words are set than on a screen;
    `brief`: moves are said by the mark alone."""

    odd: bool
    larger: float = 1
    brief: bool = False
    shapes: list[Shape] = field(default_factory=list)
    width: float = 0
    height: float = 0

    def u_of(self, text: str, size: float = SMALL, bold: bool = False) -> float:
        """What a text takes along u."""
        return size * self.larger if self.odd else text_width(text, size * self.larger, bold)

    def v_of(self, text: str, size: float = SMALL, bold: bool = False) -> float:
        """What a text takes along v."""
        return text_width(text, size * self.larger, bold) if self.odd else size * self.larger

    def word(
        self,
        u: float,
        v: float,
        text: str,
        size: float = SMALL,
        *,
        bold: bool = False,
        tone: Tone = "ink",
        at: At | None = None,
        when: When = "",
    ) -> None:
        """A text with its middle at u, v."""
        if not text:
            return
        self.shapes.append(
            Lettering(
                x=u, y=v, text=text, size=size * self.larger, anchor="middle", bold=bold, tone=tone, at=at, when=when
            )
        )

    def place(
        self, u: float, v: float, wide: float, high: float, at: At, *, line: float = 0, round: float = 0, cut: float = 0
    ) -> None:
        """The place of a position, its middle at u, v."""
        x, y = u - wide / 2, v - high / 2
        box = Box(x=x, y=y, width=wide, height=high, hole=at, at=at, line=line, round=round, cut=cut)
        self.shapes.append(box)

    def disc(self, u: float, v: float, radius: float, **more: object) -> None:
        """A circle, its middle at u, v."""
        self.shapes.append(
            Box(x=u - radius, y=v - radius, width=2 * radius, height=2 * radius, round=radius, **more)  # type: ignore[arg-type]
        )

    def stroke(
        self,
        *points: tuple[float, float],
        line: float = 2,
        dashes: tuple[float, ...] = (),
        tone: Tone = "ink",
        at: At | None = None,
        when: When = "",
        solid: bool = False,
    ) -> None:
        """A line through points."""
        self.shapes.append(Stroke(points=points, line=line, dashes=dashes, tone=tone, at=at, when=when, solid=solid))


def placed(picture: Picture, limit: float, detail: Detail = "whole", slot: float = SLOT, larger: float = 1) -> Sheet:
    """The sheet of one selector, no wider than `limit` where its marks allow, with so much of a long list."""
    sheet = Sheet(odd=picture.turned in (90, 270), larger=larger)
    room = limit if not sheet.odd else 8 * PITCH
    if picture.form == "bank":
        _bank(sheet, picture, room, max(slot, SLOT) if sheet.odd else slot)
    elif picture.form == "leads":
        _leads(sheet, picture, room)
    elif picture.form == "ring" and _ring(sheet, picture.lines[0], limit):
        pass
    elif picture.form == "pins":
        _pins(sheet, picture.lines[0], room)
    elif picture.form == "sockets":
        _cells(sheet, picture.lines[0], room, range(len(picture.lines[0].marks)), cut=9)
    elif picture.form == "bridges":
        _bridges(sheet, picture.lines[0], room)
    else:
        _entries(sheet, picture.lines[0], room, detail)
    return sheet


# -- a bank of switches


def _bank(sheet: Sheet, picture: Picture, room: float, slot: float) -> None:
    """Slots in one row; a bank too long for the sheet goes on in rows of equal length."""
    lines = picture.lines
    count = max(1, min(len(lines), int(room // PITCH)))
    count = -(-len(lines) // -(-len(lines) // count))
    off, on = lines[0].marks[:2]
    top = 0.0 if sheet.odd else SMALL * (sheet.larger - 1)
    sheet.brief = sheet.odd and len(lines) > count
    for start in range(0, len(lines), count):
        row = lines[start : start + count]
        first = SMALL + 4 if sheet.odd else 0.0
        side = side_words(off, on, slot, sheet.odd, sheet.larger)
        if sheet.odd:
            sheet.word(first / 2, top + sheet.v_of(side, SMALL, True) / 2 + 2, side, bold=True)
        else:
            sheet.word(
                sheet.u_of(side, SMALL, True) / 2 + 4, top + SIDE - 8 - 0.66 * SMALL * sheet.larger, side, bold=True
            )
        for i, line in enumerate(row):
            sheet.shapes += (
                moved(s, first + i * PITCH, top) for s in switch(line, slot, sheet.odd, sheet.larger, sheet.brief)
            )
        top += switch_height(slot, row, sheet.odd, sheet.larger)
        top += _move_room(lines[0], sheet) if picture.changed or picture.held else 0
        spans = spans_of(picture.groups, start, len(row))
        for a, b, text in spans if not sheet.odd else ():
            sheet.shapes += (moved(s, first + a * PITCH, top) for s in bracket(b - a, text, sheet.larger))
        top += _BRACKET if spans and not sheet.odd else 0
        sheet.width = max(sheet.width, first + len(row) * PITCH, 0 if sheet.odd else sheet.u_of(side, SMALL, True) + 8)
        top += _BETWEEN_BANKS
    sheet.height = max(top - _BETWEEN_BANKS + 2, sheet.v_of(side, SMALL, True) + 4 if sheet.odd else 0)


def _to(mark: str, sheet: Sheet) -> str:
    """What is said of a switch that moves: `to OFF`, the mark alone where that is wider than the switch, nothing where
    that is too: the hatch and the words under the bank say it."""
    fits = (
        words
        for words in (mark,) * sheet.brief or (f"to {mark}", mark)
        if sheet.odd or text_width(words, SMALL * sheet.larger, True) * 0.8 <= PITCH
    )
    return next(fits, "")


def _move_room(line: Line, sheet: Sheet) -> float:
    """What `to OFF` or `held` takes behind the number."""
    words = [_to(mark, sheet) for mark in line.marks[:2]] + ["held"]
    return max(sheet.v_of(word, SMALL, True) for word in words) + 12 if sheet.odd else _TO


def switch_height(slot: float, lines: Iterable[Line], odd: bool, larger: float = 1) -> float:
    """From the bar to the number."""
    return 2 * odd + SIDE + slot + _number_room(lines, odd, larger) + 8


def _number_room(lines: Iterable[Line], odd: bool, larger: float = 1) -> float:
    """What the numbers of these switches take behind their slots."""
    return max(text_width(line.label, NUMBER * larger, True) for line in lines) if odd else NUMBER * larger


def side_words(off: str, on: str, slot: float, odd: bool, larger: float = 1) -> str:
    """What stands at the bar: which side it is, and the other one's mark where the sliders have no room for theirs."""
    both = all(_fits(mark, slot, odd, larger) for mark in (off, on))
    return f"{on} side" if both else f"{on} side; other side {off}"


def _fits(mark: str, slot: float, odd: bool, larger: float) -> bool:
    room = (slot - 2 * _INSET) / 2 if odd else PITCH - 2 * (_margin(larger) + _INSET)
    return text_width(mark, SMALL * larger, True) * 0.86 <= room


def _margin(larger: float) -> float:
    """What a slot leaves free of its pitch at either side: on paper nothing but a gap, so that larger words fit."""
    return 5 if larger == 1 else 2


def switch(line: Line, slot: float, odd: bool, larger: float = 1, brief: bool = False) -> list[Shape]:
    """One switch with its piece of the bar, from 0, 0: slot, slider in each of its places, number. With larger words
    the slot is as wide as its pitch allows."""
    one, part = Sheet(odd=odd, larger=larger, brief=brief), (line.part, WHOLE_PART)
    side = _margin(larger)
    middle, half = PITCH / 2, (slot - 2 * _INSET - 2) / 2
    one.shapes.append(Box(x=0, y=SIDE - 8, width=PITCH, height=4, solid=True, line=0))
    frame = {"x": side, "y": SIDE, "width": PITCH - 2 * side, "height": slot, "round": 4}
    centre = SIDE + slot / 2
    if line.spare:
        one.shapes.append(Box(**frame, line=1, tone="edge"))  # type: ignore[arg-type]
        one.stroke((middle - 6, centre), (middle + 6, centre), tone="edge", at=part, when="unread")
    else:
        one.shapes.append(Box(**frame, line=2, at=part, when="known"))  # type: ignore[arg-type]
        one.shapes.append(Box(**frame, line=2, dashes=(4, 3), at=part, when="unread"))  # type: ignore[arg-type]
        one.word(middle, centre, "?", 18, bold=True, at=part, when="unread")
    number_room = _number_room([line], odd, larger)
    moved_to = SIDE + slot + number_room + 8 + _move_room(line, one) / 2 - 2 + 3 * odd
    room = sum(one.v_of(mark, SMALL) for mark in line.marks[:2]) + 42 < slot  # beside the question mark
    show = all(_fits(mark, slot, odd, larger) for mark in line.marks[:2])
    for position in (1, 0):
        at = (line.part, position)
        v = SIDE + _INSET + half / 2 if position else SIDE + slot - _INSET - half / 2
        wide = PITCH - 2 * (side + _INSET)
        box = {"x": side + _INSET, "y": v - half / 2, "width": wide, "height": half, "round": 3}
        one.shapes.append(Box(**box, hole=at, at=at, line=0))  # type: ignore[arg-type]
        if line.spare:
            one.stroke((middle - 6, v), (middle + 6, v), tone="edge", at=at, when="here")
            continue
        if show:
            one.word(middle, v, line.marks[position], bold=True, tone="paper", at=at, when="here")
            edge = 5 + one.v_of(line.marks[position], SMALL) / 2 + 2 * (not odd)
            place = SIDE + edge if position else SIDE + slot - edge
            if room:
                one.word(middle, place, line.marks[position], tone="soft", at=at, when="unread")
        one.word(middle, moved_to, _to(line.marks[position], one), bold=True, at=at, when="to")
    number: Tone = "soft" if line.spare else "ink"
    one.word(
        middle, SIDE + slot + (6 if odd else 4) + number_room / 2, line.label, NUMBER, bold=not line.spare, tone=number
    )
    if line.held:
        one.word(middle, moved_to, "held", bold=True)
    return one.shapes


def spans_of(groups: Sequence[tuple[int, int, str]], start: int, count: int) -> list[tuple[int, int, str]]:
    """The brackets of one row: first switch, switch after the last, words; counted from the row's first."""
    cut = [(max(a, start) - start, min(b, start + count) - start, text) for a, b, text in groups]
    return [(a, b, text) for a, b, text in cut if a < b]


def bracket(count: int, text: str, larger: float = 1) -> list[Shape]:
    """A bracket under so many switches, with the words that fit under it."""
    one, wide = Sheet(odd=False, larger=larger), count * PITCH
    while larger > 1 and text and one.u_of(text) * 0.9 > wide:
        text = text.rpartition(" ")[0]
    if larger > 1 and not text:
        return []
    one.stroke((5.5, 1), (5.5, 5), (wide - 5.5, 5), (wide - 5.5, 1), line=1, tone="edge")
    if text:
        one.word(wide / 2, 14, text, tone="soft")
    return one.shapes


# -- one part by itself


def _rows(sheet: Sheet, widths: Sequence[float], room: float, high: float) -> list[tuple[float, float]]:
    """Where things so wide begin and the head of their row, in as many rows as it takes; the sheet grows."""
    out: list[tuple[float, float]] = []
    u = v = 0.0
    for wide in widths:
        if u and u + wide > room:
            u, v = 0.0, v + high
        out.append((u, v))
        u += wide
        sheet.width = max(sheet.width, u)
    sheet.height = v + high
    return out


def _away(line: Line) -> int:
    """The position after the last that is printed: off its pins, unplugged."""
    return len(line.marks) - 1 if line.away else -1


def _pins(sheet: Sheet, line: Line, room: float) -> None:
    """Pairs of pins in a row; the cap covers one pair, or lies beside."""
    deep = max(sheet.v_of(mark, NUMBER, True) for mark in line.marks)
    widths = [max(PITCH, sheet.u_of(mark, NUMBER, True) + 12) for mark in line.marks]
    high = 60.0 + deep + 8
    for i, (u, v) in enumerate(_rows(sheet, widths, room, high)):
        at, middle = (line.part, i), u + widths[i] / 2
        beside = i == _away(line)
        if beside:
            sheet.stroke((u + 1, v + 4), (u + 1, v + 56), line=1, tone="edge")
            sheet.place(middle, v + 30, 36, 24, at, line=1.5, round=4)
        else:
            sheet.place(middle, v + 30, 30, 52, at, round=4)
        for w in () if beside else (18, 42):
            sheet.disc(middle, v + w, 5, line=2)
            sheet.disc(middle, v + w, 3, line=0, solid=True, tone="paper", at=at, when="here")
        _label(sheet, middle, v + 57, line, i)
    _asked(sheet, line, _between(widths, room), 30)


def _label(sheet: Sheet, u: float, v: float, line: Line, i: int, size: float = NUMBER) -> None:
    """A mark printed beside its place, which ends at v: bold where that is set."""
    idle = i in line.idle
    v += (5 if sheet.odd else 6) + sheet.v_of(line.marks[i], size, True) / 2
    sheet.word(u, v, line.marks[i], size, tone="soft" if idle else "label", at=(line.part, i))
    if idle:
        wide = sheet.u_of(line.marks[i], size) / 2 + 4
        sheet.stroke((u - wide, v), (u + wide, v), line=1, tone="edge")


def _between(widths: Sequence[float], room: float) -> float:
    """The gap nearest the middle of a row of things so wide: what is asked there covers none of them."""
    wide = min(room, sum(widths))
    ends = [sum(widths[: i + 1]) for i in range(len(widths) - 1)]
    return min((end for end in ends if end < wide), key=lambda end: abs(end - wide / 2), default=wide / 2)


def _asked(sheet: Sheet, line: Line, u: float, v: float) -> None:
    """A dashed frame around a part that can't be read, and a question mark at u, v, where nothing else is."""
    part = (line.part, WHOLE_PART)
    frame = {"x": 1, "y": 1, "width": sheet.width - 2, "height": sheet.height - 2, "line": 2, "round": 4}
    sheet.shapes.append(Box(**frame, dashes=(4, 3), at=part, when="unread"))  # type: ignore[arg-type]
    sheet.disc(u, v, 10, line=0, solid=True, tone="paper", at=part, when="unread")
    sheet.word(u, v, "?", 18, bold=True, at=part, when="unread")


def _cells(
    sheet: Sheet,
    line: Line,
    room: float,
    shown: Iterable[int],
    *,
    cut: float = 0,
    high: float = 40,
    gap: float = 8,
    least: float = PITCH,
) -> None:
    """Marks in cells, one of them filled; a plug's have one corner cut off."""
    which = list(shown)
    widths = [24.0 if i == GAP_HERE else max(least, sheet.u_of(line.marks[i], NUMBER, True) + 22) + gap for i in which]
    deep = max(high, *(sheet.v_of(line.marks[i], NUMBER, True) + 14 for i in which if i != GAP_HERE))
    for i, wide, (u, v) in zip(
        which, widths, _rows(sheet, widths, room - _asking(sheet, line), deep + gap), strict=True
    ):
        middle = u + wide / 2
        if i == GAP_HERE:
            sheet.word(middle, v + deep / 2, "..")
            continue
        outline = 1 if i in line.idle or i == _away(line) else 1.5
        sheet.place(middle, v + gap / 2 + deep / 2, wide - gap, deep, (line.part, i), line=outline, cut=cut, round=3)
        _inside(sheet, middle, v + gap / 2 + deep / 2, line, i)
    _asked_behind(sheet, line, (deep + gap) / 2)


def _asked_behind(sheet: Sheet, line: Line, v: float) -> None:
    """The question mark of cells that leave no gap: behind them."""
    room = _asking(sheet, line)
    sheet.width += room
    _asked(sheet, line, sheet.width - 0.58 * room, v)


def _asking(sheet: Sheet, line: Line) -> float:
    """Room for a question mark, where it may be seen."""
    return _ASKED * sheet.larger if line.filled is None else 0


def _inside(sheet: Sheet, u: float, v: float, line: Line, i: int, size: float = NUMBER) -> None:
    """A mark on its own place: on ink where that is filled."""
    at, idle = (line.part, i), i in line.idle
    wide = sheet.u_of(line.marks[i], size, True) + 6
    deep = sheet.v_of(line.marks[i], size, True) + 2
    sheet.shapes.append(_ground(u, v, wide, deep, at))
    sheet.word(u, v, line.marks[i], size, bold=not idle, tone="mark", at=at)
    if idle:
        sheet.stroke((u - wide / 2, v), (u + wide / 2, v), line=1, tone="edge", at=at, when="free")


def _ground(u: float, v: float, wide: float, high: float, at: At) -> Box:
    """The ground under a mark on a hatched place."""
    x, y = u - wide / 2, v - high / 2
    return Box(x=x, y=y, width=wide, height=high, solid=True, line=0, tone="paper", at=at, when="was")


def _bridges(sheet: Sheet, line: Line, room: float) -> None:
    """A link: two ends joined, or apart; one by terminals has its marks in cells."""
    if line.marks[:2] != ("whole", "cut"):
        _cells(sheet, line, room, range(len(line.marks)))
        return
    widths = [92.0] * len(line.marks)
    deep = max(sheet.v_of(mark, NUMBER, True) for mark in line.marks)
    for i, (u, v) in enumerate(_rows(sheet, widths, room, 58 + deep)):
        at, middle, w = (line.part, i), u + 44, v + 24
        sheet.place(middle, w, 84, 44, at, line=1.5, round=4)
        sheet.shapes.append(_ground(middle, w, 68, 22, at))
        for d in (-1, 1):
            sheet.disc(middle + 27 * d, w, 5, line=2, tone="mark", at=at)
            if i == 1:
                sheet.stroke((middle + 22 * d, w), (middle + 9 * d, w), tone="mark", at=at)
                sheet.stroke((middle + 9 * d, w - 8), (middle + 9 * d, w + 8), tone="mark", at=at)
        if i == 0:
            sheet.stroke((middle - 22, w), (middle + 22, w), line=4, tone="mark", at=at)
        _label(sheet, middle, v + 47, line, i)
    _asked_behind(sheet, line, 24)


def _entries(sheet: Sheet, line: Line, room: float, detail: Detail) -> None:
    """A list, one entry filled: entries alike in size, in rows that fill the sheet."""
    least = max(sheet.u_of(mark, NUMBER, True) for mark in line.marks) + 22
    _cells(sheet, line, room, shown_of([line], detail), gap=4, high=30, least=least)


def _ring(sheet: Sheet, line: Line, limit: float) -> bool:
    """Marks around a disc with one pointer; the mark it meets is filled. False where there are too many."""
    count = len(line.marks)
    wide = max(28.0, *(sheet.u_of(mark, NUMBER, True) + 10 for mark in line.marks))
    high = max(28.0, *(sheet.v_of(mark, NUMBER, True) + 10 for mark in line.marks))
    radius = max(64.0, 40 + max(wide, high) / 2, max(PITCH, high, wide) * count / (2 * pi) + 2)
    across = 2 * radius + max(wide, high) + 2
    if count > MOST_IN_A_RING or across > limit:
        return False
    u, v = radius + wide / 2 + 1, radius + high / 2 + 2
    disc, part = radius - hypot(wide, high) / 2 - 3, (line.part, WHOLE_PART)
    sheet.disc(u, v, disc, line=2, at=part, when="known")
    sheet.disc(u, v, disc, line=2, dashes=(4, 3), at=part, when="unread")
    for i in range(count):
        at, angle = (line.part, i), 2 * pi * i / count - pi / 2
        cu, cv = cos(angle), sin(angle)
        sheet.place(u + radius * cu, v + radius * cv, wide, high, at, round=3)
        _inside(sheet, u + radius * cu, v + radius * cv, line, i)
        tip, back = 0.9 * disc, -0.55 * disc
        left, right = (back * cu - 7 * cv, back * cv + 7 * cu), (back * cu + 7 * cv, back * cv - 7 * cu)
        points = ((tip * cu, tip * cv), left, right)
        sheet.stroke(*((u + a, v + b) for a, b in points), solid=True, at=at, when="here")
        sheet.stroke(
            (u + 0.35 * disc * cu, v + 0.35 * disc * cv),
            (u + tip * cu, v + tip * cv),
            line=1.5,
            dashes=(2, 3),
            at=at,
            when="was",
        )
    sheet.word(u, v, "?", 18, bold=True, at=part, when="unread")
    sheet.width, sheet.height = 2 * u, 2 * v
    return True


# -- leads on taps


def _leads(sheet: Sheet, picture: Picture, room: float) -> None:
    """A lead runs along its row to its tap; a parked one ends in a square."""
    lines, marks = picture.lines, max((line.marks for line in picture.lines), key=len)
    left = max(sheet.u_of(line.label, NUMBER, True) for line in lines) + 16
    widths = [max(32.0, sheet.u_of(mark, SMALL, True) + 8) for mark in marks]
    spare = max(0.0, min(PITCH * len(marks), room - left) - sum(widths))
    widths = [wide + spare / len(marks) for wide in widths]
    middles = [left + sum(widths[:i]) + wide / 2 for i, wide in enumerate(widths)]
    top = max(28.0, *(sheet.v_of(mark, NUMBER, True) + 12 for mark in marks))
    pitch = max(PITCH, *(sheet.v_of(line.label, NUMBER, True) + 6 for line in lines))
    foot = top + len(lines) * pitch
    parked = marks.index("parked") if "parked" in marks else -1
    gap = left + _between(widths, sum(widths))
    for i, (u, mark) in enumerate(zip(middles, marks, strict=True)):
        if i != parked:
            wide = max(28.0, sheet.u_of(mark, NUMBER, True) + 8)
            sheet.shapes.append(Box(x=u - wide / 2, y=0, width=wide, height=top - 2, line=1.5, round=3))
        sheet.word(
            u,
            top / 2 - 1,
            mark,
            SMALL if i == parked else NUMBER,
            bold=i != parked,
            tone="soft" if i == parked else "ink",
        )
        sheet.stroke((u, top), (u, foot - pitch / 2), line=1, tone="edge", dashes=(2, 3) if i == parked else ())
    places = [(line, top + n * pitch + pitch / 2) for n, line in enumerate(lines)]
    for _, v in places:
        for u in middles:
            sheet.disc(u, v, 5, line=1, solid=True, tone="paper")
    for line, v in places:
        part = (line.part, WHOLE_PART)
        sheet.word(left / 2 - 6, v, line.label, NUMBER, bold=True)
        sheet.stroke((left - 4, v), (middles[-1], v), dashes=(5, 4), at=part, when="unread")
        for i, u in enumerate(middles):
            sheet.stroke((left - 4, v), (u, v), line=3, at=(line.part, i), when="here")
            if i != parked:
                sheet.stroke((u, top), (u, v), line=3, at=(line.part, i), when="here")
    for line, v in places:
        for i, u in enumerate(middles):
            sheet.disc(u, v, 11, line=0, solid=True, tone="paper", at=(line.part, i), when="was")
            sheet.place(u, v, 22, 22, (line.part, i), round=3 if i == parked else 11)
        sheet.disc(
            gap, v, 12 * sheet.larger, line=0, solid=True, tone="paper", at=(line.part, WHOLE_PART), when="unread"
        )
        sheet.word(gap, v, "?", 18, bold=True, at=(line.part, WHOLE_PART), when="unread")
    sheet.width, sheet.height = left + sum(widths), foot
