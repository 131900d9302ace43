"""What is assumed of airflow per ton, and what a delay or ramp may be while its selector can't be read: by hand."""

from __future__ import annotations

from fractions import Fraction

import pytest

from selector.judge.decode import Decoded, decode
from selector.judge.floors_and_ceilings import engine_of
from selector.judge.judge import judge
from selector.judge.known_facts import BoardMarks
from selector.solve.board.facts import Facts
from selector.solve.board.marks import read_marks, setting_of, unread_in
from selector.table.from_file.build import build_table
from selector.table.model.table import Table
from selector.table.source import source_from_text

PAGE = """\
format: selector table 1
unit: {title: Heat pump air handler, maker: Saltmarsh, manual: {number: S, pages: 1}}
units: {airflow: cfm}
board:
  SW1: {kind: switches, count: 4}
charts:
  blower:
    page: 1
    set: SW1-1 SW1-2
    gives: airflow
    rows: |
      00   590
      10   600
      01   640
      11   910
  run-on:
    page: 1
    set: SW1-3 SW1-4
    gives: seconds
    rows: |
      00  none
      10  30 s
      01  90 s
      11  not used
calls:
  cooling: {terminals: Y1 O, airflow: blower, off delay: run-on}
  heat pump: {terminals: Y1, airflow: blower}
"""


@pytest.fixture(scope="module")
def table() -> Table:
    found, _ = build_table(source_from_text(PAGE, "page.yaml"), "air-handler")
    return found


@pytest.mark.parametrize(
    ("marks", "cooling", "heat_pump"),
    [
        ("SW1=0000", False, False),  # 590 / 2 = 295: under 300, under 325
        ("SW1=1000", True, False),  # 300 is the floor itself: inside; under 325
        ("SW1=0100", True, False),  # 320
        ("SW1=1100", False, True),  # 455: over the ceiling of cooling, 450; heating has none
    ],
)
def test_airflow_per_ton_is_held_where_the_tons_are_known(
    table: Table, marks: str, cooling: bool, heat_pump: bool
) -> None:
    """Common practice, no source: 300 to 450 cfm/ton in cooling, 325 and more in heating."""
    setting = setting_of(read_marks([marks], table), table)
    engine = engine_of(table, Facts(values={"outdoor tons": Fraction(2)}))
    stages = judge(engine, BoardMarks(setting=setting)).stages
    assert bool(stages["cooling", ""].broken) is not cooling
    assert bool(stages["heat pump", ""].broken) is not heat_pump


def test_nothing_is_held_where_the_tons_aren_t_known(table: Table) -> None:
    setting = setting_of(read_marks(["SW1=0000"], table), table)
    stages = judge(engine_of(table, Facts()), BoardMarks(setting=setting)).stages
    assert not [s for s in stages.values() if s.checks]


def delays(table: Table, marks: str) -> Decoded:
    read = read_marks([marks], table)
    return decode(engine_of(table, Facts()), setting_of(read, table), unread_in(read))


@pytest.mark.parametrize(
    ("marks", "want"),
    [
        ("SW1=00?0", {Fraction(0), Fraction(30)}),
        ("SW1=000?", {Fraction(0), Fraction(90)}),
        ("SW1=00??", {Fraction(0), Fraction(30), Fraction(90), "not_usable"}),
    ],
)
def test_a_run_on_whose_switch_can_t_be_read_is_each_that_it_may_be(
    table: Table, marks: str, want: set[object]
) -> None:
    assert set(delays(table, marks).spoken["cooling", "", "off delay"]) == want


def test_a_run_on_that_is_read_isn_t_told_as_a_choice(table: Table) -> None:
    assert delays(table, "SW1=?010").spoken == {}


PRINTED = PAGE.replace(
    "  heat pump: {terminals: Y1, airflow: blower}",
    "  dry: {for: dehumidify, terminals: Y1 O DH, airflow: blower, window: {airflow per ton: at least 280}}",
)


@pytest.mark.parametrize(
    ("marks", "cooling", "dry"),
    [
        ("SW1=0000", True, False),  # 295: under the usual 300; the page allows its own call 280
        ("SW1=1100", True, True),  # 455: over the usual 450, of which the page says nothing
    ],
)
def test_what_the_page_prints_per_ton_stands_in_place_of_the_usual(marks: str, cooling: bool, dry: bool) -> None:
    table, _ = build_table(source_from_text(PRINTED, "page.yaml"), "air-handler")
    engine = engine_of(table, Facts(values={"outdoor tons": Fraction(2)}))
    stages = judge(engine, BoardMarks(setting=setting_of(read_marks([marks], table), table))).stages
    assert (bool(stages["cooling", ""].broken), bool(stages["dry", ""].broken)) == (cooling, dry)


WINDOW = """\
format: selector table 1
unit: {title: T}
facts:
  return duct: {values: both one}
board:
  J1: {kind: jumper, positions: A B, factory: A}
charts:
  c: {set: J1, gives: airflow, rows: A 2000; B 1500}
calls:
  cooling: {terminals: Y1, airflow: c, window: {airflow: {return duct: {one: at most 1600}}}}
"""


@pytest.mark.parametrize(("duct", "state"), [(None, "depends"), ("one", "broken")])
def test_a_window_for_one_value_of_a_fact_breaks_nothing_while_the_fact_is_not_known(
    duct: str | None, state: str
) -> None:
    """By hand: 2,000 cfm is over 1,600 with one duct; with both there is no limit."""
    table, _ = build_table(source_from_text(WINDOW, "page.yaml"), "window")
    facts = Facts() if duct is None else Facts().with_value("return duct", duct)
    (stage,) = judge(engine_of(table, facts), BoardMarks(setting=(0,))).stages.values()
    (check,) = stage.checks
    assert check.state == state
    assert check.facts == (() if duct else ("return duct",))
