"""A card's code pasted into the page: what it puts on the board, and what it refuses."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from selector.card.code import card_code, check_of
from selector.solve.board.marks import read_marks, setting_of
from tests.helpers.browser import chromium
from tests.helpers.pocket_browser import opened, page_of, shipped


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """One browser for all tests."""
    with chromium() as one:
        yield one


def pasted(page: Page, code: str) -> None:
    """The code typed into its place and used."""
    page.evaluate("document.querySelectorAll('details').forEach((d) => { d.open = true; })")
    page.get_by_label("code of a card").fill(code)
    page.get_by_role("button", name="Use this code").click()


def test_what_is_no_code_of_this_page_is_refused_with_the_reason(browser: Browser, tmp_path: Path) -> None:
    table, other = shipped("corvane-k14"), shipped("drossfield-x")
    setting = setting_of(read_marks(["SW1=10011000"], table), table)
    code = card_code(table, setting, [("model", "080"), ("altitude", "5,000 ft"), ("tons", "3 tons")])
    page, told = opened(browser.new_context(), tmp_path, page_of("corvane-k14"))
    for wrong, why in (
        ("SW1=10011000", "not the code of a card"),
        (code.replace("10011000", "10011001"), "mistyped"),
        (card_code(other, tuple(0 for _ in other.parts)), "This card is of drossfield-x"),
    ):
        pasted(page, wrong)
        expect(page.locator("details p[role=status]")).to_contain_text(why)
    pasted(page, f"  {code.upper()}\n")
    expect(page.locator("#calls .calls li").filter(has_text="cooling second")).to_contain_text("1,198")
    expect(page.locator("#after")).to_contain_text("Not on this page: ALTITUDE 5,000 FT")
    assert page.evaluate("pocket.checkOf('foobar')") == check_of("foobar")
    page.context.close()
    assert told == []
