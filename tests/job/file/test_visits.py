"""Visits in a job file: read, written back, their dates and words checked."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
import yaml
from jsonschema import Draft202012Validator

from selector.job.file.model import Job
from selector.job.file.read import job_from_text, load_job
from selector.job.file.text import job_text
from selector.problems import Problem, Refused

ROOT = Path(__file__).parents[3]
EXAMPLES = sorted((ROOT / "tests" / "examples" / "visits").glob("*.yaml"))
HEAD = "format: selector job 1\ndate: 2026-11-30\n"


def problems_of(text: str) -> tuple[Problem, ...]:
    with pytest.raises(Refused) as refused:
        job_from_text(text, "house.yaml")
    return refused.value.problems


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.stem)
def test_a_job_with_visits_is_written_back_as_it_was_read(path: Path) -> None:
    job, _ = load_job(str(path))
    assert job.visits
    again, _ = job_from_text(job_text(job))
    assert again == job


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.stem)
def test_the_schema_takes_it(path: Path) -> None:
    """Read as JSON has it: a general reader of YAML makes a date of a date, which JSON has no word for."""
    schema = json.loads((ROOT / "schemas" / "job.json").read_text(encoding="utf-8"))
    tree = json.loads(json.dumps(yaml.safe_load(path.read_text(encoding="utf-8")), default=str))
    Draft202012Validator(schema).validate(tree)


def test_a_job_of_old_has_no_visits() -> None:
    job, _ = job_from_text("format: selector job 1\ntable: corvane-k14\n")
    assert job.visits == ()
    assert job.date is None
    assert isinstance(job, Job)


@pytest.mark.parametrize(
    ("typed", "line", "code", "help"),
    [
        ("visits:\n  - date: 11/02/2027\n", 4, "not-a-date", "2027-11-02"),
        ("visits:\n  - date: 2027-02-30\n", 4, "not-a-date", "2027-11-02"),
        ("visits:\n  - date: 2026-11-30\n", 4, "dates-fall", "the oldest first"),
        ("visits:\n  - date: 2027-11-02\n  - date: 2027-05-02\n", 5, "dates-fall", "the oldest first"),
        ("visits:\n  - by: R. M.\n", 4, "missing-key", "date"),
        ("visits:\n  - date: 2027-11-02\n    cleared: it is fine now\n", 5, "seen-unknown", "gas smell"),
    ],
)
def test_a_slip_in_a_visit_is_named_at_its_line(typed: str, line: int, code: str, help: str) -> None:
    found = problems_of(HEAD + typed)
    assert [(p.line, p.code) for p in found] == [(line, code)]
    assert help in found[0].help + found[0].message
