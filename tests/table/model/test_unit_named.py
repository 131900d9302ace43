"""A unit's maker and title in one line: ordinary first words begin small, models and abbreviations stay as printed."""

from __future__ import annotations

import pytest

from selector.table.model.table import Unit


@pytest.mark.parametrize(
    ("maker", "title", "named"),
    [
        ("Corvane", "Two-stage gas furnace", "Corvane two-stage gas furnace"),
        ("Corvane", "Furnace", "Corvane furnace"),
        ("Corvane", "VH24, VH36 variable-speed air handlers", "Corvane VH24, VH36 variable-speed air handlers"),
        ("Corvane", "Vh24 air handler", "Corvane Vh24 air handler"),
        ("Corvane", "ECM air handler", "Corvane ECM air handler"),
        ("Corvane", "H-7 air handler", "Corvane H-7 air handler"),
        ("Corvane", "Air handler VH24", "Corvane air handler VH24"),
        ("Corvane", "Corvane furnace", "Corvane furnace"),
        ("", "Furnace", "Furnace"),
    ],
)
def test_a_maker_and_a_title_in_one_line(maker: str, title: str, named: str) -> None:
    assert Unit(maker=maker, title=title).named == named
