"""Footnotes at single figures, conditions on charts and units, a row for the rest, rows that repeat another: a page
typed as printed; every expected figure stands on it."""

from __future__ import annotations

from fractions import Fraction

import pytest

from selector.problems import Refused
from selector.solve.board.facts import Facts
from selector.solve.board.marks import read_marks, setting_of
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import CallAnswer, evaluate
from selector.table.from_file.build import build_table
from selector.table.model.table import No, Table
from selector.table.source import source_from_text
from selector.transcribe.compare.read_back import spoken

PAGE = """\
format: selector table 1
unit:
  title: Air handler
  models: 24 36
  only: static pressure 0.1 to 0.8
units: {airflow: cfm, pressure: in. w.c.}
facts:
  large filter: {values: yes no}
board:
  SW1: {kind: switches, count: 3, factory: all off}
charts:
  cooling airflow:
    set: SW1-1 SW1-2 SW1-3
    across: {model: 24 36}
    gives: airflow
    notes: |
      *   only static pressure up to 0.5, large filter yes (only with the large filter)
      **  only static pressure up to 0.5
      (a) as shipped
    rows: |
      OFF OFF OFF (a)  1210 **  2040 *
      ON  OFF OFF       990     1800*
      OFF ON  OFF       810     1590 (a) (noisy)
      ON  ON  OFF      same as OFF OFF OFF
      others           kept for service
calls:
  cooling:
    terminals: Y1
    airflow: [cooling airflow, {share: 90 %, when: {static pressure: above 0.6}}]
"""


def table_of(text: str = PAGE) -> Table:
    return build_table(source_from_text(text), "page")[0]


def asked(marks: str, model: str = "36", text: str = PAGE, **facts: Fraction | str) -> CallAnswer:
    table = table_of(text)
    known: dict[str, Fraction | str] = {k.replace("_", " "): v for k, v in facts.items()}
    engine = Engine(table, Facts(model=model, values=known))
    return evaluate(engine, setting_of(read_marks([f"SW1={marks}"], table), table))["cooling"]


def airflow(marks: str, model: str = "36", text: str = PAGE, **facts: Fraction | str) -> Fraction | No:
    return asked(marks, model, text, **facts).stages[0].airflow


LOW, MIDDLE, HIGH = Fraction(3, 10), Fraction(11, 20), Fraction(7, 10)


def no(found: Fraction | No) -> str:
    assert isinstance(found, No)
    return found.kind


def test_a_marked_figure_holds_where_its_footnote_says() -> None:
    assert airflow("000", "24", static_pressure=LOW) == 1210
    assert no(airflow("000", "24", static_pressure=MIDDLE)) == "outside_chart"
    assert airflow("000", static_pressure=LOW, large_filter="yes") == 2040
    assert no(airflow("000", static_pressure=LOW, large_filter="no")) == "outside_chart"
    # a figure without a mark beside it holds
    assert airflow("100", "24", static_pressure=MIDDLE) == 990


def test_a_footnote_reaches_only_answers_that_use_its_figure_and_names_what_is_not_known() -> None:
    (stage,) = asked("000", static_pressure=LOW).stages
    (note,) = [t.row.note for t in stage.trail if t.row is not None]
    assert note == "a as shipped; * only with the large filter (large filter not given)"
    (other,) = asked("100", "24", static_pressure=LOW).stages
    assert [t.row.note for t in other.trail if t.row is not None] == [""]
    (third,) = asked("010", static_pressure=LOW).stages
    assert [t.row.note for t in third.trail if t.row is not None] == ["noisy; a as shipped"]


def test_a_condition_of_the_unit_has_both_ends() -> None:
    assert no(airflow("100", "24", static_pressure=Fraction(1, 20))) == "outside_chart"
    assert no(airflow("100", "24", static_pressure=Fraction(9, 10))) == "outside_chart"
    assert airflow("100", "24", static_pressure=Fraction(1, 10)) == 990


def test_a_step_above_a_static_pressure() -> None:
    # 990 x .90 = 891 above 0.6
    assert airflow("100", "24", static_pressure=HIGH) == 891
    assert airflow("100", "24", static_pressure=Fraction(6, 10)) == 990
    assert no(airflow("100", "24")) == "not_known"


@pytest.mark.parametrize("marks", ["101", "011", "111", "001"])
def test_the_rest_of_the_positions_has_one_row(marks: str) -> None:
    assert no(airflow(marks, static_pressure=LOW, large_filter="yes")) == "not_usable"


