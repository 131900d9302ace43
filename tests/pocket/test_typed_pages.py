"""The pocket page answers as Python does for what pages print beside plain charts: each of the pages that the tests of
the format type."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from random import Random

import pytest
from playwright.sync_api import Browser

from selector.solve.engine.engine import Engine
from selector.table.model.table import Table
from tests.helpers.browser import chromium
from tests.helpers.pocket_browser import asked
from tests.helpers.pocket_cases import Question, boards, differences, wishes
from tests.pocket.test_page import built
from tests.table.build import (
    test_footnotes,
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
)

TYPED = (
    test_footnotes,
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
)
PAGES = {one.__name__.rpartition("test_")[2]: one.PAGE for one in TYPED}


def settled(table: Table, q: Question) -> bool:
    """False where marks are open and a fact isn't given: the page asks for the fact, Python tells what both may be."""
    engine = Engine(table, q.facts())
    stages = [(c, s, engine.asked(c, s).rate) for c in table.calls.values() for s in c.stages]
    programs = [p for at in stages for p in (engine.airflow(*at), engine.airflow_limits(*at)[1])]
    return None not in q.setting or not any(r.needs for p in programs for i in p for r in i.readings)


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """One browser for all pages."""
    with chromium() as one:
        yield one


@pytest.mark.parametrize("name", PAGES)
def test_boards_and_targets_are_answered_as_python_answers(browser: Browser, tmp_path: Path, name: str) -> None:
    table, random = built(PAGES[name]), Random(f"questions of {name}")
    asks = [] if name == "open_figures" else wishes(random, table, 8)  # why nothing fits there is worded apart
    questions = [q for q in (*boards(random, table, 90), *asks) if settled(table, q)]
    if name == "open_figures":  # an open mark beside an open figure: the page lists apart what Python joins
        questions = [q for q in questions if None not in q.setting]
    assert len(questions) > 20
    assert differences(table, questions, asked(browser, tmp_path, table, questions)) == []
