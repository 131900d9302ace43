"""The neutral picture of a board, and its drawing with characters."""

from __future__ import annotations

from random import Random

import pytest

from selector.draw.parts.draw import captions, describe, heading, said
from selector.draw.parts.text import board_text
from selector.problems import Refused
from selector.solve.board.marks import read_marks, setting_of
from selector.table.from_file.build import build_table
from selector.table.model.table import Setting, Table
from selector.table.source import source_from_text
from tests.helpers.random_boards import random_board, random_setting

BOARD = """\
format: selector table 1
unit: {title: Invented board}
units: {airflow: cfm}
board:
  SW1: {kind: switches, count: 4, not used: 4}
  SW2: {kind: switches, count: 2, also: {off: OPEN, on: CLOSED}}
  J1: {kind: jumper, positions: A B C}
  M1: {kind: taps, positions: 1 2 3, leads: Y1 G}
  N1: {kind: menu, positions: 300 to 450 step 5}
charts:
  base:
    set: SW1-1 SW1-2 SW1-3 SW2-1 SW2-2 J1 N1
    gives: airflow
    rows: |
      - - - - - - -  400
  tap airflow: {set: M1, gives: airflow, rows: 1 400}
calls:
  fan: {airflow: base}
  cooling: {lead: Y1, airflow: tap airflow}
  constant fan: {lead: G, airflow: tap airflow}
"""


def table_of(text: str) -> Table:
    """The table of a text."""
    return build_table(source_from_text(text, "board.yaml"), "board")[0]


@pytest.fixture(scope="module")
def board() -> Table:
    """A small board with a bank, a bank printed otherwise, a jumper, leads and a menu."""
    return table_of(BOARD)


def marked(table: Table, text: str) -> Setting:
    """A setting as typed."""
    return setting_of(read_marks([text], table), table)


def test_a_bank_is_drawn_as_a_person_sees_it(board: Table) -> None:
    lines = board_text(
        board, marked(board, "SW1=1?01 SW2=CLOSED,OPEN J1=B M1=2,parked N1=375".replace(",", " ")), columns=40
    )
    assert lines[:7] == [
        "SW1  4 switches OFF/ON",
        "      === === === ===  ON side",
        "  ON  [#] [?] [ ] (#)",
        "  OFF [ ] [?] [#] ( )",
        "       1   2   3  (4)",
        "  1 to 4, 1 = ON: 1 ? 0 1",
        "  not used: 4",
    ]


def test_a_bank_printed_with_other_words_shows_them_and_names_its_on_side(board: Table) -> None:
    text = "\n".join(board_text(board, marked(board, "SW2=CLOSED OPEN")))
    assert "SW2  2 switches OPEN/CLOSED, CLOSED is the ON side" in text
    assert "  CLOSED [#] [ ]\n  OPEN   [ ] [#]\n          1   2\n  1 to 2: CLOSED OPEN" in text
    assert "         === ===  CLOSED side\n" in text


def test_a_change_is_told_by_a_pointer_and_a_word(board: Table) -> None:
    before = marked(board, "SW1=0000 J1=A")
    lines = board_text(board, marked(board, "SW1=0110 J1=C"), before)
    assert lines[1:9] == [
        "      === === === ===  ON side",
        "  ON  [ ] [#] [#] ( )",
        "  OFF [#] [/] [/] (#)",
        "       1   2   3  (4)",
        "           ^   ^",
        "  1 to 4, 1 = ON: 0 1 1 0",
        "  not used: 4",
        "  2 3 OFF -> ON",
    ]
    assert "   [/]  :  [#] <" in lines
    assert "  A -> C" in lines


def test_turned_a_quarter_each_switch_has_a_line_and_on_comes_last(board: Table) -> None:
    lines = board_text(board, marked(board, "SW1=1000"), turned=90)
    drawn = ["      OFF ON", "  1   [ ] [#] |", "  2   [#] [ ] |", "  3   [#] [ ] |", "  (4) (#) ( ) |"]
    assert lines[1:6] == drawn
    turned = board_text(board, marked(board, "SW1=1000"), turned=270)
    assert turned[1:6] == ["  | ( ) (#) (4)", "  | [ ] [#] 3", "  | [ ] [#] 2", "  | [#] [ ] 1", "    ON  OFF"]


