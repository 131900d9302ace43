"""What-ifs beside the plan: what differs alone, each planned as if it had been typed."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from selector.published import shape
from tests.cli.test_cli import run

HOUSE = ("corvane-k14", "model=080", "tons=3", "stages=70 %", "heat input=80 MBH", "rise=35 to 65 F")


def asked(*also: str, facts: tuple[str, ...] = HOUSE) -> list[str]:
    words = [word for one in also for word in ("--also", one)]
    done = run("plan", *facts, *words)
    assert done.returncode in (0, 1), done.stderr
    return done.stdout.splitlines()


def row(lines: list[str], name: str) -> list[str]:
    return next(line for line in lines if line.startswith(name)).removeprefix(name).split()


def test_tons_move_the_targets_of_cooling_alone() -> None:
    """400 cfm/ton: 3 x 400 = 1,200, 2.5 x 400 = 1,000; heating's target doesn't hang on tons."""
    lines = asked("tons=2.5")
    assert row(lines, "cooling second target") == ["1,200", "1,000"]
    assert not [line for line in lines if line.startswith("heating") and "target" in line]


def test_a_fact_of_the_line_is_replaced_and_not_typed_twice() -> None:
    assert row(asked("tons=2.5"), "") != []
    assert run("plan", *HOUSE, "tons=2.5").returncode == 1


def test_a_held_position_stands_in_its_own_column_alone() -> None:
    lines = asked("hold SW1-7=ON", facts=(*HOUSE, "hold SW1-7=OFF"))
    first, second = (marks.partition("=")[2] for marks in row(lines, "set"))
    assert (first[6], second[6]) == ("0", "1")


def test_several_facts_of_one_what_if_stand_behind_a_semicolon() -> None:
    """350 for a humid climate: 2.5 x 350 = 875."""
    assert row(asked("tons=2.5; climate=humid"), "cooling second target") == ["1,200", "875"]


def test_what_is_alike_is_not_shown() -> None:
    lines = asked("tons=3.0")
    assert "No difference: each gives the same setting, targets and airflows." in lines


def test_where_nothing_fits_the_closest_is_marked_and_the_reason_said() -> None:
    """SW1-1 to 7 OFF cools with 1,380 cfm (page 23), over 450 x 3 = 1,350."""
    lines = asked("hold SW1=00000000")
    assert "hold SW1=00000000: nothing fits; the closest is shown, do not set it." in lines
    assert run("plan", *HOUSE, "--also", "hold SW1=00000000").returncode == 1


def test_a_danger_of_a_what_if_is_said_with_its_name() -> None:
    lines = asked("seen=limit trips")
    assert any(line.startswith("seen=limit trips: DANGER: the limit is tripping") for line in lines)
    assert any("none until" in line for line in lines)


def test_a_danger_that_stops_the_work_leaves_nothing_to_compare() -> None:
    lines = asked("tons=2.5", facts=(*HOUSE, "seen=gas smell"))
    assert lines[0] == "DANGER: gas or CO. Everyone out."
    assert not any("tons=2.5" in line for line in lines)


def test_the_json_keeps_its_shape() -> None:
    done = run("plan", *HOUSE, "--also", "tons=2.5", "--also", "hold SW1=00000000", "--json")
    answer = json.loads(done.stdout)
    Draft202012Validator(shape("plan-also")).validate(answer)
    assert [one["label"] for one in answer["plans"]] == ["as typed", "tons=2.5", "hold SW1=00000000"]
    assert answer["plans"][2]["best"] is None


@pytest.mark.parametrize("more", [["--details"], ["--why"], ["--save", "x.yaml"]])
def test_what_belongs_to_one_plan_is_refused(more: list[str], tmp_path: Path) -> None:
    done = run("plan", *HOUSE, "--also", "tons=2.5", *[w.replace("x.yaml", str(tmp_path / "x.yaml")) for w in more])
    assert done.returncode == 2
    assert not list(tmp_path.iterdir())


def test_a_high_rise_on_heat_that_nobody_measured_is_told() -> None:
    """Common practice, no source: a high rise is offered with clocked input alone; the mid rise stands."""
    (line,) = [one for one in asked("aim=high rise") if one.startswith("Note, aim=high rise")]
    assert "only on clocked heat" in line


def test_a_what_if_may_hold_a_selector_elsewhere_than_it_was_found() -> None:
    """Saltmarsh page 9: with J1 on 2 the nearest to 3 x 400 = 1,200 cfm is c, 985; else 4 a, 1,215."""
    found = ("saltmarsh-12", "tons=3", "heat kind=heat pump", "found J1=3 J2=b J3=1 J4=none J5=1 LK1=whole")
    lines = asked("hold J1=2", facts=found)
    assert next(line.split() for line in lines if line.startswith("set ")) == ["set", "J1=4", "J2=a", "J1=2", "J2=c"]
    assert any(line.startswith("cooling expect") and "1,215 cfm" in line and "985 cfm" in line for line in lines)
    assert "selector plan --also" in run("plan", *found, "hold J1=2").stderr


def test_many_what_ifs_keep_their_labels_above_them() -> None:
    """Five columns of some 25 letters: more than fit in 80 (and in 40 two stand alone); every column has its label, and
    what `off target in all` adds is said."""
    labels = ["tons=2.5", "hold SW1-3=ON", "climate=dry", "aim=high rise"]
    done = run("plan", *HOUSE, *[word for label in labels for word in ("--also", label)], env={"COLUMNS": "80"})
    lines = done.stdout.splitlines()
    heads = [n for n, line in enumerate(lines) if n and not lines[n - 1] and line.startswith(" " * 10)]
    assert [label for n in heads for label in ["as typed", *labels] if label in lines[n]] == ["as typed", *labels]
    assert all(lines[n + 1].startswith("set ") for n in heads)
    assert all(len(line) <= 80 for line in lines)
    assert any(line.startswith("Off target in all: the distances of cooling second") for line in lines)
