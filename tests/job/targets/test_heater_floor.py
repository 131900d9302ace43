"""The least air of strip heat, one for every command: worked by hand on the pages of the tables."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from selector.answers.house.plan import plan_report
from selector.answers.verify.answer import verify
from selector.job.file.report import Report
from selector.job.plan.plan import plan
from selector.job.targets.house import House
from tests.helpers.judging import answered, as_found_report, house, line_with

# Saltmarsh page 9: the heater of 10 alone is given 930 cfm; beside the heat pump its least is 750
SALTMARSH = """table: saltmarsh-12
site: {plate static: 125 Pa}
outdoor unit: {capacity: 10.5 kW}
heat: {kind: heat pump + auxiliary, heater: 10 kW}
as found: {J1: 3, J2: b, J3: 1, J4: 10, J5: 1, LK1: whole}
"""
# 430 L/s = 911.1 cfm at 150 Pa; at 125 Pa 911.1 x sqrt(125/150) = 831.7 cfm, under the 930
SHORT = (
    SALTMARSH
    + "measurements:\n- {call: cooling, minutes: 20, method: hood, airflow: 430 L/s, static pressure: 150 Pa}\n"
)


def planned(one: House) -> Report:
    return plan_report(plan(one), columns=400)


def test_a_heater_alone_has_a_floor_and_beside_the_heat_pump_the_one_that_is_printed() -> None:
    one = house(SALTMARSH)
    floors = {aim.call: aim.heater_floor for aim in one.aims}
    alone, beside = floors["heater alone"], floors["heat pump with heater"]
    assert alone is not None
    assert beside is not None
    assert (int(alone.figure.value), alone.name) == (930, "")
    assert (int(beside.figure.value), beside.name) == (750, "least with heater")
    assert getattr(beside.figure, "source", "") == "page 9, `least with heater`"
    assert floors["cooling"] is floors["heat pump"] is floors["fan"] is None


def test_a_heater_that_nobody_named_has_no_floor() -> None:
    one = house("table: saltmarsh-12\nheat: {kind: electric}\n")
    assert one.aim("heater alone", "").heater_floor is None


@pytest.mark.parametrize("report", [as_found_report, planned])
def test_ducts_too_tight_for_the_heater_are_a_conflict_and_never_too_much_air(
    report: Callable[[House], Report],
) -> None:
    said = answered(report, SHORT)
    text = " ".join(said.lines)
    assert "heater alone: minimum 930 cfm (the manual's airflow for this heater), 98 cfm short" in text
    assert "Heater breakers off until then." in text
    assert "heater alone is set too high" not in text.lower()


def test_a_board_told_of_a_smaller_heater_stands_under_the_floor_of_the_one_that_is_there() -> None:
    # J4 at 5: 620 cfm, 310 under the 930 of the heater of 10
    said: Report = answered(as_found_report, SALTMARSH.replace("J4: 10", "J4: 5"))
    assert line_with(said, "heater alone ") == "heater alone minimum 930 cfm 620 cfm, 310 below 930 cfm, OK"


def test_a_meter_whose_band_reaches_the_airflow_of_the_page_finds_no_fault() -> None:
    # 900 cfm by hood: up to 945, over the 930; 800: up to 840
    reading = "measurements:\n- {{call: heater alone, minutes: 8, method: hood, airflow: {} cfm}}\n"
    assert answered(verify, SALTMARSH + reading.format(900)).lines[0].startswith("OK, heater alone")
    first = "DANGER, heater alone: 10 kW on 800 cfm; minimum 930 cfm, 130 cfm under."
    assert answered(verify, SALTMARSH + reading.format(800)).lines[0] == first


def test_a_heater_told_as_a_fact_of_the_file_has_the_same_floor() -> None:
    """Quillhaven page 7: the plug on 20 gives the heater alone 1,620 cfm, beside the heat pump at least 1,280."""
    one = house(
        "table: quillhaven-p\noutdoor unit: {capacity: 3 tons}\nfacts: {heater: '20', motor: K}\n"
        "as left: {P1: 3, P2: 20, P3: K, LK1: open, LK2: open, N1: 400, N2: 375, N3: 500, N4: 'off'}\n"
    )
    floors = {aim.call: aim.heater_floor for aim in one.aims}
    alone, beside = floors["heater alone"], floors["heat pump with heater"]
    assert alone is not None
    assert beside is not None
    assert (int(alone.figure.value), int(beside.figure.value)) == (1620, 1280)
