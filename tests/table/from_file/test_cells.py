"""Cells as they are typed: figures with every unit that fits, words, slips with what to type; each by hand."""

from __future__ import annotations

import re
from fractions import Fraction

import pytest

from selector.problems import Problem
from selector.table.from_file.builder import HEAT_FACTOR
from selector.table.from_file.cells import CellReader, unit_words
from selector.table.model.quantities import QUANTITIES
from selector.table.model.table import Cell, CellWord, Either, Units
from selector.table.source import source_from_text
from selector.table.text.report import FileReport
from selector.table.text.words import TO_TYPE, Item
from selector.value import replace

BTUH = 3_600_000 / Fraction("1055.05585262")
"""For each kW, by the joules of the international table Btu (NIST SP 811, from memory)."""


def read(gives: str, row: str, units: str, heads: int = 1) -> tuple[list[Cell] | None, list[Problem]]:
    """The cells of a row in a file of these units, and what is told of it."""
    table = replace(Units(), **dict(one.split(": ") for one in units.split(", ")))
    words = {q.unit: unit_words(q.unit, table.airflow, table.temperature) for q in QUANTITIES.values()}
    report = FileReport(source_from_text(row))
    reader = CellReader("c", gives.split(", "), heads, words, HEAT_FACTOR[table.heat], ("slow", "slow start"), report)
    items = [Item(m[0], 1, m.start() + 1) for m in re.finditer(r"\S+", row)]
    found = reader.read(items, items[-1] if items else Item("A", 1, 1))
    return None if found is None else [one for one, _ in found], report.problems


def refused(gives: str, row: str, units: str = "airflow: cfm", heads: int = 1) -> list[Problem]:
    found, problems = read(gives, row, units, heads)
    assert found is None
    return problems


