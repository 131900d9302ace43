"""The board as SVG, read by a library for XML."""

from __future__ import annotations

from random import Random
from xml.etree import ElementTree

import pytest

from selector.table.library.library import listed, load
from selector.table.model.table import Table
from selector.value import replace
from tests.helpers.board_drawing import board_svg
from tests.helpers.random_boards import random_board, random_setting

SVG = "{http://www.w3.org/2000/svg}"
HOSTILE = "\"><script>alert('x')</script>&amp;]]><!--"


def drawn(svg: str) -> ElementTree.Element:
    """The SVG as a tree; raises if it isn't well formed."""
    return ElementTree.fromstring(svg)


def holes(root: ElementTree.Element) -> list[tuple[int, int, bool]]:
    """(part, position, taken) of every place."""
    return [
        (int(e.attrib["data-part"]), int(e.attrib["data-position"]), e.attrib["data-state"] == "here")
        for e in root.iter()
        if "data-part" in e.attrib
    ]


@pytest.mark.parametrize("name", sorted(listed()))
def test_every_shipped_board_has_a_hole_for_every_position(name: str) -> None:
    table, _ = load(name)
    setting = tuple(0 for _ in table.parts)
    for turned in (0, 90, 180, 270):
        found = holes(drawn(board_svg(table, setting, turned=turned)))
        assert sorted((p, at) for p, at, _ in found) == [
            (p.index, at) for p in table.parts for at in range(len(p.positions))
        ]
        assert sorted(p for p, _, taken in found if taken) == [p.index for p in table.parts if not p.unused]
        assert {at for _, at, taken in found if taken} == {0}


def test_one_ink_and_nothing_fetched() -> None:
    random = Random(2)
    table = random_board(random)
    root = drawn(board_svg(table, random_setting(random, table), random_setting(random, table)))
    colors = {e.attrib[key] for e in root.iter() for key in ("fill", "stroke") if key in e.attrib}
    grays = {c for c in colors - {"currentColor", "none"} if len(c) == 7 and c[1:3] == c[3:5] == c[5:7]}
    assert colors - grays <= {"currentColor", "none"}
    assert {e.tag for e in root.iter()} <= {f"{SVG}{t}" for t in ("svg", "rect", "path", "polyline", "polygon", "text")}
    assert not [a for e in root.iter() for a in e.attrib if "href" in a or a.startswith("on") or a == "style"]


def hostile(table: Table) -> Table:
    """The same board with markup for names and marks."""
    parts = tuple(
        replace(
            p,
            selector=p.selector + HOSTILE,
            name=p.selector + HOSTILE + p.name[len(p.selector) :],
            positions=tuple(HOSTILE + m for m in p.positions),
        )
        for p in table.parts
    )
    return replace(
        table, parts=parts, selectors={n + HOSTILE: replace(s, name=n + HOSTILE) for n, s in table.selectors.items()}
    )


def test_text_of_a_table_is_never_markup() -> None:
    table = hostile(random_board(Random(3)))
    svg = board_svg(table, tuple(0 for _ in table.parts))
    root = drawn(svg)
    assert not [e for e in root.iter() if "script" in e.tag]
    assert any(HOSTILE in "".join(e.itertext()) for e in root.iter(f"{SVG}text"))
    assert HOSTILE in root.attrib["aria-label"]


def test_texts_stay_inside_the_sheet() -> None:
    random = Random(5)
    for _ in range(40):
        table = random_board(random)
        for turned in (0, 90, 180, 270):
            root = drawn(board_svg(table, random_setting(random, table), random_setting(random, table), turned))
            width, height = float(root.attrib["width"]), float(root.attrib["height"])
            assert width >= 360
            assert width == 360 or turned in (90, 270)
            for e in root.iter(f"{SVG}rect"):
                x, y = float(e.attrib["x"]), float(e.attrib["y"])
                assert x >= 0
                assert x + float(e.attrib["width"]) <= width
                assert y + float(e.attrib["height"]) <= height
            for e in root.iter(f"{SVG}text"):
                assert 0 <= float(e.attrib["x"]) <= width
                assert 0 < float(e.attrib["y"]) <= height
