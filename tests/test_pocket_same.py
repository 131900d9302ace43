"""The pocket page answers as Python does: a share with fixed seeds; `python -m tests.pocket_all` holds the whole."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from random import Random

import pytest
from playwright.sync_api import Browser

from tests.browser import chromium
from tests.pocket_browser import NAMES, asked, shipped
from tests.pocket_cases import boards, counted, differences, wishes

BOARDS = 40
TARGET_SETS = {"marrowdale-t": 3, "brindlemoor-16s": 8, "lindmarrow-j": 8, "quillhaven-p": 8}
"""Fewer where Python takes longest."""


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """One browser for all tables."""
    with chromium() as one:
        yield one


@pytest.mark.parametrize("name", NAMES)
def test_boards_and_targets_are_answered_as_python_answers(browser: Browser, tmp_path: Path, name: str) -> None:
    table, random = shipped(name), Random(f"a share of {name}")
    questions = boards(random, table, BOARDS)
    assert differences(table, questions, asked(browser, tmp_path, table, questions)) == []
    asks = wishes(random, table, TARGET_SETS.get(name, 14))
    answers = asked(browser, tmp_path, table, asks)
    assert differences(table, asks, answers) == []
    counts = counted(answers)
    assert counts["answers"] > len(asks) // 2
    assert counts["none"] < counts["answers"]
