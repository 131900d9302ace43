"""Rise, watts and speed that a page prints beside an airflow: decode tells them, verify holds readings against them.
Every figure is worked by hand from the text."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from selector.problems import Refused
from selector.solve.board.facts import Facts
from selector.solve.board.marks import read_marks, setting_of
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import Board, told
from selector.table.from_file.build import build_table
from selector.table.model.in_units import in_units, units_named
from selector.table.source import source_from_text
from tests.helpers.commands_here import said_here

PAGE = """\
format: selector table 1
unit: {title: Furnace}
units: {airflow: cfm}
ratings: {heat output: 54000, temperature rise: 35 to 65}
board:
  D1: {kind: dial, positions: 1 2 3, factory: 1}
charts:
  heat airflow:
    set: D1
    gives: airflow, temperature rise, watts
    rows: |
      1   800 62 300
      2  1000 50 400
      3  1250 -  550
  blower:
    across: {airflow: 600 1000 1400}
    gives: watts
    rows: 100 300 700
calls:
  heating: {terminals: W, airflow: heat airflow}
  fan: {terminals: G, airflow: [call heating, share: 60 %]}
"""
TABLE = build_table(source_from_text(PAGE), "page")[0]


def said(marks: str) -> dict[tuple[str, str, str], object]:
    board = Board(Engine(TABLE, Facts()), setting_of(read_marks([marks], TABLE), TABLE))
    return {(t.chart, t.call, t.quantity): t.cell for t in told(board)}


def test_what_is_printed_beside_an_airflow_is_told_at_that_airflow() -> None:
    """The blower's chart at 1,000 is 300 W, at the fan's 600 is 100 W; at 1,250 a straight line from 300 to 700."""
    assert said("D1=2") == {
        ("heat airflow", "heating", "temperature rise"): 50,
        ("heat airflow", "heating", "watts"): 400,
        ("blower", "heating", "watts"): 300,
        ("blower", "fan", "watts"): 100,
    }
    assert said("D1=3")["blower", "heating", "watts"] == 300 + Fraction(250, 400) * 400


def test_a_chart_along_the_airflow_is_in_the_units_asked_for() -> None:
    """A cubic foot is 28.316846592 l (0.3048 m cubed), a minute 60 s."""
    heads = in_units(TABLE, units_named("L/s", TABLE.units)).along["blower"].heads[0].numbers
    assert heads[1] == 1000 * Fraction("28.316846592") / 60


@pytest.mark.parametrize(
    ("reading", "words"),
    [
        ("rise: 51 F, watts: 410", ["rise 51.0 F, near the 50 F", "410 W, near the 400 W"]),
        ("rise: 64 F, watts: 500", ["rise 64.0 F, more than the 50 F", "500 W, more than the 400 W"]),
        ("rise: 40 F, watts: 330", ["rise 40.0 F, less than the 50 F", "330 W, less than the 400 W"]),
    ],
)
def test_readings_are_held_against_what_is_printed(tmp_path: Path, reading: str, words: list[str]) -> None:
    """15 % of 400 W is 60 W, of 50 F 7.5 F (the band of a rise on the plate's heat)."""
    (tmp_path / "page.yaml").write_text(PAGE, encoding="utf-8")
    job = tmp_path / "job.yaml"
    job.write_text(
        f"format: selector job 1\ntable: {tmp_path / 'page.yaml'}\nas found: {{D1: 2}}\nmeasurements:\n"
        f"  - {{call: heating, method: rise, minutes: 15, {reading}}}\n",
        encoding="utf-8",
    )
    answer = said_here("verify", str(job))
    assert answer is not None
    for one in words:
        assert one in answer.text


def test_a_chart_along_the_airflow_gives_watts_or_speed_alone() -> None:
    with pytest.raises(Refused) as refused:
        build_table(source_from_text(PAGE.replace("gives: watts\n    rows: 100", "gives: trim\n    rows: +1")), "page")
    assert refused.value.problems[0].help == "such a chart gives watts or speed"
