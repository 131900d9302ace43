"""A menu that prints one number to leave it at; a ramp that goes by a menu and is chosen by a chart: told by its whole
name; a start that hangs on a fact not given: the fact is named."""

from __future__ import annotations

import pytest

from selector.answers.decode import lines
from selector.judge.decode import decode
from selector.problems import Refused
from selector.solve.board.facts import Facts
from selector.solve.board.marks import read_marks, setting_of
from selector.solve.engine.engine import Engine
from selector.table.from_file.build import build_table
from selector.table.model.table import Table
from selector.table.source import source_from_text

PAGE = """\
format: selector table 1
unit: {title: Furnace, models: S L}
units: {airflow: cfm}
facts: {thermostat fan: {values: AUTO ON}}
board:
  N27: {kind: menu, positions: 0 30 60, factory: 30, gives: seconds}
  N29: {kind: menu, positions: 7, factory: 7, leave at: 7}
  D1: {kind: dial, positions: {S: 1 2, L: 2 3}}
charts:
  cooling airflow: {set: D1, gives: airflow, rows: 1 1000; 2 1200; 3 1400}
  cooling ramp:
    set: thermostat fan
    gives: ramp
    rows: |
      AUTO  slow
      ON    FAST
ramps:
  slow: 120 s at 80 %, then 100 %
  fast: 100 %
  at once: 100 %, after N27 at 50 %
calls:
  cooling: {terminals: Y, airflow: cooling airflow, ramp: cooling ramp}
  fan: {terminals: G, airflow: [airflow: 500], ramp: at once}
"""


def table(page: str = PAGE) -> Table:
    return build_table(source_from_text(page, "page.yaml"), "page")[0]


def said(marks: str, model: str) -> str:
    engine = Engine(loaded := table(), Facts(model=model))
    decoded = decode(engine, setting_of(read_marks(marks.split(), loaded), loaded))
    return " ".join(str(line) for line in lines(engine, decoded, None, wide=False))


def test_a_menu_of_one_number_is_left_there() -> None:
    loaded = table()
    part = loaded.part("N29")
    assert part is not None
    assert (part.positions, part.leave_at) == (("7",), 0)


def test_a_chart_that_names_a_ramp_by_a_menu_is_told_its_whole_name() -> None:
    with pytest.raises(Refused) as refused:
        table(PAGE.replace("AUTO  slow", "AUTO  at once"))
    (problem,) = (p for p in refused.value.problems if p.code == "unknown-ramp")
    assert problem.message == "the ramp `at once` goes by a menu, so no chart can choose it"


def test_the_fact_that_a_start_hangs_on_is_named() -> None:
    assert 'cooling, start: thermostat fan is not given: add --fact "thermostat fan=AUTO or ON"' in said("D1=1", "S")


def test_a_position_of_another_model_is_told_as_that() -> None:
    assert "D1 3 is for another model" in said("D1=3", "S")
    assert "is not used" not in said("D1=3", "S")


def test_a_run_on_by_a_menu_at_the_airflow_of_another_call_s_stage() -> None:
    """500 cfm of the fan's stage low for the menu's 30 s."""
    blower = "  blower: {terminals: B, stages: low high, airflow: [airflow: {low: 500, high: 900}]}"
    page = PAGE.replace("after N27 at 50 %", "after N27 at call blower low")
    loaded = table(page.replace("  fan: {terminals: G,", f"{blower}\n  fan: {{terminals: G,"))
    engine = Engine(loaded, Facts(model="S"))
    decoded = decode(engine, setting_of(read_marks(["D1=1"], loaded), loaded))
    said = " ".join(str(line) for line in lines(engine, decoded, None, wide=False))
    assert "after the call 30 s at call blower low (500 cfm)" in said
