"""Draft: pages typed from blank to a table that passes check, every key counted; what is still to type; files never
overwritten."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from selector.problems import Refused
from selector.solve.board.facts import Facts
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import evaluate
from selector.table.from_file.build import build_table
from selector.table.library.library import shipped_folder
from selector.table.model.table import Table
from selector.table.source import source_from_text
from selector.transcribe.draft.draft import draft_of
from selector.transcribe.draft.file_text import draft_text
from selector.transcribe.draft.missing_rows import missing_rows
from tests.helpers.draft_asked import next_question

TABLES = Path(__file__).parents[3] / "tables"
SCHEMA = os.path.join(shipped_folder("schemas"), "table.json")

CORVANE = """Two-stage gas furnace
Corvane
060 080 110
K-14 23-24

power
60000 80000 110000
95
35 65

SW1 8 at off

heating airflow: 1 by model gives airflow, rise page 23
1080 49 1350 52 1810 53
930 57 1180 60 1600 60
cooling airflow: 2-4 by model page 23

1020 1380 1960
540 720 1060
660 860 1220
780 990 1380
890 1130 1540
1150 1520 2080
x
x
trims: 5 6

none
+6
-6
-12
fan share: 7
45
60

cooling Y1, Y1 Y2
cool, trims, 66% first, off 60 s
heating W1, W1 W2
heat, trims, 70% first
70
fan G
call cooling second, fan share, at least 400

"""

WICKERBY = """Air handler with a five-tap motor
Wickerby

5
L


the taps take 24 V
M1 1-5 leads Y1 Y2 W G (a lead that is not used is parked)

tap airflow: M1 by static 25 75 125 175 225 (dry coil, filter in)
305 270 230 185 135
375 345 310 270 225
450 425 395 360 315
530 510 480 445 405
615 595 565 530 470


torque
cooling low Y1, high Y1 Y2
tap

heat W
tap

fan G
tap


