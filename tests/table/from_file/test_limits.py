"""Limits where pages put them: by model and stage, with one end, a chart or another call as an end; every expected
figure stands on the page below."""

from __future__ import annotations

from fractions import Fraction

import pytest

from selector.problems import Refused
from selector.solve.board.facts import Facts
from selector.solve.board.marks import read_marks, setting_of
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import evaluate
from selector.solve.engine.limit import JudgedLimit
from selector.solve.search.find import Request, find
from selector.solve.search.targets import Target
from selector.table.from_file.build import build_table
from selector.table.model.table import Table
from selector.table.source import source_from_text

PAGE = """\
format: selector table 1
unit: {title: Air handler, models: 24 36}
units: {airflow: cfm}
board:
  SW1: {kind: switches, count: 2, factory: all off}
  LK1: {kind: link, factory: whole}
charts:
  cooling airflow:
    set: SW1-1 SW1-2
    across: {model: 24 36}
    gives: airflow
    rows: |
      00   600  900
      10   800 1200
      01   900 1400
      11  1000 1500
  least by coil:
    across: {model: 24 36, stage: low high}
    gives: least airflow
    rows: 450 700  650 1000
  both ends:
    across: {model: 24 36}
    gives: least airflow, most airflow
    rows: 300 700  400 800
calls:
  cooling:
    terminals: {low: Y1, high: Y2}
    stages: low high
    airflow: [cooling airflow, share: {low: 70 %}]
    window: {airflow: at least least by coil}
  fan:
    terminals: G
    when: {LK1: whole}
    airflow: [call cooling, share: 50 %]
    window: {airflow: both ends}
  heating:
    terminals: W
    airflow: [call cooling high]
    window:
      airflow: at least call fan
  dehumidify:
    terminals: Y2 DH
    stages: low high
    airflow: [call cooling, share: 80 %]
    window:
      airflow: {24: {low: 300 to 500, high: at least 500}, 36: at most 1100}
  vent: {terminals: V, airflow: [airflow: 600], window: {airflow: {24: 500 to 700, 36: 550 to 900}}}
"""


def table_of(text: str = PAGE) -> Table:
    return build_table(source_from_text(text), "page")[0]


def judged(call: str, stage: str, marks: str, model: str | None, link: str = "whole") -> tuple[JudgedLimit, ...]:
    table = table_of()
    setting = setting_of(read_marks([f"SW1={marks}", f"LK1={link}"], table), table)
    return evaluate(Engine(table, Facts(model=model, values={})), setting)[call].stage(stage).judged


def only(call: str, stage: str, marks: str, model: str | None) -> tuple[bool | None, int | None, int | None]:
    (one,) = judged(call, stage, marks, model)
    low, high = (None if end is None else int(end) for end in (one.low, one.high))
    return one.ok, low, high


def test_a_chart_of_least_airflow_limits_the_call_that_names_it_alone() -> None:
    """Model 36: low 900 x 70 % = 630 under 650; high 900 under 1,000. The fan, 450, isn't held to it."""
    assert only("cooling", "low", "00", "36") == (False, 650, None)
    assert only("cooling", "high", "00", "36") == (False, 1000, None)
    assert only("cooling", "high", "10", "36") == (True, 1000, None)
    assert only("cooling", "low", "00", "24") == (False, 450, None)
    assert [j.limit.source for j in judged("fan", "", "00", "36")] == ["both ends", "both ends"]


def test_a_chart_may_give_both_ends() -> None:
    """Model 36: 400 to 800; the fan has 450, 600, 700, 750."""
    least, most = judged("fan", "", "11", "36")
    assert (least.ok, least.low, most.ok, most.high) == (True, Fraction(400), True, Fraction(800))
    # model 24: half of 600 is 300, its very least
    assert [j.ok for j in judged("fan", "", "00", "24")] == [True, True]


def test_another_call_may_be_an_end_and_is_none_where_it_does_not_run() -> None:
    assert only("heating", "", "10", "36") == (True, 600, None)
    (one,) = judged("heating", "", "10", "36", link="cut")
    assert one.ok is True
    assert one.low is None


def test_a_window_by_model_and_stage() -> None:
    """Model 24 low: 600 x 70 % x 80 % = 336; high 480 under 500. Model 36 high: 1,400 x 80 % = 1,120 over 1,100."""
    assert only("dehumidify", "low", "00", "24") == (True, 300, 500)
    assert only("dehumidify", "high", "00", "24") == (False, 500, None)
    assert only("dehumidify", "high", "01", "36") == (False, None, 1100)
    assert only("vent", "", "00", "36") == (True, 550, 900)
    assert only("vent", "", "00", "24") == (True, 500, 700)
    unknown = judged("vent", "", "00", None)
    assert {(j.ok, j.why, j.needs) for j in unknown} == {(None, "model is not given", "model")}


def test_find_keeps_them() -> None:
    """900 is nearest to 950 for model 36 but breaks the 1,000; 1,200 is the next."""
    table = table_of()
    wanted = Target(call="cooling", stage="high", quantity="airflow", low=Fraction(950), high=Fraction(950))
    best = find(Engine(table, Facts(model="36", values={})), Request(targets=(wanted,), first=1)).found[0]
    assert best.airflows["cooling", "high"] == 1200


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ("at least least by coil", "at least least by coils", "`least by coils` is not a chart"),
        ("window: {airflow: both ends}", "window: {airflow: cooling airflow}", "gives no least or most airflow"),
        ("{24: {low:", "{25: {low:", "`25` is not a model of this file"),
        ("at least call fan", "at least call fans", "`fans` is not a call of this file"),
    ],
)
def test_slips(old: str, new: str, message: str) -> None:
    with pytest.raises(Refused) as refused:
        table_of(PAGE.replace(old, new))
    assert message in refused.value.problems[0].message
