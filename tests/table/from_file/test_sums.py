"""Sums that pages print: a menu's figure plus another's, two heaters, an airflow for each ton, a chart along two
numbers, heat output as a chart's quantity; worked by hand from the page below."""

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
from selector.table.model.formula import formula
from selector.table.model.in_units import METRIC, in_units
from selector.table.model.table import No, Table
from selector.table.source import source_from_text

PAGE = """\
format: selector table 1
unit: {title: Air handler}
units: {airflow: cfm, temperature: F}
ratings: {heater voltage: 240 V, temperature rise: 30 to 60}
facts:
  outdoor tons: {gives: tons, values: 2 3}
  water: {range: 100 to 180}
board:
  N1: {kind: menu, positions: 600 to 1000 step 100, factory: 800, gives: airflow}
  N2: {kind: menu, positions: 0 50 100, factory: 0, gives: airflow}
  J1: {kind: jumper, positions: none 5 10, factory: 5, gives: heater power}
  J2: {kind: jumper, positions: none 5 10, factory: none, gives: heater power}
  P1: {kind: plug, positions: 1 2, factory: 1}
charts:
  coil:
    set: water
    across: {static pressure: 0.2 0.6}
    gives: airflow
    rows: |
      100  1000  800
      180  1400 1000
  output by plug:
    set: P1
    across: {stage: low high}
    gives: heat output
    rows: |
      1  27000 43200
      2  32400 54000
calls:
  cooling:
    terminals: {low: Y1, high: Y1 Y2}
    stages: low high
    capacity: {low: 70 %}
    airflow: [N1, plus: N2, at least: 350 cfm/ton]
  both: {terminals: Y1 G, airflow: [call cooling, plus: call fan, minus: 50]}
  fan: {terminals: G, airflow: [airflow: 400]}
  strips: {terminals: W E, heat: [J1, plus: J2], airflow: [temperature rise: 50]}
  coil heat: {terminals: W2, airflow: [coil]}
  burner:
    terminals: {low: W1, high: W1 W2}
    stages: low high
    heat: output by plug
    airflow: [temperature rise: {low: 50, high: 50}]
"""


def table_of(text: str = PAGE) -> Table:
    return build_table(source_from_text(text), "page")[0]


MARKS = ("N1=800", "N2=100", "J1=5", "J2=10", "P1=2")


def stage(call: str, name: str = "", marks: tuple[str, ...] = MARKS, **facts: Fraction | str) -> StageAnswer:
    table = table_of()
    known = {k.replace("_", " "): v for k, v in facts.items()}
    setting = setting_of(read_marks(list(marks), table), table)
    return evaluate(Engine(table, Facts(model=None, values=known)), setting)[call].stage(name)


def test_one_figure_plus_another_and_so_much_a_ton() -> None:
    """800 + 100 = 900; at least 350 x 3 = 1,050 in high, 350 x 2.1 = 735 in low."""
    assert stage("cooling", "high", outdoor_tons="3").airflow == 1050
    assert stage("cooling", "low", outdoor_tons="3").airflow == 900
    assert stage("cooling", "high", outdoor_tons="2").airflow == 900
    unknown = stage("cooling", "high").airflow
    assert isinstance(unknown, No)
    assert (unknown.kind, unknown.why) == ("not_known", "outdoor tons are not given")


def test_calls_are_added_and_taken_away() -> None:
    assert stage("both", outdoor_tons="3").airflow == 1050 + 400 - 50


def test_two_heaters_are_added() -> None:
    """5 + 10 kW; a kWh is 3.6 MJ, an international table Btu 1,055.05585262 J (ISO 80000-5); none adds nothing."""
    per_kw = 3_600_000 / Fraction("1055.05585262")
    assert stage("strips").airflow == 15 * per_kw / 54
    assert stage("strips", marks=(*MARKS[:3], "J2=none", "P1=2")).airflow == 5 * per_kw / 54


