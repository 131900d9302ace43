"""The drawing of a board that suits the room it is given on paper."""

from __future__ import annotations

from collections.abc import Sequence

from selector.page.draw import Detail
from selector.page.draw_layout import board_figure
from selector.page.draw_shapes import Figure
from selector.table.picture import Picture

Room = tuple[float, float]
"""Width and height, in the units of a drawing at scale 1."""
WIDTHS = (360.0, 420.0, 480.0, 560.0, 660.0, 780.0, 960.0)
"""Widths of a drawing that are tried: the wider, the more selectors stand side by side."""
EASY = 0.62
"""At this scale and above a drawing is easily read at arm's length on paper."""
LEAST_SCALE = 0.45
"""Below this scale it can't be read."""


def fitted(pictures: Sequence[Picture], room: Room, most: float = 1) -> tuple[float, Figure]:
    """The scale (at most `most`) and the figure that are largest in a room; long lists cut to what matters where room is short."""
    short = _largest(pictures, room, most, "short")
    return short if short[0] >= EASY else max(short, _largest(pictures, room, most, "shortest"), key=lambda pair: pair[0])


def shared(pictures: Sequence[Picture], first: Room, second: Room) -> tuple[Sequence[Picture], Sequence[Picture]]:
    """The selectors that go into one room and into another: all into the first where they are easily read there, else so that all are largest."""
    whole = fitted(pictures, first)[0]
    if whole >= EASY or second[1] <= 0:
        return pictures, ()

    def least(cut: int) -> float:
        return min(_largest(part, room, EASY, "shortest")[0] for part, room in ((pictures[:cut], first), (pictures[cut:], second)))

    cut = max(range(1, len(pictures)), key=least, default=0)
    return (pictures[:cut], pictures[cut:]) if cut and least(cut) > whole else (pictures, ())


def _largest(pictures: Sequence[Picture], room: Room, most: float, detail: Detail) -> tuple[float, Figure]:
    figures = [board_figure(pictures, width, detail=detail) for width in WIDTHS]
    return max(((min(room[0] / f.width, max(room[1], 0) / f.height, most), f) for f in figures), key=lambda pair: pair[0])
