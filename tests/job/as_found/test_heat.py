"""Heat that has to run: a parked lead, a lead on another's tap, an airflow that nobody judges.

Wickerby page 5 at 125 Pa: taps 1 to 5 give 230, 310, 395, 480, 565 L/s. 2.5 tons at 300 to 450 cfm for each take 353.96
to 530.94 L/s, 70 % of
that in low stage. 10 kW at 565 L/s: 10,000 / (1.2072 x 565) = 14.7 C.
"""

from __future__ import annotations

from typing import Any

from selector.answers.remarks.remark import WORDS
from selector.job.file.report import Report
from selector.job.targets.windows import NO_HEATER_LIMIT
from tests.helpers.judging import answered, as_found_report, found_moves, found_stage, line_with

TAPS = """table: wickerby-5
site: {{static pressure: 125 Pa}}
outdoor unit: {{capacity: 2.5 tons, stages: {{low: 70 %}}}}
{heat}
as found: {{M1: {marks}}}
"""
TEN_KW = "heat: {kind: electric, heater: 10 kW}"


def found(marks: str, heat: str = TEN_KW) -> Report:
    return answered(as_found_report, TAPS.format(marks=marks, heat=heat))


def test_a_parked_lead_of_a_heater_is_wrong() -> None:
    report = found("Y1=2 Y2=3 W=parked G=1")
    assert report.data["right"] is False
    assert found_stage(report, "heat")["stands"] == "stopped"
    assert report.lines[0].startswith("Heat: does not run (the lead M1-W is parked), and its heat would have no air.")
    assert found_moves(report)[0].startswith("M1-W parked -> ")


def test_without_a_heater_a_parked_lead_is_as_it_should_be() -> None:
    report = found("Y1=2 Y2=3 W=parked G=1", heat="notes: cooling only")
    assert report.data["right"] is True
    assert found_stage(report, "heat")["stands"] == "does_not_run"


def test_the_verdict_hangs_on_a_lead_of_the_heater_that_cant_be_read() -> None:
    report = found("Y1=2 Y2=3 W=? G=1")
    assert report.data["right"] is None
    unread: Any = report.data["unread"]
    (look,) = unread["read_first"]
    assert look["positions"] == {"4": True, "5": True, "parked": False}
    assert "  M1-W 1 to 3: another lead is there" in report.lines


def test_an_airflow_that_nobody_judges_is_not_called_inside() -> None:
    report = found("Y1=2 Y2=3 W=4 G=1")
    places = [found_stage(report, *call)["stands"] for call in (("cooling", "high"), ("heat", ""), ("fan", ""))]
    assert places == ["inside", "not_judged", "not_judged"]
    # 10,000 / (1.2072 x 480) = 17.3 C
    assert line_with(report, "heat ") == "heat no limit 480 L/s"
    assert "  Rise: heat 17.3 C." in report.lines
    assert any(WORDS[NO_HEATER_LIMIT.code] in line for line in report.lines)
    assert report.lines[0] == "OK: as set, within the limits that could be checked. Change nothing."


def test_a_lead_on_anothers_tap_leaves_it() -> None:
    # Y2 has to leave 565 (530.9 at most), W and G share tap 1: one of them leaves
    report = found("Y1=2 Y2=5 W=1 G=1")
    said = found_moves(report)
    assert len(said) == 2
    assert said[0].startswith("M1-Y2 5 -> ")
    assert said[1].startswith(("M1-W 1 -> ", "M1-G 1 -> "))


def test_with_the_plates_rise_the_heat_is_judged_by_it() -> None:
    # 10,000 W: 20 C takes 414.2 L/s at most, 40 C 207.1 at least: every tap from 1 (230) to 3 (395) is inside; G moves
    # or W, both one move
    report = found("Y1=2 Y2=3 W=1 G=4", heat="heat: {kind: electric, heater: 10 kW, rise: 20 to 40 C}")
    assert found_stage(report, "heat")["stands"] == "inside"
    assert report.data["right"] is True


def test_a_stage_whose_share_of_the_tons_isnt_known_is_not_judged() -> None:
    report = answered(
        as_found_report, "table: corvane-k14\nmodel: 080\noutdoor unit: {capacity: 3 tons}\nas found: {SW1: 10011000}\n"
    )
    assert found_stage(report, "cooling", "first")["stands"] == "not_judged"
    said = line_with(report, "cooling first: ")
    assert "airflow per ton not checked: add stages=.. (from the outdoor unit)" in said
