"""The pocket page answers as Python does: a share with fixed seeds; `python -m tests.helpers.pocket_all` holds the
whole."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from random import Random

import pytest
from playwright.sync_api import Browser, Page, expect

from selector.card.code import card_code
from selector.pocket.page import pocket_html
from tests.helpers.browser import chromium
from tests.helpers.generate import Wish, seeded
from tests.helpers.pocket_browser import NAMES, answers, asked, every_table, opened, shipped
from tests.helpers.pocket_cases import boards, counted, differences, wishes
from tests.helpers.random_boards import random_setting
from tests.helpers.ready import ready
from tests.pocket.test_page import built

BOARDS = 40
TARGET_SETS = {"marrowdale-t": 2, "brindlemoor-16s": 4, "lindmarrow-j": 5, "quillhaven-p": 8, "pellmere-w": 8}
"""Fewer where Python takes longest."""


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """One browser for all tables."""
    with chromium() as one:
        yield one


@pytest.fixture(scope="module")
def every(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Page]:
    """One page of all tables."""
    with every_table(browser, tmp_path_factory.mktemp("every")) as page:
        yield page


@pytest.mark.parametrize("name", NAMES)
def test_boards_and_targets_are_answered_as_python_answers(every: Page, name: str) -> None:
    table, random = shipped(name), Random(f"a share of {name}")
    questions = boards(random, table, BOARDS)
    asks = wishes(random, table, TARGET_SETS.get(name, 14))
    said = answers(every, table, [*questions, *asks], NAMES.index(name))
    assert differences(table, [*questions, *asks], said) == []
    counts = counted(said[BOARDS:])
    assert counts["answers"] > len(asks) // 2
    assert counts["none"] < counts["answers"]
    assert any(q.held for q in asks)
    assert any(t.weight != 1 for q in asks for t in q.targets)
    assert any(q.terminals for q in questions)


@pytest.mark.parametrize("name", NAMES)
def test_a_card_puts_its_board_back(every: Page, name: str) -> None:
    table, random = shipped(name), Random(f"code {name}")
    settings = [random_setting(random, table) for _ in range(4)]
    models = [random.choice(table.unit.models or ("",)) for _ in settings]
    codes = [card_code(table, at, [("model", model)]) for at, model in zip(settings, models, strict=True)]
    read = "(codes) => codes.map((code) => pocket.readCode(pocketPage, code))"
    for setting, model, said in zip(settings, models, every.evaluate(read, codes), strict=True):
        assert said["number"] == NAMES.index(name)
        assert tuple(said["kept"]["setting"]) == setting
        assert table.unit.models[said["kept"]["model"] - 1 :][:1] == ((model,) if model else ())


@pytest.mark.parametrize(("seed", "modulating"), [*((n, False) for n in range(6)), *((n, True) for n in range(10))])
def test_tables_drawn_at_random_are_answered_as_python_answers(
    browser: Browser, tmp_path: Path, seed: int, modulating: bool
) -> None:
    table, random = ready(seeded(seed, Wish(most=200, modulating=modulating))).table, Random(f"questions of {seed}")
    questions = [*boards(random, table, 30), *wishes(random, table, 6)]
    assert differences(table, questions, asked(browser, tmp_path, table, questions)) == []


def test_a_limit_is_judged_where_a_bound_begins_to_act(browser: Browser, tmp_path: Path) -> None:
    """`bounded` holds 800 cfm up to 70 % fire, where it gives 56,000 Btu/h: 56,000 / (1.08 x 800) = 64.8 F, above the
    plate's 63.

    At the printed rates it is inside: 32,000 / 864 = 37.0 F at 40 %, 80,000 / (1.08 x 1,200) = 61.7 F at 100 %.
    """
    table = built(
        """format: selector table 1
unit: {title: Furnace}
units: {airflow: cfm, temperature: F, heat: Btu/h}
ratings: {heat output: 80000, temperature rise: 30 to 63}
board:
  J1: {kind: jumper, positions: bounded free, factory: free}
charts:
  heating airflow: {across: {firing rate: 40 100}, gives: airflow, rows: 400 1200}
calls:
  heating: {terminals: W1, airflow: [heating airflow, {at least: 800, when: {J1: bounded}}]}
"""
    )
    page, told = opened(browser.new_context(), tmp_path, pocket_html([table]))
    page.get_by_role("button", name="J1 bounded").click()
    line = page.locator("#calls .call.reverse")
    expect(line).to_have_count(1)
    line.click()
    expect(page.locator("#calls")).to_contain_text("temperature rise 64.8 F at 70 % fire, allowed 30 F to 63 F")
    page.context.close()
    assert told == []
    random = Random("a bound")
    questions = [*boards(random, table, 20), *wishes(random, table, 20)]
    assert differences(table, questions, asked(browser, tmp_path, table, questions)) == []


OPEN_MODEL = """format: selector table 1
unit: {title: Furnace, models: A B}
units: {airflow: cfm, temperature: F, heat: Btu/h}
ratings: {heat output: {A: 60000, B: 80000}, temperature rise: 30 to 60}
board:
  J1: {kind: jumper, positions: low high, factory: low}
  J2: {kind: jumper, positions: x y, factory: x}
charts:
  heating airflow: {set: J1, across: {model: A B}, gives: airflow, rows: low 800 1000; high 1000 1300}
  cooling airflow: {set: J2, gives: airflow, rows: x 900; y 1000}
calls:
  heating: {terminals: W1, airflow: heating airflow}
  cooling: {terminals: Y1, airflow: cooling airflow}
"""


def test_a_limit_that_is_broken_for_every_model_is_said_and_kept_by_what_is_proposed(
    browser: Browser, tmp_path: Path
) -> None:
    """Standard air: J1 low gives A 60,000 / (1.08 x 800) = 69.4 F and B 80,000 / (1.08 x 1,000) = 74.1 F, both over
    60 F; J1 high 60,000 / (1.08 x 1,000) = 55.6 F and 80,000 / (1.08 x 1,300) = 57.0 F. So 1,000 cfm of cooling moves
    both."""
    table = built(OPEN_MODEL)
    page, told = opened(browser.new_context(), tmp_path, pocket_html([table]))
    page.get_by_role("button", name="J1 low").click()
    page.get_by_role("button", name="J2 x").click()
    line = page.locator("#calls .call.reverse")
    expect(line).to_have_count(1)
    expect(line).to_contain_text("rise at least 69, limit 60")
    expect(line.locator(".air")).to_have_text("800 or 1,000")
    page.get_by_role("tab", name="Target").click()
    page.get_by_role("textbox", name="cooling, target").fill("1000")
    expect(page.locator("#find .rank").first).to_contain_text("J1 high, J2 y")
    page.context.close()
    assert told == []
