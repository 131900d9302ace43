"""What nobody typed but a fact tells, on the Saltmarsh page: a 15 kW heater alone runs at 1,180 cfm (J4 = 15)."""

from __future__ import annotations

from fractions import Fraction

from selector.functions import decode, load
from selector.solve.board.facts import NOTHING_KNOWN
from selector.solve.engine.engine import Engine
from selector.solve.search.find import Request, find
from selector.solve.search.targets import Target
from selector.table.from_file.build import build_table
from selector.table.model.table import No
from selector.table.source import source_from_text


def airflows(board: str, facts: dict[str, str]) -> list[float]:
    found = decode(load("saltmarsh-12"), board, facts).values["heater alone", ""]
    return [float(x) for x in found.airflows]


def test_a_jumper_that_tells_the_heater_stands_at_the_one_that_is_there() -> None:
    assert airflows("J1=2 J2=b J3=1 LK1=whole J5=1", {"heater": "15"}) == [1180]


def test_typed_otherwise_the_board_is_believed_and_the_difference_is_told() -> None:
    found = decode(load("saltmarsh-12"), "J1=2 J2=b J3=1 J4=5 LK1=whole J5=1", {"heater": "15"})
    assert [float(x) for x in found.values["heater alone", ""].airflows] == [620]
    assert [(d.selector, d.board, d.known) for d in found.differences] == [("J4", "5", "15")]


def test_looked_at_it_stays_open_and_left_out_without_its_fact_it_stands_as_delivered() -> None:
    """J4 is delivered at none: no heater, so what needs one doesn't run."""
    found = decode(load("saltmarsh-12"), "J4=?", {"heater": "15"})
    assert sorted(float(x) for x in found.values["heater alone", ""].airflows) == [620, 790, 930, 1180]
    kinds = []
    for one in (found, decode(load("saltmarsh-12"), "J1=2")):
        answer = one.answers["heater alone"].stage("").airflow
        assert isinstance(answer, No)
        kinds.append(answer.kind)
    assert kinds == ["unreadable", "does_not_run"]


NOZZLE = """\
format: selector table 1
unit: {title: Oil furnace}
ratings: {temperature rise: 50 to 80}
board:
  NZ: {kind: plug, positions: 0.55 0.75, factory: 0.75}
  M1: {kind: dial, positions: A B, factory: A}
charts:
  output:
    set: NZ
    gives: heat output
    rows: |
      0.55   77000
      0.75  106000
  dial airflow:
    set: M1
    gives: airflow
    rows: |
      A   950
      B  1390
calls:
  heating: {terminals: W, heat: output, airflow: dial airflow}
"""


def test_a_nozzle_is_never_changed_for_an_airflow() -> None:
    """106,000 / (1.08 x 950) is 103 F; 77,000 would keep the plate's 80 F at 75 F, but only the dial may be turned."""
    table, report = build_table(source_from_text(NOZZLE), "page")
    assert [p.code for p in report.problems] == ["free-plug"]
    wanted = Target(call="heating", stage="", quantity="airflow", low=Fraction(950), high=Fraction(950))
    answer = find(Engine(table, NOTHING_KNOWN), Request(targets=(wanted,), first=9))
    assert [f.setting for f in answer.found] == [(1, 1)]
    told = Engine(table, NOTHING_KNOWN.with_value("NZ", "0.55"))
    assert find(told, Request(targets=(wanted,), first=1)).found[0].setting == (0, 0)
