"""Slips whose remedy has to work: what is said of them, and that it loads once it is done."""

from __future__ import annotations

import pytest

from selector.answers.show import call_lines
from selector.problems import Refused
from selector.table.from_file.build import build_table
from selector.table.model.table import Table
from selector.table.source import source_from_text

PAGE = """\
format: selector table 1
unit:
  title: Trial unit
  models: W 50, W 71
board:
  SW1: {kind: switches, count: 2, positions: UP DN}
charts:
  airflows:
    set: SW1-1 SW1-2
    gives: airflow
    rows: |
      UP UP   800
      DN UP   900
      UP DN  1000
      DN DN  1100
  least:
    across: {model: [W 50, W 71]}
    gives: least airflow
    rows: 400 560
  most:
    across: {model: [W 50, W 71]}
    gives: most airflow
    rows: 950 1200
calls:
  cooling:
    terminals: {low: Y1, high: Y1 Y2}
    stages: low high
    airflow: [airflows, share: {low: 70 %}]
    window:
      airflow: at least least, at most most
  heating:
    terminals: W
    airflow: airflows
    window: {airflow: {SW1-1: {UP: 400 to 900}}}
"""


def table_of(text: str = PAGE) -> Table:
    return build_table(source_from_text(text), "page")[0]


@pytest.mark.parametrize(
    ("right", "slip", "said"),
    [
        (
            "    set: SW1-1 SW1-2\n",
            "    set, SW1-1 SW1-2\n",
            "A comma stands where the colon of `set` belongs.; Type `set: SW1-1",
        ),
        ("models: W 50, W 71", "models: W 50 W 71", "needs commas between all: W 50, W 71."),
        (
            "UP DN  1000",
            "UP  1000",
            "this row has 1 position, `airflows` needs 2; type a position for each of SW1-1 SW1-2",
        ),
        ("rows: 400 560", "rows: 400 560 %", "`%` is not a unit of the figure before it"),
    ],
)
def test_what_is_said_of_a_slip(right: str, slip: str, said: str) -> None:
    with pytest.raises(Refused) as refused:
        table_of(PAGE.replace(right, slip))
    first = refused.value.problems[0]
    assert said in f"{first.message}; {first.help}"


def test_a_mark_that_is_refused_has_no_echo_at_its_figures() -> None:
    noted = PAGE.replace("    rows: |\n", "    notes: |\n      (p1)  with the filter in\n    rows: |\n", 1)
    with pytest.raises(Refused) as refused:
        table_of(noted.replace("UP UP   800", "UP UP (p1)   800").replace("DN UP   900", "DN UP (p1)   900"))
    assert [p.code for p in refused.value.problems] == ["mark-like-a-figure"]


def test_a_least_and_a_most_by_charts_stand_on_one_line() -> None:
    assert [step.op for step in table_of().calls["cooling"].limits] == ["at least", "at most"]


def test_the_read_back_says_that_a_window_holds_in_every_stage() -> None:
    table = table_of(
        PAGE.replace("    terminals: W\n", "    terminals: {low: W1, high: W1 W2}\n    stages: low high\n")
    )
    said = "\n".join(call_lines(table, table.calls["heating"]))
    assert "SW1-1 UP every stage allowed 400 to 900 cfm" in said


def test_two_heats_of_one_chart_are_named() -> None:
    heat = "  output:\n    gives: heat input, heat output\n    rows: 91000 77000\ncalls:"
    text = PAGE.replace("calls:", heat).replace("    terminals: W\n", "    terminals: W\n    heat: output\n")
    with pytest.raises(Refused) as refused:
        table_of(text)
    (one,) = [p for p in refused.value.problems if p.severity == "problem"]
    assert (one.message, one.help) == (
        "`output` gives both heat input and heat output; a call starts from one",
        "leave heat input out",
    )
