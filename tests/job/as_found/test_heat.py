"""Heat that has to run: a parked lead, a lead on another's tap, an airflow that nobody judges.

Wickerby page 5 at 125 Pa: taps 1 to 5 give 230, 310, 395, 480, 565 L/s. 2.5 tons at 300 to 450 cfm for each take 353.96
to 530.94 L/s, 70 % of
that in low stage. 10 kW at 565 L/s: 10,000 / (1.2072 x 565) = 14.7 C.
"""

from __future__ import annotations

from typing import Any

from selector.job.as_found.as_found import as_found
from selector.job.file.report import Report
from selector.job.targets.windows import NO_HEATER_LIMIT
from tests.helpers.judging import answered

TAPS = """table: wickerby-5
site: {{static pressure: 125 Pa}}
outdoor unit: {{capacity: 2.5 tons, stages: {{low: 70 %}}}}
{heat}
as found: {{M1: {marks}}}
"""
TEN_KW = "heat: {kind: electric, heater: 10 kW}"


def found(marks: str, heat: str = TEN_KW) -> Report:
    return answered(as_found, TAPS.format(marks=marks, heat=heat))


def place(report: Report, call: str, stage: str = "") -> str:
    stages: Any = report.data["stages"]
    return str(next(s["place"] for s in stages if (s["call"], s["stage"]) == (call, stage)))


def moves(report: Report) -> list[str]:
    data: Any = report.data["moves"]
    return [f"{m['part']} {m['from']} -> {m['to']}" for m in data["moves"]]


def said(report: Report, start: str) -> str:
    lines = [" ".join(line.split()) for line in report.lines]
    return next(line for line in lines if line.startswith(start))


def test_a_parked_lead_of_a_heater_is_wrong() -> None:
    report = found("Y1=2 Y2=3 W=parked G=1")
    assert report.data["right"] is False
    assert place(report, "heat") == "refused"
    assert said(report, "heat") == "heat does not run: the lead M1-W is parked, and its heat would have no air"
    assert moves(report) == ["M1-W parked -> 5"]


def test_without_a_heater_a_parked_lead_is_as_it_should_be() -> None:
    report = found("Y1=2 Y2=3 W=parked G=1", heat="notes: cooling only")
    assert report.data["right"] is True
    assert place(report, "heat") == "does not run"


def test_the_verdict_hangs_on_a_lead_of_the_heater_that_cant_be_read() -> None:
    report = found("Y1=2 Y2=3 W=? G=1")
    assert report.data["right"] is None
    at = report.lines.index("look first at M1-W: it decides")
    assert report.lines[at + 1 : at + 4] == (
        "  4, 5: the board is right",
        "  parked: the board is wrong",
        "  1 to 3: other leads stand there; two on one tap burn the winding",
    )


def test_an_airflow_that_nobody_judges_is_not_called_inside() -> None:
    report = found("Y1=2 Y2=3 W=4 G=1")
    assert (place(report, "cooling", "high"), place(report, "heat"), place(report, "fan")) == (
        "inside",
        "not judged",
        "not judged",
    )
    # 10,000 / (1.2072 x 480) = 17.3 C
    assert said(report, "heat") == f"heat 480 L/s not judged, rise 17.3 C: {NO_HEATER_LIMIT}"
    assert "every call that can be judged is inside its window and limits: nothing has to move" in report.lines


def test_of_as_few_moves_those_that_give_the_unjudged_heat_most_air() -> None:
    # Y2 has to leave 565 (530.9 at most): tap 3 or 4; of W and G, both on tap 1, one has to leave: W, to the tap with
    # most air
    report = found("Y1=2 Y2=5 W=1 G=1")
    assert moves(report) == ["M1-Y2 5 -> 3", "M1-W 1 -> 5"]


def test_with_the_plates_rise_the_heat_is_judged_by_it() -> None:
    # 10,000 W: 20 C takes 414.2 L/s at most, 40 C 207.1 at least: every tap from 1 (230) to 3 (395) is inside; G moves
    # or W, both one move
    report = found("Y1=2 Y2=3 W=1 G=4", heat="heat: {kind: electric, heater: 10 kW, rise: 20 to 40 C}")
    assert place(report, "heat") == "inside"
    assert report.data["right"] is True


def test_a_stage_whose_share_of_the_tons_isnt_known_is_not_judged() -> None:
    report = answered(
        as_found, "table: corvane-k14\nmodel: 080\noutdoor unit: {capacity: 3 tons}\nas found: {SW1: 10011000}\n"
    )
    assert place(report, "cooling", "first") == "not judged"
    assert "the share of the outdoor unit that runs in this stage is not given" in said(report, "cooling first")
