"""How figures are rounded and when more decimals are shown; all values by hand, after the rules for figures."""

from __future__ import annotations

from fractions import Fraction

import pytest

from selector.answers.words.figure import (
    ShownFigure,
    UnitNames,
    allowed_text,
    apart,
    number_of,
    percent,
    range_text,
    text_of,
)
from selector.table.model.table import Units
from selector.units import Kind


@pytest.mark.parametrize(
    ("value", "kind", "unit", "text"),
    [
        ("1197.8", "airflow", "cfm", "1,198 cfm"),
        ("1062.5", "airflow", "cfm", "1,063 cfm"),
        ("565.4", "airflow", "L/s", "565 L/s"),
        ("120.6", "temperature", "F", "121 F"),
        ("50.76", "temperature difference", "F", "50.8 F"),
        ("50", "temperature difference", "F", "50.0 F"),
        ("0.5", "pressure", "in. w.c.", "0.50 in. w.c."),
        ("124.6", "pressure", "Pa", "125 Pa"),
        ("353.93", "airflow per ton", "cfm/ton", "354 cfm/ton"),
        ("76000.4", "heat rate", "Btu/h", "76,000 Btu/h"),
    ],
)
def test_worked_out_figures_are_rounded_by_their_kind(value: str, kind: Kind, unit: str, text: str) -> None:
    assert text_of(ShownFigure(value=Fraction(value), kind=kind, unit=unit)) == text


@pytest.mark.parametrize(
    ("value", "text"), [("0.8", "0.8"), ("0.85", "0.85"), ("1234.5", "1,234.5"), ("65", "65"), ("0.125", "0.125")]
)
def test_typed_and_printed_figures_keep_their_digits(value: str, text: str) -> None:
    assert number_of(ShownFigure(value=Fraction(value), kind="pressure", unit="in. w.c.", printed=True)) == text


def test_a_breach_that_rounding_would_hide_shows_its_decimals() -> None:
    units = UnitNames()
    plate = units.printed(Fraction(65), "temperature difference")
    assert apart(units.worked(Fraction("67.8"), "temperature difference"), plate) == ("67.8 F", "2.8 F")
    assert apart(units.worked(Fraction("65.04"), "temperature difference"), plate) == ("65.04 F", "0.04 F")
    assert apart(units.worked(Fraction("65.004"), "temperature difference"), plate) == ("65.004 F", "0.004 F")
    end = units.printed(Fraction(900), "airflow")
    assert apart(units.worked(Fraction("899.7"), "airflow"), end) == ("899.7 cfm", "0.3 cfm")
    assert apart(units.worked(Fraction("856.4"), "airflow"), end) == ("856 cfm", "44 cfm")


def test_ends_of_a_range() -> None:
    units = UnitNames(units=Units(airflow="cfm"))
    low, high = units.worked(Fraction("899.6"), "airflow"), units.worked(Fraction(1248), "airflow")
    assert range_text(low, high) == "900 to 1,248 cfm"
    assert allowed_text(low, high) == "allowed 900 to 1,248 cfm"
    assert allowed_text(low, None) == "minimum 900 cfm"
    assert allowed_text(None, high) == "maximum 1,248 cfm"


@pytest.mark.parametrize(
    ("share", "text"),
    [("0.025", "2.5 %"), ("0.02", "2 %"), ("0", "0 %"), ("0.0001", "under 0.1 %"), ("0.2986", "29.9 %")],
)
def test_percent(share: str, text: str) -> None:
    assert percent(Fraction(share)) == text