@pytest.mark.parametrize(
    ("gives", "text", "units", "want"),
    [
        ("airflow", "900", "airflow: cfm", 900),
        ("airflow", "900.5", "airflow: cfm", Fraction(1801, 2)),
        ("airflow", "900.", "airflow: cfm", 900),
        ("airflow", ".5", "airflow: cfm", Fraction(1, 2)),
        ("airflow", "900 CFM", "airflow: cfm", 900),
        ("airflow", "425L/s", "airflow: L/s", 425),
        ("airflow", "about 900", "airflow: cfm", 900),
        ("airflow", "About 900 cfm", "airflow: cfm", 900),
        ("airflow", "900 or 900", "airflow: cfm", 900),
        ("airflow per ton", "350 cfm/ton", "airflow: cfm", 350),
        ("airflow per ton", "350 cfm", "airflow: cfm", 350),
        ("airflow per ton", "50 L/s/kW", "airflow: L/s", 50 * 12_000 / BTUH),  # a ton is 12,000 Btu/h
        ("temperature rise", "50 F", "temperature: F", 50),
        ("temperature rise", "50°F", "temperature: F", 50),
        ("temperature rise", "28 K", "temperature: C", 28),
        ("temperature rise", "28 °C", "temperature: C", 28),
        ("trim", "+6 %", "airflow: cfm", 6),
        ("trim", "-12%", "airflow: cfm", -12),
        ("trim", "+1", "airflow: cfm", 1),
        ("trim", "+0.5 %", "airflow: cfm", Fraction(1, 2)),
        ("trim", "0", "airflow: cfm", 0),
        ("trim", "-100", "airflow: cfm", -100),
        ("reduction", "16 %", "airflow: cfm", 16),
        ("reduction", "100", "airflow: cfm", 100),
        ("share", "66", "airflow: cfm", 66),
        ("share", "1000 %", "airflow: cfm", 1000),
        ("offset", "-50", "airflow: cfm", -50),
        ("seconds", "90 s", "airflow: cfm", 90),
        ("seconds", "90 sec", "airflow: cfm", 90),
        ("seconds", "90 seconds", "airflow: cfm", 90),
        ("seconds", "2 min", "airflow: cfm", 120),
        ("seconds", "2 minutes", "airflow: cfm", 120),
        ("seconds", "1.5min", "airflow: cfm", 90),
        ("tons", "2.5 tons", "airflow: cfm", Fraction(5, 2)),
        ("tons", "1 ton", "airflow: cfm", 1),
        ("heater power", "10 kW", "airflow: cfm", 10),
        ("heater power", "9600 W", "airflow: cfm", Fraction(96, 10)),
        ("watts", "320 W", "airflow: cfm", 320),
        ("watts", "0.3 kW", "airflow: cfm", 300),
        ("nozzle rate", "0.75 gph", "airflow: cfm", Fraction(3, 4)),
        ("speed", "950 rpm", "airflow: cfm", 950),
        # heat is kept in Btu/h, whatever the page's unit
        ("heat input", "60000", "heat: Btu/h", 60_000),
        ("heat input", "60000 Btu/h", "heat: Btu/h", 60_000),
        ("heat input", "60000 Btuh", "heat: Btu/h", 60_000),
        ("heat input", "60 MBH", "heat: Btu/h", 60_000),
        ("heat input", "60 kBtu/h", "heat: Btu/h", 60_000),
        ("heat input", "60", "heat: MBH", 60_000),
        ("heat input", "60 MBH", "heat: MBH", 60_000),
        ("heat input", "60 kBtu/h", "heat: MBH", 60_000),
        ("heat input", "60000 Btu/h", "heat: MBH", 60_000),
        ("heat input", "10", "heat: kW", 10 * BTUH),
        ("heat input", "10 kW", "heat: kW", 10 * BTUH),
        ("heat input", "9600 W", "heat: kW", Fraction(96, 10) * BTUH),
        ("airflow", "none", "airflow: cfm", CellWord.NONE),
        ("airflow", "NONE", "airflow: cfm", CellWord.NONE),
        ("airflow", "-", "airflow: cfm", CellWord.BLANK),
        ("airflow", "?", "airflow: cfm", CellWord.UNREADABLE),
        ("label", "40 F lock-out", "airflow: cfm", "40 F lock-out"),
        ("label", "none", "airflow: cfm", CellWord.NONE),
        ("label", "-", "airflow: cfm", CellWord.BLANK),
        ("ramp", "slow", "airflow: cfm", "slow"),
        ("ramp", "Slow Start", "airflow: cfm", "slow start"),
        ("ramp", "none", "airflow: cfm", CellWord.NONE),
    ],
)
def test_a_cell(gives: str, text: str, units: str, want: Cell | int) -> None:
    assert read(gives, text, units) == ([want], [])


