"""Reads a board off the pixels of its drawing. Written from `LEGEND` in selector/draw/parts/legend.py, with no look
at how a drawing is made."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

Ink = NDArray[np.bool_]
HOLE = 16.0
CORNER = 6.0
CORNER_FROM_EDGE = 3.0


@dataclass(frozen=True, kw_only=True, slots=True)
class Asked:
    """What the table says of a selector: its kind, how many parts, how many positions each has."""

    kind: str
    parts: int
    positions: int


@dataclass(frozen=True, kw_only=True, slots=True)
class Seen:
    """A hole: its middle from the frame's upper left corner, after turning back, and how much of its inside is
    inked."""

    x: float
    y: float
    inked: float

    @property
    def taken(self) -> bool:
        """Filled all over."""
        return self.inked > 0.9

    @property
    def hatched(self) -> bool:
        """About half inked."""
        return 0.3 < self.inked <= 0.9


def in_black_and_white(grey: NDArray[np.uint8]) -> Ink:
    """True where a pixel is darker than half."""
    return grey < 128


def read_board(
    ink: Ink, board: list[Asked], unit: float = 1.0
) -> tuple[list[list[int | None]], list[list[int | None]]]:
    """For every selector the position of each part, and the one hatched as its place before (None: none). One unit
    is `unit` pixels."""
    frames = _frames(ink, unit)
    assert len(frames) == len(board), f"{len(frames)} frames for {len(board)} selectors"
    now: list[list[int | None]] = []
    before: list[list[int | None]] = []
    for frame, asked in zip(frames, board, strict=True):
        lines = _lines(_holes(ink[frame], unit), asked)
        now.append([next((i for i, hole in enumerate(line) if hole.taken), None) for line in lines])
        before.append([next((i for i, hole in enumerate(line) if hole.hatched), None) for line in lines])
        assert all(sum(hole.taken for hole in line) <= 1 for line in lines)
    return now, before


def _frames(ink: Ink, unit: float) -> list[tuple[slice, slice]]:
    """Rectangles drawn with a line, big enough for a hole and its edge; row by row, from the left in a row."""
    labels, _ = ndimage.label(ink, structure=np.ones((3, 3)))
    found: list[tuple[slice, slice]] = []
    for number, place in enumerate(ndimage.find_objects(labels), start=1):
        rows, columns = place
        if rows.stop - rows.start < 24 * unit or columns.stop - columns.start < 24 * unit:
            continue
        mine = labels[place] == number
        edges = (mine[0], mine[-1], mine[:, 0], mine[:, -1])
        inner = mine[4:-4, 4:-4]
        if all(edge.mean() > 0.95 for edge in edges) and not inner.any():
            found.append(place)
    found.sort(key=lambda p: p[0].start)
    rows_of: list[list[tuple[slice, slice]]] = []
    for place in found:
        if rows_of and abs(rows_of[-1][0][0].start - place[0].start) <= 2 * unit:
            rows_of[-1].append(place)
        else:
            rows_of.append([place])
    return [place for row in rows_of for place in sorted(row, key=lambda p: p[1].start)]


def _holes(ink: Ink, unit: float) -> list[Seen]:
    """The holes of a frame, turned back."""
    height, width = ink.shape
    labels, _ = ndimage.label(ink, structure=np.ones((3, 3)))
    turn = _turn(ink, unit)
    seen: list[Seen] = []
    for number, place in enumerate(ndimage.find_objects(labels), start=1):
        rows, columns = place
        high, wide = rows.stop - rows.start, columns.stop - columns.start
        if abs(high - HOLE * unit) > 1.5 * unit or abs(wide - HOLE * unit) > 1.5 * unit:
            continue
        mine = labels[place] == number
        edges = (mine[0], mine[-1], mine[:, 0], mine[:, -1])
        if not all(edge.mean() > 0.9 for edge in edges):
            continue
        thick = round(3 * unit)
        inside = ink[rows.start + thick : rows.stop - thick, columns.start + thick : columns.stop - thick]
        x, y = (columns.start + columns.stop) / 2, (rows.start + rows.stop) / 2
        back = {0: (x, y), 90: (y, width - x), 180: (width - x, height - y), 270: (height - y, x)}[turn]
        seen.append(Seen(x=back[0] / unit, y=back[1] / unit, inked=float(inside.mean())))
    return seen


def _turn(ink: Ink, unit: float) -> int:
    """Which corner holds the filled square."""
    height, width = ink.shape
    low, high = round((CORNER_FROM_EDGE + 1) * unit), round((CORNER_FROM_EDGE + CORNER - 1) * unit)
    corners = {
        0: ink[low:high, low:high],
        90: ink[low:high, width - high : width - low],
        180: ink[height - high : height - low, width - high : width - low],
        270: ink[height - high : height - low, low:high],
    }
    filled = [turn for turn, corner in corners.items() if corner.all()]
    assert len(filled) == 1, f"{len(filled)} corners are filled"
    return filled[0]


def _level(holes: list[Seen]) -> list[list[Seen]]:
    """Holes in level rows from the top, each from the left."""
    rows: list[list[Seen]] = []
    for hole in sorted(holes, key=lambda h: h.y):
        if rows and abs(rows[-1][0].y - hole.y) <= 2:
            rows[-1].append(hole)
        else:
            rows.append([hole])
    return [sorted(row, key=lambda h: h.x) for row in rows]


def _lines(holes: list[Seen], asked: Asked) -> list[list[Seen]]:
    """For each part its holes in the order of the positions."""
    rows = _level(holes)
    if asked.kind == "switches":
        pairs = [
            (high, low)
            for ons, offs in zip(rows[0::2], rows[1::2], strict=True)
            for high, low in zip(ons, offs, strict=True)
        ]
        assert len(pairs) == asked.parts
        return [[low, high] for high, low in pairs]
    if asked.kind == "taps":
        assert len(rows) == asked.parts
        assert {len(row) for row in rows} == {asked.positions}
        return rows
    assert len(holes) in (asked.positions, asked.positions + 1)
    return [_around(holes) if asked.kind == "dial" and _in_a_ring(holes) else [hole for row in rows for hole in row]]


def _middle(holes: list[Seen]) -> tuple[float, float]:
    return sum(h.x for h in holes) / len(holes), sum(h.y for h in holes) / len(holes)


def _angle(hole: Seen, middle: tuple[float, float]) -> float:
    """Clockwise from the top, in turns from 0 to 1."""
    return float(np.arctan2(hole.x - middle[0], middle[1] - hole.y) / (2 * np.pi) % 1)


def _in_a_ring(holes: list[Seen]) -> bool:
    """All as far from the middle, evenly spaced, the topmost right over it."""
    middle = _middle(holes)
    far = [float(np.hypot(h.x - middle[0], h.y - middle[1])) for h in holes]
    angles = sorted((_angle(h, middle) + 0.01) % 1 for h in holes)
    steps = [b - a for a, b in pairwise([*angles, angles[0] + 1])]
    return max(far) - min(far) < 2.5 and max(steps) - min(steps) < 0.04 and angles[0] < 0.025


def _around(holes: list[Seen]) -> list[Seen]:
    middle = _middle(holes)
    return sorted(holes, key=lambda h: (_angle(h, middle) + 0.02) % 1)
