"""In the page a condition by selector and the tons in force count as they do beside it; by hand."""

from __future__ import annotations

from pathlib import Path

from tests.helpers.browser import chromium
from tests.helpers.pocket_browser import asked
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