@pytest.mark.parametrize(
    ("gives", "text", "units", "code", "said", "remedy"),
    [
        ("airflow", "1,190", "airflow: cfm", "thousands-comma", "`1,190` has a comma", "type 1190"),
        ("airflow", "1,190.5", "airflow: cfm", "thousands-comma", "`1,190.5` has a comma", "type 1190.5"),
        ("airflow", "12,5", "airflow: cfm", "decimal-comma", "`12,5` has a comma", "type 12.5"),
        ("airflow", "1O5O", "airflow: cfm", "letter-for-digit", "`1O5O` holds a letter where a digit", "type 1050"),
        ("airflow", "9l0", "airflow: cfm", "letter-for-digit", "`9l0` holds a letter", "type 910"),
        ("airflow", "900*", "airflow: cfm", "footnote-at-figure", "`900*` holds a footnote's mark", "as * its text"),
        ("airflow", "*", "airflow: cfm", "footnote-at-figure", "`*` is a footnote's mark", "as * its text"),
        ("airflow", "50F", "airflow: cfm", "wrong-unit", "`F` is not a unit of airflow", "type 50"),
        ("airflow", "900 L/s", "airflow: cfm", "row-too-long", "`L/s` is more than the one figure", "take it out"),
        ("airflow", "fast", "airflow: cfm", "not-a-figure", "`fast` is not a figure for airflow", "not used"),
        ("airflow", "1/2", "airflow: cfm", "not-a-figure", "`1/2` is not a figure for airflow", "type 0.5"),
        ("airflow", "15/16", "airflow: cfm", "not-a-figure", "`15/16`", "type 0.9375"),
        ("airflow", "900/1100", "airflow: cfm", "not-a-figure", "`900/1100`", "type 900 or 1100 if it is one of the"),
        ("airflow", "16/16", "airflow: cfm", "not-a-figure", "`16/16`", "type 16 or 16"),
        ("airflow", "1/17", "airflow: cfm", "not-a-figure", "`1/17`", "type 1 or 17"),
        ("share", "1/2", "airflow: cfm", "not-a-figure", "`1/2` is not a figure for share", "type 50 %"),
        ("share", "half", "airflow: cfm", "not-a-figure", "`half` is no figure", "type 50 %"),
        ("share", "two thirds", "airflow: cfm", "not-a-figure", "`two thirds` is no figure", "type 66.7 %"),
        ("trim", "+ 6", "airflow: cfm", "sign-apart", "a sign must touch its number", "type +6 %"),
        ("trim", "- 6 %", "airflow: cfm", "sign-apart", "a sign must touch its number", "type -6 %"),
        ("trim", "6 %", "airflow: cfm", "unsigned-trim", "the trim `6` has no sign", "type +6 or -6"),
        ("trim", "+0.06", "airflow: cfm", "percent-as-fraction", "`+0.06` looks like a fraction", "type +6 %"),
        ("trim", "-101", "airflow: cfm", "trim-under-100", "-101 %", "-6 %"),
        ("offset", "50", "airflow: cfm", "unsigned-offset", "the offset `50` has no sign", "type +50 or -50"),
        ("airflow", "+900", "airflow: cfm", "signed-airflow", "the airflow `+900` has a sign", "type 900"),
        ("share", "-5", "airflow: cfm", "signed-share", "the share `-5` has a sign", "the quantity is trim"),
        ("share", "0.66", "airflow: cfm", "percent-as-fraction", "`0.66` looks like a fraction", "type 66 %"),
        ("share", "1001", "airflow: cfm", "share-too-large", "1001 %", "45 %"),
        ("reduction", "101", "airflow: cfm", "reduction-over-100", "101 %", "0 to 100"),
        ("temperature rise", "0", "temperature: F", "rise-of-0", "rise of 0", "where none is printed"),
        ("temperature rise", "28 K", "temperature: F", "row-too-long", "`K` is more than", "take it out"),
        ("airflow", "1234567890123456", "airflow: cfm", "number-too-long", "has 16 digits", "as printed"),
        ("airflow", "900 or fast", "airflow: cfm", "not-a-figure", "`fast` is not a figure", "not used"),
        ("airflow", "900 or -", "airflow: cfm", "not-a-figure", "`-` is no figure that may be meant", "900 or 1100"),
        ("airflow", TO_TYPE, "airflow: cfm", "still-to-type", "a figure of this row is still to type", "type it in"),
        ("ramp", "fast", "airflow: cfm", "unknown-ramp", "`fast` is not a ramp of this file", "slow"),
        ("heater power", "10 MBH", "airflow: cfm", "wrong-unit", "`MBH` is not a unit of", "else take MBH out"),
    ],
)
def test_a_slip_and_what_to_type(gives: str, text: str, units: str, code: str, said: str, remedy: str) -> None:
    found = refused(gives, text, units)
    assert [p.code for p in found] == [code]
    assert said in found[0].message
    assert remedy in found[0].help


