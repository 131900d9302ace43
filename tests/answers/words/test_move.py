"""Moves, boards, ramps and delays in words; marks and texts by hand from the shipped pages."""

from __future__ import annotations

from fractions import Fraction

import pytest

from selector.answers.words.caution import cautions_for
from selector.answers.words.fold import width_of
from selector.answers.words.listing import counted, listed
from selector.answers.words.move import board_rows, move_text, set_text
from selector.answers.words.note import note_lines
from selector.answers.words.ramp_and_delay import delay_text, ramp_text
from selector.job.board.move import Move
from selector.solve.board.marks import read_marks, setting_of
from selector.table.library.library import load
from selector.table.model.table import Setting, Table


def marks(table: Table, text: str) -> Setting:
    return setting_of(read_marks(text.split(), table), table)


def test_one_move_names_selector_was_and_to() -> None:
    table, _ = load("corvane-k14")
    assert move_text(table, Move(part=2, was=0, to=1)) == "SW1-3 OFF -> ON"
    assert move_text(table, Move(part=2, was=None, to=1, unread=True)) == "SW1-3 unreadable: set it ON"
    assert move_text(table, Move(part=2, was=None, to=1)) == "SW1-3 not given: set it ON"


@pytest.mark.parametrize(
    ("was", "to", "text"),
    [
        ("01011000", "00011000", "Set SW1-2: ON -> OFF"),
        ("00000000", "10010100", "Set SW1-1, SW1-4 and SW1-6: OFF -> ON"),
        ("01000000", "00100000", "Set 2 switches: SW1-2 ON -> OFF, SW1-3 OFF -> ON"),
        ("01000000", "01000000", "Change nothing"),
    ],
)
def test_what_is_to_be_set(was: str, to: str, text: str) -> None:
    table, _ = load("corvane-k14")
    assert set_text(table, marks(table, f"SW1={was}"), marks(table, f"SW1={to}")) == text


def test_the_board_before_and_after() -> None:
    table, _ = load("corvane-k14")
    rows = board_rows(table, marks(table, "SW1=00000000"), marks(table, "SW1=10010100"))
    assert rows == [
        "SW1      1   2   3   4   5   6   7   8",
        "factory  OFF OFF OFF OFF OFF OFF OFF OFF",
        "set      ON  OFF OFF ON  OFF ON  OFF OFF     type as SW1=10010100",
        "         ^^          ^^      ^^",
    ]


@pytest.mark.parametrize("columns", [40, 80, 120])
def test_the_board_fits_the_terminal(columns: int) -> None:
    table, _ = load("corvane-k14")
    rows = board_rows(table, marks(table, "SW1=00000000"), marks(table, "SW1=10010100"), columns=columns)
    assert all(width_of(row) <= columns for row in rows)


def test_ramps_and_delays() -> None:
    table, _ = load("garrowby-r")
    assert ramp_text(table.ramps["at once"]) == "starts at full airflow"
    assert ramp_text(table.ramps["one step"]) == "30 s at 60 %, then 100 %"
    assert ramp_text(table.ramps["two steps"]) == (
        "90 s at 40 %, 180 s at 75 %, then 100 %, after the call 60 s at 50 %"
    )
    assert delay_text("off", Fraction(60)) == "blower-off delay 60 s"
    assert delay_text("on", Fraction(0)) == "no blower-on delay"


def test_lists_counts_and_notes() -> None:
    assert listed(["060", "080", "110"], "or") == "060, 080 or 110"
    assert [counted(1, "switch"), counted(2, "switch"), counted(3, "row")] == ["1 switch", "2 switches", "3 rows"]
    assert note_lines(["a", "b", "a"]) == ["Note: a", "Note: b"]


def test_cautions_name_power_first_and_scope_last() -> None:
    said = cautions_for(load("corvane-k14")[0], heat=True, cooling=True)
    assert said.before[0].startswith("Power off at the disconnect")
    assert any("flue CO" in line for line in said.then)
    assert any("charge" in line for line in said.then)
    assert "licensed practice" in said.scope
