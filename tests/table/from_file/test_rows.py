"""Rows as people type them, read by hand; and a row is read the same alone as after others."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from selector.problems import Refused
from selector.table.from_file.build import build_table
from selector.table.model.table import ANY, CellWord, Chart, Row
from selector.table.source import source_from_text
from selector.value import replace

HEAD = """\
format: selector table 1
unit: {title: Rows, models: 060 080}
board:
  SW1: {kind: switches, count: 3}
  P1: {kind: plug, positions: "low, medium low, high"}
"""


def chart(rows: list[str], *, names: str = "SW1-1 SW1-2", gives: str = "airflow", across: str = "") -> Chart:
    """The chart of these rows. Raises Refused."""
    body = "".join(f"      {row}\n" for row in rows)
    top = f"    across: {{{across}}}\n" if across else ""
    rest = [n for n in ("SW1-1", "SW1-2", "SW1-3", "P1") if n not in names.split()]
    own = "".join(
        f"  c{i}:\n    set: {n}\n    gives: label\n    rows: |\n      {'low' if n == 'P1' else 'off'} x\n"
        for i, n in enumerate(rest)
    )
    calls = (
        "calls:\n  fan: {airflow: [airflow: 900, chart]}\n" if gives == "trim" else "calls:\n  fan: {airflow: chart}\n"
    )
    text = f"{HEAD}charts:\n  chart:\n    set: {names}\n{top}    gives: {gives}\n    rows: |\n{body}{own}{calls}"
    table, _ = build_table(source_from_text(text), "rows")
    return table.charts["chart"]


def row(text: str, **how: str) -> Row:
    return chart([text], **how).rows[0]


@pytest.mark.parametrize(
    ("text", "positions", "cells"),
    [
        ("OFF ON 900", (0, 1), (900,)),
        ("0 1 900", (0, 1), (900,)),
        ("01 900", (0, 1), (900,)),
        ("- on 900", (ANY, 1), (900,)),
        ("-1 900", (ANY, 1), (900,)),
        ("off  on\t900 cfm", (0, 1), (900,)),
        ("| off | on | 900cfm |", (0, 1), (900,)),
        ("off on 900.50", (0, 1), (Fraction(1801, 2),)),
        ("off on .5", (0, 1), (Fraction(1, 2),)),
        ("off on -", (0, 1), (CellWord.BLANK,)),
        ("off on ?", (0, 1), (CellWord.UNREADABLE,)),
        ("off on none", (0, 1), (CellWord.NONE,)),
    ],
)
def test_a_row(text: str, positions: tuple[int, ...], cells: tuple[object, ...]) -> None:
    found = row(text)
    assert found.positions == positions
    assert found.cells == cells


def test_notes_stand_at_the_end() -> None:
    assert row("off on 900 (low (see page 3); loud)").note == "low (see page 3); loud"
    assert row("off on not used (by this model)").word == "not used"


def test_rows_on_one_line_part_at_semicolons_outside_notes() -> None:
    found = chart(["off off 900 (a; b); off on 950;on - 1000"]).rows
    assert [r.cells[0] for r in found] == [900, 950, 1000]
    assert [r.note for r in found] == ["a; b", "", ""]


def test_copies_refusals_and_none() -> None:
    found = chart(["off off 900 950", "off on as 00", "on off reserved", "on on none"], across="model: 060 080").rows
    assert found[1].like == (0, 0)
    assert found[2].word == "reserved"
    assert found[3].cells == (CellWord.NONE, CellWord.NONE)


def test_a_dash_in_a_copy_is_the_rows_own_position() -> None:
    found = chart(["off off 900", "off on 950", "on - as off -"]).rows
    assert found[2].like == (0, ANY)


def test_longest_names_first() -> None:
    found = chart(["low 900", "medium low 950", "HIGH 1000"], names="P1").rows
    assert [r.positions for r in found] == [(0,), (1,), (2,)]


def test_signs_and_percents() -> None:
    found = chart(["off off +6 %", "off on -6%", "on off none", "on on +0.5 %"], gives="trim").rows
    assert [r.cells[0] for r in found] == [6, -6, CellWord.NONE, Fraction(1, 2)]


def test_quantities_vary_faster_than_heads() -> None:
    found = row("off on 900 50 950 55", gives="airflow, temperature rise", across="model: 060 080")
    assert list(found.cells) == [Fraction(n) for n in (900, 50, 950, 55)]


MARKS = st.sampled_from(["0", "1", "off", "ON", "-", "On"])
FIGURES = st.sampled_from(["900", "900 cfm", "900cfm", "-", "none", "?", "850.5", "1,000", "9OO", "x"])
BODIES = st.one_of(
    st.tuples(FIGURES, FIGURES).map(" ".join),
    st.sampled_from(["not used", "reserved", "none", "as 0 1", "as 01", "900", "900 900 900", ""]),
)
ROWS = st.tuples(
    st.one_of(st.tuples(MARKS, MARKS).map(" ".join), st.sampled_from(["00", "01", "1-", "--", "on"])),
    BODIES,
    st.sampled_from(["", " (a note)", "  "]),
).map(lambda t: f"{t[0]}  {t[1]}{t[2]}")


def read(rows: list[str]) -> tuple[Row | None, list[str]]:
    """What comes of the last of these rows, None where the chart is refused; and the codes told of the row itself."""
    try:
        return chart(rows, across="model: 060 080").rows[-1], []
    except Refused as refused:
        line = 11 + len(rows)
        told = (p.code for p in refused.problems if p.line == line)
        return None, sorted(c for c in told if c not in ("overlapping-rows", "copy-of-nothing"))


@settings(max_examples=150, deadline=None)
@given(st.lists(ROWS, min_size=1, max_size=6))
def test_a_row_is_read_the_same_alone_as_after_others(rows: list[str]) -> None:
    (alone, told_alone), (after, told_after) = read(rows[-1:]), read(rows)
    assert told_alone == told_after
    if alone is not None and after is not None:
        assert replace(alone, line=0) == replace(after, line=0)
