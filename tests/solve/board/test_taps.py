"""Leads on one tap, and what lets them share it: by hand."""

from __future__ import annotations

import pytest

from selector.problems import Refused
from selector.solve.board.marks import (
    clashes,
    deciding_a_tap,
    half_read,
    read_marks,
    shared_taps,
    split_marks,
    tapped_twice,
)
from selector.table.from_file.build import build_table
from selector.table.model.table import Table
from selector.table.source import source_from_text

PAGE = """\
format: selector table 1
unit: {title: Taps}
board:
  M1: {kind: taps, positions: 1 2 3, leads: low mid high, may share: {low mid: {J1: B}}}
  J1: {kind: jumper, positions: A B, factory: A}
charts:
  air: {set: M1, gives: airflow, rows: 1 700; 2 900; 3 1100}
  told: {set: J1, gives: label, rows: A a; B b}
calls:
  cooling: {terminals: Y1, airflow: air, lead: low}
  heating: {terminals: W, airflow: air, lead: mid}
  fan: {terminals: G, airflow: air, lead: high}
"""
PARKED = 3


@pytest.fixture(scope="module")
def table() -> Table:
    return build_table(source_from_text(PAGE), "taps")[0]


@pytest.mark.parametrize(
    ("setting", "pairs", "open_pairs"),
    [
        ((0, 1, 2, 0), [], []),
        ((0, 0, 2, 0), [(0, 1)], []),  # J1 A lets no leads share; open, it may
        ((0, 0, 2, 1), [], []),
        ((0, 0, 2, None), [(0, 1)], []),
        ((0, 1, 0, 1), [(0, 2)], [(0, 2)]),  # only these two leads
        ((0, 0, 0, 1), [(0, 2), (1, 2)], [(0, 2), (1, 2)]),
        ((PARKED, PARKED, PARKED, 0), [], []),
        ((None, None, 0, 0), [], []),
    ],
)
def test_leads_that_clash(
    table: Table,
    setting: tuple[int | None, ...],
    pairs: list[tuple[int, int]],
    open_pairs: list[tuple[int, int]],
) -> None:
    assert list(clashes(setting, table)) == pairs
    assert list(clashes(setting, table, {3})) == open_pairs


def test_whose_tap_it_is(table: Table) -> None:
    assert tapped_twice((0, 0, 2, 0), table) == {0: "M1-mid", 1: "M1-low"}
    assert shared_taps((0, 0, 2, 0), table) == (("M1-low", "M1-mid", "1"),)
    assert shared_taps((0, 1, 1, 0), table) == (("M1-high", "M1-mid", "2"),)


@pytest.mark.parametrize(
    ("setting", "leads", "want"),
    [
        ((0, 0, 2, None), [0], (3,)),
        ((0, 0, 2, 0), [0], ()),  # it is known
        ((0, 1, 2, None), [0], ()),  # nobody is on its tap
        ((None, 1, 2, None), [0], (3,)),  # it may stand on any
        ((0, 0, 2, None), [2], ()),  # it may share with nobody
    ],
)
def test_what_decides_about_a_tap(
    table: Table, setting: tuple[int | None, ...], leads: list[int], want: tuple[int, ...]
) -> None:
    assert deciding_a_tap(setting, table, leads) == want


@pytest.mark.parametrize(
    ("words", "want"),
    [
        (["M1=1 2 3 J1=A"], [("M1", "1 2 3"), ("J1", "A")]),
        (["M1=1 2 3", "J1=A"], [("M1", "1 2 3"), ("J1", "A")]),
        (["M1=1 2 3, J1=A;"], [("M1", "1 2 3"), ("J1", "A")]),
        (["M1=low=1 mid=2", "j1 = off pins"], [("M1", "low=1"), ("mid", "2"), ("j1", "off pins")]),
        (["M1= low=1"], [("M1", ""), ("low", "1")]),
        (["J9=B"], [("J9", "B")]),
    ],
)
def test_marks_are_parted_by_their_selectors(table: Table, words: list[str], want: list[tuple[str, str]]) -> None:
    assert split_marks(words, table) == want


@pytest.mark.parametrize("words", ["A", "A J1=B", ""])
def test_a_mark_without_a_selector_is_refused(table: Table, words: str) -> None:
    with pytest.raises(Refused):
        split_marks([words], table)


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (["J9=A"], "unknown-selector"),
        (["J1=C"], "unknown-mark"),
        (["J1=A J1=B"], "doubled-mark"),
        (["M1=1 2 3 low=2"], "doubled-mark"),
    ],
)
def test_marks_that_are_refused(table: Table, words: list[str], code: str) -> None:
    with pytest.raises(Refused) as refused:
        read_marks(words, table)
    assert [p.code for p in refused.value.problems] == [code]
    assert refused.value.problems[0].help


def test_marks_that_are_given_twice_alike_or_once_unread(table: Table) -> None:
    assert read_marks(["J1=A J1=A"], table) == {3: 0}
    assert read_marks(["J1=? J1=B"], table) == {3: 1}
    assert read_marks(["J1=B J1=?"], table) == {3: 1}
    assert read_marks(["low=2"], table) == {0: 1}
    assert half_read(["J1=A or B"], table) == {3: (0, 1)}
    assert half_read(["J1=A"], table) == {}
    assert half_read(["M1=1 2 3"], table) == {}
