"""What a call is for is said, not guessed: a heating call without W keeps its plate limits once the file says so."""

from __future__ import annotations

from fractions import Fraction

import pytest

from selector.solve.board.facts import NOTHING_KNOWN
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import evaluate
from selector.table.from_file.build import build_table
from selector.table.model.roles import roles
from selector.table.source import source_from_text

PAGE = """\
format: selector table 1
unit: {title: Furnace}
units: {airflow: cfm, temperature: F}
ratings: {heat output: 54000, temperature rise: 30 to 60}
board:
  J1: {kind: jumper, positions: A B, factory: A}
charts:
  airflows:
    set: J1
    gives: airflow
    rows: |
      A  800
      B  900
calls:
  HEAT: {airflow: airflows}
  second: {terminals: G, airflow: airflows}
"""


def remarks(text: str) -> list[str]:
    report = build_table(source_from_text(text), "page")[1]
    return [f"{p.line}: {p.message}; {p.help}" for p in report.problems]


def test_a_plate_that_limits_no_call_is_told() -> None:
    (said,) = [r for r in remarks(PAGE) if "plate" in r]
    assert said.startswith("4: no call heats, so the plate's temperature rise")
    assert said.endswith("limits nothing; say which call heats: for: heating; or give it a W terminal")


def test_said_to_heat_it_has_its_limits() -> None:
    """54,000 / (1.08 x 800) = 62.5 F, over the plate's 60."""
    table = build_table(source_from_text(PAGE.replace("HEAT: {", "HEAT: {for: heating, ")), "page")[0]
    assert roles(table)["HEAT"] == "heat"
    (one,) = evaluate(Engine(table, NOTHING_KNOWN), (0,))["HEAT"].stages[0].judged
    assert (one.ok, one.value) == (False, Fraction(125, 2))


@pytest.mark.parametrize(
    ("call", "said"),
    [
        ("cooling: {terminals: W1,", "`cooling` is taken for heating: its terminals are W1; if it is cooling, say so"),
        ("fan: {terminals: Y1,", "`fan` is taken for cooling: its terminals are Y1; if it is fan, say so: for: fan"),
        ("cooling: {terminals: Y1, for: dehumidify,", ""),
    ],
)
def test_a_name_that_says_other_than_its_terminals(call: str, said: str) -> None:
    told = [r for r in remarks(PAGE.replace("second: {terminals: G,", call)) if "taken for" in r]
    assert bool(told) == bool(said)
    assert all(said in r for r in told)


def test_for_decides_what_the_compressor_does() -> None:
    text = PAGE.replace("second: {terminals: G,", "second: {terminals: X, for: heat pump,")
    table = build_table(source_from_text(text), "page")[0]
    assert table.calls["second"].compressor
    assert not table.calls["second"].heats
    assert roles(table)["second"] == "heat pump"


def test_cooling_with_a_terminal_of_another_name_is_asked_about() -> None:
    calls = "  cooling: {terminals: Y1, airflow: airflows}\n"
    calls += "  dry: {terminals: Y1 HX, airflow: [call cooling, share: 85 %]}\n"
    (said,) = [r for r in remarks(PAGE + calls) if "dry" in r]
    assert "`dry` is taken for cooling: its terminals are HX Y1; if it dries the air, say so: for: dehumidify" in said
    for told in (calls.replace("dry: {", "dry: {for: dehumidify, "), calls.replace("HX", "O")):
        assert not [r for r in remarks(PAGE + told) if "dry" in r]
