"""A figure as SVG: one ink (the colour of the text around it), nothing fetched, user text escaped."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape

from selector.draw.parts.draw import describe
from selector.draw.parts.layout import board_figure
from selector.draw.parts.shapes import Box, Drawing, Lettering, Shape, Stroke
from selector.table.model.table import Setting, Table

FONT = "Arial, Helvetica, 'DejaVu Sans', sans-serif"
_SMALL_HEIGHT = 0.36


def board_svg(
    table: Table, setting: Setting, before: Setting | None = None, turned: int = 0, *, width: float = 360
) -> str:
    """The whole board as one SVG element; holes carry `data-part` and `data-position`. `width` is that of the place
    it is made for."""
    return figure_svg(board_figure(describe(table, setting, before, turned), width))


def figure_svg(figure: Drawing) -> str:
    """Any figure as an SVG element that fills the width it is given, and says in words what it shows."""
    size = f"{_n(figure.width)} {_n(figure.height)}"
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {size}" width="{_n(figure.width)}"'
        f' height="{_n(figure.height)}" role="img" aria-label="{escape(figure.said)}" font-family="{FONT}" fill="none"'
        ' stroke="currentColor">'
        + "".join(_shapes(figure.shapes))
        + "</svg>"
    )


def _n(value: float) -> str:
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


def _box(box: Box) -> str:
    inset = box.line / 2
    hole = f' data-part="{box.hole[0]}" data-position="{box.hole[1]}"' if box.hole else ""
    fill = ' fill="currentColor"' if box.solid else ""
    return (
        f'<rect x="{_n(box.x + inset)}" y="{_n(box.y + inset)}" width="{_n(box.width - 2 * inset)}"'
        f' height="{_n(box.height - 2 * inset)}" stroke-width="{_n(box.line)}"{fill}{hole}/>'
    )


def _stroke(stroke: Stroke) -> str:
    points = " ".join(f"{_n(x)},{_n(y)}" for x, y in stroke.points)
    if stroke.solid:
        return f'<polygon points="{points}" fill="currentColor" stroke="none"/>'
    dashes = f' stroke-dasharray="{" ".join(_n(d) for d in stroke.dashes)}"' if stroke.dashes else ""
    return f'<polyline points="{points}" stroke-width="{_n(stroke.line)}"{dashes}/>'


def _words(words: Lettering) -> str:
    bold = ' font-weight="bold"' if words.bold else ""
    anchor = f' text-anchor="{words.anchor}"' if words.anchor != "start" else ""
    return (
        f'<text x="{_n(words.x)}" y="{_n(words.y + _SMALL_HEIGHT * words.size)}"'
        f' font-size="{_n(words.size)}"{bold}{anchor} fill="currentColor"'
        f' stroke="none">{escape(words.text, quote=False)}</text>'
    )
