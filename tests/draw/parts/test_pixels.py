"""Every position of a drawing can be read off its pixels, black and white, as wide as a phone, at any quarter turn.

The reader knows the legend and, from the table, the kind, the parts and how many positions each has; nothing of how a
drawing is made.
"""

from __future__ import annotations

import io
from random import Random

import numpy as np
import pytest
from PIL import Image
from playwright.sync_api import Page

from selector.draw.parts.svg import board_svg
from selector.table.model.table import ABSENT, Setting, Table
from selector.value import replace
from tests.helpers.browser import chromium
from tests.helpers.pixel_reader import Asked, Ink, in_black_and_white, read_board
from tests.helpers.random_boards import random_board, random_setting

SETTINGS = 200
ON_ONE_PAGE = 20
PHONE = 360


def asked_of(table: Table) -> list[Asked]:
    """What the table says, for the reader."""
    return [
        Asked(kind=s.kind, parts=len(s.parts), positions=len(table.parts[s.parts[0]].positions))
        for s in table.selectors.values()
    ]


def as_read(table: Table, setting: Setting) -> list[list[int | None]]:
    """A setting by selector; off the pins is the hole after the last position."""
    return [
        [len(table.parts[i].positions) if setting[i] == ABSENT else setting[i] for i in s.parts]
        for s in table.selectors.values()
    ]


def photographed(page: Page, drawings: list[str]) -> list[Ink]:
    """The drawings as a browser on a phone shows them."""
    page.set_content(
        "<!doctype html><style>body{margin:0;background:#fff;color:#000}svg{display:block}</style>"
        + "".join(f"<div>{d}</div>" for d in drawings)
    )
    picture = in_black_and_white(np.asarray(Image.open(io.BytesIO(page.screenshot(full_page=True))).convert("L")))
    places = page.evaluate(
        "[...document.querySelectorAll('div')].map(d => { const r = d.getBoundingClientRect(); return [r.top,"
        " r.bottom] })"
    )
    return [picture[round(top) : round(bottom)] for top, bottom in places]


@pytest.mark.parametrize("turned", [0, 90, 180, 270])
def test_a_reader_who_knows_only_the_legend_recovers_every_position(turned: int) -> None:
    random = Random(360)
    boards = [random_board(random) for _ in range(SETTINGS)]
    shown = [(t, random_setting(random, t), random_setting(random, t) if i % 2 else None) for i, t in enumerate(boards)]
    changes = 0
    with chromium() as browser:
        page = browser.new_page(viewport={"width": PHONE, "height": 640})
        for first in range(0, SETTINGS, ON_ONE_PAGE):
            batch = shown[first : first + ON_ONE_PAGE]
            inks = photographed(page, [board_svg(t, setting, before, turned) for t, setting, before in batch])
            for ink, (table, setting, before) in zip(inks, batch, strict=True):
                now, was = read_board(ink, asked_of(table))
                assert now == as_read(table, setting)
                assert was == as_read(table, changed_from(setting, before or setting))
                changes += sum(at is not None for line in was for at in line)
    assert changes > 250


def changed_from(setting: Setting, before: Setting) -> Setting:
    """Where each changed part stood before; None for the rest."""
    return tuple(b if a is not None and a != b else None for a, b in zip(setting, before, strict=True))


def test_the_reader_is_not_fooled_by_a_board_of_another_turn() -> None:
    """The same board hung four ways gives four pictures and one reading; a selector that hangs turned on its board
    is read as well."""
    random = Random(4)
    table = random_board(random)
    hung = replace(
        table, selectors={name: replace(s, turned=90 * (i % 4)) for i, (name, s) in enumerate(table.selectors.items())}
    )
    setting = random_setting(random, table)
    with chromium() as browser:
        page = browser.new_page(viewport={"width": PHONE, "height": 640})
        drawings = [board_svg(hung, setting, None, turned) for turned in (0, 90, 180, 270)]
        readings = [read_board(ink, asked_of(hung))[0] for ink in photographed(page, drawings)]
    assert len(set(drawings)) == 4
    assert readings == [as_read(hung, setting)] * 4
