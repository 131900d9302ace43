"""What `visits` says and answers under --json."""

from __future__ import annotations

import json
from pathlib import Path

from jsonschema import Draft202012Validator

from selector.answers.visits.answer import visits_report
from selector.job.file.read import job_from_text, load_job
from selector.job.file.report import Report
from selector.job.targets.house import table_of
from selector.job.visits.owed import unit_record
from selector.published import shape
from tests.job.visits.test_changes import HOUSE, hood

ROOT = Path(__file__).parents[3]
EXAMPLES = sorted((ROOT / "tests" / "examples" / "visits").glob("*.yaml"))


def answer(text: str) -> Report:
    job, _ = job_from_text(text)
    return visits_report(unit_record(job, table_of(job)))


def test_the_json_keeps_its_shape() -> None:
    for path in EXAMPLES:
        job, _ = load_job(str(path))
        data = visits_report(unit_record(job, table_of(job))).data
        Draft202012Validator(shape("visits")).validate(json.loads(json.dumps(data)))


def test_what_moved_comes_before_what_changed_and_figures_last() -> None:
    job, _ = load_job(str(EXAMPLES[0]))
    lines = list(visits_report(unit_record(job, table_of(job))).lines)
    text = "\n".join(lines)
    order = [
        "SW1-6 was left OFF and found ON: somebody moved it.",
        "restriction on the return side.",
        "Do: Look at filter, return grilles and return duct. Then measure again.",
        "static         0.52 -> 0.71 in. w.c., 0.19 up",
        "Visits",
        "Verified: cooling second (2027-07-02) and heating second (2028-01-12).",
        "Owed",
    ]
    places = [text.index(one) for one in order]
    assert places == sorted(places)
    assert max(map(len, lines)) <= 80


def test_a_danger_comes_first_and_stops_the_rest() -> None:
    found = answer(HOUSE + hood(1190) + "visits:\n  - date: 2027-11-02\n    seen: gas smell\n")
    assert found.lines[1] == "DANGER: gas or CO. Everyone out."
    assert found.exit_code == 1
    assert "Visits" not in found.lines


def test_one_visit_has_nothing_to_be_compared_with() -> None:
    found = answer(HOUSE + hood(1190))
    assert "One visit so far: nothing to compare it with." in found.lines
    assert found.exit_code == 0


def test_other_marks_are_said_with_both_airflows() -> None:
    """1,130 cfm with and without +6 % (page 23): 1,190 x 1,130 / 1,197.8 = 1,123 cfm to expect."""
    later = "visits:\n  - date: 2027-11-02\n    as left: {SW1: 10010000}\n    measurements:\n    "
    found = answer(HOUSE + hood(1190) + later + hood(1120))
    assert "airflow  1,190, at the setting now 1,123 -> 1,120 cfm, no change to be seen" in "\n".join(found.lines)
