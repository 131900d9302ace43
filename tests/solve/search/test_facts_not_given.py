"""What a fact that nobody gave leaves open is said: by hand on a small page."""

from __future__ import annotations

from fractions import Fraction

from selector.judge.judge import judge
from selector.judge.known_facts import BoardMarks
from selector.solve.engine.engine import Engine
from selector.solve.search.find import FindResult, Request, find
from selector.solve.search.targets import Target
from selector.solve.search.typed_facts import read_facts
from selector.table.from_file.build import build_table
from selector.table.source import source_from_text

PAGE = """\
format: selector table 1
unit: {title: A board of two revisions}
units: {airflow: cfm}
facts:
  revision: {values: a b}
  coil: {values: wet dry}
board:
  J1: {kind: jumper, positions: A B C, factory: A}
  J2: {kind: jumper, positions: 1 2, factory: 1}
charts:
  by jumper:
    set: J1 revision
    gives: airflow
    rows: |
      A -  800
      B a  900
      B b  950
      C -  as A -
  lower: {set: J2 coil, gives: trim, rows: 1 - none; 2 - -10 %}
calls:
  cooling: {terminals: Y1, airflow: [by jumper, lower]}
"""


def asked(aim: int, **facts: str) -> FindResult:
    table, _ = build_table(source_from_text(PAGE), "page")
    target = Target(call="cooling", stage="", quantity="airflow", low=Fraction(aim), high=Fraction(aim))
    return find(Engine(table, read_facts(facts.items(), table)), Request(targets=(target,), first=9))


def test_a_row_that_depends_on_a_fact_not_given_is_left_out_and_the_fact_named() -> None:
    """B is 900 cfm on revision a, 950 on b; A is 800, with J2 at 2 720. The coil changes nothing."""
    result = asked(900)
    assert [int(next(iter(f.airflows.values()))) for f in result.found] == [800, 720]
    assert [x.name for x in result.left_out if x.what == "fact"] == ["revision"]
    told = asked(900, revision="b")
    assert [int(next(iter(f.airflows.values()))) for f in told.found] == [950, 855, 800, 720]
    assert not [x for x in told.left_out if x.what == "fact"]


def test_a_row_that_is_the_same_whatever_a_fact_is_is_read_without_it() -> None:
    """C behaves as A on either revision: said, and not proposed."""
    table, _ = build_table(source_from_text(PAGE), "page")
    cooling = judge(Engine(table, read_facts([], table)), BoardMarks(setting=(2, 0))).stages["cooling", ""]
    assert cooling.outcome == 800
    assert [(n.of, n.text) for n in cooling.notes] == [("copied row", "J1 A")]
    assert all(f.setting[0] != 2 for f in asked(800).found)