def test_turned_twice_the_numbers_run_back_and_the_digits_do_not(board: Table) -> None:
    lines = board_text(board, marked(board, "SW1=1000"), turned=180)
    assert lines[1:6] == [
        "  (4)  3   2   1",
        "  (#) [#] [#] [ ] OFF",
        "  ( ) [ ] [ ] [#] ON",
        "  === === === ===  ON side",
        "  1 to 4, 1 = ON: 1 0 0 0",
    ]


def test_a_long_list_shows_its_ends_and_neighbours(board: Table) -> None:
    text = board_text(board, marked(board, "N1=375"))
    assert "   300 ..  370 375 380 ..  450" in text
    assert "   [ ] ..  [ ] [#] [ ] ..  [ ]" in text


@pytest.mark.parametrize("turned", [0, 90, 180, 270])
@pytest.mark.parametrize("wide", [False, True])
def test_every_board_fits_forty_columns_and_plain_characters(turned: int, wide: bool) -> None:
    random = Random(40)
    for _ in range(60):
        table = random_board(random)
        lines = board_text(
            table, random_setting(random, table), random_setting(random, table), wide=wide, turned=turned, columns=40
        )
        assert max(map(len, lines)) <= 40
        assert wide or all(line.isascii() for line in lines)
        assert not any(line != line.rstrip() for line in lines if not wide)


def holes_taken(lines: list[str]) -> int:
    """How many holes are taken in a plain drawing, the explanation of the signs left out."""
    return sum(line.count("[#]") + line.count("(#)") for line in lines if "[#] set" not in line)


def test_every_readable_part_has_one_hole_taken_and_no_other() -> None:
    random = Random(1)
    for _ in range(60):
        table = random_board(random)
        setting = random_setting(random, table)
        for turned in (0, 90, 180, 270):
            assert holes_taken(board_text(table, setting, turned=turned)) == sum(at is not None for at in setting)


def test_no_drawing_says_up_or_down(board: Table) -> None:
    setting = marked(board, "SW1=0110 J1=C")
    for turned in (0, 90, 180, 270):
        words = " ".join(board_text(board, setting, marked(board, "SW1=0000 J1=A"), turned=turned)).casefold().split()
        assert not {"up", "down", "upper", "lower", "top", "bottom"} & set(words)


def test_a_board_hangs_at_quarter_turns_only(board: Table) -> None:
    with pytest.raises(ValueError, match="90, 180 or 270"):
        describe(board, marked(board, "J1=A"), turned=45)


def test_a_selector_may_hang_turned_on_its_board() -> None:
    table = table_of(BOARD.replace("positions: A B C}", "positions: A B C, turned: 180}"))
    pictures = {p.name: p for p in describe(table, table.delivered(None), turned=270)}
    assert pictures["J1"].turned == 90
    assert pictures["SW1"].turned == 270
    assert pictures["N1"].turned == 0


def test_a_turn_that_is_none_is_refused() -> None:
    with pytest.raises(Refused, match="45"):
        table_of(BOARD.replace("positions: A B C}", "positions: A B C, turned: 45}"))


def test_what_is_said_of_a_picture(board: Table) -> None:
    pictures = describe(board, marked(board, "SW1=1?00 J1=B M1=2 3"), marked(board, "SW1=0000 J1=B M1=1 3"))
    assert [heading(p) for p in pictures][0::2] == ["4 switches OFF/ON", "jumper: B", "menu: not known"]
    assert captions(pictures[0]) == ["not used: 4", "1 OFF -> ON"]
    assert captions(pictures[3]) == ["Y1 1 -> 2"]
    assert said(pictures).startswith("SW1-1 ON (was OFF), SW1-2 not known, SW1-3 OFF, SW1-4 OFF, SW2-1 not known")
