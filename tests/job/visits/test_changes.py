"""A later visit against the baseline, worked by hand.

Bands are common practice, no source: hood 5 %, rise 2 F, static 5 % and at least 0.02 in. w.c., watts 5 %, a clocked
input 2 %. Two readings tell a change only where they are further apart than both bands together.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from selector.job.file.read import job_from_text, load_job
from selector.job.targets.house import table_of
from selector.job.visits.causes import causes_of
from selector.job.visits.changes import VisitChanges, changes_at
from selector.job.visits.measured_at import visit_records

EXAMPLE = Path(__file__).parents[2] / "examples" / "visits" / "gas-over-three-visits.yaml"
HOUSE = """format: selector job 1
date: 2026-11-30
table: corvane-k14
model: 080
site: {plate static: 0.8 in. w.c.}
outdoor unit: {capacity: 3 tons, stages: {first: 70 %, second: 100 %}}
heat: {kind: gas, input: 80 MBH, efficiency: 95 %}
as left: {SW1: 10011000}
measurements:
"""
"""Page 23, 080: SW1-1 ON heats with 1,180 cfm, SW1-4 ON cools with 1,130 cfm, SW1-5 ON trims both by +6 %."""


def changed(first: str, *later: str) -> VisitChanges:
    """What the last visit changed; readings of the first, then the lines of each later visit."""
    visits = "".join(f"  - date: 202{7 + n}-11-02\n{lines}" for n, lines in enumerate(later))
    job, _ = job_from_text(f"{HOUSE}{first}visits:\n{visits}")
    return changes_at(visit_records(job, table_of(job)))


def ways(found: VisitChanges) -> dict[tuple[str, str], str]:
    return {(state.title, one.now.name): one.way for state in found.states for one in state.changes}


def hood(cfm: int) -> str:
    return f"  - {{call: cooling second, minutes: 20, method: hood, airflow: {cfm} cfm}}\n"


def visit(*readings: str) -> str:
    return "    measurements:\n" + "".join(f"    {one}" for one in readings)


@pytest.mark.parametrize(
    ("now", "way"),
    [
        # 5 % of 1,200 is 60. 1,086 has 54.3: bands 114.3, apart 114. 1,085 has 54.25: bands 114.25, apart 115.
        (1086, "same"),
        (1085, "down"),
        # upward 1,326 has 66.3: bands 126.3, apart 126; 1,327: bands 126.35, apart 127
        (1326, "same"),
        (1327, "up"),
    ],
)
def test_a_change_is_told_only_beyond_both_bands(now: int, way: str) -> None:
    assert ways(changed(hood(1200), visit(hood(now)))) == {("cooling second", "airflow"): way}


def static(back: str, supply: str, watts: str = "") -> str:
    more = f", watts: {watts} W" if watts else ""
    return (
        f"  - {{call: cooling second, minutes: 20, method: static, return static: -{back} in. w.c., supply static:"
        f" {supply} in. w.c.{more}}}\n"
    )


@pytest.mark.parametrize(
    ("back", "way"),
    [
        # 0.22 and 0.26: 5 % is 0.011 and 0.013, so 0.02 counts for each: bands 0.04, apart 0.04
        ("0.26", "same"),
        ("0.27", "up"),
        ("0.17", "down"),
    ],
)
def test_a_small_static_has_the_least_band(back: str, way: str) -> None:
    found = ways(changed(static("0.22", "0.30"), visit(static(back, "0.30"))))
    assert found["cooling second", "return static"] == way
    assert found["cooling second", "supply static"] == "same"


def test_a_loaded_filter_is_told_by_its_side() -> None:
    """Whole: 0.52 (band 0.026) to 0.70 (0.035): apart 0.18. Airflow 1,190 (59.5) to 1,150 (57.5): apart 40."""
    found = changed(hood(1190) + static("0.22", "0.30", "410"), visit(hood(1150), static("0.40", "0.30", "520")))
    assert [(c.name, c.side) for state in found.states for c in state.causes] == [("more restriction", "return")]
    assert ways(found)["cooling second", "watts"] == "up"  # 20.5 + 26 = 46.5; apart 110


def test_the_baseline_is_the_first_visit_and_not_the_one_before() -> None:
    """1,200, 1,140, 1,083: each within the bands of the one before, the last 117 from the first with bands 114.15."""
    found = changed(hood(1200), visit(hood(1140)), visit(hood(1083)))
    assert ways(found) == {("cooling second", "airflow"): "down"}
    assert found.states[0].changes[0].since == "2026-11-30"


def test_under_other_marks_a_figure_is_taken_to_the_setting_now() -> None:
    """SW1-5 and SW1-6 OFF: no trim, 1,130 cfm in place of 1,197.8. 1,190 x 1,130 / 1,197.8 = 1,122.6 cfm to expect.
    Watts follow no law that tells a change: not compared."""
    then, now = static("0.22", "0.30", "410"), static("0.20", "0.26", "350")
    found = changed(hood(1190) + then, "    as left: {SW1: 10010000}\n" + visit(hood(1120), now))
    told = {one.now.name: one for one in found.states[0].changes}
    assert float(told["airflow"].was.value) == pytest.approx(1122.64, abs=0.01)
    assert told["airflow"].read is not None
    assert told["airflow"].read.value == 1190
    assert told["airflow"].way == "same"
    # 0.52 x (1,130 / 1,197.8)^2 = 0.4628
    assert float(told["static pressure"].was.value) == pytest.approx(0.4628, abs=0.0001)
    assert [(n.figure.name, float(n.set_for_then or 0), float(n.set_for_now or 0)) for n in found.not_compared] == [
        ("watts", 1197.8, 1130.0)
    ]


@pytest.mark.parametrize(
    ("supply", "way"),
    [
        # expected 0.4628, band 0.026 x 0.89 + a fifth of 0.52 x (0.9434 - 0.8900) for the filter = 0.0287; 0.51 has
        # 0.0255: bands 0.0542, apart 0.0472
        ("0.29", "same"),
        # 0.52 has 0.026: bands 0.0547, apart 0.0572
        ("0.30", "up"),
    ],
)
def test_static_goes_by_the_square_to_another_setting(supply: str, way: str) -> None:
    found = changed(static("0.22", "0.30"), "    as left: {SW1: 10010000}\n" + visit(static("0.22", supply)))
    assert ways(found)["cooling second", "static pressure"] == way


def test_a_rise_goes_the_other_way_round() -> None:
    """Trimmed by +6 % heating second has 1,250.8 cfm, without 1,180: 56 F become 59.36 F."""
    read = "  - {{call: heating second, minutes: 15, method: rise, return air: 70 F, supply air: {} F}}\n"
    found = changed(read.format(126), "    as left: {SW1: 10010000}\n" + visit(read.format("129.4")))
    (rise,) = (one for one in found.states[0].changes if one.now.name == "rise")
    assert float(rise.was.value) == pytest.approx(59.36)
    assert rise.way == "same"


def test_a_blower_that_did_not_follow_its_setting_is_taken_to_no_other() -> None:
    """900 of 1,197.8 cfm is 25 % under: what it would move at 1,130 nobody knows."""
    moved = "    as left: {SW1: 10010000}\n"
    found = changed(hood(900) + static("0.22", "0.30"), moved + visit(hood(1120), static("0.20", "0.26")))
    assert found.states == ()
    assert [one.figure.name for one in found.not_compared] == [
        "airflow",
        "static pressure",
        "return static",
        "supply static",
    ]


def test_a_selector_the_call_does_not_read_changes_nothing_for_it() -> None:
    """SW1-1 is heating's alone (page 23)."""
    found = changed(hood(1190), "    as left: {SW1: 00011000}\n" + visit(hood(1180)))
    assert ways(found) == {("cooling second", "airflow"): "same"}


