"""The plan as people read it: short unless asked, wrapped to the width there is, the chain of one figure by its
name."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from selector.cli.jobs import wrapped_line
from selector.job.file.read import job_from_text, load_job
from selector.job.plan.plan import Plan, plan
from selector.job.plan.report import report_of
from selector.job.plan.why import asked_for, plan_figures, why_lines
from selector.job.targets.house import house_of

ROOT = Path(__file__).parents[3]
JOBS = sorted((ROOT / "tests" / "examples" / "jobs").glob("*.yaml"))
GAS = next(p for p in JOBS if p.stem == "gas-two-stage-altitude")


def selector(*words: str, columns: int | None = None) -> subprocess.CompletedProcess[str]:
    env = {name: value for name, value in os.environ.items() if name != "COLUMNS"}
    if columns is not None:
        env["COLUMNS"] = str(columns)
    return subprocess.run(
        [sys.executable, "-m", "selector", *words], capture_output=True, text=True, check=False, cwd=ROOT, env=env
    )


def planned(path: Path) -> Plan:
    return plan(house_of(load_job(str(path))[0]))


@pytest.mark.parametrize("path", JOBS, ids=lambda p: p.stem)
def test_the_short_plan_has_every_stage_once_in_targets_and_expected(path: Path) -> None:
    found = planned(path)
    lines = report_of(found).lines
    for one in found.house.aims:
        named = [line for line in lines if line.startswith(f"  {one.title}: ")]
        assert len(named) == 1, (one.title, named)
        if found.best is not None:
            assert (
                sum(line.startswith(f"  {one.title} ") and not line.startswith(f"  {one.title} aims") for line in lines)
                >= 1
            )
    details = report_of(found, details=True).lines
    assert len(lines) < len(details)


@pytest.mark.parametrize("path", JOBS, ids=lambda p: p.stem)
@pytest.mark.parametrize("columns", [60, 80])
def test_no_line_is_wider_than_the_terminal(path: Path, columns: int) -> None:
    for words in ((), ("--details",), ("--why",)):
        done = selector("plan", str(path.relative_to(ROOT)), *words, columns=columns)
        wide = [
            line
            for line in done.stdout.splitlines()
            if len(line) > columns and "  before " not in line and "  after " not in line
        ]
        assert not [line for line in wide if not line.startswith(("  SW", "         "))], wide


def test_without_a_terminal_it_is_80_columns() -> None:
    done = selector("plan", str(GAS.relative_to(ROOT)))
    assert 70 < max(len(line) for line in done.stdout.splitlines()) <= 80


def test_a_wrapped_line_keeps_figures_with_their_units_and_says_the_same() -> None:
    line = "  heating second: 60,800 Btu/h / (1.08 x 50.0 F) = 1,126 cfm, mid rise; window 866 to 1,248 cfm"
    for columns in range(30, 100):
        parts = wrapped_line(line, columns)
        assert " ".join(part.strip() for part in parts) == line.strip()
        for part in parts:
            assert not part.endswith(("60,800", "50.0", "1,126", "866 to", "866", "window", "1,248"))
    assert wrapped_line(line, 200) == [line]


def test_a_labelled_line_goes_on_behind_its_label() -> None:
    parts = wrapped_line("  delivered  60,800 Btu/h / (1.08 x 52.0 F) = 1,083 cfm, as the rise says it", 50)
    assert len(parts) == 2
    assert parts[1].startswith(" " * 13)


# -- why


def test_why_of_a_call_shows_that_call_alone() -> None:
    done = selector("plan", str(GAS.relative_to(ROOT)), "--why", "heating second")
    heads = [line for line in done.stdout.splitlines() if line and not line.startswith(" ")]
    assert done.returncode == 0
    assert heads
    assert all(line.startswith("heating second") for line in heads)
    assert "page 23, `heating airflow`, row ON" in done.stdout.replace("\n    ", " ")


def test_why_of_one_figure_shows_its_chain() -> None:
    done = selector("plan", str(GAS.relative_to(ROOT)), "--why", "heating second, charted airflow")
    heads = [line for line in done.stdout.splitlines() if line and not line.startswith(" ")]
    assert [line.partition(":")[0] for line in heads] == [
        "heating second, charted airflow aimed at",
        "heating second, charted airflow",
    ]


def test_why_of_nothing_there_names_what_there_is() -> None:
    done = selector("plan", str(GAS.relative_to(ROOT)), "--why", "attic fan")
    assert done.returncode == 2
    assert "heating second" in done.stderr


@pytest.mark.parametrize(
    "words",
    [["--why", str(GAS)], [str(GAS), "--why"], ["--why", "corvane-k14", "model=080", "tons=3", "heat input=80 MBH"]],
)
def test_why_without_a_name_may_stand_anywhere(words: list[str]) -> None:
    done = selector("plan", *words)
    assert done.returncode == 0, done.stderr
    assert "\nTargets\n" in done.stdout
    assert "\nWhy\n" in done.stdout


def test_what_was_worked_out_is_not_shown_again() -> None:
    lines = [line for line in why_lines(plan_figures(planned(GAS))) if line.startswith("  ")]
    assert sum("x (1 - 0.04 x 5,000 ft / 1000)" in line for line in lines) == 2  # one a stage
    assert sum("14.696 x" in line for line in lines) == 1


def test_each_figure_asked_for_stands_whole() -> None:
    """However late a figure stands in the whole list, asked for alone it has its chain from the leaves."""
    named = list(plan_figures(planned(GAS)))
    (one,) = asked_for(named, "heating second rise aimed at")
    assert any("65 F" in line for line in why_lines([one]))


# -- what is told short


def lines_of(text: str) -> tuple[str, ...]:
    return report_of(plan(house_of(job_from_text(f"format: selector job 1\n{text}")[0]))).lines


def test_a_setting_with_two_moves_fewer_is_spoken_of() -> None:
    """Eskerby: 4 moves give a rise of 63 F, 2 of them 64 F."""
    lines = lines_of("table: eskerby-oil\noutdoor unit: {capacity: 3 tons}\nheat: {nozzle: 0.85 gph}\n")
    at = lines.index("With fewer moves")
    assert "rise 64 F instead of 63 F" in lines[at + 1]
    assert lines[at + 1].endswith("2 moves instead of 4")


def test_a_missing_model_is_asked_for_by_name() -> None:
    lines = lines_of("table: corvane-k14\noutdoor unit: {capacity: 3 tons}\n")
    assert any("model is not given (type model=060 or 080 or 110)" in line for line in lines)
    assert sum("(type model=" in line for line in lines) == 1


def test_a_typed_motor_is_not_taken_without_being_typed() -> None:
    lines = lines_of(
        "table: corvane-k14\nmodel: 080\nmotor: constant airflow\nsite: {altitude: 1500 m}\nheat: {kind: gas}\n"
    )
    taken = lines[lines.index("Taken without being typed") :]
    assert not any("the job says" in line for line in taken[: taken.index("")])
    assert any("the job says" in line for line in lines)


@pytest.mark.parametrize(("twelfth", "said"), [("OFF", False), ("ON", True)])
def test_run_on_is_long_only_where_a_shorter_one_can_be_set(twelfth: str, said: bool) -> None:
    """Brindlemoor page 34: SW1-12, SW1-13 OFF OFF none, ON OFF 60 s."""
    house = "table: brindlemoor-16s\nmodel: S100\nsite: {climate: humid}\noutdoor unit: {capacity: 3 tons}\n"
    lines = lines_of(f"{house}hold: {{SW1-12: '{twelfth}', SW1-13: OFF}}\n")
    assert any("the blower running on after cooling" in line for line in lines) == said


def test_a_rise_without_heat_is_aimed_at_in_words() -> None:
    lines = lines_of("table: corvane-k14\n")
    assert "  heating second: aim rise 50 F, mid rise (taken, not typed)" in lines
    assert "  heating second: aim rise 45 F, 45 F" in lines_of("table: corvane-k14\nheat: {aim: 45 F}\n")
