"""Figures that hold for some calls or values alone, steps and limits of static by model: a page typed as printed; every
expected figure stands on it."""

from __future__ import annotations

from fractions import Fraction

import pytest

from selector.judge.judge import judge_setting
from selector.problems import Refused
from selector.solve.board.facts import Facts
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import evaluate
from selector.solve.search.find import Request, find
from selector.solve.search.targets import Target
from selector.table.from_file.build import build_table
from selector.table.model.table import No, Table
from selector.table.source import source_from_text

PAGE = """\
format: selector table 1
unit: {title: Heat pump and heater, models: 045-3 060-4}
units: {airflow: cfm, pressure: in. w.c., temperature: F, heat: Btu/h}
ratings: {heat output: 36000, temperature rise: 30 to 60}
facts:
  outdoor kind: {values: [air conditioner, heat pump]}
board:
  J1: {kind: jumper, positions: A B C, factory: A}
charts:
  by jumper:
    set: J1
    across: {model: 045-3 060-4, static pressure: 0.2 0.8}
    gives: airflow
    notes: |
      (h) only call not heating (not for heating)
      (p) only outdoor kind not heat pump (not with a heat pump)
    rows: |
      A   800      700       900     800
      B   900 (h)  800 (h)  1000     900
      C  1000      900      1100 (p) 1000
calls:
  cooling:
    terminals: Y1
    stages: low high
    airflow: [by jumper, share: {045-3: {low: 70 %}, 060-4: {low: 65 %, high: 95 %}}, at most: {045-3: 850, 060-4: 990}]
    window: {static pressure: {045-3: up to 0.5, 060-4: {low: up to 0.7, high: up to 0.6}}}
  heating: {terminals: W, airflow: [by jumper, {share: 90 %, when: {J1: not A}}]}
"""


def table_of(text: str = PAGE) -> Table:
    return build_table(source_from_text(text), "page")[0]


def airflows(position: int, model: str, static: str = "0.2", **facts: str) -> list[int | str]:
    values: dict[str, Fraction | str] = {"static pressure": Fraction(static)}
    values |= {name.replace("_", " "): value for name, value in facts.items()}
    answers = evaluate(Engine(table_of(), Facts(model=model, values=values)), (position,))
    found = [s.airflow for a in answers.values() for s in a.stages]
    return [x.kind if isinstance(x, No) else int(x) for x in found]


def test_a_step_differs_by_model_and_by_model_and_stage() -> None:
    """045-3, A: 70 % of 800, 800; 060-4, A: 65 % and 95 % of 900. C of 045-3: 1,000 is more than 850."""
    assert airflows(0, "045-3") == [560, 800, 800]
    assert airflows(0, "060-4") == [585, 855, 900]
    assert airflows(2, "045-3") == [700, 850, 900]


def test_a_figure_that_is_not_for_a_call_stands_for_the_others() -> None:
    """B of 045-3 is marked as not for heating; heating takes 90 % where J1 isn't at A."""
    assert airflows(1, "045-3") == [630, 850, "outside_chart"]
    assert airflows(1, "060-4") == [650, 950, 900]


def test_a_figure_that_is_not_with_some_equipment() -> None:
    """C of 060-4 at 0.2: 1,100, not with a heat pump."""
    assert airflows(2, "060-4", outdoor_kind="heat pump") == ["outside_chart"] * 3
    assert airflows(2, "060-4", outdoor_kind="air conditioner") == [715, 990, 990]


@pytest.mark.parametrize(
    ("model", "static", "broken"),
    [
        ("045-3", "0.5", set()),
        ("045-3", "0.6", {"low", "high"}),
        ("060-4", "0.65", {"high"}),
        ("060-4", "0.8", {"low", "high"}),
    ],
)
def test_the_static_of_a_call_ends_by_model_and_stage(model: str, static: str, broken: set[str]) -> None:
    engine = Engine(table_of(), Facts(model=model, values={"static pressure": Fraction(static)}))
    found = {(s.call, s.stage) for s, check in judge_setting(engine, (0,)).broken}
    assert found == {("cooling", stage) for stage in broken}
    target = Target(call="heating", stage="", quantity="airflow", low=Fraction(800), high=Fraction(800))
    assert bool(find(engine, Request(targets=(target,))).found) is not bool(broken)


@pytest.mark.parametrize(
    ("typed", "instead", "said"),
    [
        ("045-3: 850, 060-4: 990", "045-3: 850, 080-5: 990", "`080-5` is not a model of this file"),
        ("060-4: {low: 65 %, high: 95 %}", "low: 65 %", "`low` is not a model of this file"),
        (
            "045-3: {low: 70 %}, 060-4: {low: 65 %, high: 95 %}",
            "low: {045-3: 70 %}",
            "`045-3` stands within the stage `low`",
        ),
        ("call not heating", "call not heat", "`heat` is not a value of call"),
        (
            "static pressure: {045-3: up to 0.5",
            "static pressure: {J1: {A: up to 0.5}",
            "goes by stage or model, not by J1",
        ),
    ],
)
def test_slips(typed: str, instead: str, said: str) -> None:
    with pytest.raises(Refused) as refused:
        table_of(PAGE.replace(typed, instead))
    assert said in refused.value.problems[0].message
