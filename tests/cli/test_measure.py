"""Readings typed in the field: a new version of the job, the old one as it was, and the verdict."""

from __future__ import annotations

from pathlib import Path

import pytest

from selector.job.file.read import job_from_text
from selector.job.line.typed_line import TypedReading, typed_reading
from selector.job.readings.next_version import Added, next_name, with_added, with_visit
from selector.problems import Problem
from tests.cli.test_cli import run

JOB = """format: selector job 1
# the house on the hill
table: corvane-k14
model: 080
site: {plate static: 0.8 in. w.c.}
heat: {kind: gas}
as left: {SW1: 00000000}
measurements:
- {call: heating second, minutes: 12, method: rise, rise: 52 F}

# the end
notes: filter new
"""
"""Page 23: 080, SW1-1 OFF heats with 1,350 cfm; plate 35 to 65 F."""


@pytest.fixture
def job(tmp_path: Path) -> Path:
    path = tmp_path / "hill.yaml"
    path.write_text(JOB, encoding="utf-8")
    return path


def test_a_reading_makes_a_new_version_and_leaves_the_old_one(job: Path) -> None:
    # 70 F over the plate's 65 F: 5 F
    done = run("measure", str(job), "heating second rise=70 F minutes=15")
    assert done.stdout.startswith("DANGER, heating second: rise 70.0 F, 5.0 F over the plate's 65 F")
    assert done.returncode == 1
    assert job.read_text(encoding="utf-8") == JOB
    new = (job.parent / "hill-2.yaml").read_text(encoding="utf-8")
    for line in JOB.splitlines():
        assert line in new.splitlines()
    assert [len(job_from_text(text)[0].measurements) for text in (JOB, new)] == [1, 2]


def test_several_at_once_in_any_order_and_units(job: Path) -> None:
    done = run(
        "measure", str(job), "Y1 Y2 G minutes=20 static=130 Pa hood=557 L/s", "W1 G supply=120 F return=70 F min=12"
    )
    assert done.returncode in (0, 1), done.stderr
    added = job_from_text((job.parent / "hill-2.yaml").read_text(encoding="utf-8"))[0].measurements[1:]
    assert [(one.call.text, one.method.text) for one in added] == [("Y1 Y2 G", "hood"), ("W1 G", "rise")]
    # 557 L/s / 0.4719474432 = 1,180.2 cfm; 130 Pa / 249.08891 = 0.522 in. w.c. (NIST SP 811)
    assert round(float(added[0].values["airflow"].value), 1) == 1180.2
    assert round(float(added[0].values["static pressure"].value), 3) == 0.522
    assert "cooling second" in done.stdout
    assert "heating first" in done.stdout


def test_what_was_seen_comes_first(job: Path) -> None:
    done = run("measure", str(job), "seen=gas smell at the burner")
    assert done.stdout.startswith("DANGER: gas or CO. Everyone out.")
    assert "->" not in done.stdout


def test_nothing_is_written_over_and_versions_count_on(job: Path) -> None:
    for number in (2, 3):
        assert run("measure", str(job), "heating second rise=52 F minutes=15").returncode in (0, 1)
        assert (job.parent / f"hill-{number}.yaml").exists()
    done = run("measure", str(job), "heating second rise=52 F minutes=15", "--out", str(job.parent / "hill-2.yaml"))
    assert done.returncode == 2


@pytest.mark.parametrize(
    ("line", "code"),
    [
        ("heating second flue temp=300 F", "unknown-key"),
        ("rise=52 F minutes=15", "call-missing"),
        ("heating second", "nothing-read"),
        ("heating second minutes=15", "method-missing"),
    ],
)
def test_what_cannot_be_told_is_asked_for(job: Path, line: str, code: str) -> None:
    found = typed_reading(line)
    assert isinstance(found, Problem)
    assert found.code == code
    assert run("measure", str(job), line).returncode == 1
    assert [path.name for path in job.parent.iterdir()] == ["hill.yaml"]


@pytest.mark.parametrize(
    ("line", "method"),
    [
        ("heating second rise=52 F minutes=15", "rise"),
        ("heating second volume=2 ft3 time=90 s heat of gas=1037 Btu/ft3 rise=52 F minutes=15", "clocked gas"),
        ("heater alone volts=236 amps=39 rise=29 F minutes=10", "electric"),
        ("cooling second return static=-0.2 in. w.c. supply static=0.3 in. w.c. minutes=20", "static"),
        ("cooling second flow plate=1150 cfm minutes=20", "flow plate"),
    ],
)
def test_the_method_is_told_by_what_was_read(line: str, method: str) -> None:
    found = typed_reading(line)
    assert isinstance(found, TypedReading)
    assert found.keys["method"] == method


ADDED = Added(readings=(("fan", {"method": "hood"}),), seen=("spillage",))


def test_a_file_without_measurements_gets_them_at_its_end() -> None:
    text = with_added(["format: selector job 1", "table: corvane-k14"], ADDED)
    assert text.splitlines()[2:] == ["measurements:", "  - call: fan", "    method: hood", "seen: |", "  spillage"]
    again = with_added(text.splitlines(), Added(readings=ADDED.readings, seen=("gas smell",)))
    assert again.splitlines()[2:] == [
        "measurements:",
        "  - call: fan",
        "    method: hood",
        "  - call: fan",
        "    method: hood",
        "seen: |",
        "  spillage",
        "  gas smell",
    ]


