"""Limits in words, after the templates; all texts and differences by hand."""

from __future__ import annotations

from fractions import Fraction

from selector.answers.words.airflow import airflows_text, no_text
from selector.answers.words.figure import ShownFigure, UnitNames
from selector.answers.words.limit import (
    broken_text,
)
from selector.table.library.library import load
from selector.table.model.table import No
from selector.units import Kind

UNITS = UnitNames()


def worked(value: str, kind: Kind) -> ShownFigure:
    return UNITS.worked(Fraction(value), kind)


def printed(value: str, kind: Kind) -> ShownFigure:
    return UNITS.printed(Fraction(value), kind)


def test_broken() -> None:
    low, high = printed("35", "temperature difference"), printed("65", "temperature difference")
    rise = worked("67.8", "temperature difference")
    assert broken_text("temperature rise", rise, low, high, "plate") == "rise 67.8 F, 2.8 F over the plate's 65 F"
    cold = worked("31.26", "temperature difference")
    assert broken_text("temperature rise", cold, low, high, "plate") == "rise 31.3 F, 3.7 F below the plate's 35 F"
    least, most = printed("900", "airflow"), printed("1350", "airflow")
    flow = broken_text("airflow", worked("1611", "airflow"), least, most, "job")
    assert flow == "1,611 cfm, 261 cfm over your 1,350 cfm"
    static = broken_text("plate static", printed("0.9", "pressure"), None, printed("0.8", "pressure"), "plate")
    assert static == "static 0.9 in. w.c., 0.1 in. w.c. over the plate's 0.8 in. w.c."
    tons = broken_text(
        "airflow per ton", worked("240", "airflow per ton"), printed("300", "airflow per ton"), None, "assumed"
    )
    assert tons == "240 cfm/ton, 60 cfm/ton below the assumed 300 cfm/ton"


def test_why_there_is_no_airflow() -> None:
    assert no_text(No(kind="not_known", why="model")) == "not known (model)"


def test_figures_that_round_alike_are_told_apart() -> None:
    table, _ = load("corvane-k14")
    assert airflows_text(table, [Fraction("1062.2"), Fraction(1130)]) == "1,062 or 1,130 cfm"
    assert airflows_text(table, [Fraction("1062.2"), Fraction("1062.4")]) == "1,062.2 or 1,062.4 cfm"
