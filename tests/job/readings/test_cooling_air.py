"""The split and the air on both sides of a coil, as readings count them."""

from __future__ import annotations

import pytest

from selector.job.file.read import job_from_text
from selector.job.house.steady import ComingUp
from selector.job.readings.measurement import Taken, take
from selector.job.readings.reading_faults import ReadingState
from selector.job.remark import remark
from selector.problems import Refused
from selector.table.model.table import Call
from tests.job.readings.test_measurement import AT_ONCE

COOLING = Call(name="cooling", stages=("second",), airflow=(), terminals={"second": ("Y1", "Y2")})


def taken(line: str, more: str = "", *, cooling: bool = True, coming: ComingUp = AT_ONCE) -> Taken | list[str]:
    text = f"format: selector job 1\nmeasurements:\n- {{call: cooling second, {line}}}\n{more}"
    job, _ = job_from_text(text, "job.yaml")
    got = take(job.measurements[0], ReadingState(call=COOLING, stage="second", coming=coming, cooling=cooling), job)
    return got if isinstance(got, Taken) else [problem.code for problem in got]


def test_split_and_both_wet_bulbs() -> None:
    got = taken(
        "minutes: 20, method: split, return air: 75 F, return wet bulb: 63 F, supply air: 56 F, supply wet bulb: 54 F"
    )
    assert isinstance(got, Taken)
    assert got.air is not None
    assert got.air.split.value == 19
    assert got.air.entering is not None
    assert got.air.leaving is not None
    assert remark("probe not stated") in got.remarks
    # ASHRAE psychrometric chart (from memory): 75 F with 63 F wet bulb holds about 0.0096 lb/lb
    assert abs(float(got.air.entering.moisture.value) - 0.0096) < 0.0002


def test_a_humidity_stands_for_a_wet_bulb() -> None:
    # 75 F at 50 %: 0.0093 lb/lb at sea level (ASHRAE psychrometric chart, from memory); at 5,000 ft 1 / 0.832 of it
    line = "minutes: 20, method: split, return air: 75 F, return humidity: 50 %, supply air: 56 F"
    low, high = taken(line), taken(line, "site: {altitude: 5000 ft}\n")
    assert isinstance(low, Taken)
    assert isinstance(high, Taken)
    assert low.air is not None
    assert low.air.entering is not None
    assert high.air is not None
    assert high.air.entering is not None
    assert abs(float(low.air.entering.moisture.value) - 0.0093) < 0.0001
    assert abs(float(high.air.entering.moisture.value) - 0.0093 / 0.832) < 0.0002


def test_the_wet_bulb_of_the_house_is_taken_and_said() -> None:
    got = taken("minutes: 20, method: split, return air: 75 F, supply air: 56 F", "site: {return wet bulb: 63 F}\n")
    assert isinstance(got, Taken)
    assert got.air is not None
    assert got.air.entering is not None
    assert got.air.from_job == remark("wet bulb of the job", typed="63 F")


@pytest.mark.parametrize(
    ("line", "codes"),
    [
        ("minutes: 5, method: split, return air: 75 F, supply air: 56 F", ["too-early"]),
        ("minutes: 20, method: split, return air: 56 F, supply air: 75 F", ["split-reversed"]),
        ("minutes: 20, method: split, split: 12 F, return air: 75 F, supply air: 56 F", ["readings-contradict"]),
        ("minutes: 20, method: split, return air: 75 F", ["reading-incomplete"]),
        ("minutes: 20, method: split, return air: 75 F, supply air: 56 F, return wet bulb: 30 F", ["no-such-air"]),
    ],
)
def test_splits_that_don_t_count(line: str, codes: list[str]) -> None:
    assert taken(line) == codes


def test_a_heating_call_has_no_split() -> None:
    assert taken("minutes: 20, method: split, split: 19 F", cooling=False) == ["not-cooling"]
    swapped = "minutes: 20, method: split, return air: 75 F, supply air: 56 F"
    assert taken(swapped, cooling=False) == ["rise-reversed"]


def test_a_hood_read_early_counts_without_its_split() -> None:
    got = taken("minutes: 5, method: hood, airflow: 1100 cfm, return air: 75 F, supply air: 56 F")
    assert isinstance(got, Taken)
    assert got.flow is not None
    assert got.air is None
    assert remark("split too soon") in got.remarks


def test_a_traverse_is_the_mean_of_its_areas() -> None:
    # (620 + 655 + 640 + 605) / 4 x 20 x 12 / 144 = 1,050 cfm
    got = taken("minutes: 20, method: traverse, velocities: 620 655 640 605 fpm, duct area: 20 x 12 in")
    assert isinstance(got, Taken)
    assert got.flow is not None
    assert got.flow.airflow.value == 1050
    assert any(one.code == "few points" for one in got.remarks)
    # round: 3.14159 / 4 x (14 / 12)^2 = 1.0690 ft2 x 1,000 fpm
    around = taken("minutes: 20, method: traverse, velocities: 1000 fpm, duct area: 14 in round")
    assert isinstance(around, Taken)
    assert around.flow is not None
    assert round(float(around.flow.airflow.value)) == 1069
    # velocity pressures: 4005 sqrt(0.0256) = 640.8 fpm; at 5,000 ft standard = x sqrt(0.832) = 584.5, x 1.6667 ft2
    high = taken(
        "minutes: 20, method: traverse, velocities: 0.0256 in. w.c., duct area: 240 in2", "site: {altitude: 5000 ft}\n"
    )
    assert isinstance(high, Taken)
    assert high.flow is not None
    assert high.flow.basis == "standard"
    assert abs(float(high.flow.airflow.value) - 584.5 * 240 / 144) < 1
    assert taken("minutes: 20, method: traverse, velocities: 620 fpm") == ["reading-incomplete"]


@pytest.mark.parametrize("text", ["620 655", "fast", "620 655 furlongs", "-20 fpm"])
def test_velocities_that_can_t_be_read(text: str) -> None:
    with pytest.raises(Refused):
        taken(f"minutes: 20, method: traverse, velocities: {text}, duct area: 240 in2")
