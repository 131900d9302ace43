"""A folder of jobs: which files count, how far each unit has come, and nothing left out in silence."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from selector.answers.folder.answer import jobs_report
from selector.job.file.report import Report
from selector.job.folder.job_files import jobs_of
from selector.job.folder.unit_status import UnitStatus, status_of
from selector.published import shape
from tests.cli.test_cli import run
from tests.job.visits.test_changes import HOUSE, clocked, hood, static

PLANNED = HOUSE.replace("as left: {SW1: 10011000}\nmeasurements:\n", "")
RISES = "".join(
    f"  - {{call: heating {stage}, minutes: 15, method: rise, rise: 56 F}}\n" for stage in ("first", "second")
)
"""SW1-1 and SW1-5 ON: 1,180 x 1.06 = 1,250.8 cfm (page 23); 79,430 x .95 / (1.08 x 56) = 1,247.7 cfm."""


def status(folder: Path, name: str) -> UnitStatus:
    return status_of(str(folder / name), name)


def report(folder: Path, **how: bool) -> Report:
    jobs = jobs_of(str(folder))
    return jobs_report(jobs, [status_of(jobs.path(name), name) for name in jobs.names], **how)


def put(folder: Path, **texts: str) -> None:
    for name, text in texts.items():
        (folder / f"{name.replace('_', '-')}.yaml").write_text(text, encoding="utf-8")


@pytest.mark.parametrize(
    ("text", "state"),
    [
        (PLANNED, "planned"),
        (PLANNED + "targets: {cooling: 5000 cfm}\nwindows: {cooling: 4900 to 5100 cfm}\n", "no setting"),
        (HOUSE.replace("measurements:\n", ""), "set"),
        (HOUSE + hood(1190), "measured"),
        (HOUSE + clocked(94) + RISES + hood(1190) + static("0.20", "0.25"), "verified"),
        (HOUSE + clocked(94) + RISES + hood(700), "measured"),
        ("format: selector job 1\ntable: corvane-k14\nmodel: 999\n", "not readable"),
        ("format: selector job 1\ntable: corvane-k14\nwhatever: 1\n", "not readable"),
    ],
)
def test_how_far_a_unit_has_come(tmp_path: Path, text: str, state: str) -> None:
    put(tmp_path, house=text)
    assert status(tmp_path, "house.yaml").state == state


def test_of_several_versions_the_newest_counts_and_the_others_are_named(tmp_path: Path) -> None:
    put(tmp_path, hill=PLANNED, hill_2=PLANNED + "as left: {SW1: 10011000}\n", hill_10=HOUSE + hood(1190))
    found = jobs_of(str(tmp_path))
    assert found.names == ("hill-10.yaml",)
    assert {(one.name, one.instead) for one in found.left_out} == {
        ("hill.yaml", "hill-10.yaml"),
        ("hill-2.yaml", "hill-10.yaml"),
    }
    text = " ".join(" ".join(report(tmp_path).lines).split())
    assert "Older versions, left out: hill.yaml (hill-10.yaml is newer), hill-2.yaml (hill-10.yaml is newer)." in text


def test_a_numbered_house_of_its_own_is_no_version(tmp_path: Path) -> None:
    """Unit 2 in the same street, and units that begin at 2."""
    other = "format: selector job 1\ntable: wickerby-5\nplace: the other one\noutdoor unit: {capacity: 2 tons}\n"
    put(tmp_path, hill=PLANNED, hill_2=other, dale_2=PLANNED, dale_3=PLANNED)
    assert jobs_of(str(tmp_path)).names == ("dale-2.yaml", "dale-3.yaml", "hill.yaml", "hill-2.yaml")


def test_nothing_is_left_out_in_silence(tmp_path: Path) -> None:
    put(tmp_path, good=PLANNED, table="format: selector table 1\n", broken="format: selector job 1\nwhatever: 1\n")
    (tmp_path / "notes.txt").write_text("x")
    text = "\n".join(report(tmp_path).lines)
    assert "2 jobs in" in text
    assert "broken.yaml: " in text
    assert "Not jobs, left out: table.yaml." in text
    assert report(tmp_path).exit_code == 1


def test_a_danger_of_any_house_comes_first(tmp_path: Path) -> None:
    put(tmp_path, a=PLANNED, b=HOUSE + hood(1190) + "seen: gas smell\n")
    found = report(tmp_path)
    assert found.lines[0] == "b.yaml: DANGER: gas or CO. Everyone out."
    assert found.exit_code == 1


def test_side_by_side_has_target_expected_measured_and_verdict(tmp_path: Path) -> None:
    """3 x 400 = 1,200 aimed at; 1,130 + 6 % = 1,198 expected (page 23); 1,190 read."""
    put(tmp_path, hill=HOUSE + hood(1190))
    row = next(line for line in report(tmp_path, details=True).lines if "cooling second" in line)
    assert row.split() == ["hill", "cooling", "second", "1,200", "1,198", "cfm", "1,190", "cfm", "OK"]


def test_the_json_keeps_its_shape(tmp_path: Path) -> None:
    put(tmp_path, hill=HOUSE + hood(1190), broken="format: selector job 1\nwhatever: 1\n", planned=PLANNED)
    data = report(tmp_path).data
    Draft202012Validator(shape("jobs")).validate(json.loads(json.dumps(data)))
    assert data["counts"] == {
        "not readable": 1, "no setting": 0, "planned": 1, "set": 0, "measured": 1, "verified": 0,
    }  # fmt: skip


def test_an_empty_folder_is_no_fault(tmp_path: Path) -> None:
    assert report(tmp_path).exit_code == 0


def test_the_command_takes_a_folder_and_nothing_else(tmp_path: Path) -> None:
    put(tmp_path, hill=HOUSE + hood(1190))
    assert run("jobs", str(tmp_path)).returncode == 0
    assert run("jobs", str(tmp_path / "hill.yaml")).returncode == 2
