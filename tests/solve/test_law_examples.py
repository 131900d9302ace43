"""Boards that the laws failed on once, each made small and worked by hand."""

from __future__ import annotations

from fractions import Fraction

import pytest

from selector.judge.judge import judge
from selector.judge.judgement import StageJudgement
from selector.judge.known_facts import BoardMarks
from selector.solve.board.facts import Facts
from selector.solve.board.marks import read_marks, setting_of
from selector.solve.engine.engine import Engine
from selector.solve.search.find import FindResult, Request, find
from selector.solve.search.typed_facts import read_facts, read_target
from selector.table.from_file.build import build_table
from selector.table.model.table import No, Table
from selector.table.source import source_from_text

HEAD = "format: selector table 1\nunit: {title: A board, models: 060 080}\nunits: {airflow: cfm}\n"


def table_of(text: str) -> Table:
    """The table of a text whose first lines are given."""
    return build_table(source_from_text(HEAD + text, "board.yaml"), "board")[0]


def judged(
    text: str, marks: str | list[str], facts: dict[str, str] | None = None, call: str = "cooling"
) -> StageJudgement:
    """How the one stage of a call stands."""
    table = table_of(text)
    words = marks.split() if isinstance(marks, str) else marks
    engine = Engine(table, read_facts((facts or {}).items(), table))
    return judge(engine, BoardMarks(setting=setting_of(read_marks(words, table), table))).stages[call, ""]


def found(text: str, call: str, target: str) -> FindResult:
    """The settings for one target."""
    table = table_of(text)
    return find(Engine(table, Facts()), Request(targets=(read_target(call, target, table),)))


ONE_MODEL = """board: {J1: {kind: jumper, positions: A B}}
charts:
  air: {set: J1, across: {model: 060}, gives: airflow, rows: A 300; B 350}
calls:
  cooling: {airflow: air}
"""


def test_a_model_that_a_chart_does_not_print_is_possible_too() -> None:
    """Not given, it may be the 060, 300 cfm on A, or the 080, for which no figure is printed."""
    stage = judged(ONE_MODEL, "J1=A")
    assert isinstance(stage.outcome, No)
    assert (stage.outcome.kind, stage.outcome.needs) == ("not_known", "model")
    assert stage.airflows == (Fraction(300),)
    assert [no.kind for no in stage.noes] == ["outside_chart"]


CONDITION = """board: {J1: {kind: jumper, positions: A B}}
charts:
  air: {set: J1, gives: airflow, rows: A 300; B 350}
calls:
  cooling: {airflow: [air, {at least: 320, when: {model: 060}}]}
"""


@pytest.mark.parametrize(("marks", "airflows"), [("J1=A", (300, 320)), ("J1=B", (350,))])
def test_a_step_of_one_model_counts_only_where_it_changes_something(marks: str, airflows: tuple[int, ...]) -> None:
    """Raised to 320 only on the 060: 350 stays 350 on either."""
    stage = judged(CONDITION, marks)
    assert stage.airflows == airflows
    assert stage.facts == (("model",) if len(airflows) > 1 else ())


CAPPED = """board: {J1: {kind: jumper, positions: A B}}
charts:
  air: {set: J1, across: {model: 060 080}, gives: airflow, rows: A 985 800; B 985 300}
calls:
  cooling: {airflow: [air, at most: 800]}
"""


@pytest.mark.parametrize(("marks", "airflows"), [("J1=A", (800,)), ("J1=B", (300, 800))])
def test_columns_that_a_later_step_makes_alike(marks: str, airflows: tuple[int, ...]) -> None:
    """985 is lowered to 800: on A both models come to 800."""
    assert judged(CAPPED, marks).airflows == airflows


NOTED = """board: {SW1: {kind: switches, count: 1, factory: all off}}
charts:
  air:
    set: SW1-1
    gives: airflow
    rows: |
      OFF 300 (filter frame needed)
      ON  300
calls:
  cooling: {airflow: air}
"""


def test_positions_with_the_same_cells_are_one_whatever_note_a_row_has() -> None:
    """One answer, where the board stands; its note is told with it."""
    assert [f.setting for f in found(NOTED, "cooling", "300").found] == [(0,)]


