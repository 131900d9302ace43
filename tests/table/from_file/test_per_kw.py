"""Airflow for a kW of cooling, as metric pages print it; a ton is 12,000 Btu/h, a kW 3,412.14 (NIST SP 811)."""

from __future__ import annotations

from fractions import Fraction

import pytest

from selector.problems import Refused
from selector.solve.board.facts import Facts
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import evaluate
from selector.table.from_file.build import build_table
from selector.table.source import source_from_text

PAGE = """\
format: selector table 1
unit: {title: Metric unit}
units: {airflow: L/s}
board: {J1: {kind: jumper, positions: A B, factory: A}}
charts: {by jumper: {set: J1, gives: airflow, rows: A 300; B 400}}
calls:
  cooling: {terminals: Y1, airflow: [by jumper, at least: 45 L/s/kW], window: {airflow per ton: 43 to 60 L/s/kW}}
"""
KW_OF_A_TON = 3.516853


def test_figures_for_a_kw_are_those_for_a_ton_by_its_kw() -> None:
    """2 tons are 7.0337 kW: at least 316.5 L/s; 43 to 60 L/s a kW are 151.2 to 211.0 a ton."""
    table, _ = build_table(source_from_text(PAGE), "page")
    [window] = table.calls["cooling"].windows
    assert [float(end or 0) for end in (window.low, window.high)] == pytest.approx([43 * KW_OF_A_TON, 60 * KW_OF_A_TON])
    stage = evaluate(Engine(table, Facts(values={"outdoor tons": Fraction(2)})), (0,))["cooling"].stages[0]
    assert isinstance(stage.airflow, Fraction)
    assert float(stage.airflow) == pytest.approx(45 * 2 * KW_OF_A_TON)


def test_the_quantity_is_no_slip_of_spelling_for_another() -> None:
    with pytest.raises(Refused) as refused:
        build_table(source_from_text(PAGE.replace("per ton: 43 to 60 L/s/kW", "per kW: 43 to 60")), "page")
    [problem] = refused.value.problems
    assert problem.help == "type airflow per ton, and /kW behind its figures: 43 to 60 L/s/kW"


@pytest.mark.parametrize("typed", ["43 to 60 m3/h/kW", "43 m3/h/kW to 60 m3/h/kW"])
def test_the_3_of_a_cubic_metre_is_no_second_figure(typed: str) -> None:
    page = PAGE.replace("airflow: L/s", "airflow: m3/h").replace("45 L/s/kW", "45 m3/h/kW")
    table, _ = build_table(source_from_text(page.replace("43 to 60 L/s/kW", typed)), "page")
    [window] = table.calls["cooling"].windows
    assert [float(end or 0) for end in (window.low, window.high)] == pytest.approx([43 * KW_OF_A_TON, 60 * KW_OF_A_TON])
