"""Reads a board off the pixels of its drawing. Written from `LEGEND` in selector/draw/parts/legend.py: it is told where
the place of each position is, and nothing of what is set."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Ink = NDArray[np.bool_]
SET = 0.75
HATCHED = 0.22
RIM = 0.23


@dataclass(frozen=True, kw_only=True, slots=True)
class Place:
    """The place of a position in pixels of the picture."""

    part: int
    position: int
    x: float
    y: float
    width: float
    height: float


def in_black_and_white(grey: NDArray[np.uint8], ink_is_light: bool = False) -> Ink:
    """True where a pixel is darker than half; lighter, where ink is light on a dark ground."""
    return grey >= 128 if ink_is_light else grey < 128


def inked(ink: Ink, place: Place) -> float:
    """How much of a place is ink, its edge left out."""
    left, top = round(place.x) + 1, round(place.y) + 1
    inside = ink[top : round(place.y + place.height) - 1, left : round(place.x + place.width) - 1]
    return float(inside.mean())


def read_board(ink: Ink, places: Iterable[Place]) -> tuple[dict[int, int], dict[int, int]]:
    """For every part that can be read the position that is set, and the one hatched as where it was before."""
    now: dict[int, int] = {}
    before: dict[int, int] = {}
    for place in places:
        share = inked(ink, place)
        if share > SET:
            assert place.part not in now, f"two places of part {place.part} are filled"
            now[place.part] = place.position
        elif share > HATCHED and _rim(ink, place) > RIM:
            before[place.part] = place.position
    return now, before


def _rim(ink: Ink, place: Place) -> float:
    """How much of the rim inside a place's edge is ink: a mark stands in the middle and leaves it free."""
    left, top = round(place.x) + 2, round(place.y) + 2
    inside = ink[top : round(place.y + place.height) - 2, left : round(place.x + place.width) - 2]
    level = np.concatenate([inside[:3].ravel(), inside[-3:].ravel()]).mean()
    upright = np.concatenate([inside[:, :3].ravel(), inside[:, -3:].ravel()]).mean()
    return float(max(level, upright))
