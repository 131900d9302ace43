"""Static part by part and the static to come, worked by hand; shares are common practice, no source.

Corvane 080, SW1 = 1 0 0 1 0 1 0 0: cooling second 1,062.2 cfm (page 23).
"""

from __future__ import annotations

from fractions import Fraction as F
from pathlib import Path
from typing import Any

import pytest

from selector.air.figure import given
from selector.answers.house.notes import part_lines, static_lines
from selector.answers.verify.answer import verify
from selector.card.blocks import words_of
from selector.card.from_job import job_card
from selector.job.file.read import load_job
from selector.job.file.report import Report
from selector.job.plan.plan import plan
from selector.job.readings.static_then import static_then
from selector.job.targets.house import house_of
from selector.job.verify.verify import verified
from tests.helpers.judging import answered, house, line_with
from tests.helpers.recompute import mismatches

HEAD = """table: corvane-k14
model: 080
site: {plate static: 0.5 in. w.c.}
heat: {kind: gas}
outdoor unit: {capacity: 3 tons}
as left: {SW1: 10010100}
"""
PORTS = (
    "before filter: -0.08 in. w.c., after filter: -0.28 in. w.c., before coil: 0.35 in. w.c., after coil: 0.10 in. w.c."
)
READ = f"call: cooling second, minutes: 20, method: hood, airflow: 1060 cfm, {PORTS}"


def judged(*readings: str, head: str = HEAD) -> Report:
    return answered(verify, head + "measurements:\n" + "".join(f"- {{{one}}}\n" for one in readings))


def profile(report: Report) -> Any:
    return report.data["states"][0]["profile"]  # type: ignore[index]


def steps(report: Report) -> str:
    return " ".join(report.data["states"][0]["next"]["steps"])  # type: ignore[index]


def drops(report: Report) -> dict[str, tuple[float, float | None]]:
    def two(value: Any) -> float | None:
        return None if value is None else round(float(F(str(value))), 3)

    return {one["name"]: (two(one["drop"]) or 0, two(one["budget"])) for one in profile(report)["parts"]}


def test_each_part_against_its_share_of_the_plate() -> None:
    # 0.5: a fifth is 0.10, the coil's two fifths 0.20; filter 0.28 - 0.08 = 0.20, coil 0.35 - 0.10 = 0.25
    report = judged(READ)
    assert drops(report) == {
        "return duct and grille": (0.08, 0.1),
        "filter": (0.2, 0.1),
        "coil": (0.25, 0.2),
        "supply duct and registers": (0.1, 0.1),
    }
    assert profile(report)["first"] == "filter"
    assert report.lines[0].startswith("WARNING, cooling second: static 0.63 in. w.c., 0.13 in. w.c. over the plate's")
    assert steps(report).startswith(
        "Look at the filter first: 0.20 in. w.c., 0.10 over its usual share of 0.10 (common practice, no source)."
    )
    # twice the face: a quarter to a half of 0.20
    assert "0.05 to 0.10 in. w.c." in steps(report)
    assert "larger" not in line_with(report, "static")


def test_within_the_plate_no_part_is_a_fault() -> None:
    report = judged(READ, head=HEAD.replace("0.5 in", "0.8 in"))
    # 0.8: a fifth 0.16, two fifths 0.32: the filter's 0.20 is 0.04 over, and that is all
    assert profile(report)["first"] == "filter"
    assert "Look at the filter" not in steps(report)
    assert report.exit_code == 0


def test_a_filter_is_held_to_its_own_chart() -> None:
    # at 1,060 cfm between 0.08 at 800 and 0.16 at 1,200: 0.08 + 0.08 x 260 / 400 = 0.132
    head = HEAD.replace("0.5 in", "0.8 in") + (
        "ceilings: {filter: {area: 16 x 25 in, velocity: 400 fpm, drop: '0.08 in. w.c. at 800 cfm, 0.16 at 1200'}}\n"
    )
    report = judged(READ, head=head)
    assert drops(report)["filter"] == (0.2, 0.132)
    assert "Look at the filter first: 0.20 in. w.c., 0.07 over its chart's 0.13." in steps(report)
    # 1,060 / (400 / 144) = 381.6 fpm
    assert round(float(F(str(profile(report)["face_fpm"]))), 1) == 381.6


def test_a_coil_drawn_through_is_inside_an_air_handler() -> None:
    # Quillhaven p has no burner: coil inside, its two fifths go to the ducts: 0.5 x 40 % = 0.20 each, filter 0.10
    head = (
        "table: quillhaven-p\nsite: {plate static: 0.5 in. w.c.}\noutdoor unit: {capacity: 3 tons}\nfacts: {motor: M}\n"
    )
    ports = (
        "before filter: -0.10 in. w.c., after filter: -0.25 in. w.c., after coil: -0.50 in. w.c.,"
        " supply static: 0.15 in. w.c."
    )
    report = judged(
        f"call: cooling high, minutes: 20, method: hood, airflow: 1100 cfm, {ports}",
        head=head + f"as left: {{{_factory()}}}\n",
    )
    found = drops(report)
    assert found["coil"] == (0.25, None)
    assert found["filter"] == (0.15, 0.1)
    assert found["return duct and grille"] == (0.1, 0.2)
    assert found["supply duct and registers"] == (0.15, 0.2)
    # 0.25 + 0.15 = 0.40 external
    assert "= 0.40 in. w.c." in line_with(report, "static")
    assert any("coil counted inside the unit, filter outside (assumed; set `inside`)" in line for line in report.lines)


