"""Marks as a board prints them: written with the words beside its switches, and read back as the same setting."""

from __future__ import annotations

import subprocess
import sys
from itertools import product

import pytest

from selector.solve.board.facts import Facts
from selector.solve.board.marks import mark, mark_by_part, marks_of, read_marks, setting_of
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import evaluate
from selector.table.from_file.build import build_table
from selector.table.library.library import load
from selector.table.model.table import No, Setting, Table
from selector.table.source import source_from_text

HEAD = """\
format: selector table 1
unit: {title: Marks}
units: {airflow: cfm}
board:
  SW1: {kind: switches, count: 3, not used: 2 3, SENSE}
charts:
  cooling airflow:
    set: SW1-1
    gives: airflow
    rows: |
      FIRST  800
      OTHER  900
calls:
  cooling: {terminals: Y, airflow: cooling airflow}
"""


def bank(sense: str, first: str, other: str) -> Table:
    """A board of one bank with this sense, its chart set by the marks named."""
    text = HEAD.replace("SENSE", sense).replace("FIRST", first).replace("OTHER", other)
    return build_table(source_from_text(text, "marks.yaml"), "marks")[0]


def back(table: Table, text: str) -> Setting:
    """Marks as text, read."""
    return setting_of(read_marks([text], table), table)


def test_a_bank_printed_in_words_is_written_in_those_words() -> None:
    """Brindlemoor page: bank SW2 has OPEN and CLOSED printed on its body; question 1 finds it CLOSED OPEN CLOSED
    OPEN."""
    table, _ = load("brindlemoor-16s")
    setting = back(table, "SW1=1110011010101010 SW2=CLOSED OPEN CLOSED OPEN")
    assert marks_of(setting, table) == 'SW1=1110011010101010 SW2="CLOSED OPEN CLOSED OPEN"'
    by_part = mark_by_part(setting, table)
    assert [by_part[f"SW2-{n}"] for n in (1, 2, 3, 4)] == ["CLOSED", "OPEN", "CLOSED", "OPEN"]
    assert [by_part[f"SW1-{n}"] for n in (1, 4)] == ["ON", "OFF"]


@pytest.mark.parametrize(
    ("sense", "first", "other", "written"),
    [
        ("positions: off on", "OFF", "ON", 'SW1="ON OFF ?"'),
        ("also: {off: 0, on: 1}", "0", "1", "SW1=10?"),
        ("also: {off: 1, on: 0}", "1", "0", 'SW1="0 1 ?"'),
        ("positions: open closed", "open", "closed", 'SW1="closed open ?"'),
        ("also: {off: OPEN, on: CLOSED}", "OPEN", "CLOSED", 'SW1="CLOSED OPEN ?"'),
        ("also: {off: [pulled out], on: [pushed in]}", "OFF", "ON", 'SW1-1="pushed in" SW1-2="pulled out" SW1-3=?'),
    ],
)
def test_every_sense_is_written_as_printed_and_read_back(sense: str, first: str, other: str, written: str) -> None:
    table = bank(sense, first, other)
    assert marks_of((1, 0, None), table) == written
    for setting in product((0, 1, None), repeat=3):
        assert back(table, marks_of(setting, table)) == setting


def test_what_a_call_waits_for_is_told_as_printed() -> None:
    """Brindlemoor page: SW2-1 CLOSED lets dehumidify act, OPEN does nothing."""
    table, _ = load("brindlemoor-16s")
    setting = back(table, "SW1=0000000000010000 SW2=OPEN OPEN OPEN OPEN")
    answer = evaluate(Engine(table, Facts(model="S70")), setting)["dehumidify"].stages[0].airflow
    assert answer == No(kind="does_not_run", why="it runs only with SW2-1 CLOSED")


def test_a_mark_that_cant_be_read_is_a_question_mark() -> None:
    table, _ = load("lindmarrow-j")
    assert mark(table, 0, None) == "?"
    assert back(table, "J1=off pins J2=A J3=B J4=2 J5=3 LK1=?")[5] is None
    assert (
        marks_of(back(table, "J1=off pins J2=A J3=B J4=2 J5=3 LK1=?"), table)
        == 'J1="off pins" J2=A J3=B J4=2 J5=3 LK1=?'
    )


def test_reading_marks_loads_no_parser() -> None:
    """A board's marks need the kinds of selector, not the files they come from."""
    code = "import sys, selector.solve.board.marks; sys.exit('yaml' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
