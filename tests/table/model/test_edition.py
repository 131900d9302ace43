"""The edition of a table: another where what it says is another, the same however it is written."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from selector.table.from_file.build import build_table
from selector.table.library.library import load
from selector.table.model.edition import edition
from selector.table.source import source_from_text

TABLES = Path(__file__).parents[3] / "tables"
PAGE = """\
format: selector table 1
unit: {title: Air handler, models: 24 36, note: in the attic}
ratings: {heat input: {24: 40000, 36: 60000}, efficiency: 80 %}
board:
  J1: {kind: jumper, positions: A B, factory: A}
charts:
  air: {page: 3, set: J1, gives: airflow, rows: A 900 (low); B 1000}
calls:
  fan: {terminals: G, airflow: air}
  cooling: {terminals: Y1, airflow: [air, share: 90 %], ramp: slow}
ramps: {slow: 30 s at 50 %}
"""


def of(text: str) -> str:
    return edition(build_table(source_from_text(text), "page")[0])


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("format:", "# a comment\nformat:"),
        (", note: in the attic", ""),
        ("page: 3, ", "page: 4, "),
        ("{24: 40000, 36: 60000}", "{36: 60000, 24: 40000}"),
        ("rows: A 900 (low); B 1000", "rows: A 900.0 (low) ; B  1000"),
        ("share: 90 %", "share: 90"),
    ],
)
def test_another_spelling_is_the_same_edition(old: str, new: str) -> None:
    assert old in PAGE
    assert of(PAGE.replace(old, new)) == of(PAGE)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("900", "901"),
        ("share: 90 %", "share: 91 %"),
        ("share: 90 %", "trim: -10 %"),
        ("factory: A", "factory: B"),
        ("positions: A B", "positions: B A"),
        ("A 900 (low); B 1000", "B 1000; A 900 (low)"),
        ("models: 24 36", "models: 36 24"),
        ("40000", "40001"),
        ("30 s at", "31 s at"),
        ("terminals: G", "terminals: G1"),
        ("gives: airflow, rows", "gives: airflow, holds up to: 0.5, rows"),
    ],
)
def test_what_is_said_otherwise_is_another_edition(old: str, new: str) -> None:
    assert old in PAGE
    assert of(PAGE.replace(old, new)) != of(PAGE)


def test_the_editions_of_the_shipped_tables_spread_over_eight_digits() -> None:
    """A number of seven digits would begin with 0 for all of them; by chance one in ten does."""
    found = [edition(load(path.stem)[0]) for path in sorted(TABLES.glob("*.yaml"))]
    assert all(re.fullmatch(r"\d{8}", one) for one in found)
    assert len(set(found)) == len(found)
    assert sum(one.startswith("0") for one in found) < len(found) / 2