def _factory() -> str:
    from selector.solve.board.marks import marks_of
    from selector.table.library.library import load

    table = load("quillhaven-p")[0]
    marks = marks_of(table.delivered(None), table)
    return ", ".join(f"{name}: '{text}'" for name, _, text in (one.partition("=") for one in marks.split()))


def test_without_a_plate_the_parts_are_shares_of_the_total() -> None:
    # 0.63 in all: the filter's fifth is 0.126
    report = judged(READ, head=HEAD.replace("site: {plate static: 0.5 in. w.c.}\n", ""))
    assert drops(report)["filter"] == (0.2, 0.126)
    assert any("32 % of the total 0.63" in line for line in report.lines)


def test_static_at_another_airflow() -> None:
    # 0.63 at 1,000 cfm, filter 0.20 of it; at 1,200 cfm: 0.43 x 1.44 = 0.6192, filter 0.24 to 0.288: 0.8592 to 0.9072
    one = house(f"{HEAD}measurements:\n- {{{READ}}}\n")
    (state,) = verified(one).judged
    assert state.verdict.static is not None
    now, then = given("now", 1000, "cfm"), given("then", 1200, "cfm")
    ends = static_then(state.verdict.static.measured, state.profile, now, then, one.job)
    assert ends is not None
    assert [end.value for end in ends] == [F("0.8592"), F("0.9072")]
    assert not [bad for end in ends for bad in mismatches(end)]
    # no profile: the whole by the square, 0.63 x 1.44
    plain = static_then(state.verdict.static.measured, None, now, then, one.job)
    assert plain is not None
    assert (plain[0].value, plain[1].value) == (F("0.9072"), F("0.9072"))


def test_a_filter_s_chart_tells_its_drop_then() -> None:
    # its chart goes from 0.10 at 1,000 to 0.13 at 1,200 cfm: 0.20 x 1.3 = 0.26; 0.6192 + 0.26 = 0.8792
    chart = "ceilings: {filter: {drop: '0.10 in. w.c. at 1000 cfm, 0.13 at 1200'}}\n"
    one = house(f"{HEAD}{chart}measurements:\n- {{{READ}}}\n")
    (state,) = verified(one).judged
    assert state.verdict.static is not None
    now, then = given("now", 1000, "cfm"), given("then", 1200, "cfm")
    ends = static_then(state.verdict.static.measured, state.profile, now, then, one.job)
    assert ends is not None
    assert [end.value for end in ends] == [F("0.8792"), F("0.8792")]


def test_zones_follow_no_law() -> None:
    one = house(f"{HEAD}zoning: {{smallest zone: 500 cfm}}\nmeasurements:\n- {{{READ}}}\n")
    now, then = given("now", 1000, "cfm"), given("then", 1200, "cfm")
    assert static_then(given("static", F("0.63"), "in. w.c."), None, now, then, one.job) is None


@pytest.mark.parametrize("ports", ["before filter: -0.08 in. w.c., after filter: -0.28 in. w.c."])
def test_a_profile_that_does_not_reach_the_plate_s_ports_says_so(ports: str) -> None:
    report = judged(f"call: cooling second, minutes: 20, method: hood, airflow: 1060 cfm, {ports}")
    assert report.data["states"][0]["static"] is None  # type: ignore[index]
    assert any("add before coil" in line for line in report.lines)
    assert drops(report)["filter"][0] == 0.2


def test_a_setting_that_is_offered_says_its_static() -> None:
    # cooling second as found at 0 0 0 0 0 0 0 0: 1,380 cfm (page 23), over 3 tons x 450 = 1,350; static 0.40 there. One
    # move: SW1-6 ON takes 6 %: 1,297.2 cfm, 0.40 x 0.94^2 = 0.353 in. w.c.; or another with the same number of moves
    head = HEAD.replace("10010100", "00000000").replace("0.5 in", "0.8 in")
    report = judged(
        "call: cooling second, minutes: 20, method: hood, airflow: 1440 cfm, static pressure: 0.4 in. w.c.", head=head
    )
    then = report.data["states"][0]["static_then"]  # type: ignore[index]
    assert report.data["states"][0]["next"]["kind"] == "set"  # type: ignore[index]
    assert then["over"] == ""
    found = float(F(str(then["high"]["value"])))
    assert found < 0.4
    assert "maximum 0.80 in. w.c." in line_with(report, "then")


