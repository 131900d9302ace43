"""Which broken limits stop everything else: by hand, on a small page. Common practice, no source: too little
air over a heater that is on, and a rise over the plate's, can hurt; too little over a filter can't."""

from __future__ import annotations

from fractions import Fraction

import pytest

from selector.judge.danger import dangerous
from selector.judge.judge import judge
from selector.judge.known_facts import BoardMarks, KnownFacts, OutsideLimit
from selector.solve.board.facts import Facts
from selector.solve.board.marks import read_marks, setting_of
from selector.table.from_file.build import build_table
from selector.table.model.range import Range
from selector.table.source import source_from_text

PAGE = """\
format: selector table 1
unit: {title: Air handler, maker: Saltmarsh, manual: {number: S, pages: 1}}
units: {airflow: cfm, heat: kW, temperature: F}
ratings: {heater voltage: 240 V, temperature rise: 15 to 50}
board:
  SW1: {kind: switches, count: 2}
  J1: {kind: jumper, positions: 5 15, gives: heater power}
charts:
  blower:
    page: 1
    set: SW1-1
    gives: airflow
    rows: |
      OFF 800
      ON 1200
  heater least:
    page: 1
    set: J1
    gives: least airflow
    rows: |
      5 500
      15 1000
  filter least:
    page: 1
    set: SW1-2
    gives: least airflow
    rows: |
      OFF 300
      ON 900
calls:
  heater: {terminals: W, airflow: blower, heat: J1}
"""


def broken(marks: str, *outside: OutsideLimit) -> list[tuple[str, bool]]:
    """The broken limits of a board: where each comes from, and whether it is a danger."""
    table, _ = build_table(source_from_text(PAGE), "air-handler")
    setting = setting_of(read_marks(marks.split(), table), table)
    known = KnownFacts(facts=Facts(), limits=outside)
    judgement = judge(known.engine(table), BoardMarks(setting=setting))
    return [(c.judged[0].limit.source, dangerous(table, c.judged[0])) for _, c in judgement.broken]


@pytest.mark.parametrize(
    ("marks", "want"),
    [
        ("SW1=10 J1=15", []),  # 1,200 over 1,000 and 300; 15 x 3,412 / (1.08 x 1,200) = 39.5 F
        ("SW1=00 J1=5", []),  # 800 over 500 and 300; 19.7 F
        ("SW1=10 J1=5", [("rise on the rating plate", False)]),  # 13.2 F: below the plate's 15, cold and no danger
        (
            "SW1=00 J1=15",
            [("heater least", True), ("rise on the rating plate", True)],
        ),  # 800 under 1,000; 59.2 F over 50
        ("SW1=01 J1=5", [("filter least", False)]),  # 800 under 900: the filter's, nobody is hurt
        ("SW1=01 J1=15", [("heater least", True), ("filter least", False), ("rise on the rating plate", True)]),
    ],
)
def test_a_heater_short_of_air_is_a_danger_and_a_filter_isn_t(marks: str, want: list[tuple[str, bool]]) -> None:
    assert sorted(broken(marks)) == sorted(want)


def test_a_window_from_outside_is_no_danger() -> None:
    """1,200 is over 1,000, and over what a house asked for at most (1,100): broken, and nobody is hurt."""
    asked = OutsideLimit(
        quantity="airflow", range=Range(None, Fraction(1100)), source="the house", call="heater", stage=""
    )
    assert broken("SW1=10 J1=15", asked) == [("the house", False)]
