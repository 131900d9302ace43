"""What a drawing is made of: boxes, strokes and words in one ink, with nothing said of the format they end up in.

Lengths are in units of a drawing 360 wide, the width of a phone held upright; x runs right and y down.
"""

from __future__ import annotations

from typing import Literal
from unicodedata import east_asian_width

from selector.value import Struct

Anchor = Literal["start", "middle", "end"]
_NARROW = frozenset("iIjl.,:;'|!ft()[]/ ")
_BROAD = frozenset("mMwW@%")


class Box(Struct, frozen=True, kw_only=True):
    """A rectangle. `hole` is (part, position) where it stands for a position of the board; `tone`: empty, solid."""

    x: float
    y: float
    width: float
    height: float
    solid: bool = False
    line: float = 1
    hole: tuple[int, int] | None = None


class Stroke(Struct, frozen=True, kw_only=True):
    """A line through points, filled where `solid`; `dashes` is (on, off), empty for a whole line."""

    points: tuple[tuple[float, float], ...]
    line: float = 1
    solid: bool = False
    dashes: tuple[float, ...] = ()


class Lettering(Struct, frozen=True, kw_only=True):
    """Upright text; `y` is the middle of its small height, `x` where the anchor says."""

    x: float
    y: float
    text: str
    size: float = 11
    anchor: Anchor = "start"
    bold: bool = False


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
    if isinstance(shape, Box):
        return Box(
            x=shape.x + dx,
            y=shape.y + dy,
            width=shape.width,
            height=shape.height,
            solid=shape.solid,
            line=shape.line,
            hole=shape.hole,
        )
    if isinstance(shape, Stroke):
        return Stroke(
            points=tuple((x + dx, y + dy) for x, y in shape.points),
            line=shape.line,
            solid=shape.solid,
            dashes=shape.dashes,
        )
    return Lettering(
        x=shape.x + dx, y=shape.y + dy, text=shape.text, size=shape.size, anchor=shape.anchor, bold=shape.bold
    )


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


def hatch(x: float, y: float, side: float, gap: float = 4) -> list[Stroke]:
    """Slanted lines over a square, from its left lower to its right upper side."""
    out: list[Stroke] = []
    offset = gap
    while offset < 2 * side:
        low, high = max(0.0, offset - side), min(side, offset)
        out.append(Stroke(points=((x + low, y + offset - low), (x + high, y + offset - high)), line=1.4))
        offset += gap
    return out
