"""A selector that tells the board what equipment is there, where something else is: the airflow follows the board,
limits and heat the equipment.

Worked by hand on the pages of the tables. Quillhaven: cooling is tons x cfm per ton x trim, low stage 72 % of it, motor
M gives 1,600 cfm at most;
heat pump tons x cfm per ton, low 75 %; low stage runs 70 % of the tons.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from selector.answers.verify.answer import verify
from selector.job.file.report import Report
from selector.judge.decode import decode
from selector.solve.board.facts import Facts
from selector.solve.board.marks import read_marks, setting_of
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import CallAnswer, evaluate
from selector.solve.search.find import Request, find
from selector.solve.search.targets import Target
from selector.table.from_file.build import build_table
from selector.table.library.library import load
from selector.table.model.table import No, Setting, Table
from selector.table.source import source_from_text
from tests.helpers.judging import answered, as_found_report, found_moves, found_stage, line_with

BOARD = "P1=%s P2=10 P3=M LK1=%s LK2=4-5 N1=400 N2=375 N3=500 N4=off"
THREE_TONS = (
    "table: quillhaven-p\noutdoor unit: {capacity: 3 tons, stages: {low: 70 %%}}\nas found: {P1: %s, P2: 10, P3: M,"
    " LK1: %s, LK2: 4-5, N1: 400, N2: 375, N3: 500, N4: off}\n"
)


def setting(table: Table, marks: str) -> Setting:
    return setting_of(read_marks([marks], table), table)


def answers(name: str, facts: Facts, marks: str) -> dict[str, CallAnswer]:
    table, _ = load(name)
    return evaluate(Engine(table, facts), setting(table, marks))


def found(tons: str, link: str = "open") -> Report:
    return answered(as_found_report, THREE_TONS % (tons, link))


# -- the airflow of a board


def test_a_plug_for_four_tons_moves_the_air_of_four_though_three_are_there() -> None:
    # 4 x 400 x 1.06 = 1,696, 1,600 by the motor; low 4 x 400 x .72 = 1,152; heat pump 4 x 375 = 1,500, low 1,125;
    # for each ton that is there 1,600 / 3 = 533.3, low 1,152 / 2.1 = 548.6
    got = answers("quillhaven-p", Facts(values={"outdoor tons": "3"}), BOARD % ("4", "open"))
    assert got["cooling"].stage("high").airflow == 1600
    assert got["cooling"].stage("low").airflow == 1152
    assert got["heat pump"].stage("high").airflow == 1500
    assert got["heat pump"].stage("low").airflow == 1125
    assert got["cooling"].stage("high").per_ton == Fraction(1600, 3)
    assert got["cooling"].stage("low").per_ton == Fraction(11520, 21)
    (window,) = [j for j in got["heat pump"].stage("high").judged if j.limit.quantity == "airflow per ton"]
    assert (window.value, window.ok) == (Fraction(500), False)


def test_an_unreadable_plug_may_stand_anywhere_whatever_is_there() -> None:
    # 2, 2.5, 3, 3.5, 4, 5 tons x 375, 1,600 at most: 750, 937.5, 1,125, 1,312.5, 1,500, 1,600 (1,875)
    table, _ = load("quillhaven-p")
    at = setting(table, BOARD % ("?", "open"))
    got = decode(Engine(table, Facts(values={"outdoor tons": "3"})), at, {i for i, one in enumerate(at) if one is None})
    assert got.values["heat pump", "high"].airflows == tuple(
        Fraction(x) for x in ("750", "937.5", "1125", "1312.5", "1500", "1600")
    )


def test_an_oil_furnace_told_of_another_nozzle_blows_for_that_one_and_burns_its_own() -> None:
    # Eskerby oil: J1 on 0.85, J2 on 4: 119,682 / (1.08 x 60) = 1,846.9 cfm; the nozzle of 0.75 delivers 119,682 x 0.75
    # / 0.85 = 105,602 Btu/h:
    # 60 x 0.75 / 0.85 = 52.9 F
    got = answers("eskerby-oil", Facts(values={"nozzle fitted": "0.75"}), "SW1=000000 J1=0.85 J2=4")["heating"].stages[
        -1
    ]
    assert isinstance(got.airflow, Fraction)
    assert round(float(got.airflow), 1) == 1846.9
    assert isinstance(got.heat, Fraction)
    assert round(float(got.heat)) == 105602
    assert got.rise == Fraction(60) * Fraction("0.75") / Fraction("0.85")


def test_another_heater_than_the_board_is_told_of_gives_its_own_heat() -> None:
    # Saltmarsh, question 9: J4 on 5 gives 620 cfm; 15 kW is there: 51,182 / (1.08 x 620) = 76.4 F
    got = answers("saltmarsh-12", Facts(values={"heater": "15"}), "J1=2 J2=b J3=1 J4=5 J5=1 LK1=whole")[
        "heater alone"
    ].stages[-1]
    assert got.airflow == 620
    assert got.rise is not None
    assert round(float(got.rise), 1) == 76.4
    # Quillhaven: P2 on 10 gives 1,010 cfm; heater 15 is there, 14.4 kW on the page: 14.4 x 3,412.14 / (1.08 x 1,010) =
    # 45.0 F
    got = answers("quillhaven-p", Facts(values={"heater": "15"}), BOARD % ("4", "open"))["heater alone"].stages[-1]
    assert got.airflow == 1010
    assert got.rise is not None
    assert round(float(got.rise), 1) == 45.0


LEAST = """format: selector table 1
unit: {title: Heater with a least airflow}
units: {airflow: cfm, heat: kW}
facts:
  size: {gives: tons, values: 2 3 4}
