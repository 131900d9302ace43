"""What was taken for a fact that nobody gave, and for whom: each by hand on a page of a few rows."""

from __future__ import annotations

import pytest

from selector.judge.judge import judge
from selector.judge.known_facts import BoardMarks, KnownFacts
from selector.solve.search.typed_facts import read_facts
from selector.table.from_file.build import build_table
from selector.table.source import source_from_text

OIL = """\
unit: {title: Oil furnace}
units: {airflow: cfm, heat: Btu/h}
ratings: {efficiency: 80 %, heat per gallon: 140000PRESSURES}
board:
  D1: {kind: dial, positions: 1 2 3, factory: 1}
charts:
  air: {set: D1, gives: airflow, rows: 1 900; 2 1000; 3 none}
  nozzle: {set: D1, gives: nozzle rate, rows: 1 0.5; 2 0.75; 3 1}
calls:
  heating: {terminals: W, airflow: air, heat: nozzle}
"""
ELECTRIC = """\
unit: {title: Air handler}
units: {airflow: cfm, heat: kW}
ratings: {heater voltage: 240 V}
board:
  J1: {kind: jumper, positions: 5 10, factory: 5, gives: heater power}
charts:
  air: {set: J1, gives: airflow, rows: 5 500; 10 900}
calls:
  heater: {terminals: W, airflow: air, heat: J1}
  both: {terminals: Y W, airflow: air, heat: J1}
  cooling: {terminals: Y, airflow: air}
"""
FIRED = """\
unit: {title: Modulating furnace}
units: {airflow: cfm, heat: Btu/h}
board:
  J1: {kind: jumper, positions: A B, factory: A}
charts:
  air: {set: J1, across: {firing rate: 40 90}, gives: airflow, rows: A 500 1100; B none none}
calls:
  heating: {terminals: W, airflow: air}
"""


@pytest.mark.parametrize(
    ("text", "at", "facts", "want"),
    [
        (OIL.replace("PRESSURES", ""), 0, {}, ["pump pressure 100 psi: heating"]),  # nozzles are marked at 100 psi
        (OIL.replace("PRESSURES", ", nozzle pressure: 140 psi"), 1, {}, ["pump pressure 140 psi: heating"]),
        (OIL.replace("PRESSURES", ", pump pressure: 140 psi"), 0, {}, []),
        (OIL.replace("PRESSURES", ""), 0, {"pump pressure": "140"}, []),
        (OIL.replace("PRESSURES", ""), 2, {}, []),  # it does not run
        (ELECTRIC, 0, {}, ["supply voltage 240 V: heater both"]),
        (ELECTRIC, 0, {"supply voltage": "230"}, []),
        (ELECTRIC.replace("ratings: {heater voltage: 240 V}\n", ""), 0, {}, ["supply voltage None V: heater both"]),
        (FIRED, 0, {}, ["firing rate 90 %: heating"]),  # the highest that is printed
        (FIRED, 0, {"firing rate": "60"}, []),
        (FIRED, 1, {}, []),
    ],
)
def test_what_was_taken(text: str, at: int, facts: dict[str, str], want: list[str]) -> None:
    table = build_table(source_from_text("format: selector table 1\n" + text), "page")[0]
    engine = KnownFacts(facts=read_facts(list(facts.items()), table)).engine(table)
    found = judge(engine, BoardMarks(setting=(at,))).assumed_facts
    assert [f"{one.name} {one.value} {one.unit}: {' '.join(one.calls)}" for one in found] == want
