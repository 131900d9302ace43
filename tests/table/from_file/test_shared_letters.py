"""One airflow chart that several calls read, each by a letter of its own: a page typed as printed, worked by hand."""

from __future__ import annotations

from fractions import Fraction

import pytest

from selector.problems import Refused
from selector.solve.board.facts import Facts
from selector.solve.board.marks import read_marks, setting_of
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import evaluate
from selector.solve.search.find import Request, find
from selector.solve.search.targets import Target
from selector.table.from_file.build import build_table
from selector.table.model.formula import formula
from selector.table.model.table import No, Table
from selector.table.source import source_from_text

PAGE = """\
format: selector table 1
unit: {title: Air handler, models: 24 36}
units: {airflow: cfm}
facts:
  letter: {values: A to E}
board:
  R1: {kind: dial, positions: 0 to 3, factory: 0}
  R2: {kind: dial, positions: 0 to 3, factory: 0}
charts:
  airflow chart:
    set: letter
    gives: airflow
    rows: |
      A  420
      B  560
      C  640
      D  730
      E  810
  compressor letter:
    set: R1
    across: {model: 24 36}
    gives: label
    rows: |
      0  C E
      1  same as 0
      2  B D
      3  as 2
  heater letter:
    set: R2
    across: {model: 24 36}
    gives: label
    rows: |
      0  B C
      1  C D
      2  - E (not fitted on 24)
      3  not used
  fan letter:
    across: {model: 24 36}
    gives: label
    rows: A B
calls:
  cooling: {terminals: Y1, airflow: [{use: airflow chart, by: compressor letter}]}
  heater: {terminals: W, airflow: [{use: airflow chart, by: heater letter}]}
  fan:
    terminals: G
    airflow: [{use: airflow chart, by: fan letter, when: {R1: 0 1 2}}, {airflow: 500, when: {R1: 3}}]
  together: {terminals: Y1 W, airflow: [call cooling, at least: call heater]}
"""


def table_of(text: str = PAGE) -> Table:
    return build_table(source_from_text(text), "page")[0]


def airflows(r1: str, r2: str, model: str) -> list[int | str]:
    table = table_of()
    setting = setting_of(read_marks([f"R1={r1}", f"R2={r2}"], table), table)
    found = [a.stages[0].airflow for a in evaluate(Engine(table, Facts(model=model, values={})), setting).values()]
    return [x.kind if isinstance(x, No) else int(x) for x in found]


def test_each_call_reads_the_chart_by_its_own_letter() -> None:
    assert airflows("0", "0", "24") == [640, 560, 420, 640]
    assert airflows("1", "1", "36") == [810, 730, 560, 810]
    assert airflows("2", "2", "36") == [730, 810, 560, 810]
    assert airflows("3", "2", "24") == [560, "outside_chart", 500, "outside_chart"]
    assert airflows("0", "3", "24") == [640, "not_usable", 420, "not_usable"]


def test_same_as_is_no_label() -> None:
    """`same as 0` and `as 2` name rows, though a row of two labels has as many words."""
    chart = table_of().charts["compressor letter"]
    assert [row.cells for row in chart.rows[:2]] == [("C", "E"), ("C", "E")]
    assert chart.rows[3].like == (2,)


def test_find_turns_the_dial_whose_letter_is_read() -> None:
    table = table_of()
    wanted = Target(call="heater", stage="", quantity="airflow", low=Fraction(730), high=Fraction(730))
    best = find(Engine(table, Facts(model="36", values={})), Request(targets=(wanted,), first=1)).found[0]
    assert best.setting == (0, 1)
    assert best.moves == 1


def test_the_formula_says_whose_letter() -> None:
    table = table_of()
    assert formula(table, table.calls["heater"], "") == "airflow chart by heater letter"


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ("by: heater letter", "by: heater", "`heater` is not a chart of labels"),
        ("rows: A B\n", "rows: A Z\n", "`fan letter` gives Z, which `airflow chart` has no row for"),
    ],
)
def test_slips(old: str, new: str, message: str) -> None:
    with pytest.raises(Refused) as refused:
        table_of(PAGE.replace(old, new))
    assert refused.value.problems[0].message == message