board:
  J1: {kind: jumper, positions: 5 10, factory: 5, gives: heater power, declares: heater}
  J2: {kind: jumper, positions: 2 3 4, factory: 2, declares: size}
charts:
  least by heater:
    set: J1
    gives: least airflow
    rows: 5 500; 10 800
calls:
  heating:
    terminals: W
    airflow: [airflow: 700]
    heat: J1
  cooling:
    terminals: Y
    airflow: [size, airflow per ton: 400]
"""


def own() -> Table:
    table, _ = build_table(source_from_text(LEAST), "own")
    return table


@pytest.mark.parametrize(("fitted", "ok"), [("10", False), ("5", True), (None, True)])
def test_a_limit_by_heater_is_that_of_the_heater_that_is_there(fitted: str | None, ok: bool) -> None:
    # 700 cfm: 500 is needed for 5 kW, 800 for 10 kW; J1 stands on 5; with nothing known the board's word counts
    table = own()
    got = evaluate(
        Engine(table, Facts(values={} if fitted is None else {"heater": fitted})), setting(table, "J1=5 J2=2")
    )["heating"].stages[-1]
    assert [j.ok for j in got.judged] == [ok]


def test_a_fact_in_a_step_is_what_the_selector_tells_that_declares_it() -> None:
    # J2 on 4: 4 x 400 = 1,600 though the unit has 3 tons
    table = own()
    for facts in (Facts(), Facts(values={"size": "3"})):
        got = evaluate(Engine(table, facts), setting(table, "J1=5 J2=4"))["cooling"].stages[-1]
        assert got.airflow == 1600


def test_finding_sets_the_selector_from_the_fact() -> None:
    # found on 4, 3 tons there: J2 goes to 3, 1,200 cfm
    table = own()
    target = Target(call="cooling", stage="", quantity="airflow", low=Fraction(1500), high=Fraction(1500))
    (got,) = find(
        Engine(table, Facts(values={"size": "3"})),
        Request(targets=(target,), found=setting(table, "J1=5 J2=4"), first=1),
    ).found
    assert got.airflows == {("cooling", ""): 1200}
    assert got.changed == (1,)


def test_a_fact_without_a_position_leaves_the_board_as_it_stands() -> None:
    # 3.2 tons have no plug: the board stays on 4 and moves 1,500 cfm in heat pump high
    table, _ = load("quillhaven-p")
    engine = Engine(table, Facts(values={"outdoor tons": Fraction("3.2")}))
    target = Target(call="fan", stage="", quantity="airflow", low=Fraction(500), high=Fraction(500))
    result = find(engine, Request(targets=(target,), found=setting(table, BOARD % ("3.5", "open")), first=1))
    airflow = result.found[0].answers["heat pump"].stage("high").airflow
    # 3.5 x 375 = 1,312.5, but low 984.4 / 2.24 = 439.5 for each ton stays within 320 to 450 as does 410.2
    assert not isinstance(airflow, No)
    assert airflow == Fraction("1312.5")


# -- the board as found


def test_found_says_what_the_board_moves_and_puts_the_plug_right() -> None:
    # 1,600 against 3 x 450 = 1,350: 250 over
    report = found("4")
    assert report.exit_code == 1
    assert report.lines[0] == "P1 is set for 4 tons; 3 tons installed."
    high = found_stage(report, "cooling", "high")
    assert (high["airflow"], high["stands"], high["allowed"]["high"]) == (1600, "outside", 1350)
    assert line_with(report, "cooling high ").startswith("cooling high 900 to 1,350 cfm 1,600 cfm, 250 over")
    assert found_moves(report) == ["P1 4 -> 3"]


def test_the_verdict_hangs_on_a_plug_that_cant_be_read() -> None:
    # 2 x 400 x 1.06 = 848 is under 900; 2.5 gives 1,060 inside, but the board is then told of another unit; 3 is right;
    # from 3.5 on 1,484 is too much
    report = found("unread")
    assert report.data["right"] is None
    assert found_stage(report, "cooling", "high")["airflow"] is None
    unread: Any = report.data["unread"]
    (look,) = unread["read_first"]
    assert look["settles"] is True
    assert look["positions"] == {"2": False, "2.5": False, "3": True, "3.5": False, "4": False, "5": False}
    assert "Read P1: it settles it." in report.lines
    assert "  P1 3: inside" in report.lines


def test_a_plug_that_tells_of_another_unit_is_wrong_whatever_else_cant_be_read() -> None:
    report = found("4", "unread")
    unread: Any = report.data["unread"]
    assert (report.data["right"], unread["right"]) == (False, False)
    assert not any("Can't tell" in line for line in report.lines)
    assert found_moves(report) == ["P1 4 -> 3", "LK1 ? -> open"]
    assert any("LK1 unreadable: set it open" in line for line in report.lines)


def test_a_heater_the_board_isnt_told_of_is_wrong_though_every_airflow_is_inside() -> None:
    # Saltmarsh with nothing asked but J4 unreadable and 15 kW there: only on 15 is the board told the truth
    report = answered(
        as_found_report,
        "table: saltmarsh-12\nfacts: {heater: 15}\nas found: {J1: 3, J2: b, J3: 1, J4: unread, J5: 1, LK1: whole}\n",
    )
    unread: Any = report.data["unread"]
    (look,) = unread["read_first"]
    assert look["settles"] is True
    assert look["positions"] == {"none": False, "5": False, "8": False, "10": False, "15": True}


# -- the board measured


def test_a_reading_is_held_against_what_the_board_moves() -> None:
    # selected min(4 x 400 x 1.06, 1,600) = 1,600; a hood reads 1,580: 1,501 to 1,659 holds it; 3 tons want 900 to 1,350
    text = (
        THREE_TONS % ("4", "open")
        + "measurements:\n- {call: cooling high, minutes: 10, method: hood, airflow: 1580 cfm}\n"
    )
    report = answered(verify, text)
    assert line_with(report, "set for") == "set for 1,600 cfm (at most 1,600 cfm)"
    assert report.lines[0] == "P1 is set for 4 tons; 3 tons installed."  # what contradicts comes before the verdict
    assert "HIGH, cooling high: as set, over the maximum." in report.lines
    assert "set P1 4 -> 3" in [" ".join(line.split()) for line in report.lines]


def test_a_board_told_of_another_nozzle_is_not_recorded_as_done() -> None:
    # J1 on 0.85, 0.75 fitted, J2 on 4: 1,846.9 cfm selected; 105,602 / (1.08 x 53) = 1,844.9 measured: as selected and
    # inside, and J1 is still untrue
    text = "table: eskerby-oil\noutdoor unit: {capacity: 3 tons}\nheat: {nozzle: 0.75 gph, pump pressure: 140 psi}\n"
    text += "as left: {SW1: 001110, J1: 0.85, J2: 4}\n"
    report = answered(verify, text + "measurements:\n- {call: heating, minutes: 12, method: rise, rise: 53 F}\n")
    assert report.lines[0] == "J1 is set for 0.85 gph; 0.75 gph installed."
    assert [line for line in report.lines if line.startswith("OK, heating: as set")]
    assert line_with(report, "do") == "do 1 Set J1 to match the equipment. 2 Measure again."
    assert report.exit_code == 1
