"""Figures that the page leaves open: `900 or 1100`, `about 66 %`, a switch whose factory side isn't printed; every
expected figure is worked by hand from the page below."""

from __future__ import annotations

from fractions import Fraction

import pytest

from selector.answers.call import note_texts, outcome_text
from selector.judge.decode import decode
from selector.judge.judge import judge
from selector.judge.known_facts import marks as standing
from selector.problems import Refused
from selector.solve.board.facts import NOTHING_KNOWN
from selector.solve.board.marks import read_marks, setting_of
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import CallAnswer, evaluate
from selector.solve.search.find import Request, find
from selector.solve.search.targets import Target
from selector.table.from_file.build import build_table
from selector.table.model.table import No, Setting, Table
from selector.table.source import source_from_text
from selector.transcribe.compare.read_back import spoken

PAGE = """\
format: selector table 1
unit: {title: Air handler}
units: {airflow: cfm}
board:
  SW1: {kind: switches, count: 4, factory: 0?00}
charts:
  cooling airflow:
    set: SW1-1 SW1-2
    gives: airflow
    rows: |
      00  900 or 1100
      10  700
      01  about 800
      11  1000
  lower:
    set: SW1-3
    gives: trim
    rows: |
      OFF none
      ON  -5 or -10 %
  run-on:
    set: SW1-4
    gives: seconds
    rows: |
      OFF 60 or 90 s
      ON  120 s
calls:
  cooling:
    terminals: Y1
    airflow: [cooling airflow, lower]
    off delay: run-on
    window: {airflow: 850 to 1200}
  fan:
    terminals: G
    airflow: [call cooling, share: about 50 %]
  held up:
    terminals: Y2
    airflow: [call cooling, at least: 1150]
  same figure twice:
    terminals: Y3
    airflow: [call cooling, at most: cooling airflow]
  stepped:
    terminals: W
    airflow: [airflow: 1000, share: 60 or 70 %]
"""


def table_of(text: str = PAGE) -> Table:
    return build_table(source_from_text(text), "page")[0]


def board(table: Table, marks: str) -> Setting:
    return setting_of(read_marks([f"SW1={marks}"], table), table)


def asked(marks: str) -> dict[str, CallAnswer]:
    table = table_of()
    return evaluate(Engine(table, NOTHING_KNOWN), board(table, marks))


def said_of(marks: str) -> list[str]:
    table = table_of()
    return note_texts(judge(Engine(table, NOTHING_KNOWN), standing(board(table, marks))))


def possible(found: Fraction | No) -> tuple[int, ...]:
    assert isinstance(found, No)
    assert found.kind == "unreadable"
    assert found.either is not None
    return tuple(int(x) for x in found.either.figures)


def test_an_open_figure_is_carried_through_the_steps_and_never_chosen() -> None:
    answers = asked("0000")
    assert possible(answers["cooling"].stages[0].airflow) == (900, 1100)
    assert possible(answers["fan"].stages[0].airflow) == (450, 550)
    assert possible(answers["stepped"].stages[0].airflow) == (600, 700)


def test_two_open_figures_give_every_combination() -> None:
    """900 and 1,100 less 5 or 10 %: 855 and 810, 1,045 and 990."""
    assert possible(asked("0010")["cooling"].stages[0].airflow) == (810, 855, 990, 1045)


def test_what_no_alternative_changes_is_certain() -> None:
    """Both 900 and 1,100 lie under 1,150."""
    assert asked("0000")["held up"].stages[0].airflow == 1150


def test_one_printed_figure_is_one_choice_wherever_it_is_used() -> None:
    """At most the very figure it starts from: 900 or 1,100, never 900 held under 1,100."""
    assert possible(asked("0000")["same figure twice"].stages[0].airflow) == (900, 1100)


def test_a_limit_counts_where_it_holds_or_breaks_for_every_alternative() -> None:
    assert [j.ok for j in asked("0000")["cooling"].stages[0].judged] == [True]
    depends = asked("0010")["cooling"].stages[0].judged[0]
    assert depends.ok is None
    assert "900 or 1100" in depends.why


def test_a_delay_left_open_is_told_as_open() -> None:
    found = asked("0000")["cooling"].off_delay[""]
    assert isinstance(found, No)
    assert possible(found) == (60, 90)
    assert asked("0001")["cooling"].off_delay[""] == 120


def test_decode_and_judge_give_the_possibilities() -> None:
    table = table_of()
    engine = Engine(table, NOTHING_KNOWN)
    setting = board(table, "0000")
    assert decode(engine, setting).values["cooling", ""].airflows == tuple(map(Fraction, (900, 1100)))
    assert judge(engine, standing(setting)).stages["cooling", ""].airflows == tuple(map(Fraction, (900, 1100)))
    half_read = decode(engine, board(table, "?000"), unread=(0,))
    assert half_read.values["cooling", ""].airflows == tuple(map(Fraction, (700, 900, 1100)))


def test_find_offers_no_open_figure_and_counts_what_it_left_out() -> None:
    table = table_of()
    wanted = Target(call="cooling", stage="", quantity="airflow", low=Fraction(1000), high=Fraction(1000))
    answer = find(Engine(table, NOTHING_KNOWN), Request(targets=(wanted,), first=9))
    assert {f.airflows["cooling", ""] for f in answer.found} == {Fraction(1000)}
    left = {(x.what, x.name): x.count for x in answer.left_out}
    assert left["ambiguous figure", "cooling airflow"] == 1


def test_a_rough_figure_counts_as_printed_and_is_told() -> None:
    answers = asked("0100")
    assert answers["cooling"].stages[0].airflow == 800
    notes = said_of("0100")
    assert "cooling airflow: an approximate figure on the page (about)" in notes
    assert "fan: the page gives about 50 %" in notes
    assert said_of("1100") == ["fan: the page gives about 50 %"]


def test_words() -> None:
    table = table_of()
    said = outcome_text(table, asked("0000")["fan"].stages[0].airflow)
    assert said == "450 or 550 cfm (`cooling airflow` is printed as 900 or 1100)"
    rows = [row.text for row in spoken(table, "cooling airflow")]
    assert rows[0] == "switch 1 off, switch 2 off: nine hundred or one thousand one hundred"
    assert rows[2] == "switch 1 off, switch 2 on: about eight hundred"


def test_a_side_not_printed_is_not_known() -> None:
    assert table_of().delivered(None) == (0, None, 0, 0)
    words = table_of(PAGE.replace("factory: 0?00", "factory: OFF ? OFF OFF"))
    assert words.delivered(None) == (0, None, 0, 0)


@pytest.mark.parametrize(
    ("typed", "said"),
    [("900 or many", "`many` is not a figure for airflow"), ("900 or -", "type the figures, for example 900 or 1100")],
)
def test_a_slip_behind_or(typed: str, said: str) -> None:
    with pytest.raises(Refused) as refused:
        table_of(PAGE.replace("900 or 1100", typed))
    assert said in "\n".join(f"{p.message} {p.help}" for p in refused.value.problems)


def test_two_figures_with_a_stroke_between_are_no_quotient() -> None:
    with pytest.raises(Refused) as refused:
        table_of(PAGE.replace("900 or 1100", "900/1100"))
    assert [p.help for p in refused.value.problems] == [
        "type 900 or 1100 if it is one of the two; if they are two columns, give each its head"
    ]
