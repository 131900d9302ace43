"""Example jobs from facts to a verified record, and those that must not get one."""

from __future__ import annotations

from pathlib import Path

import pytest

from selector.answers.house.found import found_report
from selector.answers.house.plan import plan_report
from selector.answers.verify.answer import verify
from selector.job.as_found.as_found import as_found
from selector.job.file.read import load_job
from selector.job.plan.plan import plan
from selector.job.targets.house import house_of

EXAMPLES = Path(__file__).parents[2] / "examples"
RECORDS = sorted((EXAMPLES / "records").glob("*.yaml"))
MUST_NOT = {
    "not-nothing-fits": "No setting gives heating",
    "not-shared-trim": "SW1-5 and SW1-6 change both",
    "not-static-above-plate": "0.93 in. w.c.",
    "not-the-declared-heater": "J4",
}
"""Job -> a word of the reason that is given."""


@pytest.mark.parametrize("path", RECORDS, ids=lambda p: p.stem)
def test_a_job_goes_from_facts_to_a_verified_record(path: Path) -> None:
    job, _ = load_job(str(EXAMPLES / "jobs" / path.name))
    planned = plan_report(plan(house_of(job)))
    assert planned.exit_code == 0
    record, problems = load_job(str(path))
    assert not problems
    assert "as left" in path.read_text(encoding="utf-8")
    verdict = verify(house_of(record))
    assert verdict.exit_code == 0, verdict.lines
    assert all(line.startswith("OK, ") for line in verdict.lines[: verdict.lines.index("")])


def test_there_are_six() -> None:
    assert len(RECORDS) == 6


@pytest.mark.parametrize(("name", "reason"), MUST_NOT.items())
def test_a_job_that_must_not_is_told_why(name: str, reason: str) -> None:
    job, _ = load_job(str(EXAMPLES / "jobs" / f"{name}.yaml"))
    house = house_of(job)
    reports = [plan_report(plan(house_of(job)), columns=400)]
    if job.measurements:
        reports.append(verify(house))
    if house.known.found is not None:
        reports.append(found_report(as_found(house), columns=400))
    assert any(r.exit_code == 1 for r in reports)
    assert any(reason in line for r in reports for line in r.lines), [line for r in reports for line in r.lines]


def test_the_measured_airflow_is_the_one_worked_by_hand() -> None:
    """64,000 x 95 % = 60,800 Btu/h; 60,800 / (1.08 x (122 - 70)) = 1,082.6 cfm. 1,240 cfm x 0.832 = 1,032 cfm of
    standard air at 5,000 ft."""
    record, _ = load_job(str(EXAMPLES / "records" / "gas-two-stage-altitude.yaml"))
    text = "\n".join(verify(house_of(record)).lines)
    assert "= 1,083 cfm" in text
    assert "= 1,032 cfm" in text
