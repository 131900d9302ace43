"""A table in the units asked for: the same settings, every airflow converted exactly; factors from NIST SP 811: a foot
is 0.3048 m, so 1 cfm is 0.3048^3 x 1000 / 60 L/s; a conventional inch of water 249.08891 Pa (rounded there)."""

from __future__ import annotations

from fractions import Fraction

import pytest

from selector.cli.main import run
from selector.solve.board.facts import NOTHING_KNOWN, Facts
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import evaluate
from selector.solve.search.find import Request, find
from selector.solve.search.targets import Target
from selector.table.library.library import listed, load
from selector.table.model.edition import edition
from selector.table.model.in_units import METRIC, US, in_units, units_named
from selector.table.model.table import No, Setting, Table, Units

CFM_LPS = Fraction("0.3048") ** 3 * 1000 / 60
M3H_LPS = Fraction(10, 36)
LPS = {"cfm": CFM_LPS, "L/s": Fraction(1), "m3/h": M3H_LPS}
NAMES = sorted(listed())


def boards(table: Table) -> list[Setting]:
    """The factory setting, and every part at its first and at its last position."""
    first, last = tuple(0 for _ in table.parts), tuple(len(p.positions) - 1 for p in table.parts)
    return [table.delivered(None), first, last]


@pytest.mark.parametrize("name", NAMES)
def test_every_airflow_and_rise_is_the_same_in_other_units(name: str) -> None:
    table = load(name)[0]
    other = in_units(table, METRIC if table.units.airflow == "cfm" else US)
    assert other.units.airflow != table.units.airflow
    factor = LPS[table.units.airflow] / LPS[other.units.airflow]
    degrees = {("F", "C"): Fraction(5, 9), ("C", "F"): Fraction(9, 5)}.get(
        (table.units.temperature, other.units.temperature), Fraction(1)
    )
    seen = 0
    for model in table.unit.models or (None,):
        for setting in boards(table):
            mine = evaluate(Engine(table, Facts(model=model, values={})), setting)
            theirs = evaluate(Engine(other, Facts(model=model, values={})), setting)
            for call, answer in mine.items():
                for one, two in zip(answer.stages, theirs[call].stages, strict=True):
                    if isinstance(one.airflow, No):
                        assert isinstance(two.airflow, No)
                        assert two.airflow.kind == one.airflow.kind
                        continue
                    assert two.airflow == one.airflow * factor
                    assert [j.ok for j in one.judged] == [j.ok for j in two.judged]
                    if one.rise is not None:
                        # 1.08 Btu/(h cfm F) is an exact factor of its own in every unit
                        assert two.rise == one.rise * degrees
                    seen += 1
    assert seen or name in ("wickerby-5", "pellmere-si", "thornquay-d", "garrowby-r", "lindmarrow-j", "eskerby-e")


def test_find_gives_the_same_settings() -> None:
    table = load("corvane-k14")[0]
    other = in_units(table, METRIC)
    for cfm in (700, 1000, 1200, 1350):
        asked = [
            find(
                Engine(one, Facts(model="080", values={})),
                Request(targets=(Target(call="cooling", stage="second", quantity="airflow", low=x, high=x),)),
            )
            for one, x in ((table, Fraction(cfm)), (other, cfm * CFM_LPS))
        ]
        assert [f.setting for f in asked[0].found] == [f.setting for f in asked[1].found]
        assert [f.deviation for f in asked[0].found] == [f.deviation for f in asked[1].found]


def test_pressures_temperatures_and_their_words() -> None:
    table = load("wickerby-5")[0]
    other = in_units(table, US)
    (chart,) = other.charts.values()
    (head,) = chart.heads
    inch = float(head.numbers[0] / next(iter(table.charts.values())).heads[0].numbers[0])
    assert 1 / inch == pytest.approx(249.08891, rel=1e-6)
    assert all(len(w.partition(".")[2]) <= 3 for w in head.values)
    furnace = in_units(load("corvane-k14")[0], METRIC)
    low, high = furnace.ratings["temperature rise"].values["", ""]  # type: ignore[misc]
    assert (low, high) == (Fraction(175, 9), Fraction(325, 9))  # 35 F and 65 F as differences


def test_back_again_and_the_card_code_stay_the_same() -> None:
    table = load("corvane-k14")[0]
    there = in_units(table, METRIC)
    back = in_units(there, US)
    assert back.charts["cooling airflow"].rows[0].cells == table.charts["cooling airflow"].rows[0].cells
    assert edition(there) == edition(table)
    assert in_units(table, US) is table


def test_units_by_name() -> None:
    assert units_named("L/s, Pa", Units()) == Units(airflow="L/s", pressure="Pa", converted=True)
    assert units_named("METRIC", Units()).temperature == "C"
    for text, said in (("furlongs", "`furlongs` is no unit known here"), ("gph", "can be given in"), ("", "no unit")):
        with pytest.raises(ValueError, match=said.replace("/", ".")):
            units_named(text, Units())


def test_commands_answer_in_them(capsys: pytest.CaptureFixture[str]) -> None:
    board = ["decode", "corvane-k14", "SW1=10011000", "--model", "080"]
    assert run([*board, "--units", "metric"]) == 0
    said = capsys.readouterr().out
    # 1,197.8 cfm x 0.4719474432 = 565.3 L/s
    assert "cooling second  565 L/s" in said
    assert "cfm" not in said
    assert " F" not in said
    assert run(board) == 0
    assert "1,198 cfm" in capsys.readouterr().out
    assert run([*board, "--units", "cubits"]) == 2
    assert "Type metric, us, or some of cfm, L/s, m3/h" in capsys.readouterr().err


def test_nothing_known_is_nothing_known() -> None:
    table = load("corvane-k14")[0]
    found = evaluate(Engine(in_units(table, METRIC), NOTHING_KNOWN), table.delivered(None))
    assert isinstance(found["cooling"].stages[0].airflow, No)
