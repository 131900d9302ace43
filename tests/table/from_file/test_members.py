"""A switch of a bank that differs from the others, positions that tell a fact in words of their own, a menu whose
entries differ by model: a page typed as printed, figures worked by hand from it."""

from __future__ import annotations

from fractions import Fraction

import pytest

from selector.answers.board import warnings
from selector.answers.call import note_texts
from selector.judge.decode import decode
from selector.judge.judge import judge
from selector.judge.known_facts import marks as standing
from selector.problems import Refused
from selector.solve.board.facts import Facts
from selector.solve.board.marks import read_marks, setting_of
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import evaluate
from selector.solve.search.find import FindResult, Request, find
from selector.solve.search.targets import Target
from selector.table.from_file.build import build_table
from selector.table.model.table import No, Setting, Table
from selector.table.source import source_from_text

PAGE = """\
format: selector table 1
unit: {title: Air handler, models: 24 36}
units: {airflow: cfm}
facts:
  outdoor kind: {values: [air conditioner, heat pump]}
board:
  SW1: {kind: switches, count: 6, factory: all off}
  SW1-3:
    kind: switch
    declares: outdoor kind
    says: {off: air conditioner, on: heat pump}
    note: set it before power-up
  SW1-4: {kind: switch, leave at: {36: on}}
  SW1-5: {kind: switch, not used: 24}
  SW1-6: {kind: switch, not used: all, note: for the factory}
  J1: {kind: jumper, positions: A B, factory: A, declares: heater, says: {A: 5, B: 10}}
  N1:
    kind: menu
    positions: {24: 0 to 100 step 50, 36: 50 to 200 step 50}
    factory: {24: 0, 36: 100}
charts:
  cooling airflow:
    set: SW1-1 SW1-2
    across: {model: 24 36}
    gives: airflow
    rows: |
      00  800 1200
      10  700 1100
      01  900 1300
      11 1000 1400
  trims:
    set: SW1-3 SW1-5
    gives: trim
    rows: |
      OFF OFF  none
      ON  OFF  +10 %
      OFF ON   +5 %
      ON  ON   +15 %
  more:
    set: N1
    gives: offset
    rows: |
      0    none
      50   +50
      100  +100
      150  +150
      200  +200
calls:
  cooling:
    terminals: Y1
    airflow: [cooling airflow, trims, more]
  heating:
    terminals: Y1 B
    when: {outdoor kind: heat pump}
    airflow: [call cooling, share: 110 %]
  auxiliary:
    terminals: W
    airflow: [airflow: 900, {at least: 1000, when: {heater: 10}}]
"""


def table_of(text: str = PAGE) -> Table:
    return build_table(source_from_text(text), "page")[0]


def engine(model: str, text: str = PAGE, **facts: str) -> Engine:
    return Engine(table_of(text), Facts(model=model, values={k.replace("_", " "): v for k, v in facts.items()}))


def board(table: Table, *marks: str) -> Setting:
    return setting_of(read_marks(list(marks), table), table)


def airflow(e: Engine, call: str, *marks: str) -> Fraction | No:
    return evaluate(e, board(e.table, *marks))[call].stages[0].airflow


def found(e: Engine, cfm: int) -> FindResult:
    wanted = Target(call="cooling", stage="", quantity="airflow", low=Fraction(cfm), high=Fraction(cfm))
    return find(e, Request(targets=(wanted,), first=1))


def test_one_switch_declares_equipment() -> None:
    """Set from the fact, never searched: 1,200 + 10 % + 100 = 1,420 with a heat pump; 1,300 without."""
    pump = found(engine("36", outdoor_kind="heat pump"), 1420).found[0]
    assert pump.setting[2] == 1
    assert pump.airflows["cooling", ""] == 1420
    plain = found(engine("36", outdoor_kind="air conditioner"), 1300).found[0]
    assert plain.setting[2] == 0
    assert plain.moves == 0