def test_the_example_of_the_guide() -> None:
    # 11,090 / 16 = 693.1 fpm x 20 x 12 / 144 = 1,155.2 cfm; at 800 ft x sqrt(0.9714) = 1,138.6
    job = load_job(str(Path(__file__).parents[2] / "examples" / "readings" / "furnace-profile.yaml"))[0]
    report = verify(house_of(job))
    assert any("1,155 cfm as shown, 1,139 cfm standard air" in line for line in report.lines)
    measured = next(panel for panel in job_card(job).panels if panel.title == "Measured")
    said = words_of(measured)
    assert any(text.startswith("static: 0.22 return + 0.26 supply = 0.48 in. w.c.") for text in said)
    assert any(
        text.startswith("static by part, in. w.c.: return grille 0.03, return duct 0.04, filter 0.15") for text in said
    )
    assert any(text.startswith("cooling coil: LOW, cooling second: delivers 28,") for text in said)


def test_a_ceiling_of_static_is_no_limit_of_the_airflow() -> None:
    # 1,200 of 1,062.2 would be high; 1,060 at 0.55 on a plate of 0.5: as set, 900 to 1,350 by 3 tons; the ducts pass
    # 1,060 x sqrt(0.5 / 0.55) = 1,010.7
    report = judged(
        "call: cooling second, minutes: 20, method: hood, airflow: 1060 cfm, static pressure: 0.55 in. w.c."
    )
    assert any(line.strip().endswith("OK: as set, but more than the static allows.") for line in report.lines)
    assert report.exit_code == 1


def test_what_to_look_at_is_the_part_that_was_read_over_its_share() -> None:
    # 850 of 1,062 is 20 % low; filter 0.20 of 0.10, coil 0.25 of 0.20
    report = judged(READ.replace("1060 cfm", "850 cfm"))
    looks = " ".join(report.lines)
    assert "filter clogged" in looks
    assert "coil dirty" in looks
    assert "dampers, registers" not in looks
    assert "sqrt" not in looks


def test_a_metric_table_is_answered_in_its_units() -> None:
    # Wickerby, page 5: static 80 + 70 = 150 Pa; filter 80 - 20 = 60, its share 20 % of 200 = 40; 2.5 tons are 8.79 kW
    head = (
        "table: wickerby-5\nsite: {plate static: 200 Pa}\n"
        "outdoor unit: {capacity: 2.5 tons, stages: {low: 70 %, high: 100 %}}\nas left: {M1: Y1=2 Y2=4 W=3 G=1}\n"
    )
    report = judged(
        "call: cooling high, minutes: 20, method: hood, airflow: 470 L/s, return air: 24 C, return wet bulb: 17 C,"
        " supply air: 12 C, supply wet bulb: 11 C, before filter: -20 Pa, after filter: -80 Pa, after coil: -160 Pa,"
        " supply static: 70 Pa",
        head=head,
    )
    assert line_with(report, "static") == "static 80 return + 70 supply = 150 Pa (plate 200)"
    text = " ".join(" ".join(line.split()) for line in report.lines)
    assert "filter 60 Pa, 30 % of the plate's 200; 20 over its usual share of 40 (common practice, no source)" in text
    assert "split 24 C - 12 C = 12.0 C" in text
    assert "has 8.79 kW nominal (19 C wet bulb in, 35 C outdoors)" in text
    for wrong in ("in. w.c.", " cfm", "Btu", " F ", "sqrt"):
        assert wrong not in text, wrong


def test_plan_says_the_part_and_the_static_of_a_setting() -> None:
    # 0.48 at 1,380 cfm, filter 0.15 of it, plate 0.5. A target of 1,130 cfm: 0.33 x (1,130 / 1,380)^2 = 0.2213, the
    # filter 0.1006 to 0.1228: 0.32 to 0.34
    head = HEAD.replace("as left: {SW1: 10010100}", "as found: {SW1: 00000000}\ntargets: {cooling: 1130 cfm}")
    head = head.replace("heat: {kind: gas}\n", "")
    ports = "before filter: -0.05 in. w.c., after filter: -0.20 in. w.c., before coil: 0.28 in. w.c."
    one = house(f"{head}measurements:\n- {{call: cooling second, minutes: 20, method: static, {ports}}}\n")
    lines = static_lines(plan(one).solution)
    assert lines[-1].startswith("static, cooling second: expect 0.32 to 0.34 in. w.c. at 1,130 cfm, now 0.48 in. w.c.")
    assert lines[-1].endswith("with filter, coil, dampers and zones as they were read.")
    over = house(f"{head}measurements:\n- {{call: cooling second, minutes: 20, method: static, {PORTS}}}\n")
    first = part_lines(plan(over).solution)[0]
    assert first.startswith(
        "cooling second: look at the filter first: 0.20 in. w.c., 0.10 over its usual share of 0.10"
    )
