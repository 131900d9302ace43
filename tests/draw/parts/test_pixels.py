"""A reader that knows only the rules of the look reads every drawn board back: shipped and random ones, at any quarter
turn, as a phone and as a card draws them."""

from __future__ import annotations

import io
from collections.abc import Iterator
from random import Random

import pytest
from PIL import Image
from playwright.sync_api import Browser, Page

from selector.card.html import LARGER, SLOT
from selector.draw.parts.draw import describe
from selector.draw.parts.layout import board_rows
from selector.draw.parts.svg import figure_svg
from selector.table.model.picture import Picture
from selector.table.model.table import Setting, Table
from selector.value import replace
from tests.helpers.browser import chromium
from tests.helpers.picture_reader import Glyphs, Seen, read_picture, words_of
from tests.helpers.pocket_browser import NAMES, shipped
from tests.helpers.random_boards import random_board, random_setting

RANDOM_BOARDS = 6
DOTS = 2


@pytest.fixture(scope="module")
def page() -> Iterator[Page]:
    """One window for all drawings."""
    with chromium() as browser:
        yield window(browser)


def window(browser: Browser) -> Page:
    """A window of two dots a pixel."""
    return browser.new_page(viewport={"width": 1900, "height": 800}, device_scale_factor=DOTS)


def photographed(page: Page, drawings: list[str]) -> list[Image.Image]:
    """The drawings as a browser shows them."""
    page.set_content(
        "<!doctype html><style>body{margin:0;background:#fff;color:#000;display:flex;flex-wrap:wrap;gap:8px}"
        "svg{display:block;flex:none}</style>" + "".join(drawings)
    )
    whole = Image.open(io.BytesIO(page.screenshot(full_page=True))).convert("L")
    places = page.evaluate("[...document.querySelectorAll('body > svg')].map(s => s.getBoundingClientRect().toJSON())")
    return [whole.crop(tuple(round(DOTS * one[side]) for side in ("left", "top", "right", "bottom"))) for one in places]


def truth(picture: Picture) -> Seen:
    """What the drawing has to say: a bank's switches by the side they are at, other parts by their marks."""
    out = Seen(turned=picture.turned if picture.bank else None)
    sides = ("OFF", "ON")
    for line in picture.lines:
        name = line.label
        now, was = (sides, sides) if picture.bank else (line.marks, line.marks)
        out.stands[name] = "?" if line.filled is None else now[line.filled]
        if line.spare:
            out.stands[name] = "-"
        if line.changed and line.was is not None and line.filled is not None and not line.spare:
            out.before[name] = was[line.was]
    return out


def held_to(page: Page, boards: list[tuple[Table, Setting, Setting | None]], turned: int, *, card: bool) -> int:
    """Every selector of these boards drawn, read, and compared; how many places before were read."""
    pictures = [one for table, now, before in boards for one in describe(table, now, before, turned)]
    look = {"slot": SLOT, "larger": LARGER, "detail": "shortest"} if card else {"detail": "short"}
    drawings = [figure_svg(board_rows([one], 360, told=False, **look)[0]) for one in pictures]
    glyphs = Glyphs(page, [word for one in pictures for word in words_of(one.form, named(one))])
    befores = 0
    for one, image in zip(pictures, photographed(page, drawings), strict=True):
        seen = read_picture(image, one.form, named(one), glyphs, DOTS * (LARGER if card else 1))
        assert seen == truth(one), (one.name, turned, one)
        befores += len(seen.before)
    return befores


def named(picture: Picture) -> list[tuple[str, tuple[str, ...]]]:
    """The parts by name, with their marks: what a technician knows of a board before looking at it."""
    return [(line.label, line.marks) for line in picture.lines]


def _shipped(turned: int) -> list[tuple[Table, Setting, Setting | None]]:
    random = Random(f"shipped boards turned {turned}")
    # every table as it stands, a third of them at each other turn
    names = NAMES if not turned else NAMES[turned // 90 - 1 :: 3]
    tables = [shipped(name) for name in names]
    return [
        (t, random_setting(random, t), random_setting(random, t) if random.random() < 0.6 else None) for t in tables
    ]


@pytest.mark.parametrize("turned", [0, 90, 180, 270])
def test_every_shipped_board_is_read_back_from_its_picture(page: Page, turned: int) -> None:
    assert held_to(page, _shipped(turned), turned, card=turned in (0, 90)) > (20 if not turned else 5)


def test_random_boards_are_read_back_too(page: Page) -> None:
    """Marks of words, letters and numbers, banks of 1 to 16, a selector that hangs turned on its board."""
    random = Random(360)
    boards: list[tuple[Table, Setting, Setting | None]] = []
    for _ in range(RANDOM_BOARDS):
        table = random_board(random)
        hung = {name: replace(s, turned=90 * (i % 4)) for i, (name, s) in enumerate(table.selectors.items())}
        boards.append((replace(table, selectors=hung), random_setting(random, table), random_setting(random, table)))
    assert held_to(page, boards, 0, card=False) > 20
