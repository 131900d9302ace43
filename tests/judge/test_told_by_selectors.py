"""What a selector tells in a condition, of tons and of equipment counts wherever a fact would; each case by hand."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from selector.answers.board import warnings
from selector.functions import decode, find
from selector.solve.engine.engine import Engine
from selector.solve.search.typed_facts import read_facts
from selector.table.from_file.build import build_table
from selector.table.model.table import No, Table
from selector.table.source import source_from_text
from tests.helpers.commands_here import said_here

FOOTNOTE = """format: selector table 1
unit: {title: A footnote that holds with one jumper}
board:
  D1: {kind: dial, positions: 1 2, factory: 1}
  J1: {kind: jumper, positions: A B, factory: A}
charts:
  coil:
    set: D1
    gives: airflow
    notes: |
      (a)  only J1 A (Not at B)
    rows: |
      1 400
      2 500 (a)
  add: {set: J1, gives: trim, rows: A none; B +5 %}
calls:
  cooling: {terminals: Y1, airflow: [coil, add]}
"""
ROW = FOOTNOTE.replace("2 500 (a)", "2 (a) 500")
CHART = FOOTNOTE.replace("    notes: |\n      (a)  only J1 A (Not at B)\n", "    only: J1 A\n").replace(" (a)", "")
UNIT = CHART.replace("    only: J1 A\n", "").replace("with one jumper}", "with one jumper, only: J1 A}")
TONS = """format: selector table 1
unit: {title: Airflow per ton}
facts:
  wall control: {values: ordinary vane}
board:
  D1: {kind: dial, positions: 1 2 3, factory: 1}
  N1: {kind: menu, positions: 2 3 4, factory: 2, gives: tons}
charts:
  size: {set: D1, gives: tons, rows: 1 2; 2 3; 3 4}
  per: {gives: airflow per ton, rows: 300}
calls:
  cooling: {terminals: Y1, airflow: [STEPS, per]}
  dry: {terminals: Y1 DH, airflow: [call cooling, share: 50 %, at least: 290 cfm/ton]}
"""
BY_CONTROL = TONS.replace("STEPS", "{use: size, when: {wall control: ordinary}}, {use: N1, when: {wall control: vane}}")
BY_CHART = TONS.replace("STEPS", "size").replace("  N1: {kind: menu, positions: 2 3 4, factory: 2, gives: tons}\n", "")
DECLARED = """format: selector table 1
unit: {title: A dial that declares the outdoor unit}
board:
  D1: {kind: dial, positions: 1 2 3, factory: 1, declares: outdoor tons, says: {1: 2, 2: 3, 3: 4}}
charts:
  fixed: {gives: airflow, rows: 500}
calls:
  cooling: {terminals: Y1, airflow: [fixed, at least: 290 cfm/ton]}
"""
HEATER = """format: selector table 1
unit: {title: A plug that declares the heater}
board:
  P3: {kind: plug, positions: none green red, declares: heater, says: {green: 10, red: 20}}
charts:
  air: {set: P3, gives: airflow, rows: none -; green 900; red 1000}
  kit: {set: P3, gives: heater power, rows: none none; green 10; red 20}
calls:
  alone: {terminals: W, airflow: air, heat: kit}
"""


SIZES = """format: selector table 1
unit: {title: A dial of tons}
board:
  D1: {kind: dial, positions: 1 2 3, factory: 1}
charts:
  size: {set: D1, gives: tons, rows: 1 2; 2 2.5; 3 3}
  per: {gives: airflow per ton, rows: 400}
calls:
  cooling: {terminals: Y1, airflow: [size, per]}
