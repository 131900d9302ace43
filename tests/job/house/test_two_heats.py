"""Two heats in one house: a heat pump with a burner or with heaters in stages. Common practice, no source: compressor
and burner never together but as the maker's defrost allows; a heat pump's own floor, 325 cfm/ton where none is typed.
"""

from __future__ import annotations

import pytest

from selector.air.figure import Figure
from selector.answers.house.plan import plan_report
from selector.answers.remarks.remark import remark_text
from selector.job.file.read import job_from_text
from selector.job.file.text import job_text
from selector.job.plan.plan import plan
from selector.job.targets.house import House
from selector.problems import Refused
from tests.helpers.judging import house

DUAL = """table: corvane-k14
model: 080
site: {altitude: 0 ft}
outdoor unit: {capacity: 3 tons, stages: {first: 70 %, second: 100 %}}
heat: {kind: dual fuel, balance point: 30 F}
"""
PUMP = """table: quillhaven-p
site: {altitude: 0 ft, return air: 70 F}
outdoor unit: {capacity: 3 tons, stages: {low: 70 %, high: 100 %}}
facts: {motor: M}
"""


def notes(one: House) -> str:
    return "; ".join(remark_text(note, one.table) for note in one.notes)


def heat_of(one: House, call: str, stage: str = "") -> Figure:
    found = one.aim(call, stage).heat
    assert found is not None
    return found


def test_dual_fuel_is_gas_with_its_meter_and_a_heat_pump_with_its_floor() -> None:
    one = house(DUAL)
    # 80,000 x 95 % = 76,000 Btu/h (the plate); 325 x 3 = 975 where cooling alone has 300 x 3 = 900
    assert heat_of(one, "heating", "second").value == 76_000
    low = one.aim("cooling", "second").low
    assert low is not None
    assert low.figure.value == 975
    plain = house(DUAL.replace("dual fuel, balance point: 30 F", "gas")).aim("cooling", "second").low
    assert plain is not None
    assert plain.figure.value == 900
    assert "outdoor thermostat 30 F: heat pump above it, burner below" in notes(one)
    assert "never run together" in notes(one)
    assert any("clock the meter" in line for line in plan_report(plan(one)).lines)


def test_an_outdoor_thermostat_that_is_not_stated_is_asked_for() -> None:
    assert "set `balance point`" in notes(house(DUAL.replace(", balance point: 30 F", "")))
    assert "balance point" not in notes(house(DUAL.replace("dual fuel, balance point: 30 F", "gas")))


@pytest.mark.parametrize("kind", ["hybrid", "heat pump + gas"])
def test_other_words_for_it(kind: str) -> None:
    with pytest.raises(Refused) as refused:
        house(DUAL.replace("dual fuel", kind))
    assert "dual fuel" in refused.value.problems[0].help


def test_auxiliary_heat_by_stage() -> None:
    # page 7: 5 is 4.8 kW, 10 is 9.6 kW. 36,000 + 4.8 x 3,412.14 = 52,378 in stage low, with 10
    # 68,757; a call of no stage has all of it on
    one = house(
        PUMP + "heat: {kind: heat pump + auxiliary, auxiliary: {low: 5 kW, high: 10 kW}, leaving limit: 125 F}\n"
    )
    assert round(heat_of(one, "heat pump with heater").value) == 68_757
    plain = house(PUMP + "heat: {kind: heat pump + auxiliary, auxiliary: 5 kW, leaving limit: 125 F}\n")
    assert round(heat_of(plain, "heat pump with heater").value) == 52_378


def test_the_thermostat_of_auxiliary_heat_is_named() -> None:
    one = house(PUMP + "heat: {kind: heat pump + auxiliary, auxiliary: 10 kW, balance point: 25 F}\n")
    assert "auxiliary heat only below 25 F outdoors, by the outdoor thermostat" in notes(one)


def test_they_are_written_as_they_were_read() -> None:
    text = "format: selector job 1\n" + PUMP + "heat: {auxiliary: {low: 5 kW, high: 10 kW}, balance point: 25 F}\n"
    job, _ = job_from_text(text)
    assert job_from_text(job_text(job))[0] == job