HEATED = """ratings: {heat input: 30000, efficiency: 80 %}
board:
  SW1: {kind: switches, count: 1, factory: all off}
  LK1: {kind: link}
charts:
  air: {set: SW1-1, gives: airflow, rows: OFF 300; ON 400}
  input: {set: LK1, gives: heat input, rows: whole 30000; cut 20000}
calls:
  cooling: {airflow: air}
  heating: {heat: input, airflow: call cooling}
"""


def test_what_only_the_heat_reads_stays_unknown() -> None:
    """The airflow of heating is cooling's; nobody told LK1, and no airflow that is asked for reads it."""
    assert [f.setting for f in found(HEATED, "heating", "400").found][:1] == [(1, None)]


BY_MODEL = """board:
  J1: {kind: jumper, positions: A B, factory: {060: B, 080: B}}
  J2: {kind: jumper, positions: A B, factory: {060: A, 080: B}}
charts:
  air: {set: J1 J2, gives: airflow, rows: A A 300; B A 300; A B 400; B B 400}
calls:
  cooling: {airflow: air}
"""


def test_what_every_model_is_delivered_with_is_known_without_the_model() -> None:
    """J1 is B on both models and stays; J2 differs, so it is not printed for a model that isn't known."""
    assert table_of(BY_MODEL).delivered(None) == (1, None)
    assert [f.setting for f in found(BY_MODEL, "cooling", "400").found][:1] == [(1, 1)]


OFF_PINS = """board:
  J1: {kind: jumper, positions: A B}
  J2: {kind: jumper, positions: A B}
charts:
  air: {set: J1 J2, gives: airflow, rows: A - 300; B A 350; B B 400; B off pins 450}
calls:
  cooling: {airflow: air}
"""


@pytest.mark.parametrize(("marks", "airflow"), [("J1=A", 300), ("J1=B", 450)])
def test_any_position_holds_off_pins_where_a_row_names_it(marks: str, airflow: int) -> None:
    """With J1 on A the page says that J2 doesn't matter, and off its pins is one of its positions."""
    assert judged(OFF_PINS, [marks, "J2=off pins"]).outcome == airflow


TOLD_TONS = """facts: {outdoor tons: {gives: tons, values: 2 2.5}}
board: {PS1: {kind: plug, positions: 2 2.5, factory: 2, gives: tons, declares: outdoor tons}}
charts:
  air: {set: PS1, gives: airflow, rows: 2 505; 2.5 300}
calls:
  cooling: {terminals: Y1, airflow: air, window: {airflow per ton: 150 to 250}}
"""


def test_what_the_board_is_told_is_not_what_stands_outside() -> None:
    """505 cfm are 252.5 on 2 tons, 202 on 2.5: the outdoor unit isn't given, so the limit isn't judged; given, it is
    broken by 2.5."""
    (check,) = judged(TOLD_TONS, "PS1=2").checks
    assert (check.state, check.needs) == ("not_judged", "outdoor tons")
    (check,) = judged(TOLD_TONS, "PS1=2", {"outdoor tons": "2"}).checks
    assert (check.state, check.by) == ("broken", (Fraction(5, 2),))
    assert len(found(TOLD_TONS, "cooling", "505").found) == 1


DELAYED = """board: {J1: {kind: jumper, positions: A B}}
charts:
  air: {set: J1, gives: airflow, rows: A 300; B 350}
  delay: {set: J1, across: {model: 060 080}, gives: seconds, rows: A 60 90; B 60 -}
calls:
  cooling: {airflow: air, off delay: delay}
"""


@pytest.mark.parametrize(("marks", "airflows", "noes"), [("J1=A", (300,), []), ("J1=B", (350,), ["outside_chart"])])
def test_a_delay_that_one_model_does_not_print(marks: str, airflows: tuple[int, ...], noes: list[str]) -> None:
    """On B the 080 has no delay printed, which refuses the stage: without the model it isn't known."""
    stage = judged(DELAYED, marks)
    assert stage.airflows == airflows
    assert [no.kind for no in stage.noes] == noes
    assert stage.facts == (("model",) if noes else ())