"""


def table_of(text: str) -> Table:
    return build_table(source_from_text(text), "a")[0]


def outcome(table: Table, board: str, call: str, **facts: str) -> Fraction | No:
    told = {name.replace("_", " "): value for name, value in facts.items()}
    return decode(table, board, told).judgement.stages[call, ""].outcome


@pytest.mark.parametrize("text", [FOOTNOTE, ROW, CHART, UNIT])
def test_a_figure_that_holds_with_a_position_is_refused_on_another(text: str) -> None:
    """500 with J1 at A; 500 x 1.05 = 525 is printed for no board with J1 at B."""
    table = table_of(text)
    assert outcome(table, "D1=2 J1=A", "cooling") == 500
    refused = outcome(table, "D1=2 J1=B", "cooling")
    assert isinstance(refused, No)
    assert refused.kind == "outside_chart"
    assert "only with J1 A" in refused.why
    unread = outcome(table, "D1=2 J1=?", "cooling")
    assert isinstance(unread, No)
    assert unread.kind == "unreadable"


def test_find_proposes_no_figure_that_does_not_hold() -> None:
    """525 is only 500 with J1 at B, where the row doesn't hold; the nearest that does is 500."""
    for text in (FOOTNOTE, ROW, CHART):
        table = table_of(text)
        first = find(table, {"cooling": "525"}, near=0).found[0]
        assert [table.parts[i].word(at) for i, at in enumerate(first.setting)] == ["2", "A"]


@pytest.mark.parametrize(
    ("text", "board", "call", "facts", "airflow"),
    [
        # 4 tons by the chart, whatever the menu stands at: 290 x 4
        (BY_CONTROL, "D1=3 N1=2", "dry", {"wall_control": "ordinary"}, 1160),
        (BY_CONTROL, "D1=3 N1=4", "dry", {"wall_control": "ordinary"}, 1160),
        # 3 tons by the menu: 290 x 3
        (BY_CONTROL, "D1=1 N1=3", "dry", {"wall_control": "vane"}, 870),
        # told tons outrank both: 290 x 3, above half of 300 x 4
        (BY_CONTROL, "D1=3 N1=2", "dry", {"wall_control": "ordinary", "outdoor_tons": "3"}, 870),
        # a chart alone: 290 x 2
        (BY_CHART, "D1=1", "dry", {}, 580),
        # a dial that declares the tons: 290 x 4; 290 x 2 is above 500 as well
        (DECLARED, "D1=3", "cooling", {}, 1160),
        (DECLARED, "D1=1", "cooling", {}, 580),
        # the heater that was told is the one the plug stands for
        (HEATER, "P3=green", "alone", {"heater": "10"}, 900),
        (HEATER, "P3=green", "alone", {}, 900),
    ],
)
def test_airflow(text: str, board: str, call: str, facts: dict[str, str], airflow: int) -> None:
    """The tons in force, and the equipment told."""
    assert outcome(table_of(text), board, call, **facts) == airflow


@pytest.mark.parametrize(
    ("board", "tons", "said"),
    [
        ("D1=2", "3", ["D1 is set for 2.5 tons; 3 tons installed"]),
        ("D1=3", "3", []),
        # 34,800 / 12,000 = 2.9 tons is a 3 ton unit; 2.75 is as far from one size as from the next
        ("D1=3", "2.9", []),
        ("D1=3", "2.75", ["D1 is set for 3 tons; 2.75 tons installed"]),
        ("D1=?", "3", []),
        ("D1=2", None, []),
    ],
)
def test_tons_that_are_told_are_held_against_those_of_the_board(board: str, tons: str | None, said: list[str]) -> None:
    table = table_of(SIZES)
    facts = {} if tons is None else {"outdoor tons": tons}
    engine = Engine(table, read_facts(facts.items(), table))
    assert warnings(engine, decode(table, board, facts).judgement) == said


def test_every_command_says_that_the_board_is_set_for_other_tons(tmp_path: Path) -> None:
    """2.5 tons x 400 = 1,000 cfm: 333 for each of 3 tons, inside 300 to 450; nothing need be moved for it."""
    file = str(tmp_path / "sizes.yaml")
    Path(file).write_text(SIZES, encoding="utf-8")
    reading = "measured=cooling hood=1000 cfm minutes=20"
    asked = (
        ("decode", file, "D1=2", "--tons", "3"),
        ("find", file, "cooling=1000", "--found", "D1=2", "--tons", "3"),
        ("plan", file, "tons=3", "found=D1=2"),
        ("found", file, "tons=3", "found=D1=2"),
        ("verify", file, "tons=3", "found=D1=2", reading),
        ("identify", "--tables", file, "tons=3", "found=D1=2", reading),
    )
    for words in asked:
        answer = said_here(*words)
        assert answer is not None, words
        assert "D1 is set for 2.5 tons; 3 tons installed." in answer.text, words
    found = said_here("found", file, "tons=3", "found=D1=2")
    assert found is not None
    assert "Change nothing" in found.text