"""


def typed(keys: str) -> str:
    """The file that comes of typing these keys at the questions, Enter at the end of each line; every question must
    take its answer."""
    answers: dict[str, str] = {}
    lines = keys.split("\n")
    while (question := next_question(answers)) is not None:
        answer = lines.pop(0) if lines else ""
        assert not question.complaint(answer), (question.name, answer, question.complaint(answer))
        answers[question.name] = question.meant(answer)
    assert not any(lines), lines
    return draft_text(draft_of(answers), SCHEMA)


def table_of(text: str) -> Table:
    return build_table(source_from_text(text), "typed")[0]


def test_every_figure_that_isnt_typed_is_asked_for_by_check() -> None:
    keys = CORVANE.replace("540 720 1060\n", "\n").replace("+6\n", "\n")
    text = typed(keys)
    with pytest.raises(Refused) as refused:
        build_table(source_from_text(text), "t")
    found = [(p.code, p.source.split()[:3], p.message) for p in refused.value.problems]
    assert found == [
        ("still-to-type", ["ON", "OFF", "OFF"], "3 figures of this row are still to type"),
        ("still-to-type", ["ON", "OFF", "_"], "a figure of this row is still to type"),
    ]


def test_a_draft_from_options_alone_lays_out_every_row_in_the_manuals_order() -> None:
    answers = {
        "board 1": "SW1 switches 3",
        "chart 1": "cooling airflow: SW1-1 SW1-2 SW1-3 by model S70 S100",
        "call 1": "cooling Y",
        "call 1 airflow": "cool",
    }
    text = draft_text(draft_of(answers))
    rows = [line.split() for line in text.split("rows: |\n")[1].splitlines()[:8]]
    # binary counting with the first switch fastest, as manuals of banks print it
    assert [r[:3] for r in rows] == [["ON" if (i >> k) & 1 else "OFF" for k in range(3)] for i in range(8)]
    assert all(r[3:] == ["_", "_"] for r in rows)
    last = draft_text(draft_of({**answers, "chart 1 order": "last"}))
    rows = [line.split() for line in last.split("rows: |\n")[1].splitlines()[:8]]
    assert [r[:3] for r in rows] == [["ON" if (i >> (2 - k)) & 1 else "OFF" for k in range(3)] for i in range(8)]


def test_the_schema_is_named_by_a_path_that_is_there_without_a_network() -> None:
    first = typed(WICKERBY).splitlines()[0]
    path = first.removeprefix("# yaml-language-server: $schema=")
    assert first.startswith("# yaml-language-server: $schema=")
    assert os.path.isfile(path)


@pytest.mark.parametrize(
    ("name", "answer", "complaint"),
    [
        ("board 1", "", "This needs an answer"),
        ("board 1", "SW1", "how many switches has SW1? type SW1 switches 8"),
        ("board 1", "SW1 17", "how many switches has SW1? type SW1 switches 8"),
        ("board 1", "J1", "type the printed positions of J1 after it: J1 A B C, or J1 1-5"),
        ("board 1", "J1 A B at C", "`C` is no position of J1; its positions are A B"),
        ("board 1", "X1 3", "say what X1 is: dial, jumper, link, menu, plug, switches, taps"),
        ("board 1", "M1 1-5", "which leads go on the taps of M1? type M1 1-5 leads Y1 Y2 W G"),
        ("temperature rise", "SW1 switches 8 at off", "`SW1` can't stand here; type the figures alone"),
        ("temperature rise", "1 to 8", "`1` can't be right here"),
        ("temperature rise", "35 to 65 F", ""),
        ("temperature rise", "Enter", "`Enter` can't stand here; type the figures alone"),
        ("board 1", "D1 1-999", "1-999 are more than 200 positions"),
        ("board 1", "J1 A\x1b B", "a character that can't be seen stands in this; type it again"),
    ],
)
def test_an_answer_that_cant_be_read_says_what_to_type(name: str, answer: str, complaint: str) -> None:
    answers: dict[str, str] = {}
    while (question := next_question(answers)) is not None and question.name != name:
        answers[question.name] = "60000" if question.name == "heat input" else ""
    assert question is not None
    assert question.complaint(answer) == complaint


@pytest.mark.parametrize(
    ("line", "complaint"),
    [
        (
            "cooling airflow SW1-1",
            "type a name, a colon and the selectors that set it: cooling airflow: SW1-2 SW1-3 SW1-4 across model",
        ),
        ("airflow: 1", "`airflow` has a meaning of its own; call it `airflow chart`, or `cooling airflow`"),
        ("cooling: 9", "`SW1-9` is not on the board; there are SW1"),
        ("cooling: 1 1", "a selector is listed twice. Delete one."),
        ("cooling: 1 by model", "which models? type them after it: across model 060 080 110"),
        ("cooling: 1 gives wind", "`wind` is nothing a chart gives; type one of airflow, tons"),
        ("cooling:", "which selectors set it? type them after the colon, or `across` the columns"),
    ],
)
def test_a_chart_that_cant_be_read_says_what_to_type(line: str, complaint: str) -> None:
    answers = {"board 1": "SW1 8", "board 2": ""}
    while (question := next_question(answers)) is not None and question.name != "chart 1":
        answers[question.name] = ""
    assert question is not None
    assert question.complaint(line).startswith(complaint)


def test_a_row_with_too_few_figures_names_the_columns() -> None:
    answers = {"models": "060 080", "board 1": "SW1 2", "board 2": "", "chart 1": "cooling airflow: 1 2 by model"}
    while (question := next_question(answers)) is not None and question.name != "chart 1 row 1":
        answers.setdefault(question.name, question.meant(""))
    assert question is not None
    assert question.complaint("1020") == "1 figures for 2: 060 · 080"
    assert question.complaint("1,020 980") == ""
    assert question.complaint("1020 9l0") == "`9l0` is no figure; ? where it can't be read"
    assert question.complaint("1020 -") == ""


ROW = ("cooling airflow: 1", "heating chart: 1 gives airflow, rise", "adjustment: 1 gives trim")
"""A chart of airflows, one of airflows and rises, one of trims."""
TO_AIRFLOW = "is no airflow, which this chart gives; for percents add"


@pytest.mark.parametrize(
    ("chart", "row", "complaint"),
    [
        (ROW[0], "10%", f"`10 %` {TO_AIRFLOW} `gives trim` or `gives share` to the chart's line (< goes back)"),
        (ROW[0], "+10 %", f"`+10 %` {TO_AIRFLOW} `gives trim` to the chart's line (< goes back)"),
        (
            ROW[0],
            "60 s",
            "`60 s` is no airflow, which this chart gives; add `gives seconds` to the chart's line (< goes back)",
        ),
        (ROW[0], "800cfm", "type the figures alone, without `cfm`"),
        (ROW[0], "1,200*", "leave the star off, type 1200; what it means goes in parentheses behind the row"),
        (
            ROW[1],
            "800 37%",
            "`37 %` is no temperature rise, which this chart gives; for percents add `gives trim` or `gives share`",
        ),
        (ROW[1], "800 37F", "type the figures alone, without `F`"),
        (ROW[1], "800 37", ""),
        (ROW[2], "+10 cfm", "`+10 cfm` is no trim, which this chart gives; add `gives airflow`"),
        (ROW[2], "-10 %", ""),
        (ROW[0], "Reserved - do not use", ""),
        ("run-on: 1 across stage low mid high", "30 s 60 s 90 s", ""),
        ("run-on: 1", "2 min", "type seconds: 120 for 2 min"),
        ("fan share: 1", "106 %", ""),
        ("dehumidify: 1 gives reduction", "106 %", "`106` is more than the whole; reduction is in percent"),
    ],
)
def test_a_figure_of_another_unit_says_what_to_do(chart: str, row: str, complaint: str) -> None:
    answers = {"board 1": "SW1 1", "board 2": "", "chart 1": chart}
    while (question := next_question(answers)) is not None and question.name != "chart 1 row 1":
        answers.setdefault(question.name, question.meant(""))
    assert question is not None
    said = question.complaint(row)
    assert said.startswith(complaint)
    assert bool(said) == bool(complaint)


def test_reserved_do_not_use_is_do_not_use() -> None:
    answers = {
        "board 1": "SW1 1",
        "board 2": "",
        "chart 1": ROW[0],
        "chart 1 row 1": "Reserved - do not use",
        "chart 1 row 2": "700",
    }
    assert "      OFF  do not use\n" in draft_text(draft_of(answers))


def test_a_trim_without_a_sign_is_asked_again() -> None:
    answers = {"board 1": "SW1 2", "board 2": "", "chart 1": "adjustment: 1", "models": ""}
    while (question := next_question(answers)) is not None and question.name != "chart 1 row 1":
        answers.setdefault(question.name, question.meant(""))
    assert question is not None
    assert question.complaint("6") == "a trim needs its sign: +6 or -6"


BEGUN = """format: selector table 1
unit: {title: Furnace, models: 060 080}
board:
  SW1: {kind: switches, count: 3}
