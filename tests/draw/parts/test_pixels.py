"""Every position of a drawing can be read off its pixels, black and white, as wide as a phone, at any quarter turn."""

from __future__ import annotations

import io
from random import Random

import numpy as np
import pytest
from PIL import Image
from playwright.sync_api import Page

from selector.table.model.table import ABSENT, Setting, Table
from selector.value import replace
from tests.helpers.board_drawing import board_svg
from tests.helpers.browser import chromium
from tests.helpers.pixel_reader import Ink, Place, in_black_and_white, read_board
from tests.helpers.random_boards import random_board, random_setting

SETTINGS = 60
ON_ONE_PAGE = 20
PHONE = 360


def as_read(table: Table, setting: Setting) -> dict[int, int]:
    """A setting by part; off the pins is the place after the last position; switches not used are never filled."""
    return {
        part.index: len(part.positions) if at == ABSENT else at
        for part, at in zip(table.parts, setting, strict=True)
        if at is not None and not part.unused
    }


def photographed(page: Page, drawings: list[str]) -> list[tuple[Ink, list[Place]]]:
    """The drawings as a browser on a phone shows them, with the places that they tell."""
    page.set_content(
        "<!doctype html><style>body{margin:0;background:#fff;color:#000}svg{display:block;width:360px;height:auto}"
        "</style>" + "".join(f"<div>{d}</div>" for d in drawings)
    )
    picture = in_black_and_white(np.asarray(Image.open(io.BytesIO(page.screenshot(full_page=True))).convert("L")))
    found = page.evaluate(
        "[...document.querySelectorAll('div')].map((d) => [...d.querySelectorAll('[data-box]')].map((e) => {"
        " const s = d.firstChild.getBoundingClientRect(), k = s.width / d.firstChild.viewBox.baseVal.width;"
        " const [x, y, w, h] = e.dataset.box.split(' ').map(Number);"
        " return [+e.dataset.part, +e.dataset.position, s.x + k * x, s.y + k * y, k * w, k * h]; }))"
    )
    return [
        (
            picture,
            [Place(part=p, position=i, x=x, y=y, width=w, height=h) for p, i, x, y, w, h in places],
        )
        for places in found
    ]


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
            photos = photographed(page, [board_svg(t, setting, before, turned) for t, setting, before in batch])
            for (ink, places), (table, setting, before) in zip(photos, batch, strict=True):
                now, was = read_board(ink, places)
                assert now == as_read(table, setting)
                assert was == as_read(table, changed_from(setting, before or setting))
                changes += len(was)
    assert changes > 80


def changed_from(setting: Setting, before: Setting) -> Setting:
    """Where each changed part was before; None for the rest."""
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
        readings = [read_board(ink, places)[0] for ink, places in photographed(page, drawings)]
    assert len(set(drawings)) == 4
    assert readings == [as_read(hung, setting)] * 4
