"""Every board at every turn: no word lies on another or beyond the drawing."""

from __future__ import annotations

from itertools import combinations

import pytest

from selector.draw.parts.draw import describe
from selector.draw.parts.layout import picture_figure
from selector.draw.parts.shapes import Box, Lettering, cut_outline, hatch, text_width, turned
from selector.table.library.library import listed, load
from selector.table.model.picture import TURNS

Room = tuple[float, float, float, float]


def room_of(one: Lettering) -> Room:
    """About what a text covers: four fifths of the width that is reckoned with, which is wide, and its small height."""
    wide = 0.8 * text_width(one.text, one.size, one.bold)
    left = one.x - {"start": 0.0, "middle": wide / 2, "end": wide}[one.anchor]
    return left, one.y - 0.36 * one.size, left + wide, one.y + 0.36 * one.size


def meet(a: Room, b: Room) -> bool:
    """True where two rooms share a piece."""
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


@pytest.mark.parametrize("larger", [1.0, 1.26])
@pytest.mark.parametrize("turn", TURNS)
@pytest.mark.parametrize("name", sorted(listed()))
def test_words_lie_apart_and_inside(name: str, turn: int, larger: float) -> None:
    table, _ = load(name)
    first, last = tuple(0 for _ in table.parts), tuple(len(p.positions) - 1 for p in table.parts)
    for after, before in ((first, last), (last, first), (first, None)):
        for picture in describe(table, after, before, turn):
            figure = picture_figure(picture, detail="short", larger=larger)
            words = [(s.text, room_of(s)) for s in figure.shapes if isinstance(s, Lettering)]
            for (one, a), (other, b) in combinations(words, 2):
                assert not meet(a, b), (picture.name, turn, one, other)
            for text, (left, top, right, foot) in words:
                assert left > -3, (picture.name, turn, text)
                assert top > -3, (picture.name, turn, text)
                assert right < figure.width + 3, (picture.name, turn, text)
                assert foot < figure.height + 3, (picture.name, turn, text)


def test_a_hatch_stays_inside_a_corner_that_is_cut() -> None:
    """A square of 40 with 9 cut: the cut runs where x - y = 31; every line ends there or before."""
    lines = hatch(Box(x=0, y=0, width=40, height=40, cut=9, hatched=True))
    assert lines
    assert all(x2 - y2 <= 31.001 for _, _, x2, y2 in lines)
    assert all(abs((x2 - x1) - (y1 - y2)) < 1e-9 for x1, y1, x2, y2 in lines)


@pytest.mark.parametrize(("degrees", "cut"), [(0, (40, 0)), (90, (40, 40)), (180, (0, 40)), (270, (0, 0))])
def test_a_corner_that_is_cut_hangs_as_the_board_hangs(degrees: int, cut: tuple[int, int]) -> None:
    """A square of 40 with 9 cut, upper right: turned clockwise lower right, lower left, upper left. No line of its
    outline or its hatch comes nearer to that corner than the cut, 9 along both sides together."""
    box = turned(Box(x=0, y=0, width=40, height=40, line=0, cut=9, hatched=True), degrees, 40, 40)
    assert isinstance(box, Box)
    outline = cut_outline(box)
    assert len(outline) == 5
    ends = [*outline, *(end for x1, y1, x2, y2 in hatch(box) for end in ((x1, y1), (x2, y2)))]
    far = [abs(x - cut[0]) + abs(y - cut[1]) for x, y in ends]
    assert min(far) > 8.999
    assert sum(abs(one - 9) < 1e-9 for one in far[:5]) == 2
    assert {(0, 0), (40, 0), (40, 40), (0, 40)} - set(outline) == {cut}