charts:
  cooling airflow:
    set: SW1-1 SW1-2 SW1-3
    across: {model: 060 080}
    gives: airflow
    rows: |
      ROWS
calls:
  cooling: {airflow: cooling airflow}
"""


@pytest.mark.parametrize(
    ("rows", "missing"),
    [
        (
            ["000  1000 1300", "100  540 _", "010  660 860"],
            ["110  _ _", "001  _ _", "101  _ _", "011  _ _", "111  _ _"],
        ),
        (
            ["OFF OFF OFF  1000 1300", "OFF OFF ON   540 700", "OFF ON  OFF  660 860", "ON - -  do not use"],
            ["OFF ON ON  _ _"],
        ),
    ],
)
def test_the_missing_rows_of_a_chart_already_begun(rows: list[str], missing: list[str]) -> None:
    source = source_from_text(BEGUN.replace("ROWS", "\n      ".join(rows)))
    assert list(missing_rows(source, "cooling airflow")) == ["      " + line for line in missing]


def test_the_missing_rows_of_an_unknown_chart_are_refused_with_the_nearest_name() -> None:
    source = source_from_text(BEGUN.replace("ROWS", "000 1 2"))
    with pytest.raises(Refused) as refused:
        missing_rows(source, "cooling airflw")
    assert refused.value.problems[0].help == "did you mean cooling airflow?"


UNFINISHED = """format: selector table 1
unit:
  title: _
units: {airflow: L/s, pressure: Pa}
ratings:
  heater voltage: _
board:
  M1: {kind: taps, positions: 1 2 3, leads: Y1 G}
charts:
  tap airflow:
    set: M1
    across: {static pressure: 25 75}
    gives: airflow
    rows: |
      1  305 _
"""


@pytest.mark.parametrize(
    "calls",
    ["", "calls: _\n", "calls:\n  cooling:\n    terminals: Y1\n    airflow: _\n", "calls:\n  cooling:\n    term"],
)
def test_the_missing_rows_of_a_file_broken_off_anywhere_behind_the_chart(calls: str) -> None:
    assert missing_rows(source_from_text(UNFINISHED + calls), "tap airflow") == ("      2  _ _", "      3  _ _")


def test_figures_as_printed_charts_of_one_stage_and_calls_without_terminals_make_a_table() -> None:
    """Thousands with their comma, times with their unit, more than the whole; each stage with a chart of its own."""
    answers = {
        "title": "Furnace",
        "models": "060 080",
        "board 1": "SW1 switches 3",
        "chart 1": "cooling airflow: SW1-1 across model",
        "chart 1 row 1": "1,330 1,780",
        "chart 1 row 2": "1,020 1,380",
        "chart 2": "low heat: SW1-2",
        "chart 2 row 1": "930",
        "chart 2 row 2": "1000",
        "chart 3": "high heat: SW1-2",
        "chart 3 row 1": "1,330",
        "chart 3 row 2": "1200",
        "chart 4": "run-on: SW1-3 across stage low high",
        "chart 4 row 1": "30 s 60 s",
        "chart 4 row 2": "90 s 120 s",
        "call 1": "cooling",
        "call 1 airflow": "cooling airflow, 106 %",
        "call 2": "heat low, high",
        "call 2 airflow": "low heat in low, high heat in high",
        "call 2 times": "off run-on",
    }
    while (question := next_question(answers)) is not None:
        answers[question.name] = question.meant("")
    text = draft_text(draft_of(answers))
    assert "      OFF  1330 1780\n" in text
    assert "      OFF  30  60\n" in text
    table, _ = build_table(source_from_text(text), "draft")
    board = tuple(0 for _ in table.parts)
    heat = evaluate(Engine(table, Facts(model="060")), board)["heat"]
    assert [stage.airflow for stage in heat.stages] == [930, 1330]
