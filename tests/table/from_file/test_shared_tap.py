"""Two leads on one tap where the page lets them: a page typed as printed, worked by hand from it."""

from __future__ import annotations

from fractions import Fraction

import pytest

from selector.problems import Refused
from selector.solve.board.facts import Facts
from selector.solve.board.marks import read_marks, setting_of, shared_taps
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import evaluate
from selector.solve.search.find import Request, find
from selector.solve.search.targets import Target
from selector.table.from_file.build import build_table
from selector.table.model.table import No, Table
from selector.table.source import source_from_text

PAGE = """\
format: selector table 1
unit: {title: Oil furnace}
units: {airflow: cfm, pressure: in. w.c.}
board:
  M1:
    kind: taps
    positions: T1 T2 T3
    leads: RED BLUE YEL
    factory: T3 T2 T1
    may share: {RED YEL: {LK3: in}}
  LK3: {kind: link, positions: out in, factory: out}
  LK4: {kind: link, factory: whole, cut at set-up: yes}
charts:
  airflow by tap:
    set: M1
    across: {static pressure: 0.20 0.50}
    gives: airflow
    rows: |
      T3  1040 965
      T2   880 790
      T1   720 610
calls:
  heating: {terminals: W, lead: RED, airflow: airflow by tap}
  cooling: {terminals: Y, lead: BLUE, airflow: [airflow by tap, {trim: -10 %, when: {LK4: cut}}]}
  continuous air: {terminals: G, lead: YEL, airflow: airflow by tap}
"""


def table_of(text: str = PAGE) -> Table:
    return build_table(source_from_text(text), "page")[0]


def airflows(taps: str, link: str) -> list[int | str]:
    table = table_of()
    setting = setting_of(read_marks([f"M1={taps}", f"LK3={link}", "LK4=whole"], table), table)
    engine = Engine(table, Facts(model=None, values={"static pressure": Fraction(1, 2)}))
    found = [a.stages[0].airflow for a in evaluate(engine, setting).values()]
    return [x.kind if isinstance(x, No) else int(x) for x in found]


def test_two_leads_share_a_tap_only_where_the_page_lets_them() -> None:
    assert airflows("T3 T2 T1", "out") == [965, 790, 610]
    assert airflows("T3 T2 T3", "in") == [965, 790, 965]
    assert airflows("T3 T2 T3", "out") == ["not_usable", 790, "not_usable"]
    assert airflows("T3 T3 T1", "in") == ["not_usable", "not_usable", 610]


def test_the_danger_of_a_shared_tap_is_told_where_it_is_one() -> None:
    table = table_of()
    for link, told in (("in", 0), ("out", 1), ("?", 1)):
        setting = setting_of(read_marks(["M1=T3 T2 T3", f"LK3={link}", "LK4=whole"], table), table)
        assert len(shared_taps(setting, table)) == told


def test_a_link_is_proposed_cut_where_the_page_means_it_so() -> None:
    """790 less 10 % is 711 cfm; without the cut the nearest is 790 or 610."""
    asked = Target(call="cooling", stage="", quantity="airflow", low=Fraction(711), high=Fraction(711))
    cuts = []
    for text in (PAGE, PAGE.replace(", cut at set-up: yes", "")):
        table = table_of(text)
        best = find(
            Engine(table, Facts(values={"static pressure": Fraction(1, 2)})), Request(targets=(asked,), first=1)
        )
        cuts.append(table.parts[-1].word(best.found[0].setting[-1]))
    assert cuts == ["cut", "whole"]


def test_slips() -> None:
    with pytest.raises(Refused) as refused:
        table_of(PAGE.replace("{RED YEL: {LK3: in}}", "{RED YELLOW: {LK3: in}}"))
    assert refused.value.problems[0].message == "`YELLOW` is not a lead of M1"
