"""Hypothesis: the same examples on every run where CI is set, and failures reported as found; fresh ones, and failures
made small, elsewhere; fresh ones too where EXAMPLES=fresh asks for them. No timed tests. Nothing is kept in a person's
cache."""

from __future__ import annotations

import os
import re

import pytest
from hypothesis import Phase, settings

settings.register_profile("ci", deadline=None, derandomize=True, phases=(Phase.explicit, Phase.generate))
settings.register_profile("here", deadline=None)
settings.register_profile("fresh", deadline=None, database=None, print_blob=True)
settings.load_profile(os.environ.get("EXAMPLES") or ("ci" if os.environ.get("CI") else "here"))
os.environ.setdefault("SELECTOR_INDEX", "off")

LONG = re.compile(
    r"test_agree\.py::test_plan_and_found_agree\[.*-[123]\]"
    r"|test_agree\.py::test_plan_and_found_agree_on_generated_tables\[1\]"
    r"|test_keystrokes\.py::test_a_page_typed_at_the_questions\[saltmarsh-12\]"
    r"|test_page\.py::test_a_board_is_read_and_a_setting_found_at_every_size\[desktop-dark\]"
    r"|test_page\.py::test_the_board_as_touched_is_read_off_its_pixels\[(corvane-k14-light|saltmarsh-12-dark)\]"
    r"|test_every_command\.py::.*\[(marrowdale-t|quillhaven-p)\]"
    r"|test_same\.py::test_tables_drawn_at_random.*\[[3-9]-"
    r"|test_one_judgement\.py::test_L11_one_judgement_of_drawn_tables\[[2-9]\]"
    r"|test_cluster\.py|test_slip_exam\.py|test_killed_at_random_moments|of_a_hundred_thousand_rows"
    r"|test_law_survey\.py::.*\[True\]"
)
"""More of what other tests hold too, on more tables or against more processes: run with `--long`."""


def pytest_addoption(parser: pytest.Parser) -> None:
    """`--long`: everything."""
    parser.addoption("--long", action="store_true", help="also the tests that take long")


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Leave out what takes long; a test that is named by itself runs."""
    if config.getoption("--long") or any("::" in word for word in config.args):
        return
    left_out = [item for item in items if LONG.search(item.nodeid)]
    items[:] = [item for item in items if not LONG.search(item.nodeid)]
    config.hook.pytest_deselected(items=left_out)
