"""The duct curve goes only through readings of static that count."""

from __future__ import annotations

import pytest

from selector.job.targets.house import House
from tests.helpers.judging import house
from tests.helpers.recompute import mismatches

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


PARTS = """table: corvane-k14
model: 080
site: {plate static: 0.5 in. w.c.}
outdoor unit: {capacity: 3 tons, stages: {first: 70 %}}
as found: {SW1: 00000000}
measurements:
- {call: cooling second, minutes: 20, method: static, before filter: -0.10 in. w.c., after filter: -0.30 in. w.c.,
   before coil: 0.40 in. w.c., after coil: 0.10 in. w.c., inside: none}
"""
CHART = "ceilings: {filter: {drop: '0.10 in. w.c. at 800 cfm, 0.20 at 1200, 0.30 at 1500'}}\n"


@pytest.mark.parametrize(
    ("text", "most"),
    [
        # 1,380 cfm by the marks (page 23) at 0.30 + 0.40 = 0.70 in. w.c., 0.20 of it the filter's, 0.5 allowed: ducts
        # 0.50 r^2 and the medium at most 0.20 r (straight; common practice, no source) are 0.5 at r = 0.8198
        (PARTS, 1131.33),
        # by its chart 0.26 at 1,380: what it takes now is 0.769 of that; at 1,160.7 cfm 0.769 x 0.1902 = 0.1463, and
        # the ducts 0.50 x (1,160.7 / 1,380)^2 = 0.3537: together 0.5
        (CHART + PARTS, 1160.70),
        # no part read by itself: 1,380 x sqrt(0.5 / 0.7)
        (PARTS.replace("before filter: -0.10 in. w.c., ", ""), 1166.31),
        # static under its end may rise, and rises at most by the square: 1,380 x sqrt(0.9 / 0.7)
        (PARTS.replace("0.5 in", "0.9 in"), 1564.77),
    ],
)
def test_the_ceiling_of_static_goes_by_the_law_of_each_part(text: str, most: float) -> None:
    (bound,) = (b for b in house(text).aim("cooling", "second").bounds if b.origin == "static")
    assert float(bound.figure.value) == pytest.approx(most, abs=0.01)
    assert not mismatches(bound.figure)


LONG = """table: pellmere-si
site: {{plate static: {most} Pa}}
outdoor unit: {{capacity: {tons} tons}}
heat: {{kind: gas}}
as found: {{D1: C, D2: 3, J1: 2, SW1: 00}}
measurements:
- {{call: cooling, minutes: 20, method: static, static pressure: 120 Pa}}
"""


@pytest.mark.parametrize(
    ("tons", "most", "static", "ceiling"),
    [
        # page 7: C moves 380 L/s at 120 Pa (straight between 390 and 365); 2.5 tons ask for 471.9 L/s, 185 Pa on these
        # ducts: more than 150, so charts are read at 150, and no call goes over 380 x sqrt(150 / 120) = 424.9 L/s
        ("2.5", "150", 150, 424.85),
        # 3.5 tons ask for 660.7 L/s, 362 Pa: charts end at 200 Pa, 380 x sqrt(200 / 120) = 490.6 L/s
        ("3.5", "250", 200, 490.58),
        # 2 tons ask for 377.6 L/s: 118.5 Pa
        ("2", "150", 118.47, 424.85),
    ],
)
def test_a_chart_along_static_binds_where_it_ends(tons: str, most: str, static: float, ceiling: float) -> None:
    one = house(LONG.format(tons=tons, most=most))
    assert float(one.ducts.static["cooling "]) == pytest.approx(static, abs=0.01)
    (bound,) = (b for b in one.aim("cooling", "").bounds if b.origin == "static")
    assert float(bound.figure.value) / 2.118880003 == pytest.approx(ceiling, abs=0.01)
