"""The pocket page answers as Python does for what pages print beside plain charts: each of the pages that the tests of
the format type."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from random import Random

import pytest
from playwright.sync_api import Browser

from tests.helpers.browser import chromium
from tests.helpers.pocket_browser import asked
from tests.helpers.pocket_cases import boards, differences, wishes
from tests.pocket.test_page import built
from tests.solve.test_law_shared_taps import PAGE as SHARED
from tests.solve.test_law_shared_taps import SHARES
from tests.table.from_file import (
    test_by_call_and_model,
    test_dark_terminals,
    test_footnotes,
    test_input_ceiling,
    test_led_charts,
    test_limits,
    test_made_charts,
    test_members,
    test_open_figures,
    test_plates,
    test_ramps,
    test_shared_letters,
    test_shared_tap,
    test_sums,
    test_taps_along_the_top,
)

TYPED = (
    test_by_call_and_model,
    test_dark_terminals,
    test_footnotes,
    test_input_ceiling,
    test_led_charts,
    test_limits,
    test_made_charts,
    test_members,
    test_open_figures,
    test_plates,
    test_ramps,
    test_shared_letters,
    test_shared_tap,
    test_sums,
    test_taps_along_the_top,
)
PAGES = {one.__name__.rpartition("test_")[2]: one.PAGE for one in TYPED}
PAGES["a reserved delay"] = test_ramps.RESERVED
PAGES["shared taps of two pairs"] = SHARED.replace("SHARE", SHARES[2])


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """One browser for all pages."""
    with chromium() as one:
        yield one


@pytest.mark.parametrize("name", PAGES)
def test_boards_and_targets_are_answered_as_python_answers(browser: Browser, tmp_path: Path, name: str) -> None:
    table, random = built(PAGES[name]), Random(f"questions of {name}")
    questions = [*boards(random, table, 90), *wishes(random, table, 8)]
    assert differences(table, questions, asked(browser, tmp_path, table, questions)) == []
