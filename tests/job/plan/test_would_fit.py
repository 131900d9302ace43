"""What would make it fit, and what is said of a target outside its own limits: worked by hand."""

from __future__ import annotations

from selector.answers.house.plan import plan_report
from selector.job.danger.house import hazards_of_board
from selector.job.file.read import job_from_text
from selector.job.plan.plan import Plan, plan
from selector.job.targets.house import house_of

HEAD = "format: selector job 1\n"


def planned(text: str) -> Plan:
    return plan(house_of(job_from_text(HEAD + text)[0]))


def lines(found: Plan) -> list[str]:
    return [line.strip() for line in plan_report(found, columns=400).lines]


def test_the_greatest_nozzle_for_the_airflow_there_is() -> None:
    """1.10 gph x sqrt(1.4) x 140,000 x .85 = 154,883 Btu/h takes 1,912.1 cfm at 75 F; the board stops at 1,850:
    1.10 x 1,850 / 1,912.1 = 1.064 gph, cut to what keeps the limit."""
    found = planned(
        "table: eskerby-oil\noutdoor unit: {capacity: 3 tons}\n"
        "heat: {kind: oil, nozzle: 1.10 gph, pump pressure: 140 psi}\n"
    )
    assert found.solution.best is None
    said = lines(found)
    assert "heating: with 1,850 cfm at most 1.06 gph." in said
    assert any(line.startswith("A limit to know: never change") for line in said)


def test_the_least_filter_for_the_least_airflow() -> None:
    """3 tons x 300 = 900 cfm at 300 fpm take 3 ft2; 2 ft2 let 600 through: 300 short."""
    found = planned(
        "table: corvane-k14\nmodel: 060\noutdoor unit: {capacity: 3 tons, stages: 66 %}\n"
        "ceilings: {filter: {area: 2 ft2, velocity: 300 fpm, calls: cooling}}\n"
    )
    assert found.solution.best is None
    assert "cooling second: filter of at least 3.00 ft2." in lines(found)


def test_another_model_of_the_table_that_would_fit() -> None:
    """5 tons take 1,500 to 2,250 cfm. The 060 gives 1,150 x 1.06 = 1,219 at most, the 080 1,520 x 1.06 = 1,611, the 110
    2,080 x 1.06 = 2,204.8."""
    found = planned("table: corvane-k14\nmodel: 060\noutdoor unit: {capacity: 5 tons}\n")
    assert found.solution.best is None
    assert "Model 080 or 110 of this table would fit, everything else as it is." in lines(found)


def test_a_target_over_its_own_limit_is_said() -> None:
    """3 tons x 500 = 1,500 against 3 x 450 = 1,350."""
    found = planned("table: corvane-k14\nmodel: 080\noutdoor unit: {capacity: 3 tons, airflow per ton: 500 cfm/ton}\n")
    said = "cooling second: the target 1,500 cfm is over its own maximum, 1,350 cfm (450 cfm/ton, assumed)."
    assert said in lines(found)


def test_return_air_under_the_plates_least_is_a_warning() -> None:
    house = house_of(
        job_from_text(
            f"{HEAD}table: corvane-k14\nmodel: 080\nsite: {{return air: 50 F}}\nheat: {{least return: 55 F}}\n"
        )[0]
    )
    (one,) = hazards_of_board(house, None)
    assert (one.what, one.row.level) == ("return under", "WARNING")
