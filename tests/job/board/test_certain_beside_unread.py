"""An unread mark that the row read leaves open (`-`) changes no airflow: it is told as read. By hand: 3 tons x 400 =
1,200 cfm at B, whatever J1 is; at A the row goes by J1."""

from __future__ import annotations

from typing import Any

from selector.answers.house.found import found_answer
from selector.job.as_found.as_found import as_found
from selector.job.line.typed import job_from_pairs
from selector.job.targets.house import house_of
from selector.table.from_file.build import build_table
from selector.table.source import source_from_text
from selector.value import data_of

TABLE = build_table(
    source_from_text(
        """\
format: selector table 1
unit: {title: Air handler}
units: {airflow: cfm}
board:
  J1: {kind: jumper, positions: 1 2, factory: 1}
  D1: {kind: dial, positions: A B C, factory: A}
charts:
  cooling airflow: {set: D1 J1, gives: airflow, rows: A 1 1000; A 2 1100; B - 1200; C - not used}
calls:
  cooling: {terminals: Y, airflow: cooling airflow}
""",
        "page.yaml",
    ),
    "page",
)[0]


def cooling(marks: str) -> Any:
    house = house_of(job_from_pairs({"table": "page", "tons": "3", "found": marks}.items())[0], TABLE)
    (stage,) = data_of(found_answer(as_found(house)))["stages"]
    return stage


def test_the_row_that_leaves_it_open_is_read() -> None:
    assert cooling("J1=? D1=B")["airflow"] == 1200


def test_a_row_that_is_not_used_is_told_as_that() -> None:
    assert cooling("J1=? D1=C")["no"] == "not_usable"


def test_a_row_that_goes_by_it_is_not() -> None:
    assert cooling("J1=? D1=A")["airflow"] is None