def test_a_chart_is_read_along_two_numbers() -> None:
    """Half way in both: the mean of 1,000, 800, 1,400 and 1,000."""
    half = stage("coil heat", water=Fraction(140), static_pressure=Fraction(4, 10))
    assert half.airflow == 1050
    corner = stage("coil heat", water=Fraction(120), static_pressure=Fraction(2, 10))
    assert corner.airflow == 1100


def test_heat_output_by_plug_and_stage_needs_no_efficiency() -> None:
    """54,000 / (1.08 x 50) = 1,000; 32,400 / 54 = 600; plug 1: 800 and 500. The rise is the 50 F asked for."""
    assert [stage("burner", s).airflow for s in ("low", "high")] == [600, 1000]
    other = (*MARKS[:4], "P1=1")
    assert [stage("burner", s, other).airflow for s in ("low", "high")] == [500, 800]
    high = stage("burner", "high")
    assert high.heat == 54000
    assert high.rise == 50
    assert [j.ok for j in high.judged] == [True]


def test_find_searches_both_menus() -> None:
    table = table_of()
    wanted = Target(call="cooling", stage="high", quantity="airflow", low=Fraction(950), high=Fraction(950))
    engine = Engine(table, Facts(model=None, values={"outdoor tons": "2"}))
    best = find(engine, Request(targets=(wanted,), first=1)).found[0]
    assert best.airflows["cooling", "high"] == 950
    assert best.moves == 2 or best.setting[:2] == (3, 1)


def test_words_and_units() -> None:
    table = table_of()
    assert formula(table, table.calls["cooling"], "high") == "N1, then + N2, then at least 350 cfm per ton"
    assert formula(table, table.calls["both"], "") == "call cooling, then + call fan, then - 50 cfm"
    metric = in_units(table, METRIC)
    setting = setting_of(read_marks(list(MARKS), metric), metric)
    engine = Engine(metric, Facts(model=None, values={"outdoor tons": "3"}))
    assert evaluate(engine, setting)["cooling"].stage("high").airflow == 1050 * Fraction("0.3048") ** 3 * 1000 / 60


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("[J1, plus: J2]", "[J1, plus: N1]", "`N1` is no heat"),
        ("[N1, plus: N2,", "[N1, plus: J2,", "`J2` is heat, no airflow"),
        ("[J1, plus: J2]", "[plus: J2]", "`plus` needs a heat before it"),
        ("[N1, plus: N2,", "[plus: N2,", "`plus` needs an airflow before it"),
    ],
)
def test_slips(old: str, new: str, said: str) -> None:
    with pytest.raises(Refused) as refused:
        table_of(PAGE.replace(old, new))
    assert said in [p.message for p in refused.value.problems]


def test_tons_that_a_menu_tells_count_for_so_much_a_ton() -> None:
    """C1 at 3: at least 350 x 3 = 1,050 of 3 x 300 = 900; at 2: 700 of 600."""
    text = """\
format: selector table 1
unit: {title: Furnace}
units: {airflow: cfm}
board:
  C1: {kind: menu, positions: 2 3 4, factory: 3, gives: tons}
  C2: {kind: menu, positions: 300 400, factory: 300, gives: airflow per ton}
calls:
  heat pump:
    terminals: {low: Y1, high: Y1 Y2}
    stages: low high
    airflow: [C1, C2, at least: {high: 350 cfm/ton}]
    window: {airflow: at least 320 cfm/ton}
charts:
  told:
    set: C1
    gives: label
    rows: |
      2  small
      3  middle
      4  large
"""
    table = table_of(text)
    engine = Engine(table, Facts(model=None, values={}))
    for c1, high in (("3", 1050), ("2", 700)):
        setting = setting_of(read_marks([f"C1={c1}", "C2=300"], table), table)
        assert evaluate(engine, setting)["heat pump"].stage("high").airflow == high
    assert [w.quantity for w in table.calls["heat pump"].windows] == ["airflow per ton"]
