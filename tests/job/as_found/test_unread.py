"""Marks that can't be read, in the words of found."""

from __future__ import annotations

import pytest

from selector.answers.house.why import asked_for
from selector.job.file.read import job_from_text
from selector.job.file.report import Report
from selector.job.targets.house import house_of
from selector.solve.board.marks import read_marks
from selector.table.library.library import load
from tests.helpers.judging import as_found_report


def of_job(text: str) -> Report:
    return as_found_report(house_of(job_from_text(f"format: selector job 1\n{text}")[0]))


@pytest.mark.parametrize(
    ("window", "said"),
    [
        # SW1-4 OFF 1,380 cfm, ON 1,240
        ("1050 to 1100 cfm", False),
        ("1200 to 1400 cfm", True),
        ("1400 to 1500 cfm", False),
        ("1200 to 1300 cfm", None),
    ],
)
def test_what_every_position_agrees_on_is_said_outright(window: str, said: bool | None) -> None:
    head = (
        "table: fenwarren-4m\nmodel: F30\noutdoor unit: {capacity: 3 tons, stages: 70 %}\nas found: {SW1: OFF OFF ON ?"
        " OFF OFF, J1: B, J2: 2}\n"
    )
    report = of_job(f"{head}windows: {{heating high: {window}}}\n")
    assert report.data["right"] is said
    line = next(line.strip() for line in report.lines if line.strip().startswith("heating high  "))
    assert "1,240 or 1,380 cfm (SW1-4 unreadable)" in line


@pytest.mark.parametrize("word", ["unread", "Unread", "UNREAD"])
@pytest.mark.parametrize(
    ("table", "selector", "parts"), [("fenwarren-4m", "SW1", 6), ("corvane-k14", "SW1", 8), ("fenwarren-4m", "J1", 1)]
)
def test_unread_says_it_of_a_whole_selector(table: str, selector: str, parts: int, word: str) -> None:
    """A bank of six switches has as many as the word has letters."""
    loaded, _ = load(table)
    assert list(read_marks([f"{selector}={word}"], loaded).values()) == [None] * parts


def test_a_bank_that_cannot_be_read_stands_so_in_a_job() -> None:
    report = of_job("table: fenwarren-4m\nmodel: F30\nas found: {SW1: unread, J1: B, J2: 2}\n")
    assert "as found: SW1=?????? J1=B J2=2" in report.lines


def test_the_figures_of_a_call_are_found_by_its_name() -> None:
    head = "table: fenwarren-4m\nmodel: F30\noutdoor unit: {capacity: 3 tons, stages: 70 %}\n"
    report = of_job(f"{head}as found: {{SW1: OFF OFF ON OFF OFF OFF, J1: B, J2: 2}}\n")
    own = {name: float(figure.value) for name, figure in asked_for(report.named, "cooling high")}
    # 1,210 cfm by the page; 3 tons x 400, 300 and 450 cfm/ton
    wanted = {
        "cooling high, charted airflow": 1210,
        "cooling high, charted airflow aimed at": 1200,
        "cooling high, lower end of the window": 900,
        "cooling high, upper end of the window": 1350,
    }
    assert {name: own[name] for name in wanted} == wanted
