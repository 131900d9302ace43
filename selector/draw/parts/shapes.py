"""What a drawing is made of: boxes, strokes and words in one ink, with nothing said of the format they end up in.

Lengths are in units of a drawing 360 wide, the width of a phone held upright; x runs right and y down.
"""

from __future__ import annotations

from typing import Literal
from unicodedata import east_asian_width

from selector.value import Struct, replace

Anchor = Literal["start", "middle", "end"]
Tone = Literal["ink", "soft", "edge", "hair", "paper", "mark", "label"]
"""Ink; words of second rank; outlines of what isn't used; hairlines; the ground (its outline an edge); a mark: ink, the
ground where its position is filled; a label: ink, bold where its position is filled."""
When = Literal["", "here", "was", "free", "unread", "known", "to"]
"""When a shape is seen: always; where its position is set, was before, or neither; where its part can't be read, can
be; where its position is set after a change."""
WHOLE_PART = -2
"""In `at`: the shape belongs to a part and to none of its positions."""
At = tuple[int, int]
PITCH = 44.0
"""From one switch, pin pair or tap to the next: what a finger in a glove needs."""
SMALL = 12.0
"""Size of the words on a drawing."""
_NARROW = frozenset("iIjl.,:;'|!ft()[]/ ")
_BROAD = frozenset("mMwW@%")


class Box(Struct, frozen=True, kw_only=True):
    """A rectangle, its corners `round`ed, one `cut` off: the upper right one, or a corner so many quarter turns
    clockwise from there.

    `hole` is (part, position) where it is the place of a position: filled where that is set, hatched where it was
    before. `at` and `when` say in which state of the board a shape is seen.
    """

    x: float
    y: float
    width: float
    height: float
    solid: bool = False
    line: float = 1
    hole: At | None = None
    round: float = 0
    cut: float = 0
    corner: int = 0
    hatched: bool = False
    dashes: tuple[float, ...] = ()
    tone: Tone = "ink"
    at: At | None = None
    when: When = ""


class Stroke(Struct, frozen=True, kw_only=True):
    """A line through points, filled where `solid`, joined up where `closed`; `dashes` is (on, off), empty for a whole
    line."""

    points: tuple[tuple[float, float], ...]
    line: float = 1
    solid: bool = False
    dashes: tuple[float, ...] = ()
    closed: bool = False
    tone: Tone = "ink"
    at: At | None = None
    when: When = ""


class Lettering(Struct, frozen=True, kw_only=True):
    """Upright text; `y` is the middle of its small height, `x` where the anchor says."""

    x: float
    y: float
    text: str
    size: float = 11
    anchor: Anchor = "start"
    bold: bool = False
    tone: Tone = "ink"
    at: At | None = None
    when: When = ""


Shape = Box | Stroke | Lettering


class Drawing(Struct, frozen=True, kw_only=True):
    """Shapes on a sheet; `said` is the same in words, for those who can't see it."""

    width: float
    height: float
    shapes: tuple[Shape, ...]
    said: str = ""

    def moved(self, dx: float, dy: float) -> tuple[Shape, ...]:
        """The shapes, moved."""
        return tuple(moved(shape, dx, dy) for shape in self.shapes)


def moved(shape: Shape, dx: float, dy: float) -> Shape:
    """A shape somewhere else."""
    if isinstance(shape, Stroke):
        return replace(shape, points=tuple((x + dx, y + dy) for x, y in shape.points))
    return replace(shape, x=shape.x + dx, y=shape.y + dy)


def turned(shape: Shape, degrees: int, width: float, height: float) -> Shape:
    """A shape of a sheet so wide and high, the sheet turned clockwise; texts are upright again, on their middle."""

    def at(x: float, y: float) -> tuple[float, float]:
        return {0: (x, y), 90: (height - y, x), 180: (width - x, height - y), 270: (y, width - x)}[degrees]

    if isinstance(shape, Stroke):
        return replace(shape, points=tuple(at(*point) for point in shape.points))
    if isinstance(shape, Lettering):
        x, y = at(shape.x, shape.y)
        return replace(shape, x=x, y=y)
    (x1, y1), (x2, y2) = at(shape.x, shape.y), at(shape.x + shape.width, shape.y + shape.height)
    corner = (shape.corner + degrees // 90) % 4
    return replace(shape, x=min(x1, x2), y=min(y1, y2), width=abs(x2 - x1), height=abs(y2 - y1), corner=corner)


def cut_outline(box: Box) -> tuple[tuple[float, float], ...]:
    """The middle of the line around a box whose corner is cut off, clockwise."""
    inset = box.line / 2
    left, top = box.x + inset, box.y + inset
    right, foot = box.x + box.width - inset, box.y + box.height - inset
    corners = [(right, top), (right, foot), (left, foot), (left, top)]
    (x, y), cut = corners[box.corner], box.cut
    before, after = [((x - cut, y), (x, y + cut)), ((x, y - cut), (x - cut, y))][box.corner % 2]
    if box.corner >= 2:  # the same on the other side
        before, after = ((2 * x - before[0], 2 * y - before[1]), (2 * x - after[0], 2 * y - after[1]))
    return (*corners[: box.corner], before, after, *corners[box.corner + 1 :])


def text_width(text: str, size: float = 11, bold: bool = False) -> float:
    """About how wide a text is set in a common sans-serif; rather too wide than too narrow."""
    ems = sum(
        1.0
        if east_asian_width(c) in "WF"
        else 0.36
        if c in _NARROW
        else 0.95
        if c in _BROAD
        else 0.74
        if c.isupper()
        else 0.62
        for c in text
    )
    return ems * size * (1.08 if bold else 1)


def lines_of(text: str, width: float, size: float = 11) -> list[str]:
    """A text in lines no wider than `width`; a word that is wider by itself is cut and ends in `~`."""
    out: list[str] = []
    for word in text.split(" "):
        while len(word) > 1 and text_width(word, size) > width:
            word = word[:-2] + "~"
        if out and text_width(f"{out[-1]} {word}", size) <= width:
            out[-1] += f" {word}"
        else:
            out.append(word)
    return out


def hatch(box: Box, gap: float = 8) -> list[tuple[float, float, float, float]]:
    """Slanted lines inside a box, from its left lower to its right upper side: x1, y1, x2, y2."""
    out: list[tuple[float, float, float, float]] = []
    gap = min(gap - bool(box.cut), min(box.width, box.height) / 4.4)  # a small place shows its lines beside its mark
    edge = box.width * 0.15 if box.round >= box.width / 2 else 1.0
    x, y, wide, high = box.x + edge, box.y + edge, box.width - 2 * edge, box.height - 2 * edge
    far = gap / 2
    while far < wide + high:
        x1, y1 = x + max(0.0, far - high), y + min(high, far)
        long = x + min(wide, far) - x1
        first = 0.0
        if box.cut:  # not over the corner that is cut off
            if box.corner == 0:
                long = min(long, (x + wide - box.cut - y - (x1 - y1)) / 2)
            elif box.corner == 2:
                first = max(first, (x - y - high + box.cut - (x1 - y1)) / 2)
            elif far < box.cut if box.corner == 3 else far > wide + high - box.cut:
                long = 0.0
        if long > first:
            out.append((x1 + first, y1 - first, x1 + long, y1 - long))
        far += gap
    return out
