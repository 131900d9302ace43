"""What a visit reads of the heat holds for every command: worked by hand on the page of Brindlemoor."""

from __future__ import annotations

import pytest

from selector.answers.house.plan import plan_report
from selector.job.plan.plan import plan
from tests.helpers.judging import answered, as_found_report, house

# page 33 and the ratings: S100 95 %, 35 to 65 F; 100,000 Btu/h less 20 % for 5,000 ft
HEAD = """table: brindlemoor-16s
model: S100
site: {altitude: 5000 ft}
outdoor unit: {capacity: 4 tons}
heat: {kind: gas, derate: from sea level}
as found: {SW1: 0000000000010000, SW2: OPEN OPEN OPEN OPEN}
"""
READ = "{{call: heating {}, minutes: 15, method: clocked gas, volume: 2 ft3, time: {} s, heat of gas: 830 Btu/ft3}}"
AT_FIRST = f"{HEAD}measurements:\n- {READ.format('second', 85)}\n"
LATER = f"{AT_FIRST}visits:\n- date: 2026-12-03\n  measurements:\n  - {READ.format('second', 75)}\n"


def delivered(text: str, stage: str = "second") -> float:
    heat = house(text).aim("heating", stage).heat
    assert heat is not None
    return round(float(heat.value), 1)


def test_the_newest_clocking_counts_whichever_visit_read_it() -> None:
    # 3600 x 2 / 85 x 830 x .95 = 66,790.6; in 75 s 75,696
    assert delivered(AT_FIRST) == 66_790.6
    assert delivered(LATER) == 75_696.0


def test_an_older_clocking_stays_where_the_last_visit_read_none() -> None:
    # the marks were moved: the meter doesn't go by them
    moved = f"{AT_FIRST}visits:\n- date: 2026-12-03\n  as left: {{SW1-9: ON}}\n"
    assert delivered(moved) == 66_790.6


def test_each_stage_has_its_own_clocking() -> None:
    # the first stage in 130 s: 3600 x 2 / 130 x 830 x .95 = 43,670.8; by the page's 65 % it would be 49,202.4
    both = f"{LATER}  - {READ.format('first', 130)}\n"
    assert delivered(both) == 75_696.0
    assert delivered(both, "first") == 43_670.8
    assert delivered(LATER, "first") == 49_202.4


@pytest.mark.parametrize("command", ["plan", "found"])
def test_a_command_that_offers_settings_goes_by_it(command: str) -> None:
    # 75,696 / (1.08 x 65) = 1,078.3 and / (1.08 x 35) = 2,002.5
    report = answered(as_found_report if command == "found" else lambda h: plan_report(plan(h), columns=400), LATER)
    line = next(line for line in report.lines if line.strip().startswith("heating second"))
    assert "1,078 to 2,003" in line


def test_without_an_efficiency_an_input_gives_no_heat_and_the_plate_stands() -> None:
    # Tarnwick G prints outputs alone
    text = f"""table: tarnwick-g
model: G60
heat: {{kind: gas, output: 55 MBH}}
measurements:
- {READ.format("high", 85)}
"""
    assert delivered(text, "high") == 55_000.0
