"""Terminals that have no voltage while a call runs: a page typed as printed, worked by hand from it."""

from __future__ import annotations

import pytest

from selector.problems import Refused
from selector.solve.board.facts import NOTHING_KNOWN
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import evaluate
from selector.solve.engine.together import energised, known_terminals
from selector.table.from_file.build import build_table
from selector.table.model.table import Table
from selector.table.source import source_from_text

PAGE = """\
format: selector table 1
unit: {title: A humidity control that opens}
units: {airflow: cfm}
board: {J1: {kind: jumper, positions: A B, factory: A}}
charts: {by jumper: {set: J1, gives: airflow, rows: A 800; B 1000}}
calls:
  cooling: {terminals: {low: Y1, high: Y1 Y2}, stages: low high, airflow: [by jumper, share: {low: 70 %}]}
  dehumidify:
    terminals: {low: Y1 not DH, high: Y1 Y2 not DH}
    stages: low high
    airflow: [call cooling, share: 80 %]
  fan: {terminals: G, airflow: [call cooling high, share: 50 %]}
"""


def table_of(text: str = PAGE) -> Table:
    return build_table(source_from_text(text), "page")[0]


@pytest.mark.parametrize(
    ("on", "runs", "airflow"),
    [
        ("Y1 DH", ["cooling low"], 560),
        ("Y1", ["dehumidify low"], 448),
        ("Y1 Y2 DH", ["cooling high"], 800),
        ("Y1 Y2", ["dehumidify high"], 640),
        ("G", ["fan"], 400),
    ],
)
def test_a_call_runs_while_its_terminal_has_no_voltage(on: str, runs: list[str], airflow: int) -> None:
    """A: 800 cfm, low 70 %; with DH open 80 % of that."""
    table = table_of()
    found = energised(table, evaluate(Engine(table, NOTHING_KNOWN), (0,)), on.split())
    assert [s.title for s in found.stages] == runs
    assert found.airflow == airflow
    assert known_terminals(table) == ("Y1", "Y2", "DH", "G")


@pytest.mark.parametrize("typed", ["not DH", "Y1 not"])
def test_not_stands_between_terminals(typed: str) -> None:
    with pytest.raises(Refused) as refused:
        table_of(PAGE.replace("{low: Y1 not DH", f"{{low: {typed}"))
    assert refused.value.problems[0].code == "bad-terminal"
