"""A chart whose letter other charts go by, conditions on the letter, and charts that are only told: a page typed as
printed; every expected figure stands on it."""

from __future__ import annotations

from fractions import Fraction

import pytest

from selector.answers.call import note_texts
from selector.answers.decode import decode_answer, lines
from selector.judge.decode import decode
from selector.judge.judge import judge_setting
from selector.problems import Refused
from selector.solve.board.facts import Facts
from selector.solve.board.marks import read_marks, setting_of
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import CallAnswer, evaluate
from selector.solve.search.find import FindResult, Request, find
from selector.solve.search.targets import Target
from selector.table.from_file.build import build_table
from selector.table.model.table import No, Table
from selector.table.source import source_from_text

PAGE = """\
format: selector table 1
unit: {title: Air handler, models: 24 36}
units: {airflow: cfm}
board:
  SW1: {kind: switches, count: 5, factory: all off}
charts:
  cooling airflow:
    page: 7
    set: profile
    across: {model: 24 36}
    gives: airflow
    rows: |
      A  800 1200
      B  700 1100
      C  600 1000
  profile:
    page: 6
    set: SW1-1 SW1-2
    gives: label
    rows: |
      00  A
      10  B (for two tons)
      01  C
      11  as 00
  fan airflow:
    set: profile SW1-3
    gives: airflow
    rows: |
      A OFF  400
      A ON   500
      B -    350
      C OFF  300
      C ON   not used
  lock-out:
    set: SW1-4
    gives: label
    rows: |
      OFF  40 F
      ON   25 F
  power:
    set: SW1-5
    gives: watts, speed
    rows: |
      OFF  320 900
      ON   450 1100
calls:
  cooling: {terminals: Y1, airflow: [cooling airflow]}
  fan: {terminals: G, airflow: [fan airflow]}
  dry: {terminals: Y1 DH, when: {profile: A B}, airflow: [call cooling, {share: 80 %, when: {profile: B}}]}
"""


def table_of(text: str = PAGE) -> Table:
    return build_table(source_from_text(text), "page")[0]


def engine(model: str = "36", text: str = PAGE) -> Engine:
    return Engine(table_of(text), Facts(model=model, values={}))


def board(e: Engine, marks: str) -> dict[str, CallAnswer]:
    return evaluate(e, setting_of(read_marks([f"SW1={marks}"], e.table), e.table))


def airflow(call: str, marks: str, model: str = "36") -> Fraction | str:
    found = board(engine(model), marks)[call].stages[0].airflow
    return found.kind if isinstance(found, No) else found


def best(cfm: int, call: str = "cooling", first: int = 9) -> FindResult:
    wanted = Target(call=call, stage="", quantity="airflow", low=Fraction(cfm), high=Fraction(cfm))
    return find(engine(), Request(targets=(wanted,), first=first))


def test_the_letter_picks_the_airflow_of_several_calls() -> None:
    assert [airflow("cooling", m) for m in ("00000", "10000", "01000", "11000")] == [1200, 1100, 1000, 1200]
    assert airflow("cooling", "10000", "24") == 700
    assert [airflow("fan", m) for m in ("00100", "10100", "01000", "01100")] == [500, 350, 300, "not_usable"]


def test_a_condition_goes_by_the_letter() -> None:
    assert [airflow("dry", m) for m in ("00000", "10000", "01000")] == [1200, 880, "does_not_run"]


def test_the_letter_is_told_with_what_it_picks() -> None:
    e = engine()
    notes = note_texts(judge_setting(e, setting_of(read_marks(["SW1=10000"], e.table), e.table)))
    assert notes == [
        "cooling airflow and fan airflow: profile B (for two tons)",
        "profile: for two tons",  # the row that the condition of `dry` looks at
    ]


def test_find_searches_the_switches_behind_the_letter_and_no_row_that_behaves_as_another() -> None:
    """C would stop the dry call, which runs as delivered."""
    found = best(1000)
    assert found.found[0].setting[:2] == (1, 0)
    assert all(f.setting[:2] != (1, 1) for f in found.found)
    assert ("copied row", "profile") in {(x.what, x.name) for x in found.left_out}
    assert {f.setting[:2] for f in best(300, "fan").found} <= {(0, 0), (1, 0)}


def test_an_unread_switch_leaves_the_letters_it_may_be() -> None:
    e = engine()
    setting = setting_of(read_marks(["SW1=?0000"], e.table), e.table)
    assert decode(e, setting, unread=(0,)).values["cooling", ""].airflows == tuple(map(Fraction, (1100, 1200)))


def test_charts_that_no_call_reads_are_told() -> None:
    e = engine()
    decoded = decode(e, setting_of(read_marks(["SW1=00011"], e.table), e.table))
    told = [(t.chart, t.quantity, t.value, t.word) for t in decode_answer(e, decoded, None).told]
    assert told == [
        ("lock-out", "label", None, "25 F"),
        ("power", "watts", Fraction(450), ""),
        ("power", "speed", Fraction(1100), ""),
    ]
    said = [x for x in lines(e, decoded, None, wide=False) if isinstance(x, str)]
    assert {"lock-out: 25 F", "power watts: 450 W", "power speed: 1,100 rpm"} <= set(said)


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ("      C  600 1000", "      D  600 1000", "`D` is not a position of profile"),
        ("when: {profile: A B}", "when: {profile: A X}", "`X` is not a value of profile"),
        ("set: profile SW1-3", "set: profil SW1-3", "`profil` is not a selector or fact of this file"),
    ],
)
def test_slips(old: str, new: str, message: str) -> None:
    with pytest.raises(Refused) as refused:
        table_of(PAGE.replace(old, new))
    assert refused.value.problems[0].message == message


def test_watts_beside_an_airflow_are_told_where_it_runs_as_printed() -> None:
    """400 cfm draws 90 W; the low stage runs 70 % of it, for which the page prints no watts."""
    text = """\
format: selector table 1
unit: {title: Air handler}
units: {airflow: cfm}
board:
  SW1: {kind: switches, count: 1, factory: all off}
charts:
  airflows:
    set: SW1-1
    gives: airflow, watts
    rows: |
      OFF  400  90
      ON   500 130
calls:
  cooling: {terminals: {low: Y1, high: Y2}, stages: low high, airflow: [airflows, share: {low: 70 %}]}
"""
    e = Engine(table_of(text), Facts(model=None, values={}))
    decoded = decode(e, setting_of(read_marks(["SW1=0"], e.table), e.table))
    told = [(t.chart, t.call, t.stage, t.quantity, t.value) for t in decode_answer(e, decoded, None).told]
    assert told == [("airflows", "cooling", "high", "watts", Fraction(90))]
    assert "cooling high watts: 90 W" in lines(e, decoded, None, wide=False)
