"""Slips whose remedy names what to type: each is the way that then loads."""

from __future__ import annotations

import pytest

from selector.problems import Refused
from selector.table.from_file.build import build_table
from selector.table.source import source_from_text

TABLE = """format: selector table 1
unit: {title: One dial}
ratings: {heat input: 60000, efficiency: 80 %}
board:
  D1: {kind: dial, positions: 1 2 3, factory: 1}
charts:
  coil: {set: D1, gives: airflow, rows: ROWS}
  rise: {set: D1, gives: GIVES, rows: 1 40; 2 45; 3 50}
calls:
  heating: {terminals: W1, airflow: STEPS}
"""


@pytest.mark.parametrize(
    ("rows", "gives", "steps", "code", "remedy"),
    [
        ("1 600; 2 700; 3 800", "temperature rise", "coil", "unused-chart", "gives: label"),
        ("1 600; 2 700; 3 800", "temperature rise", "[coil, rise]", "two-starts", "gives: airflow, temperature rise"),
        ("1 600; 2 700; 3 800", "airflow", "[{use: coil, when: {D1: 1 to 2}}]", "unknown-position", "type 1 2"),
        ('"1 600; 2 700; 3 #"', "label", "coil", "footnote-at-figure", "type another mark"),
    ],
)
def test_the_remedy_names_what_to_type(rows: str, gives: str, steps: str, code: str, remedy: str) -> None:
    text = TABLE.replace("ROWS", rows).replace("GIVES", gives).replace("STEPS", steps)
    with pytest.raises(Refused) as refused:
        build_table(source_from_text(text), "a")
    assert any(p.code == code and remedy in p.help for p in refused.value.problems)


def test_rises_beside_a_printed_airflow_load_as_labels() -> None:
    text = TABLE.replace("ROWS", "1 600; 2 700; 3 800").replace("GIVES", "label").replace("STEPS", "coil")
    assert not build_table(source_from_text(text), "a")[1].problems
