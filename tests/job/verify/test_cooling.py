"""The verdict on a measured coil, worked by hand on the Corvane page.

080, SW1 = 1 0 0 1 0 1 0 0: cooling second 1,130 - 6 % = 1,062.2 cfm (page 23); 3 tons are 36,000 Btu/h. Moist air: from
the ASHRAE psychrometric chart (from memory), 28.4 Btu/lb at 75 F with 63 F wet bulb, 31.5 at 80 F with 67.
"""

from __future__ import annotations

from typing import Any

import pytest

from selector.answers.verify.answer import verify
from selector.job.file.report import Report
from tests.helpers.judging import answered, line_with

HEAD = """table: corvane-k14
model: 080
site: {plate static: 0.8 in. w.c.}
heat: {kind: gas}
outdoor unit: {capacity: 3 tons, stages: {first: 70 %, second: 100 %}}
as left: {SW1: 10010100}
"""
HOOD = "call: cooling second, minutes: 20, method: hood, airflow: 1080 cfm"
RATED = "return air: 80 F, return wet bulb: 67 F"


def judged(*readings: str, head: str = HEAD) -> Report:
    return answered(verify, head + "measurements:\n" + "".join(f"- {{{one}}}\n" for one in readings))


def coil(report: Report) -> Any:
    return report.data["states"][0]["cooling"]  # type: ignore[index]


def steps(report: Report) -> str:
    return " ".join(report.data["states"][0]["next"]["steps"])  # type: ignore[index]


def test_a_low_capacity_on_the_right_airflow_is_other_work() -> None:
    # 80/67 in, 64/61 out: 31.5 - 27.1 = 4.4 Btu/lb x 4.5 x 1,080 = 21,400 Btu/h, 41 % below 36,000
    report = judged(f"{HOOD}, {RATED}, supply air: 64 F, supply wet bulb: 61 F")
    assert report.lines[0] == "OK, cooling second: as set, within limits."
    assert report.lines[1].startswith("LOW, cooling second: delivers 21,")
    assert "% below the stage's 36,000 Btu/h." in report.lines[1]
    assert coil(report)["delivered"]["value"] == pytest.approx(21_400, rel=0.03)
    assert "charge, metering and coil are other work (licensed)" in steps(report)
    assert report.exit_code == 1


def test_a_capacity_inside_the_band_is_no_verdict_on_the_charge() -> None:
    # 80/67 in, 59/57.5 out: 31.5 - 24.8 = 6.7 x 4,860 = 32,600, 9 % below: inside
    report = judged(f"{HOOD}, {RATED}, supply air: 59 F, supply wet bulb: 57.5 F")
    assert coil(report)["verdict"] == "OK"
    assert coil(report)["delivered"]["value"] == pytest.approx(32_600, rel=0.03)
    assert "says nothing of the charge" in steps(report)
    assert report.exit_code == 0


def test_low_airflow_comes_before_the_coil() -> None:
    # 800 cfm of 1,062 is 25 % low: 4.5 x 800 x (31.5 - 25.1) = 23,000, 36 % below
    report = judged(
        f"call: cooling second, minutes: 20, method: hood, airflow: 800 cfm, {RATED}, supply air: 60 F,"
        " supply wet bulb: 58 F"
    )
    assert report.lines[0].startswith("LOW, cooling second: 24.7 % below the setting")
    assert report.lines[1].startswith("LOW, cooling second: delivers 2")
    assert "Airflow and static come first" in steps(report)
    assert "charge, metering" not in steps(report)


def test_a_high_split_without_an_airflow_asks_for_it() -> None:
    # sensible share 75 %: 27,000 / (1.08 x 1,062.2) = 23.5 F; 30 F is 27 % over
    head = HEAD.replace("capacity: 3 tons,", "capacity: 3 tons, sensible share: 75 %,")
    report = judged("call: cooling second, minutes: 20, method: split, return air: 75 F, supply air: 45 F", head=head)
    assert report.lines[0] == "HIGH, cooling second: split 30.0 F, 6.5 F over the 23.5 F expected."
    assert steps(report).startswith("Measure the airflow before anybody touches the charge. A high split is low air")
    low = judged("call: cooling second, minutes: 20, method: split, return air: 75 F, supply air: 61 F", head=head)
    assert low.lines[0] == "LOW, cooling second: split 14.0 F, 9.5 F below the 23.5 F expected."
    fits = judged("call: cooling second, minutes: 20, method: split, return air: 75 F, supply air: 53 F", head=head)
    assert fits.lines[0] == "OK, cooling second: split 22.0 F, expected 23.5 F, inside +/-15 %."
    assert "The airflow was not measured" in steps(fits)


def test_the_stage_s_own_capacity_counts() -> None:
    # first stage: 70 % of 36,000 = 25,200 Btu/h
    report = judged(
        "call: cooling first, minutes: 20, method: hood, airflow: 700 cfm, return air: 80 F, return wet bulb: 67 F,"
        " supply air: 59 F, supply wet bulb: 57 F"
    )
    assert coil(report)["capacity"]["value"] == 25_200


def test_a_capacity_of_the_maker_s_table_goes_before_the_nominal_one() -> None:
    report = judged(f"{HOOD}, {RATED}, supply air: 64 F, supply wet bulb: 61 F, capacity: 22 MBH")
    assert coil(report)["verdict"] == "OK"
    assert line_with(report, "has") == "has 22,000 Btu/h by the maker's table, as typed"


def test_drier_air_than_the_rating_widens_the_band_below() -> None:
    # 63 F wet bulb: 4 F under 67, 2 % each: -23 to +15 %
    report = judged(f"{HOOD}, return air: 75 F, return wet bulb: 63 F, supply air: 56 F, supply wet bulb: 54 F")
    assert report.lines[1].endswith("of 36,000 Btu/h, inside -23 to +15 %.")


def test_what_is_not_known_says_what_settles_it() -> None:
    bare = "call: cooling second, minutes: 20, method: split, return air: 75 F, supply air: 56 F"
    report = judged(bare)
    assert report.lines[0] == ("No verdict, cooling second: split 19.0 F, but the return air's wet bulb is not known.")
    assert steps(report) == "Read the return air's wet bulb, or its humidity, with the split."
    untold = judged(
        bare, head=HEAD.replace("outdoor unit: {capacity: 3 tons, stages: {first: 70 %, second: 100 %}}\n", "")
    )
    assert untold.lines[0].endswith("but the tons of this stage are not known.")
    assert steps(untold).endswith("Add tons=.. and stages=.. (from the outdoor unit).")


def test_at_5000_ft_the_mass_counts() -> None:
    # a vane reads volume: 1,080 x 0.832 = 898.7 standard cfm; enthalpies at 12.23 psia are higher for the same bulbs
    head = HEAD.replace("plate static: 0.8 in. w.c.", "plate static: 0.8 in. w.c., altitude: 5000 ft").replace(
        "model: 080", "model: 080\nmotor: constant airflow"
    )
    report = judged(
        f"call: cooling second, minutes: 20, method: vane, airflow: 1080 cfm, {RATED}, supply air: 59 F,"
        " supply wet bulb: 57.5 F",
        head=head,
    )
    assert coil(report)["airflow"]["value"] == pytest.approx(898.7, abs=0.5)
