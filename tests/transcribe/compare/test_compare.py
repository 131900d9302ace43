"""Compare: two transcriptions of one page, whatever the order of rows and names."""

from __future__ import annotations

import random
import re
from pathlib import Path

import pytest

from selector.table.from_file.build import build_table
from selector.table.library.library import load
from selector.table.model.table import Table
from selector.table.source import source_from_text
from selector.transcribe.compare.compare import compare

TABLES = sorted((Path(__file__).parents[3] / "tables").glob("*.yaml"))

FIRST = """format: selector table 1
unit: {title: Furnace, models: 060 080}
board:
  SW1: {kind: switches, count: 3, factory: all off}
  J1: {kind: jumper, positions: A B, factory: A}
charts:
  cooling airflow:
    set: SW1-1 SW1-2
    across: {model: 060 080}
    gives: airflow
    rows: |
      OFF OFF  1020 1380
      ON  OFF   540  720
      -   ON   do not use
  run-on:
    set: SW1-3
    gives: seconds
    rows: |
      OFF  60
      ON   120
  fan share:
    set: J1
    gives: share
    rows: |
      A  40 %
      B  60 %
calls:
  cooling: {terminals: Y1, airflow: cooling airflow, off delay: run-on}
  fan: {terminals: G, airflow: [call cooling, fan share]}
"""

SECOND = """format: selector table 1
unit: {title: Gas furnace, models: 060 080}
board:
  J9: {kind: jumper, positions: a b, factory: a}
  SW1: {kind: switches, count: 3, factory: 000}
charts:
  blower afterwards:
    set: SW1-3
    gives: seconds
    rows: |
      ON   120
      OFF  60
  airflow when cooling:
    set: SW1-2 SW1-1
    across: {model: 080 060}
    gives: airflow
    rows: |
      ON  OFF  do not use
      ON  ON   do not use
      OFF ON   720  540
      OFF OFF  1380 1020
  share of the fan:
    set: J9
    gives: share
    rows: |
      b  60 %
      a  40 %
calls:
  fan: {terminals: G, airflow: [call cold, share of the fan]}
  cold: {terminals: Y1, airflow: airflow when cooling, off delay: blower afterwards}
"""


def table(text: str) -> Table:
    return build_table(source_from_text(text), "t")[0]


@pytest.mark.parametrize("path", TABLES, ids=lambda p: p.stem)
def test_a_table_is_like_itself(path: Path) -> None:
    one, _ = load(str(path))
    found = compare(one, one)
    assert found.differences == ()
    assert found.cells >= sum(len(r.cells) for c in one.charts.values() for r in c.rows if r.cells)


def test_other_names_and_another_order_are_the_same_page() -> None:
    found = compare(table(FIRST), table(SECOND))
    assert {d.where for d in found.differences} <= {"call fan"}
    assert set(found.taken_as_same) == {
        "selector J1 and J9",
        "chart cooling airflow and airflow when cooling",
        "chart run-on and blower afterwards",
        "chart fan share and share of the fan",
        "call cooling and cold",
    }


def test_one_figure_is_found_with_both_lines() -> None:
    found = compare(table(FIRST), table(SECOND.replace("720  540", "720  450")))
    cell = next(d for d in found.differences if d.where.startswith("cooling airflow"))
    assert (cell.line_a, cell.line_b, cell.where, cell.a, cell.b) == (
        13,
        20,
        "cooling airflow, SW1-1 on SW1-2 off model 060",
        "540",
        "450",
    )


@pytest.mark.parametrize(
    ("old", "new", "where", "a", "b"),
    [
        ("factory: A", "factory: B", "J1 factory setting", "A", "B"),
        ("models: 060 080", "models: 060 080 110", "models", "060 080", "060 080 110"),
        (
            "- ON   do not use".replace("- ON", "-   ON"),
            "OFF ON  do not use",
            "cooling airflow, SW1-1 on SW1-2 on",
            "do not use",
            "no row",
        ),
        ("do not use", "reserved", "cooling airflow, SW1-1 off SW1-2 on", "do not use", "reserved"),
        ("terminals: G", "terminals: G Y1", "terminals of fan", "G", "G Y1"),
        ("[call cooling, fan share]", "[call cooling, share: 45 %]", "call fan", "fan share", "45 %"),
    ],
)
def test_each_kind_of_difference(old: str, new: str, where: str, a: str, b: str) -> None:
    other = FIRST.replace(old, new, 1)
    if "share: 45" in new:
        other = other.replace("    gives: share", "    gives: share\n    note: not used by a call").replace(
            "calls:", "calls:\n  other: {airflow: [call cooling, fan share]}"
        )
    found = [(d.where, d.a or "", d.b or "") for d in compare(table(FIRST), table(other)).differences]
    assert any(w == where and a in x and b in y for w, x, y in found), found


CALLS = (
    FIRST.replace(
        "  cooling: {terminals: Y1, airflow: cooling airflow, off delay: run-on}\n",
        """  cooling:
    terminals: {low: Y1, high: Y1 Y2}
    stages: low high
    airflow: cooling airflow
    capacity: {low: 67 %}
    when: {J1: A}
    ramp: gentle
    on delay: {low: 10 s}
    off delay: run-on
    window: {airflow: 400 to 1600}
""",
    ).replace("fan share]}", "fan share], together: {cooling: highest}}")
    + "ramps:\n  gentle: 30 s at 50 %, then 100 %\n"
)