def test_decode_says_a_switch_that_contradicts_the_equipment() -> None:
    e = engine("36", outdoor_kind="heat pump")
    decoded = decode(e, board(e.table, "SW1=000000", "J1=A", "N1=100"))
    assert [(d.selector, d.board, d.known) for d in decoded.differences] == [("SW1-3", "air conditioner", "heat pump")]
    assert "SW1-3 is set for outdoor kind air conditioner; heat pump installed" in warnings(e, decoded.judgement)


def test_what_it_tells_decides_what_runs() -> None:
    e = engine("36")
    refused = airflow(e, "heating", "SW1=000000", "J1=A", "N1=100")
    assert isinstance(refused, No)
    assert refused.kind == "does_not_run"
    # (1,200 x 1.10 + 100) x 1.10
    assert airflow(e, "heating", "SW1=001000", "J1=A", "N1=100") == 1562


def test_a_jumper_says_more_than_its_mark() -> None:
    e = engine("36", heater="10")
    assert airflow(e, "auxiliary", "SW1=000000", "J1=B", "N1=100") == 1000
    assert airflow(e, "auxiliary", "SW1=000000", "J1=A", "N1=100") == 900
    assert found(e, 1300).found[0].setting[6] == 1


def test_dead_for_some_models_and_left_at_a_side_for_others() -> None:
    """Model 24 can't have the 5 % of switch 5: 1,000 + 100 is the most; model 36 can: 1,400 x 1.05 + 200 = 1,670."""
    assert found(engine("24"), 1150).found[0].airflows["cooling", ""] == 1100
    assert found(engine("36"), 1670).found[0].airflows["cooling", ""] == 1670
    e = engine("36")
    assert judge(e, standing(board(e.table, "SW1=000000", "J1=A", "N1=100"))).not_left == (3,)
    other = engine("24")
    assert judge(other, standing(board(other.table, "SW1=000000", "J1=A", "N1=100"))).not_left == ()


def test_a_menu_has_the_entries_of_its_model() -> None:
    small, large = engine("24"), engine("36")
    assert small.table.delivered("24")[7] == 0
    refused = airflow(small, "cooling", "SW1=000000", "J1=A", "N1=150")
    assert isinstance(refused, No)
    assert refused.kind == "not_usable"
    assert airflow(large, "cooling", "SW1=000000", "J1=A", "N1=150") == 1350
    # 800 + 100 is reached, 800 + 150 isn't: 900 + 50 is
    assert found(small, 950).found[0].airflows["cooling", ""] == 950


def test_notes_of_one_switch() -> None:
    e = engine("36")
    setting = board(e.table, "SW1=001000", "J1=A", "N1=100")
    assert note_texts(judge(e, standing(setting))) == ["SW1-3: set it before power-up"]
    notes = judge(e, standing(setting)).stages["cooling", ""].notes
    assert [(n.of, n.name, n.text) for n in notes] == [("selector", "SW1-3", "set it before power-up")]


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("SW1-6:", "SW1-9:", "`SW1-9` is not a switch of a bank above"),
        ("not used: 24", "not used: 25", "`25` is not a model of this file"),
        ("leave at: {36: on}", "leave at: {36: up}", "`up` is not a position of SW1-4"),
        ("leave at: {36: on}", "leave at: {63: on}", "`63` is not a model of this file"),
        ("on: heat pump}", "on: heat pumps}", "`heat pumps` is not a value of outdoor kind"),
        ("on: heat pump}", "onn: heat pump}", "`onn` is not a position of SW1-3"),
        ("{24: 0 to 100 step 50,", "{42: 0 to 100 step 50,", "`42` is not a model of this file"),
    ],
)
def test_slips(old: str, new: str, said: str) -> None:
    assert old in PAGE
    with pytest.raises(Refused) as refused:
        table_of(PAGE.replace(old, new))
    assert said in [p.message for p in refused.value.problems]
