"""A figure as SVG: one ink (the colour of the text around it), nothing fetched, user text escaped."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape

from selector.draw.parts.shapes import Box, Drawing, Lettering, Shape, Stroke, cut_outline, hatch

FONT = "Arial, Helvetica, 'Liberation Sans', 'DejaVu Sans', sans-serif"
COLOR = {"ink": "currentColor", "soft": "#4a4a4a", "edge": "#757575", "hair": "#dedede", "paper": "#ffffff"}
_SMALL_HEIGHT = 0.36


def figure_svg(figure: Drawing) -> str:
    """Any figure as an SVG element that fills the width it is given, and says in words what it shows."""
    size = f"{number(figure.width)} {number(figure.height)}"
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {size}" width="{number(figure.width)}"'
        f' height="{number(figure.height)}" role="img" aria-label="{escape(figure.said)}" font-family="{FONT}"'
        ' fill="none" stroke="currentColor">' + "".join(_shapes(figure.shapes)) + "</svg>"
    )


def number(value: float) -> str:
    """A length, to a hundredth, without idle zeros."""
    return f"{value:.2f}".rstrip("0").rstrip(".")


def _shapes(shapes: Iterable[Shape]) -> Iterable[str]:
    for shape in shapes:
        if isinstance(shape, Box):
            yield _box(shape)
        elif isinstance(shape, Stroke):
            yield _stroke(shape)
        else:
            yield _words(shape)


def frame_of(box: Box) -> str:
    """The tag and the geometry of a box: a rectangle, or a path where a corner is cut off."""
    inset = box.line / 2
    x, y, wide, high = box.x + inset, box.y + inset, box.width - 2 * inset, box.height - 2 * inset
    if box.cut:
        points = (f"{number(px)} {number(py)}" for px, py in cut_outline(box))
        return f'path d="M{"L".join(points)}z"'
    corner = f' rx="{number(max(0, min(box.round, wide / 2)))}"' if box.round else ""
    return f'rect x="{number(x)}" y="{number(y)}" width="{number(wide)}" height="{number(high)}"{corner}'


def _box(box: Box) -> str:
    color = COLOR[box.tone]
    state = "here" if box.solid else "was" if box.hatched else ""
    hole = f' data-part="{box.hole[0]}" data-position="{box.hole[1]}" data-state="{state}"' if box.hole else ""
    fill = f' fill="{color}"' if box.solid else ""
    dashes = f' stroke-dasharray="{" ".join(number(d) for d in box.dashes)}"' if box.dashes else ""
    outline = COLOR["edge"] if box.solid and box.tone == "paper" else color
    edge = f' stroke="{outline}"' if box.tone != "ink" and box.line else ""
    line = f' stroke-width="{number(box.line)}"' if box.line else ' stroke="none"'
    slanted = hatch(box) if box.hatched else []
    lines = "".join(f"M{number(a)} {number(b)}L{number(c)} {number(d)}" for a, b, c, d in slanted)
    inside = f'<path d="{lines}" stroke-width="2.2"/>' if lines else ""
    return f"<{frame_of(box)}{line}{edge}{fill}{dashes}{hole}/>{inside}"


def _stroke(stroke: Stroke) -> str:
    points = " ".join(f"{number(x)},{number(y)}" for x, y in stroke.points)
    color = COLOR[stroke.tone]
    if stroke.solid:
        return f'<polygon points="{points}" fill="{color}" stroke="none"/>'
    dashes = f' stroke-dasharray="{" ".join(number(d) for d in stroke.dashes)}"' if stroke.dashes else ""
    edge = f' stroke="{color}"' if stroke.tone != "ink" else ""
    tag = "polygon" if stroke.closed else "polyline"
    return f'<{tag} points="{points}" stroke-width="{number(stroke.line)}"{edge}{dashes}/>'


def _words(words: Lettering) -> str:
    bold = ' font-weight="bold"' if words.bold else ""
    anchor = f' text-anchor="{words.anchor}"' if words.anchor != "start" else ""
    return (
        f'<text x="{number(words.x)}" y="{number(words.y + _SMALL_HEIGHT * words.size)}"'
        f' font-size="{number(words.size)}"{bold}{anchor} fill="{COLOR[words.tone]}"'
        f' stroke="none">{escape(words.text, quote=False)}</text>'
    )