def test_a_moved_switch_is_found_and_one_moved_at_the_visit_is_not() -> None:
    found = changed(hood(1190), "    as found: {SW1: 10011100}\n    as left: {SW1: 10010000}\n")
    assert [(m.part, m.was, m.now, m.left_on) for m in found.moved] == [(5, 0, 1, "2026-11-30")]
    assert changed(hood(1190), "    as left: {SW1: 10010000}\n").moved == ()


def test_an_unreadable_switch_was_not_moved() -> None:
    assert changed(hood(1190), "    as found: {SW1: 10011?00}\n").moved == ()


def clocked(seconds: int) -> str:
    return (
        "  - {call: heating second, minutes: 15, method: clocked gas, volume: 2 ft3, heat of gas: 1037 Btu/ft3, "
        f"time: {seconds} s}}\n"
    )


def test_another_input_is_told_beyond_two_percent_each() -> None:
    """3600 x 2 x 1037 / 94 = 79,430; / 90 = 82,960: apart 3,530, bands 1,589 + 1,659 = 3,248."""
    found = changed(clocked(94), visit(clocked(90)))
    assert ways(found)["heating second", "input"] == "up"
    assert [c.name for c in found.states[0].causes] == ["input up"]
    # 82,960 is 3.7 % over the plate's 80,000, within 5 %: nothing is off at the burner; / 85 = 87,840 is 9.8 % over
    assert [c.at_plate for c in found.states[0].causes] == [True]
    assert [c.at_plate for c in changed(clocked(94), visit(clocked(85))).states[0].causes] == [False]
    # / 91 = 82,048: apart 2,619
    assert ways(changed(clocked(94), visit(clocked(91))))["heating second", "input"] == "same"


