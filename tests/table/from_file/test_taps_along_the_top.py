"""A page with the taps of the motor along the top: some of them, in an order of its own; worked by hand."""

from __future__ import annotations

from fractions import Fraction

import pytest

from selector.solve.board.facts import Facts
from selector.solve.board.marks import read_marks
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import evaluate
from selector.table.from_file.build import build_table
from selector.table.model.table import No
from selector.table.source import source_from_text

PAGE = """\
format: selector table 1
unit: {title: Air handler with taps along the top, maker: Tarnwick}
units: {airflow: cfm, pressure: in. w.c.}
board:
  M1: {kind: taps, positions: T1 T2 T3, leads: Y1 G, factory: T2 T1}
charts:
  taps chart:
    set: static pressure
    across: {M1: T3 T1}
    gives: airflow
    rows: |
      0.10  640  520
      0.20  605  480
calls:
  cooling: {terminals: Y1, lead: Y1, airflow: taps chart}
  fan: {terminals: G, lead: G, airflow: taps chart}
"""


@pytest.mark.parametrize(
    ("cooling", "fan", "airflows"),
    [
        ("T3", "T1", [640, 520]),  # the first column is T3's
        ("T1", "T3", [520, 640]),
        ("T2", "T1", ["outside_chart", 520]),  # no column of its own
        ("T3", "T2", [640, "outside_chart"]),
    ],
)
def test_each_lead_reads_the_column_of_its_tap(cooling: str, fan: str, airflows: list[int | str]) -> None:
    table = build_table(source_from_text(PAGE), "page")[0]
    marks = read_marks([f"M1-Y1={cooling}", f"M1-G={fan}"], table)
    setting = tuple(marks[n] for n in range(len(table.parts)))
    answers = evaluate(Engine(table, Facts(model=None, values={"static pressure": Fraction(1, 10)})), setting)
    found = [answers[call].stage("").airflow for call in ("cooling", "fan")]
    assert [x.kind if isinstance(x, No) else int(x) for x in found] == airflows