@pytest.mark.parametrize(
    ("old", "new", "where", "a", "b"),
    [
        ("low: 67 %", "low: 76 %", "capacity of cooling", "stage 1 0.67", "stage 1 0.76"),
        ("when: {J1: A}", "when: {J1: A B}", "conditions of cooling", "j1 a", "j1 a b"),
        ("30 s at 50", "30 s at 60", "ramp of cooling", "30 s at 50 %, then 100 %", "30 s at 60 %, then 100 %"),
        ("low: 10 s", "low: 15 s", "on delay of cooling", "stage 1 10", "stage 1 15"),
        ("off delay: run-on", "off delay: {low: run-on}", "off delay of cooling", "run-on", "stage 1 run-on"),
        ("400 to 1600", "400 to 1500", "window of cooling", "airflow 400 to 1600", "airflow 400 to 1500"),
        ("cooling: highest", "cooling: this", "other calls beside of fan", "cooling: highest", "cooling: this"),
        ("title: Furnace,", "title: Furnace, manual: {number: K-14},", "manual", "nothing", "K-14"),
    ],
)
def test_what_belongs_to_a_call_is_compared_too(old: str, new: str, where: str, a: str, b: str) -> None:
    found = compare(table(CALLS), table(CALLS.replace(old, new, 1))).differences
    assert (where, a, b) in [(d.where, d.a, d.b) for d in found]


def test_other_names_of_stages_ramps_and_calls_are_no_difference() -> None:
    other = re.sub(r"\bgentle\b", "slow", re.sub(r"\bhigh\b", "second", re.sub(r"\blow\b", "first", CALLS)))
    assert compare(table(CALLS), table(other)).differences == ()


def test_a_figure_that_cant_be_read_differs_from_one_that_is() -> None:
    found = compare(table(FIRST), table(FIRST.replace(" 540 ", " ? ").replace("ON  OFF  ?", "ON  OFF ?")))
    assert [(d.where, d.a) for d in found.differences] == [("cooling airflow, SW1-1 on SW1-2 off model 060", "540")]


@pytest.mark.parametrize("seed", range(12))
def test_rows_in_any_order_and_one_wrong_figure_give_just_that_figure(seed: int) -> None:
    rnd = random.Random(seed)
    one, _ = load("corvane-k14")
    lines = list(one.lines)
    chart = one.charts["cooling airflow"]
    first, last = chart.rows[0].line - 1, chart.rows[-1].line
    rows = lines[first:last]
    at = rnd.randrange(6)
    figure = chart.rows[at].typed[rnd.randrange(3)]
    rows[at] = rows[at].replace(f" {figure}", f" {int(figure) + 10}", 1)
    rnd.shuffle(rows)
    two = table("\n".join([*lines[:first], *rows, *lines[last:]]) + "\n")
    found = compare(one, two).differences
    assert [(d.a, d.b) for d in found] == [(figure, str(int(figure) + 10))]


NAMED = """format: selector table 1
unit: {title: Air handler}
board:
  J4: {kind: jumper, positions: none 5 8, factory: none, gives: heater power, declares: heater}
  J3: {kind: jumper, positions: 1 2, factory: 1}
  SW1: {kind: switches, count: 1, factory: all off}
ratings: {heater voltage: 240}
charts:
  cooling airflow: {gives: airflow, rows: 900}
  adjustment:
    set: SW1-1
    gives: trim
    rows: |
      OFF  none
      ON   -6 %
  constant fan:
    set: J3
    gives: share
    rows: |
      1  30 %
      2  55 %
  least with heater:
    set: J4
    across: {firing rate: 40 100}
    gives: least airflow
    rows: |
      none  do not use
      5     500 500
      8     640 640
calls:
  heating: {terminals: Y1, airflow: [cooling airflow, adjustment]}
  heating with heater: {terminals: Y1 W, airflow: [call heating, at least: least with heater]}
  fan: {terminals: G, airflow: [call heating, constant fan, at least: 400]}
"""


def test_a_chart_called_least_changes_no_other_words_of_a_formula() -> None:
    other = NAMED.replace("least with heater", "least").replace("constant fan", "with")
    found = compare(table(NAMED), table(other))
    assert found.differences == ()
    assert set(found.taken_as_same) == {"chart least with heater and least", "chart constant fan and with"}


def test_a_renamed_call_that_says_something_else_is_found_by_its_terminals() -> None:
    found = compare(
        table(NAMED), table(NAMED.replace("  fan: {", "  blower: {").replace("at least: 400", "at least: 450"))
    )
    assert "call fan and blower" in found.taken_as_same
    (only,) = found.differences
    assert only.where == "call fan"
    assert ((only.a or "")[-16:], (only.b or "")[-16:]) == ("at least 400 cfm", "at least 450 cfm")


def test_a_percentage_keeps_its_sign_and_its_percent_and_a_ruled_out_row_is_told_once() -> None:
    found = compare(table(NAMED), table(NAMED.replace("-6 %", "+6 %").replace("do not use", "not used")))
    assert [(d.where, d.a, d.b) for d in found.differences] == [
        ("adjustment, SW1-1 on", "-6 %", "+6 %"),
        ("least with heater, J4 none", "do not use", "not used"),
    ]


def test_a_chart_along_the_airflow_is_compared_too() -> None:
    power = "  power: {across: {airflow: 600 800}, gives: watts, rows: 120 200}\ncalls:"
    one, other = (table(FIRST.replace("calls:", text)) for text in (power, power.replace("200}", "210}")))
    [found] = compare(one, other).differences
    assert (found.where, found.a, found.b) == ("power, airflow 800", "200", "210")
