"""The duct curve goes only through readings of static that count."""

from __future__ import annotations

import pytest

from selector.job.house import House
from tests.judging import house

TAPS = """table: wickerby-5
outdoor unit: {{capacity: 2.5 tons, stages: {{low: 70 %}}}}
as found: {{M1: Y1=2 Y2=4 W=5 G=1}}
measurements:
- {{call: cooling high, minutes: 15, method: static, {reading}}}
"""


def read(reading: str) -> House:
    return house(TAPS.format(reading=reading))


def test_a_reading_that_counts_draws_the_curve() -> None:
    # page 5: tap 4 gives 480 L/s at 125 Pa
    ducts = read("static pressure: 125 Pa").ducts
    assert ducts.k is not None
    assert round(float(ducts.k.value) * 480**2, 6) == 125
    assert [(call, stage) for call, stage, _ in ducts.measured] == [("cooling", "high")]


@pytest.mark.parametrize(
    ("reading", "why"),
    [
        ("static pressure: 125 Pa, filter: out", "measured without the filter"),
        ("static pressure: 125 Pa, panels: off", "measured with the panels off"),
        ("static pressure: 225 Pa, return static: -50 Pa, supply static: 75 Pa", "is not return and supply static added"),
    ],
)
def test_one_that_doesnt_count_draws_none_and_is_said(reading: str, why: str) -> None:
    ducts = read(reading).ducts
    assert ducts.k is None
    assert ducts.measured == ()
    assert any(note.startswith("the static read in cooling high doesn't count: ") and why in note for note in ducts.notes)


def test_without_marks_a_static_is_kept_though_no_curve_is_drawn() -> None:
    text = TAPS.format(reading="static pressure: 125 Pa").replace("as found: {M1: Y1=2 Y2=4 W=5 G=1}\n", "")
    ducts = house(text).ducts
    assert ducts.k is None
    assert len(ducts.measured) == 1