def test_a_row_that_is_the_same_as_another_has_its_figures_and_footnotes() -> None:
    assert airflow("110", static_pressure=LOW, large_filter="yes") == 2040
    assert no(airflow("110", "24", static_pressure=MIDDLE)) == "outside_chart"


@pytest.mark.parametrize(
    ("old", "new", "code"),
    [
        ("only static pressure up to 0.5\n", "only up to 0.5 in. w.c.\n", "condition-without-name"),
        ("only static pressure up to 0.5\n", "only static pressure up to half\n", "value-not-a-figure"),
        ("only static pressure up to 0.5\n", "only static pressure\n", "condition-without-values"),
        ("(a) as shipped\n", "(a)\n", "note-without-text"),
        ("(a) as shipped\n", "* as shipped\n", "doubled-mark"),
        ("(a) as shipped\n", "(1) as shipped\n", "mark-like-a-figure"),
        ("large filter yes (", "large filter maybe (", "unknown-value"),
        ("1210 **", "1210 †", "footnote-at-figure"),
        ("same as OFF OFF OFF", "same as ON OFF ON", "copy-of-nothing"),
        ("others           kept for service\n", "others not used\n      others reserved\n", "overlapping-rows"),
        ("above 0.6", "over the top", "value-not-a-figure"),
    ],
)
def test_slips(old: str, new: str, code: str) -> None:
    assert old in PAGE
    with pytest.raises(Refused) as refused:
        table_of(PAGE.replace(old, new, 1))
    assert code in [p.code for p in refused.value.problems]


@pytest.mark.parametrize(
    ("window", "low", "high"),
    [("at least 340", 340, None), ("at most 1600 cfm", None, 1600), ("400 to 1600", 400, 1600)],
)
def test_a_window_may_be_open_at_one_end(window: str, low: int | None, high: int | None) -> None:
    table = table_of(PAGE.replace("    terminals: Y1\n", f"    terminals: Y1\n    window: {{airflow: {window}}}\n"))
    (found,) = table.calls["cooling"].windows
    assert (found.low, found.high) == (low, high)


def test_a_page_of_nine_steps_has_nine_stages() -> None:
    text = PAGE.replace("    terminals: Y1\n", "    terminals: Y1\n    stages: 1 2 3 4 5 6 7 8 9\n")
    assert len(table_of(text).calls["cooling"].stages) == 9


@pytest.mark.parametrize(
    ("typed", "meant"),
    [("0 to 9 A to F", "0123456789ABCDEF"), ("1 to 4", "1234"), ("0 3 5 to 7", "03567"), ("a to c", "abc")],
)
def test_positions_in_a_row_are_counted_out(typed: str, meant: str) -> None:
    text = PAGE.replace(
        "charts:\n", f"  D1: {{kind: dial, positions: {typed}}}\ncharts:\n  x: {{set: D1, gives: label, rows: '- x'}}\n"
    )
    (dial,) = [p for p in table_of(text).parts if p.name == "D1"]
    assert dial.positions == tuple(meant)


def test_footnotes_and_the_rest_are_read_aloud() -> None:
    said = [row.text for row in spoken(table_of())]
    assert "one thousand two hundred ten, footnote: only static pressure up to 0.5" in said[0]
    assert said[-1] == "all other positions: kept for service"


@pytest.mark.parametrize(
    ("notes", "found"),
    [
        # every piece that begins with no name is told, where it stands; of a line and of a block
        ("notes: '* only up to 0.5, below 0.6'", [(10, 20), (10, 31)]),
        ("notes: |\n      * only up to 0.5, below 0.6", [(11, 14), (11, 25)]),
        ("notes: |\n      * only up to 0.5, large filter yes, below 0.6", [(11, 14), (11, 43)]),
    ],
)
def test_where_a_condition_without_a_name_stands(notes: str, found: list[tuple[int, int]]) -> None:
    text = (
        "format: selector table 1\nunit: {title: Air handler}\nfacts: {large filter: {values: yes no}}\nboard:\n"
        "  J1: {kind: jumper, positions: A B, factory: A}\ncharts:\n  air:\n    set: J1\n    gives: airflow\n"
        f"    {notes}\n    rows: |\n      A 900 *\n      B 950\ncalls:\n  fan: {{terminals: G, airflow: air}}\n"
    )
    with pytest.raises(Refused) as refused:
        build_table(source_from_text(text), "a")
    told = [(p.line, p.column) for p in refused.value.problems if p.code == "condition-without-name"]
    assert told == found
