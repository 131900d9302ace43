"""What is said where a fact is not given: what holds in every case, or all that may be. Figures by hand, page below."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.helpers.program import program

PAGE = """\
format: selector table 1
unit: {title: trial unit}
units: {airflow: cfm, pressure: in. w.c.}
facts:
  module: {values: 7 9}
  outdoor kW: {values: 4.0 5.0 6.0}
  wall control: {values: yes no}
board:
  P1: {kind: plug, positions: white violet, factory: white}
  SW1: {kind: switches, count: 1, factory: all off}
charts:
  plug airflow:
    set: P1 module
    gives: airflow
    rows: |
      white  -   800
      violet 7   900
      violet 9  1100
  fan airflow:
    set: wall control, SW1-1
    gives: airflow
    rows: |
      yes -   500
      no OFF  500
      no ON   650
calls:
  cooling:
    for: cooling
    terminals: Y1
    airflow: plug airflow
  slow:
    for: heat pump
    airflow:
      - airflow: 900
      - {at most: 850, when: {static pressure: above 0.5}}
  full:
    for: dehumidify
    airflow: {airflow: 800}
    window: {airflow: {outdoor kW: {4.0: 200 to 500, 5.0: 300 to 700, 6.0: 400 to 600}}}
  fan:
    terminals: G
    airflow: fan airflow
"""


@pytest.fixture
def page(tmp_path: Path) -> str:
    path = tmp_path / "page.yaml"
    path.write_text(PAGE, encoding="utf-8")
    return str(path)


def said(*words: str) -> str:
    return " ".join(program(*words).stdout.split())


def test_a_limit_that_is_broken_in_every_case_is_told_where_it_is_broken_least(page: str) -> None:
    """800 cfm is over 500, 700 and 600; the most that any outdoor unit is allowed is 700, 100 less."""
    text = said("decode", page, "P1=white")
    assert "full: 800 cfm, at least 100 cfm over the manual's 700 cfm" in text
    known = said("decode", page, "P1=white", "--fact", "outdoor kW=4.0")
    assert "full: 800 cfm, 300 cfm over the manual's 500 cfm" in known


def test_terminals_get_the_same_answer_as_none(page: str) -> None:
    for words in ([], ["--terminals", "Y1"]):
        assert "cooling 900 or 1,100 cfm (by module)" in said("decode", page, "P1=violet", *words)


def test_a_step_that_a_static_pressure_decides_gives_both_figures(page: str) -> None:
    assert "slow 850 or 900 cfm (by static pressure)" in said("decode", page, "P1=white")
    assert "slow 900 cfm" in said("decode", page, "P1=white", "--static", "0.5")
    assert "slow 850 cfm" in said("decode", page, "P1=white", "--static", "0.6")


def test_a_figure_is_no_slip_of_another(page: str) -> None:
    done = program("decode", page, "P1=white", "--fact", "outdoor kW=9.0")
    assert "the page has 4.0 5.0 6.0; ask the maker for any other" in done.stderr
    assert "did you mean" not in done.stderr
    assert "full: 800 cfm, 200 cfm over" in said("decode", page, "P1=white", "--fact", "outdoor kW=6")


def test_a_switch_that_the_facts_leave_dead_makes_no_second_answer(page: str) -> None:
    """With a wall control SW1-1 is dead: 500 cfm is one answer, and SW1-1 may stand anywhere."""
    words = ["find", page, "fan=500", "--first", "9", "--json", "--near", "99"]
    Path(page).write_text(PAGE.replace("4.0: 200 to 500", "4.0: 200 to 900"), encoding="utf-8")
    words += ["--fact", "outdoor kW=4.0"]
    (one,) = json.loads(program(*words, "--fact", "wall control=yes").stdout)["found"]
    assert ["SW1-1"] in [x["selectors"] for x in one["any_of"]]
    assert len(json.loads(program(*words, "--fact", "wall control=no").stdout)["found"]) == 2
