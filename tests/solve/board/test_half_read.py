"""A mark that was half read, `3 or 8`: only what these positions give is told; worked by hand from the page below."""

from __future__ import annotations

import pytest

from selector.functions import decode, judge_board
from selector.problems import Refused
from selector.solve.board.marks import half_read, marks_of, read_marks, unread_in
from selector.table.from_file.build import build_table
from selector.table.model.table import Table
from selector.table.source import source_from_text

PAGE = """\
format: selector table 1
unit: {title: Air handler}
board:
  D1: {kind: dial, positions: R9 S4 T4, factory: R9}
  J1: {kind: jumper, positions: A B, factory: A}
charts:
  dial airflow:
    set: D1
    gives: airflow
    rows: |
      R9   800
      S4  1000
      T4  1200
  trims:
    set: J1
    gives: trim
    rows: A none; B -50 %
calls:
  cooling: {terminals: Y1, airflow: [dial airflow, trims]}
"""


@pytest.fixture(scope="module")
def table() -> Table:
    return build_table(source_from_text(PAGE), "page")[0]


def test_only_the_positions_it_may_have(table: Table) -> None:
    """800 or 1,200, never the 1,000 of S4; half of that with J1 at B."""
    found = decode(table, "D1=R9 or T4 J1=B")
    assert list(map(int, found.values["cooling", ""].airflows)) == [400, 600]
    assert list(map(int, judge_board(table, "D1=R9 or T4 J1=A").stages["cooling", ""].airflows)) == [800, 1200]


def test_both_marks_open(table: Table) -> None:
    assert list(map(int, decode(table, "D1=S4 or T4 J1=?").values["cooling", ""].airflows)) == [500, 600, 1000, 1200]


def test_one_position_twice_is_read(table: Table) -> None:
    marks = ["D1=T4 or T4"]
    assert read_marks(marks, table) == {0: 2}
    assert half_read(marks, table) == {}


def test_it_counts_as_looked_at(table: Table) -> None:
    marks = ["D1=R9 or T4", "J1=A"]
    assert unread_in(read_marks(marks, table)) == frozenset({0})
    assert half_read(marks, table) == {0: (0, 2)}


def test_a_position_that_is_not_there(table: Table) -> None:
    with pytest.raises(Refused) as refused:
        read_marks(["D1=R9 or Q"], table)
    assert refused.value.problems[0].message == "D1 has no position `Q`"


def test_it_is_written_and_drawn_as_it_was_read(table: Table) -> None:
    open_table = table.half_read({0: (0, 2)})
    assert marks_of((None, 0), open_table) == 'D1="R9 or T4" J1=A'
    assert half_read([marks_of((None, 0), open_table)], table) == {0: (0, 2)}
