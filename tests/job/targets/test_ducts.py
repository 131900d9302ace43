"""The duct curve goes only through readings of static that count."""

from __future__ import annotations

import pytest

from selector.air.recompute import mismatches
from selector.job.targets.house import House
from tests.helpers.judging import house

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
        (
            "static pressure: 225 Pa, return static: -50 Pa, supply static: 75 Pa",
            "is not return and supply static added",
        ),
    ],
)
def test_one_that_doesnt_count_draws_none_and_is_said(reading: str, why: str) -> None:
    ducts = read(reading).ducts
    assert ducts.k is None
    assert ducts.measured == ()
    (note,) = (note for note in ducts.notes if note.code == "static not counted")
    facts = dict(note.facts)
    assert facts["where"] == "cooling high"
    assert why in str(facts["why"])


def test_without_marks_a_static_is_kept_though_no_curve_is_drawn() -> None:
    text = TAPS.format(reading="static pressure: 125 Pa").replace("as found: {M1: Y1=2 Y2=4 W=5 G=1}\n", "")
    ducts = house(text).ducts
    assert ducts.k is None
    assert len(ducts.measured) == 1


BOARD = """table: corvane-k14
model: 080
site: {plate static: 0.5 in. w.c.}
outdoor unit: {capacity: 4 tons}
as left: {SW1: 10011000}
measurements:
"""
STATIC = "- {call: cooling second, minutes: 15, method: static, static pressure: 0.4 in. w.c.}\n"


def static_ceiling(*readings: str) -> list[float]:
    one = house(BOARD + "".join(readings))
    ends = [b for b in one.aim("heating", "second").bounds if b.origin == "static"]
    assert not any(mismatches(b.figure) for b in ends)
    return [round(float(b.figure.value), 1) for b in ends]


def test_the_ceiling_of_static_is_read_at_the_airflow_that_was_measured_in_the_same_state() -> None:
    """Selected 1,130 + 6 % = 1,197.8 cfm, x sqrt(0.5 / 0.4) = 1,339.2; a hood there reads 1,369: x 1.1180 = 1,530.6
    cfm."""
    assert static_ceiling(STATIC) == [1339.2]
    assert static_ceiling(STATIC, "- {call: cooling second, minutes: 15, method: hood, airflow: 1369 cfm}\n") == [
        1530.6
    ]
    assert static_ceiling(
        "- {call: cooling second, minutes: 15, method: hood, airflow: 1369 cfm, static pressure: 0.4 in. w.c.}\n"
    ) == [1530.6]


def test_a_hood_in_another_state_or_one_that_does_not_count_says_nothing_of_it() -> None:
    assert static_ceiling(STATIC, "- {call: heating second, minutes: 15, method: hood, airflow: 1369 cfm}\n") == [
        1339.2
    ]
    assert static_ceiling(
        STATIC, "- {call: cooling second, minutes: 15, method: hood, airflow: 1369 cfm, panels: off}\n"
    ) == [1339.2]


def test_of_several_statics_the_least_ceiling_counts() -> None:
    """Heating second selects 1,250.8: at 0.6 in. w.c. x sqrt(0.5 / 0.6) = 1,141.8, under 1,339.2."""
    assert static_ceiling(
        STATIC, "- {call: heating second, minutes: 15, method: static, static pressure: 0.6 in. w.c.}\n"
    ) == [1141.8]
