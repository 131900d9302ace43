"""From a neutral picture to a figure: the sheet in the state that the board is in, turned, with the name over it, and
the selectors of a board side by side."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from math import ceil

from selector.draw.parts.draw import Detail, captions, heading, said
from selector.draw.parts.forms import SLOT, placed
from selector.draw.parts.shapes import (
    WHOLE_PART,
    Box,
    Drawing,
    Lettering,
    Shape,
    lines_of,
    moved,
    text_width,
    turned,
)
from selector.table.model.picture import Line, Picture
from selector.value import Struct, replace

_BETWEEN = 18.0
_EDGE = 4.0
_NAME, _HEAD = 15.0, 12.0
_LINE = 15.0


def every_state(
    picture: Picture, limit: float = 352, *, detail: Detail = "whole", slot: float = SLOT, larger: float = 1
) -> Drawing:
    """One selector turned as it hangs, with what is seen of it in every state; no wider than `limit` where its marks
    allow."""
    sheet = placed(picture, limit, detail, slot, larger)
    wide, high = ceil(sheet.width), ceil(sheet.height)
    shapes = tuple(turned(shape, picture.turned, wide, high) for shape in sheet.shapes)
    return Drawing(width=high if sheet.odd else wide, height=wide if sheet.odd else high, shapes=shapes)


def picture_figure(
    picture: Picture, limit: float = 352, *, detail: Detail = "whole", slot: float = SLOT, larger: float = 1
) -> Drawing:
    """One selector as it stands, no wider than `limit` where its marks allow, with so much of a long list."""
    figure = every_state(picture, limit, detail=detail, slot=slot, larger=larger)
    return replace(figure, shapes=tuple(_seen(figure.shapes, {line.part: line for line in picture.lines})))


def _seen(shapes: Iterable[Shape], lines: Mapping[int, Line]) -> Iterable[Shape]:
    """The shapes that are seen as the parts stand."""
    for shape in shapes:
        if shape.at is None:
            yield shape
            continue
        line, position = lines[shape.at[0]], shape.at[1]
        here, was = line.filled == position, line.changed and line.was == position
        unread = line.filled is None and (not line.may_be or position in line.may_be)
        shown = {
            "": True,
            "here": here,
            "was": was,
            "free": not (here or was or unread),
            "unread": unread,
            "known": not unread,
            "to": here and line.changed,
        }[shape.when]
        if not shown:
            continue
        if isinstance(shape, Box) and shape.hole:
            shape = _place(shape, here, was, unread, line.spare)
        elif shape.tone == "mark":
            shape = replace(shape, tone="paper" if here else "soft" if unread else "ink")
            if isinstance(shape, Lettering):
                shape = replace(shape, bold=shape.bold and here)
        elif shape.tone == "label" and isinstance(shape, Lettering):
            shape = replace(shape, tone="ink" if here or not unread else "soft", bold=here)
        yield shape


def _place(box: Box, here: bool, was: bool, unread: bool, spare: bool) -> Box:
    """The place of a position: filled, hatched, dashed or as it is."""
    if here and spare:
        return replace(box, line=1, tone="edge")
    if here:
        return replace(box, solid=True)
    if was:
        return replace(box, hatched=True, line=max(box.line, 1.5))
    return replace(box, dashes=(4, 3)) if unread and box.line else box


class Block(Struct, frozen=True, kw_only=True):
    """A selector with its heading over it and words under it, `larger` than on a screen."""

    frame: Drawing
    name: str
    heading: tuple[str, ...]
    captions: tuple[str, ...]
    width: float
    larger: float = 1

    @property
    def line(self) -> float:
        """The height of a line of words."""
        return _LINE * self.larger

    def height(self, lines: int) -> float:
        """Its height where its heading is given so many lines."""
        return 5 + self.line * lines + self.frame.height + self.line * len(self.captions) + 4

    def shapes(self, lines: int) -> list[Shape]:
        """Drawn from 0, 0, its heading given so many lines so that drawings side by side are level."""
        name, head, line = _NAME * self.larger, _HEAD * self.larger, self.line
        out: list[Shape] = [Lettering(x=0, y=8 * self.larger, text=self.name, size=name, bold=True)]
        beside = text_width(self.name, name, bold=True) + 6
        out += [
            Lettering(x=beside, y=9 * self.larger + line * i, text=text, size=head, tone="soft")
            for i, text in enumerate(self.heading)
        ]
        top = 5 + line * lines
        out += self.frame.moved(0, top)
        top += self.frame.height + 8
        out += [
            Lettering(x=0, y=top + line * i, text=text, size=head, bold="->" in text)
            for i, text in enumerate(self.captions)
        ]
        return out


def block(
    picture: Picture,
    limit: float,
    *,
    detail: Detail = "whole",
    slot: float = SLOT,
    larger: float = 1,
    told: bool = True,
) -> Block:
    """A selector, no wider than `limit` where its marks allow; `told`: with what changed in words under it."""
    frame = picture_figure(picture, limit, detail=detail, slot=slot, larger=larger)
    name, head = _NAME * larger, _HEAD * larger
    words, beside = heading(picture).replace("turned ", "turned\u00a0"), text_width(picture.name, name, bold=True) + 6
    under = captions(picture) if told else []
    width = ceil(
        max(
            frame.width,
            min(limit, beside + text_width(words, head), 230),
            *(min(limit, text_width(text, head, True), 240) for text in under),
        )
    )
    return Block(
        frame=frame,
        name=picture.name,
        heading=tuple(lines_of(words, max(40.0, width - beside), head)),
        captions=tuple(part for text in under for part in lines_of(text, width / 1.08, head)),
        width=width,
        larger=larger,
    )


def board_rows(
    pictures: Sequence[Picture],
    width: float = 360,
    *,
    detail: Detail = "whole",
    slot: float = SLOT,
    larger: float = 1,
    told: bool = True,
) -> list[Drawing]:
    """Every selector, side by side where there is room, in the order of the table, a drawing for each row."""
    rows: list[list[tuple[Picture, Block]]] = []
    x: float = 0
    for picture in pictures:
        one = block(picture, width - 2 * _EDGE, detail=detail, slot=slot, larger=larger, told=told)
        if not rows or x + one.width > width - _EDGE:
            rows.append([])
            x = _EDGE
        rows[-1].append((picture, one))
        x += one.width + _BETWEEN
    return [_row(row, width) for row in rows]


def _row(row: Sequence[tuple[Picture, Block]], width: float) -> Drawing:
    x = _EDGE
    lines = max(len(one.heading) for _, one in row)
    shapes: list[Shape] = []
    for _, one in row:
        shapes += (moved(shape, x, 0) for shape in one.shapes(lines))
        x += one.width + _BETWEEN
    return Drawing(
        width=max(width, x - _BETWEEN + _EDGE),
        height=max(one.height(lines) for _, one in row),
        shapes=tuple(shapes),
        said=said([picture for picture, _ in row]),
    )


def board_figure(pictures: Sequence[Picture], width: float = 360, *, detail: Detail = "whole") -> Drawing:
    """The same as one drawing."""
    shapes: list[Shape] = []
    y = _EDGE
    widest = width
    for row in board_rows(pictures, width, detail=detail):
        shapes += row.moved(0, y)
        widest = max(widest, row.width)
        y += row.height + _BETWEEN
    return Drawing(width=widest, height=max(y - _BETWEEN + _EDGE, 2 * _EDGE), shapes=tuple(shapes), said=said(pictures))


__all__ = ["WHOLE_PART", "Block", "block", "board_figure", "board_rows", "every_state", "picture_figure"]
