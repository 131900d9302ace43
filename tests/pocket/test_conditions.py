"""In the page a condition by selector and the tons in force count as they do beside it; by hand."""

from __future__ import annotations

from pathlib import Path

from playwright.sync_api import expect

from selector.pocket.page import pocket_html
from tests.helpers.browser import chromium
from tests.helpers.pocket_browser import asked, opened, shipped
from tests.helpers.pocket_cases import Question
from tests.judge.test_told_by_selectors import BY_CHART, FOOTNOTE, table_of


def test_a_footnote_and_the_tons_of_a_chart_count_in_the_page(tmp_path: Path) -> None:
    """D1 at 2 gives 500 with J1 at A and nothing at B; dry raises 50 % of 300 a ton to 290 x 4 tons = 1,160."""
    with chromium() as browser:
        boards = [Question(model=None, values={}, setting=at) for at in ((1, 0), (1, 1))]
        held, broken = asked(browser, tmp_path, table_of(FOOTNOTE), boards)
        dry = asked(browser, tmp_path, table_of(BY_CHART), [Question(model=None, values={}, setting=(2,))])[0][0][1]
    assert held[0][0][2] == "500 = 500"
    assert "holds only with J1 A" in broken[0][0][2]
    assert dry[2] == "1,160 = 1160"


def test_the_page_says_what_it_took_for_a_voltage_that_nobody_gave(tmp_path: Path) -> None:
    """Eskerby E, page 7: the heaters are rated at 240 V; with none fitted nothing rests on it."""
    with chromium() as browser:
        page, told = opened(browser.new_context(), tmp_path, pocket_html([shipped("eskerby-e")]))
        notes = page.locator("#app details.notes").filter(has_text="Before you touch the board").first
        for mark in ("J1 10", "J2 none"):
            page.get_by_role("button", name=mark, exact=True).click()
        said = "Assumed, supply voltage: 240 V, as the heater is rated (auxiliary and heater alone)"
        expect(notes).to_contain_text(said)
        page.get_by_role("button", name="J1 none", exact=True).click()
        expect(notes).not_to_contain_text("Assumed")
        page.get_by_role("button", name="J1 10", exact=True).click()
        page.get_by_label("supply voltage").fill("208")
        page.get_by_label("supply voltage").press("Enter")
        expect(notes).not_to_contain_text("Assumed")
        page.context.close()
    assert told == []