def test_a_visit_is_added_behind_the_others_and_to_its_own_date() -> None:
    text = with_visit(JOB.splitlines(), "2027-11-02", Added(left={"SW1": "10000000"}, done=("filter changed",)))
    visit = ["visits:", "  - date: 2027-11-02", "    as left:", "      SW1: 10000000", "    done: |"]
    assert text.splitlines() == [*JOB.splitlines(), *visit, "      filter changed"]
    again = with_visit(text.splitlines(), "2027-11-02", Added(done=("coil cleaned",), readings=ADDED.readings))
    assert again.splitlines()[len(JOB.splitlines()) :] == [
        *visit,
        "      filter changed",
        "      coil cleaned",
        "    measurements:",
        "      - call: fan",
        "        method: hood",
    ]
    later = with_visit(again.splitlines(), "2028-11-02", Added(by="R. M."))
    assert later.splitlines() == [*again.splitlines(), "  - date: 2028-11-02", "    by: R. M."]
    assert [v.date.text for v in job_from_text(later)[0].visits] == ["2027-11-02", "2028-11-02"]


def test_the_date_of_the_first_visit_is_the_first_visit() -> None:
    lines = ["format: selector job 1", "date: 2026-11-30", "table: corvane-k14"]
    text = with_visit(lines, "2026-11-30", Added(done=("filter changed",)))
    assert text.splitlines() == [*lines, "done: |", "  filter changed"]


def test_keys_behind_the_visits_stay_behind_them() -> None:
    lines = ["format: selector job 1", "visits:", "- date: 2027-11-02", "  done: x", "", "# the end", "notes: y"]
    text = with_visit(lines, "2028-01-01", Added(done=("z",)))
    assert text.splitlines() == [
        *lines[:4],
        "- date: 2028-01-01",
        "  done: |",
        "    z",
        *lines[4:],
    ]


def test_a_visit_in_braces_is_left_to_the_person(job: Path) -> None:
    job.write_text(JOB + "visits:\n  - {date: 2027-11-02, done: x}\n", encoding="utf-8")
    done = run("measure", str(job), "--visit", "2027-11-02", "done=y")
    assert done.returncode == 2
    assert "in braces" in done.stderr
    assert [path.name for path in job.parent.iterdir()] == ["hill.yaml"]


def test_a_visit_says_what_changed_and_which_switch_was_moved(job: Path) -> None:
    """Rise 52 F then, 60 F now: further apart than 2 F and 2 F; the input was never clocked."""
    done = run(
        "measure", str(job), "--visit", "2027-11-02", "found SW1=00000010", "left SW1=00000000",
        "heating second rise=60 F minutes=15", "by=R. M.",
    )  # fmt: skip
    assert done.returncode in (0, 1), done.stderr
    assert "SW1-7 was left OFF and found ON: somebody moved it." in done.stdout
    assert "rise     52.0 -> 60.0 F, 8.0 up" in done.stdout
    assert "less air or more heat" in done.stdout
    assert "Do: Clock the meter first." in done.stdout
    assert job.read_text(encoding="utf-8") == JOB


def test_a_mark_that_stands_already_is_refused_and_nothing_written(job: Path) -> None:
    done = run("measure", str(job), "left SW1=10000000")
    assert done.returncode == 1
    assert [path.name for path in job.parent.iterdir()] == ["hill.yaml"]


def test_names_of_versions() -> None:
    assert next_name("a.yaml", ["a-2.yaml", "a-3.yaml"]) == "a-4.yaml"
    assert next_name("a-9.yml", []) == "a-10.yml"


@pytest.mark.parametrize(
    ("reading", "why"),
    [
        ("heating second supply=66 F return=118 F minutes=15", "is below return air"),
        ("heating second rise=52 F minutes=4", "6 minutes early"),  # gas: 10 minutes
        ("heating second rise=52 F", "doesn't say how long"),
        ("heating second rise=52 F minutes=15 panels=off", "panels off"),
        ("heating high rise=52 F minutes=15", "is not a call of this table"),
    ],
)
def test_a_reading_that_cannot_be_used_is_not_kept(job: Path, reading: str, why: str) -> None:
    alone = run("measure", str(job), reading)
    assert alone.returncode == 1
    assert why in alone.stderr
    assert [path.name for path in job.parent.iterdir()] == ["hill.yaml"]
    beside = run("measure", str(job), reading, "seen=limit trips", "cooling second hood=1180 cfm minutes=20")
    assert beside.returncode == 1
    assert "left out" in beside.stderr
    new = (job.parent / "hill-2.yaml").read_text(encoding="utf-8")
    assert "limit trips" in new
    assert [one.call.text for one in job_from_text(new)[0].measurements] == ["heating second", "cooling second"]


def test_an_early_reading_over_the_plate_is_kept(job: Path) -> None:
    # over the plate's 65 F at any time: stop (common practice, no source)
    done = run("measure", str(job), "heating second rise=72 F minutes=4")
    assert done.stdout.startswith("DANGER, heating second: rise 72.0 F, 7.0 F over")
    assert "rise: 72 F" in (job.parent / "hill-2.yaml").read_text(encoding="utf-8")


def test_a_danger_is_said_before_a_reading_that_cannot_be_read(job: Path) -> None:
    done = run("measure", str(job), "heating second rise=fifty minutes=15", "seen=gas smell")
    assert done.stderr.startswith("DANGER: gas or CO. Everyone out.")
    assert "fifty" in done.stderr


def test_what_is_put_right_belongs_to_a_visit(job: Path) -> None:
    done = run("measure", str(job), "cleared=iced coil")
    assert done.returncode == 2
    assert "add --visit today, or its date" in done.stderr
    assert [path.name for path in job.parent.iterdir()] == ["hill.yaml"]
