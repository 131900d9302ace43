"""A plate's rise by plug, windows by the positions of a selector and by a fact, airflow at the supply voltages printed:
a page typed as printed, worked by hand from it."""

from __future__ import annotations

from fractions import Fraction

import pytest

from selector.problems import Refused
from selector.solve.board.facts import Facts
from selector.solve.board.marks import read_marks, setting_of
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import StageAnswer, evaluate
from selector.solve.search.find import Request, find
from selector.solve.search.targets import Target
from selector.table.from_file.build import build_table
from selector.table.model.table import No, Table
from selector.table.source import source_from_text

PAGE = """\
format: selector table 1
unit: {title: Furnace}
units: {airflow: cfm, temperature: F}
ratings:
  temperature rise: {P1: {1: 30 to 60, 2: 40 to 70}}
facts:
  outdoor kind: {values: [air conditioner, heat pump]}
  supply voltage: {values: 208 240}
board:
  P1: {kind: plug, positions: 1 2, factory: 1, note: burner plug}
  D1: {kind: dial, positions: A B C, factory: A}
charts:
  output:
    set: P1
    across: {stage: low high}
    gives: heat output
    rows: |
      1  27000 43200
      2  32400 54000
  heating airflow:
    set: D1
    across: {stage: low high}
    gives: airflow
    rows: |
      A   600  800
      B   700 1000
      C   450  700
  fan airflow:
    set: D1
    across: {supply voltage: 208 240}
    gives: airflow
    rows: |
      A  500 600
      B  600 700
      C  400 500
calls:
  heating:
    terminals: {low: W1, high: W1 W2}
    stages: low high
    heat: output
    airflow: heating airflow
  fan:
    terminals: G
    airflow: [fan airflow, {at most: 650, when: {supply voltage: 240}}]
    window: {airflow: {outdoor kind: {air conditioner: 400 to 600, heat pump: at least 550}}}
"""


def table_of(text: str = PAGE) -> Table:
    return build_table(source_from_text(text), "page")[0]


def stage(call: str, name: str, plug: str, dial: str, **facts: Fraction | str) -> StageAnswer:
    table = table_of()
    known = {k.replace("_", " "): v for k, v in facts.items()}
    setting = setting_of(read_marks([f"P1={plug}", f"D1={dial}"], table), table)
    return evaluate(Engine(table, Facts(model=None, values=known)), setting)[call].stage(name)


def ends(one: StageAnswer) -> list[tuple[bool | None, int | None, int | None]]:
    """The limits that have an end here."""
    found = [(j.ok, None if j.low is None else int(j.low), None if j.high is None else int(j.high)) for j in one.judged]
    return [at for at in found if at[1] is not None]


def rise(plug: str, dial: str, name: str) -> tuple[list[tuple[bool | None, int | None, int | None]], Fraction | None]:
    one = stage("heating", name, plug, dial)
    return ends(one), one.rise


def test_the_rise_of_the_plug_that_stands_limits_every_heating_stage() -> None:
    """Plug 1, dial A: 43,200 / (1.08 x 800) = 50 F inside 30 to 60; dial C: 43,200 / 756 = 57.1; plug 2, dial A:
    54,000 / 864 = 62.5 inside 40 to 70, low 32,400 / 648 = 50; dial C high: 54,000 / 756 = 71.4 over 70."""
    assert rise("1", "A", "high") == ([(True, 30, 60)], Fraction(50))
    assert rise("2", "A", "high") == ([(True, 40, 70)], Fraction(125, 2))
    assert rise("2", "C", "high") == ([(False, 40, 70)], Fraction(54000, 756))
    assert rise("1", "B", "low")[0] == [(True, 30, 60)]
    assert {j.limit.source for j in stage("heating", "low", "1", "A").judged} == {"rise by P1"}


def test_find_keeps_the_rise_of_the_plug() -> None:
    """With plug 2 held, dial C (700) is nearest to 720 but 71.4 F is over 70; A it is."""
    table = table_of()
    wanted = Target(call="heating", stage="high", quantity="airflow", low=Fraction(720), high=Fraction(720))
    best = find(Engine(table, Facts(model=None, values={})), Request(targets=(wanted,), held={0: 1}, first=1))
    assert best.found[0].airflows["heating", "high"] == 800


def test_a_window_by_a_fact() -> None:
    one = stage("fan", "", "1", "A", supply_voltage=Fraction(208), outdoor_kind="heat pump")
    assert one.airflow == 500
    assert ends(one) == [(False, 550, None)]
    other = stage("fan", "", "1", "A", supply_voltage=Fraction(208), outdoor_kind="air conditioner")
    assert ends(other) == [(True, 400, 600)]
    unknown = stage("fan", "", "1", "A", supply_voltage=Fraction(208))
    assert {j.ok for j in unknown.judged} == {None}
    assert {j.why for j in unknown.judged} == {"outdoor kind is not given"}


def test_supply_voltages_as_printed() -> None:
    assert stage("fan", "", "1", "B", supply_voltage=Fraction(240)).airflow == 650
    assert stage("fan", "", "1", "B", supply_voltage="208").airflow == 600
    between = stage("fan", "", "1", "B", supply_voltage=Fraction(230)).airflow
    assert isinstance(between, No)
    assert between.kind == "outside_chart"


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ("{1: 30 to 60, 2: 40 to 70}", "{1: 30 to 60, 3: 40 to 70}", "`3` is not a position of P1"),
        ("heat pump: at least 550", "heat pumps: at least 550", "`heat` is not a value of outdoor kind"),
        ("{P1: {1: 30", "{P2: {1: 30", "`P2` is not a model or a stage of this file"),
    ],
)
def test_slips(old: str, new: str, message: str) -> None:
    with pytest.raises(Refused) as refused:
        table_of(PAGE.replace(old, new))
    assert message in [p.message for p in refused.value.problems]
