"""Readings of one visit from before and after a change there: worked by hand on the page of Corvane (080 gives 76,000
Btu/h; 3 tons)."""

from __future__ import annotations

from typing import Any

import pytest

from selector.answers.verify.answer import verify
from selector.job.danger.house import hazards
from selector.job.file.report import Report
from tests.helpers.judging import answered, house

HEAD = """table: corvane-k14
model: 080
motor: constant airflow
site: {plate static: 0.8 in. w.c.}
heat: {kind: gas, rise: 35 to 65 F, clocked: {input: 80 MBH}}
as found: {SW1: 00000000}
"""
RISE = "- {{call: heating second, minutes: 12, method: rise, rise: {} F}}\n"
STATIC = "- {{call: heating second, minutes: 12, method: static, static pressure: {} in. w.c.}}\n"
TWICE = RISE.format(69) + STATIC.format("0.92") + RISE.format(60) + STATIC.format("0.70")


def judged(readings: str, more: str = "") -> Report:
    return answered(verify, f"{HEAD}measurements:\n{readings}{more}")


def measured(report: Report) -> list[int]:
    """Every airflow that was taken in, cfm."""
    states: Any = report.data["states"]
    return [round(one["airflow"]["value"]) for state in states for one in state["measured"]]


def test_only_what_was_read_since_counts_and_the_rest_is_said() -> None:
    # 76,000 / (1.08 x 60) = 1,172.8; before 1,019.9: taken together 1,096
    report = judged(TWICE, "done: |\n  filter changed\n")
    assert measured(report) == [1173]
    assert report.data["dangers"] == []
    assert any(line.startswith("  static     0.70 in. w.c.") for line in report.lines)
    note = "Note: heating second: rise and static read before the change (filter changed) not used, the newer reading"
    assert any(line.startswith(note) for line in report.lines)


def test_selectors_that_were_moved_are_a_change() -> None:
    assert measured(judged(TWICE, "as left: {SW1-1: ON}\n")) == [1173]


def test_a_danger_that_was_not_read_again_stays() -> None:
    # static alone was read again: the rise of 69 over 65 stands, and is no airflow beside the new static
    text = f"{HEAD}measurements:\n{RISE.format(69)}{STATIC.format('0.92')}{STATIC.format('0.70')}done: filter changed\n"
    one = house(text)
    assert [hazard.what for hazard in hazards(one, one.now)] == ["rise over"]
    report = answered(verify, text)
    assert measured(report) == []
    assert [p.code for p in report.problems] == ["before-change"]


@pytest.mark.parametrize("done", ["flue CO 40 ppm by analyzer", "meter read"])
def test_work_that_leaves_the_air_alone_is_no_change(done: str) -> None:
    # (1,019.9 + 1,172.8) / 2 = 1,096.3 would be the mean; 152.9 apart is more than 7 % of 1,172.8, 82.1
    report = judged(TWICE, f"done: |\n  {done}\n")
    text = " ".join(" ".join(report.lines).split())
    assert "No verdict: the two rise readings disagree: 153 cfm apart, more than 82 cfm." in text
    assert "Type it (done=filter changed): the newer one counts then." in text


def test_two_readings_without_a_change_are_taken_together() -> None:
    # 1,172.8 and 76,000 / (1.08 x 62) = 1,135.0: the mean 1,153.9
    report = judged(RISE.format(60) + RISE.format(62))
    assert any("= 1,154 cfm" in line for line in report.lines)


def test_the_burner_is_no_other_for_a_new_filter() -> None:
    # 3600 x 2 / 90 x 1,037 = 82,960 x .95 = 78,812; / (1.08 x 60) = 1,216.2
    clocked = "method: clocked gas, volume: 2 ft3, time: 90 s, heat of gas: 1037 Btu/ft3"
    meter = f"- {{call: heating second, minutes: 9, {clocked}}}"
    report = answered(
        verify,
        HEAD.replace(", clocked: {input: 80 MBH}", "") + f"measurements:\n{meter}\n{TWICE}done: filter changed\n",
    )
    assert measured(report) == [1216]