@pytest.mark.parametrize(
    ("gives", "text", "heads", "code", "said"),
    [
        ("airflow", "900", 2, "row-too-short", "has 1 of the 2 figures that the heads of `c` need"),
        ("airflow", "", 2, "row-too-short", "has none of the 2 figures that the heads of `c` need"),
        ("airflow, watts", "900", 1, "row-too-short", "has 1 of the 2 figures that gives: of `c` needs"),
        ("airflow", "", 1, "row-too-short", "has none of the one figure that a row of `c` has"),
        ("airflow", "900 950 990", 2, "row-too-long", "`990` is more than the 2 figures that the heads"),
        ("airflow", "900 / 950", 1, "not-a-figure", "`900/950` is not a figure for airflow"),
        ("trim", "+6 - 6", 2, "sign-apart", "a sign must touch its number"),
        ("airflow, trim", "900 - 6 %", 1, "sign-apart", "a sign must touch its number"),
        ("airflow, trim", "- 900 +6", 1, "unsigned-trim", "the trim `900` has no sign"),
        ("airflow, trim", "- +6 900", 1, "row-too-long", "`900` is more than the 2 figures that gives: of `c` needs"),
        ("airflow", "- 900", 1, "row-too-long", "`900` is more than the one figure"),
        ("airflow", f"{TO_TYPE} {TO_TYPE}", 2, "still-to-type", "2 figures of this row are still"),
    ],
)
def test_a_row_with_too_few_or_too_many(gives: str, text: str, heads: int, code: str, said: str) -> None:
    found = refused(gives, text, heads=heads)
    assert [p.code for p in found] == [code]
    assert said in found[0].message


def test_every_slip_of_a_row_that_a_word_alone_shows_is_told() -> None:
    found = refused("airflow, watts", "1,190 3O0")
    assert [(p.code, p.column) for p in found] == [("thousands-comma", 1), ("letter-for-digit", 7)]


@pytest.mark.parametrize(
    ("gives", "row", "heads", "want"),
    [
        ("airflow, watts", "900 300 950 320 W", 2, [900, 300, 950, 320]),
        ("airflow", "900 or 1100 950", 2, [None, 950]),
        ("airflow", "about 900 cfm about 950 cfm", 2, [900, 950]),
        ("airflow", "- ? none", 3, [CellWord.BLANK, CellWord.UNREADABLE, CellWord.NONE]),
        # a word alone, but the last cell of a row takes all that is left
        ("label, airflow", "slow 900", 1, ["slow", 900]),
        ("airflow, label", "900 40 F lock-out", 1, [900, "40 F lock-out"]),
        ("ramp", "slow slow start", 2, ["slow", "slow start"]),
    ],
)
def test_a_row_of_cells(gives: str, row: str, heads: int, want: list[Cell | int | None]) -> None:
    cells, problems = read(gives, row, "airflow: cfm", heads)
    assert not problems
    assert cells is not None
    assert [None if isinstance(one, Either) else one for one in cells] == want


def test_figures_with_or_between_them() -> None:
    cells, _ = read("airflow", "900 or 1000 cfm or 1100", "airflow: cfm")
    assert cells is not None
    assert isinstance(cells[0], Either)
    assert [*cells[0].figures] == [900, 1000, 1100]


@pytest.mark.parametrize(
    ("kind", "units", "words"),
    [
        ("airflow", ("cfm", "F"), {"cfm"}),
        ("airflow", ("m3/h", "C"), {"m3/h"}),
        ("airflow per ton", ("L/s", "C"), {"l/s/ton", "l/s", "l/s/kw"}),
        ("temperature difference", ("cfm", "F"), {"f", "°f"}),
        ("temperature difference", ("cfm", "C"), {"c", "°c", "k"}),
        ("heat", ("cfm", "F"), {"btu/h", "btuh", "mbh", "kbtu/h", "kw", "w"}),
        ("", ("cfm", "F"), set()),
    ],
)
def test_the_unit_words_of_a_column(kind: str, units: tuple[str, str], words: set[str]) -> None:
    assert set(unit_words(kind, *units)) == words


@pytest.mark.parametrize(
    ("gives", "heads", "words", "want"),
    [
        (("label",), 1, ["a"], True),
        (("label",), 2, ["a", "b"], True),
        (("label",), 2, ["a", "b", "c"], False),
        (("label", "ramp"), 2, ["a", "b", "c", "d"], True),
        (("airflow",), 1, ["900"], False),
        (("watts",), 1, ["300"], False),
    ],
)
def test_whether_all_cells_are_words(gives: tuple[str, ...], heads: int, words: list[str], want: bool) -> None:
    reader = CellReader("c", gives, heads, {}, Fraction(1), (), FileReport(source_from_text("a: b\n")))
    assert reader.takes_words([Item(word, 1, 1 + 2 * n) for n, word in enumerate(words)]) is want
