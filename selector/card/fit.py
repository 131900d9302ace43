"""The drawing of a board that suits the room it is given on paper."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations, pairwise

from selector.draw.parts.draw import Detail
from selector.draw.parts.layout import board_figure
from selector.draw.parts.shapes import Drawing
from selector.table.model.picture import Picture

Room = tuple[float, float]
"""Width and height, in the units of a drawing at scale 1."""
WIDTHS = (360.0, 420.0, 480.0, 560.0, 660.0, 780.0, 960.0)
"""Widths of a drawing that are tried: the wider, the more selectors stand side by side."""
EASY = 0.62
"""At this scale and above a drawing is easily read at arm's length on paper."""
LEAST_SCALE = 0.4
"""Below this scale it can't be read."""
LEAST_BESIDE_MARKS = 0.32
"""The same where the marks stand over it in words."""


def fitted(pictures: Sequence[Picture], room: Room, most: float = 1) -> tuple[float, Drawing]:
    """The scale (at most `most`) and the figure that are largest in a room; long lists cut to what matters where
    room is short."""
    short = _largest(pictures, room, most, "short")
    return (
        short if short[0] >= EASY else max(short, _largest(pictures, room, most, "shortest"), key=lambda pair: pair[0])
    )


def shared(pictures: Sequence[Picture], rooms: Sequence[Room]) -> tuple[Sequence[Picture], ...]:
    """The selectors that go into each room, in their order; into as few rooms as it takes.

    All go into the first where they are easily read there; into two where that makes them larger; into more only where
    they couldn't be read else.
    """
    best: tuple[Sequence[Picture], ...] = (pictures,)
    scale = fitted(pictures, rooms[0])[0]
    known: dict[tuple[int, int], list[Drawing]] = {}

    def of(start: int, end: int, room: Room) -> float:
        if (start, end) not in known:
            known[start, end] = _figures(pictures[start:end], "shortest")
        return max(_scale(figure, room, EASY) for figure in known[start, end])

    for count in range(2, min(len(rooms), len(pictures)) + 1):
        if scale >= (EASY if count == 2 else LEAST_SCALE):
            break
        for cuts in combinations(range(1, len(pictures)), count - 1):
            ends = list(pairwise((0, *cuts, len(pictures))))
            least = min(of(a, b, room) for (a, b), room in zip(ends, rooms, strict=False))
            if least > scale:
                best, scale = tuple(pictures[a:b] for a, b in ends), least
    return (*best, *[()] * (len(rooms) - len(best)))


def _largest(pictures: Sequence[Picture], room: Room, most: float, detail: Detail) -> tuple[float, Drawing]:
    return max(
        ((_scale(figure, room, most), figure) for figure in _figures(pictures, detail)), key=lambda pair: pair[0]
    )


def _figures(pictures: Sequence[Picture], detail: Detail) -> list[Drawing]:
    return [board_figure(pictures, width, detail=detail) for width in WIDTHS]


def _scale(figure: Drawing, room: Room, most: float) -> float:
    return min(room[0] / figure.width, max(room[1], 0) / figure.height, most)
