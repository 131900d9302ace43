"""A selector as it is touched: the same drawing with what is seen in every state, told apart by classes.

A part and a position are groups with the class `v` and `data-v` (`3` or `3.1`, -1 for off the pins) that get the
classes `here`, `was` and `unread`; over them lie the places to touch, with `data-part` and `data-position`. Classes of
shapes: h w f u k t for when they are seen, o for a place, i and q for ink and ground, s and e for softer ink, m for a
mark that is ground on ink, l for a label, b for bold, p for a place to touch.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape
from itertools import groupby

from selector.draw.parts.forms import SIDE, TOUCH, side_words, switch, switch_height
from selector.draw.parts.layout import every_state
from selector.draw.parts.shapes import PITCH, WHOLE_PART, At, Box, Drawing, Lettering, Shape, Stroke, moved, turned
from selector.draw.parts.svg import frame_of, number
from selector.table.model.picture import Line, Picture
from selector.value import replace

FINGER = 44.0
_WHEN = {"": "", "here": "h", "was": "w", "free": "f", "unread": "u", "known": "k", "to": "t"}
_TONE = {"ink": "", "soft": "s", "edge": "e", "hair": "e", "paper": "q", "mark": "m", "label": "l"}
_ABOVE = 14.0
"""What is left of a switch above its bar, where the page writes which side it is."""


def touched(picture: Picture, limit: float = 352) -> Drawing:
    """The drawing of any selector but a bank, as wide as a phone; `said` is its SVG inside the svg element."""
    figure = every_state(picture, limit, slot=TOUCH)
    away = {line.part: len(line.marks) - 1 for line in picture.lines if line.away}
    return replace(figure, said=_inside(figure.shapes, away))


def touched_switch(line: Line, spare: bool) -> list[Drawing]:
    """One switch upright and turned a quarter, its part written `@p` and its number `@n`; every switch with these marks
    is a copy. Turned further, the page turns these half round and their words back."""
    one = replace(line, part=0, label="@n", spare=spare, held=False)
    out = []
    for turn in (0, 90):
        odd = turn == 90
        high = switch_height(TOUCH, [one], odd) - _ABOVE
        shapes = [turned(moved(s, 0, -_ABOVE), turn, PITCH, high) for s in switch(one, TOUCH, odd)]
        middle = SIDE - _ABOVE + TOUCH / 2
        halves = [
            Box(x=0, y=0, width=PITCH, height=middle, hole=(0, 1)),
            Box(x=0, y=middle, width=PITCH, height=high - middle, hole=(0, 0)),
        ]
        said = _states([s for s in shapes if s.when != "to"], {})
        said += "".join(_touch(half.hole, turned(half, turn, PITCH, high), {}) for half in halves if half.hole)
        said = said.replace('data-v="0', 'data-v="@p').replace('data-part="0"', 'data-part="@p"')
        out.append(Drawing(width=high if odd else PITCH, height=PITCH if odd else high, shapes=(), said=said))
    return out


def side_of(line: Line, turn: int) -> str:
    """What is written at the bar."""
    return side_words(line.marks[0], line.marks[1], TOUCH, turn in (90, 270))


def _inside(shapes: Sequence[Shape], away: dict[int, int]) -> str:
    """Groups in the order they are drawn, then what is touched."""
    places: dict[At, Box] = {s.hole: s for s in shapes if isinstance(s, Box) and s.hole}
    return _states(shapes, away) + "".join(_touch(at, box, away) for at, box in places.items())


def _states(shapes: Iterable[Shape], away: dict[int, int]) -> str:
    out = []
    for at, group in groupby(shapes, lambda s: s.at):
        inner = "".join(_shape(s) for s in group)
        out.append(inner if at is None else f'<g class="v" data-v="{_name(at, away)}">{inner}</g>')
    return "".join(out)


def _name(at: At, away: dict[int, int]) -> str:
    part, position = at
    if position == WHOLE_PART:
        return str(part)
    return f"{part}.{-1 if away.get(part) == position else position}"


def _touch(at: At, box: Shape, away: dict[int, int]) -> str:
    assert isinstance(box, Box)
    wide, high = max(FINGER, box.width), max(FINGER, box.height)
    x, y = box.x + box.width / 2 - wide / 2, box.y + box.height / 2 - high / 2
    part, _, position = _name(at, away).partition(".")
    ring = ' rx="22"' if wide == high == FINGER else ""
    return (
        f'<rect class="p" data-part="{part}" data-position="{position}" x="{number(x)}" y="{number(y)}"'
        f' width="{number(wide)}" height="{number(high)}"{ring}/>'
    )


def _shape(shape: Shape) -> str:
    names = [_WHEN[shape.when], _TONE[shape.tone]]
    if isinstance(shape, Box):
        if shape.when == "was" and shape.tone == "paper" and not shape.round:
            return ""  # the page puts ground around such a mark itself
        names += ["o" if shape.hole else "i" if shape.solid and shape.tone != "paper" else ""]
        names += ["e" if shape.tone == "paper" and shape.line else ""]
        return f"<{frame_of(shape)}{_class(names)}{_line(shape.line, shape.dashes)}/>"
    if isinstance(shape, Stroke):
        points = " ".join(f"{number(x)},{number(y)}" for x, y in shape.points)
        names.append("i" if shape.solid else "")
        tag = "polygon" if shape.solid or shape.closed else "polyline"
        return f'<{tag} points="{points}"{_class(names)}{_line(0 if shape.solid else shape.line, shape.dashes)}/>'
    return _words(shape, names)


def _words(words: Lettering, names: list[str]) -> str:
    names.append("b" if words.bold else "")
    return (
        f'<text x="{number(words.x)}" y="{number(words.y + 0.36 * words.size)}"{_class(names)}'
        f' font-size="{number(words.size)}">{escape(words.text, quote=False)}</text>'
    )


def _line(line: float, dashes: tuple[float, ...]) -> str:
    dashed = f' stroke-dasharray="{" ".join(number(d) for d in dashes)}"' if dashes else ""
    return (f' stroke-width="{number(line)}"' if line not in (0, 1) else "" if line else ' stroke="none"') + dashed


def _class(names: Iterable[str]) -> str:
    joined = " ".join(name for name in names if name)
    return f' class="{joined}"' if joined else ""
