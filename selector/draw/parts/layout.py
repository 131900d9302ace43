"""From a neutral picture to a figure: the frame turned, the heading and the words under it, the selectors of a board
side by side."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil

from selector.draw.parts.draw import Detail, captions, heading, said
from selector.draw.parts.forms import HOLE, SIZE, FormSheet, Side, placed
from selector.draw.parts.shapes import (
    Anchor,
    Box,
    Drawing,
    Lettering,
    Shape,
    Stroke,
    hatch,
    lines_of,
    moved,
    text_width,
)
from selector.table.model.picture import Line, Picture
from selector.value import Struct

CORNER = 6
"""Side of the filled square in a frame's first corner."""
_FRAME = 1.5
_BETWEEN = 14
_EDGE = 4
_ANCHORS: dict[tuple[Side, int], Anchor] = {
    ("along", 0): "start",
    ("along", 180): "end",
    ("away", 90): "end",
    ("away", 270): "start",
    ("before", 90): "start",
    ("before", 270): "end",
}
"""How a text is set that doesn't stand on its middle, by the turn."""


def picture_figure(picture: Picture, limit: float = 336, *, detail: Detail = "whole") -> Drawing:
    """The frame of one selector, no wider than `limit` where its marks allow, with so much of a long list."""
    return _turned(placed(picture, limit, detail), picture)


def _turned(sheet: FormSheet, picture: Picture) -> Drawing:
    """The sheet turned clockwise, texts upright again, with its frame."""
    w, h = ceil(sheet.width), ceil(sheet.height)

    def at(u: float, v: float) -> tuple[float, float]:
        return {0: (u, v), 90: (h - v, u), 180: (w - u, h - v), 270: (v, w - u)}[picture.turned]

    def along(u: int, v: int) -> tuple[int, int]:
        return {0: (u, v), 90: (-v, u), 180: (-u, -v), 270: (v, -u)}[picture.turned]

    width, height = (h, w) if sheet.odd else (w, h)
    shapes: list[Shape] = [Box(x=0, y=0, width=width, height=height, line=_FRAME)]
    x, y = at(3 + CORNER / 2, 3 + CORNER / 2)
    shapes.append(Box(x=x - CORNER / 2, y=y - CORNER / 2, width=CORNER, height=CORNER, solid=True, line=0))
    for u, v, line, position in sheet.holes:
        shapes += _hole(*at(u, v), line, position)
        if (
            picture.form == "pins"
            and line.filled is not None
            and position not in (line.filled, line.was if line.changed else None)
        ):
            x, y = at(u, v)
            shapes += [Box(x=x + d - 1.25, y=y - 1.25, width=2.5, height=2.5, solid=True, line=0) for d in (-3, 3)]
    for u, v, text, side in sheet.words:
        x, y = at(u, v)
        anchor = _ANCHORS.get((side, picture.turned), "middle")
        shapes.append(Lettering(x=x, y=y, text=text, size=SIZE, anchor=anchor))
    for points in sheet.strokes:
        shapes.append(Stroke(points=tuple(at(*p) for p in points), line=1.2))
    for u, v, du, dv in sheet.pointers:
        shapes.append(_pointer(*at(u, v), *along(du, dv)))
    return Drawing(width=width, height=height, shapes=tuple(shapes))


def _hole(x: float, y: float, line: Line, position: int) -> list[Shape]:
    x, y = round(x - HOLE / 2), round(y - HOLE / 2)  # whole units stay crisp
    taken = position == line.filled
    out: list[Shape] = [Box(x=x, y=y, width=HOLE, height=HOLE, solid=taken, line=1.4, hole=(line.part, position))]
    if line.filled is None:
        out.append(Lettering(x=x + HOLE / 2, y=y + HOLE / 2, text="?", size=11, anchor="middle", bold=True))
    elif line.changed and position == line.was:
        out += hatch(x, y, HOLE)
    return out


def _pointer(x: float, y: float, dx: int, dy: int) -> Stroke:
    """A small filled triangle that points along dx, dy."""
    tip = (x + 4 * dx, y + 4 * dy)
    back = (x - 4 * dx, y - 4 * dy)
    return Stroke(
        points=(tip, (back[0] - 4.5 * dy, back[1] + 4.5 * dx), (back[0] + 4.5 * dy, back[1] - 4.5 * dx)), solid=True
    )


class Block(Struct, frozen=True, kw_only=True):
    """A selector with its heading over the frame and words under it."""

    frame: Drawing
    name: str
    heading: tuple[str, ...]
    captions: tuple[str, ...]
    width: float

    def height(self, lines: int) -> float:
        """Its height where its heading is given so many lines."""
        return 9 + 12 * lines + self.frame.height + 12 * len(self.captions) + 5

    def shapes(self, lines: int) -> list[Shape]:
        """Drawn from 0, 0, its heading given so many lines so that frames side by side are level."""
        out: list[Shape] = [Lettering(x=0, y=8, text=self.name, size=13, bold=True)]
        out += [
            Lettering(x=text_width(self.name, 13, bold=True) + 6, y=9 + 12 * i, text=text, size=10)
            for i, text in enumerate(self.heading)
        ]
        top = 9 + 12 * lines
        out += self.frame.moved(0, top)
        out += [
            Lettering(x=0, y=top + self.frame.height + 9 + 12 * i, text=text, size=10)
            for i, text in enumerate(self.captions)
        ]
        return out


def block(picture: Picture, limit: float, *, detail: Detail = "whole") -> Block:
    """A selector, no wider than `limit` where its marks allow."""
    frame = picture_figure(picture, limit, detail=detail)
    words, beside = heading(picture).replace("turned ", "turned\u00a0"), text_width(picture.name, 13, bold=True) + 6
    width = ceil(
        max(
            frame.width,
            min(limit, beside + text_width(words, 10), 190),
            *(min(limit, text_width(text, 10), 230) for text in captions(picture)),
        )
    )
    return Block(
        frame=frame,
        name=picture.name,
        heading=tuple(lines_of(words, max(40.0, width - beside), 10)),
        captions=tuple(part for text in captions(picture) for part in lines_of(text, width, 10)),
        width=width,
    )


def board_figure(pictures: Sequence[Picture], width: float = 360, *, detail: Detail = "whole") -> Drawing:
    """Every selector, side by side where there is room, in the order of the table, with so much of long lists."""
    rows: list[list[Block]] = []
    x: float = 0
    for picture in pictures:
        one = block(picture, width - 2 * _EDGE, detail=detail)
        if not rows or x + one.width > width - _EDGE:
            rows.append([])
            x = _EDGE
        rows[-1].append(one)
        x += one.width + _BETWEEN
    shapes: list[Shape] = []
    y: float = _EDGE
    widest: float = width
    for row in rows:
        x = _EDGE
        lines = max(len(one.heading) for one in row)
        for one in row:
            shapes += (moved(shape, x, y) for shape in one.shapes(lines))
            x += one.width + _BETWEEN
        widest = max(widest, x - _BETWEEN + _EDGE)
        y += max(one.height(lines) for one in row) + _BETWEEN
    return Drawing(width=widest, height=max(y - _BETWEEN + _EDGE, 2 * _EDGE), shapes=tuple(shapes), said=said(pictures))