def test_the_example_reads_as_it_was_written() -> None:
    job, _ = load_job(str(EXAMPLE))
    records = visit_records(job, table_of(job))
    assert [record.date for record in records] == ["2026-11-30", "2027-07-02", "2028-01-12"]
    found = changes_at(records)
    assert {state.title: [c.name for c in state.causes] for state in found.states} == {
        "heating second": [],
        "cooling second": ["more restriction"],
    }


@pytest.mark.parametrize(
    ("told", "causes"),
    [
        ({"static pressure": "up", "airflow": "down"}, ["more restriction"]),
        ({"static pressure": "up", "airflow": "same", "watts": "up"}, ["more restriction"]),
        ({"static pressure": "up"}, ["restriction or more air"]),
        ({"static pressure": "up", "airflow": "up"}, ["more air"]),
        ({"static pressure": "down", "airflow": "up"}, ["less restriction"]),
        ({"static pressure": "down", "airflow": "down"}, ["less air"]),
        ({"static pressure": "same", "airflow": "down"}, ["less air"]),
        ({"airflow": "down"}, ["less air"]),
        ({"static pressure": "same", "watts": "up"}, ["works harder"]),
        ({"rise": "up"}, ["less air or more heat"]),
        ({"rise": "up", "input": "same"}, ["less air"]),
        ({"rise": "up", "input": "up"}, ["input up"]),
        ({"rise": "same", "airflow": "same", "static pressure": "same"}, []),
    ],
)
def test_what_a_change_points_to(told: dict[str, str], causes: list[str]) -> None:
    """Common practice, no source: trade's table of a unit over the years."""
    assert [cause.name for cause in causes_of(told)] == causes  # type: ignore[arg-type]


def profile(filter_after: str) -> str:
    return (
        "  - {call: cooling second, minutes: 20, method: static, before filter: -0.10 in. w.c., after filter:"
        f" -{filter_after} in. w.c., before coil: 0.40 in. w.c., after coil: 0.15 in. w.c.}}\n"
    )


def test_read_part_by_part_the_part_that_loaded_is_named() -> None:
    """The filter takes 0.25 - 0.10 = 0.15, then 0.42 - 0.10 = 0.32: apart 0.17; each port at least 0.02, so at most
    (0.02 + 0.02) + (0.02 + 0.021) = 0.081. Coil 0.40 - 0.15 = 0.25 both times."""
    found = changed(profile("0.25"), visit(profile("0.42")))
    told = ways(found)
    assert told["cooling second", "filter"] == "up"
    assert told["cooling second", "coil"] == "same"
    assert [(c.name, c.part) for state in found.states for c in state.causes] == [("restriction or more air", "filter")]
