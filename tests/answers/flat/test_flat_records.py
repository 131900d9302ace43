"""Answers as flat records: what pandas makes a table of; figures worked by hand in the tests of each answer."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pandas
import pytest

import selector

ROOT = Path(__file__).parents[3]
JOB = {"table": "pellmere-si", "tons": "2", "static pressure": "130 Pa"}
SEEN = {"found SW1": "11", "found D1": "E", "found D2": "4", "found J1": "2"}


def answers() -> dict[str, Any]:
    """One of each command."""
    table = selector.load("corvane-k14")
    return {
        "decode": selector.decode(table, "SW1=0101?000", {"model": "080"}),
        "judge_board": selector.judge_board(table, "SW1=10001100", {"model": "080"}),
        "find": selector.find(table, {"cooling": "1200"}, {"model": "080"}, first=2),
        "plan": selector.plan(JOB),
        "found": selector.found({**JOB, **SEEN}),
        "verify": selector.verify(str(ROOT / "tests/examples/records/gas-two-stage-altitude.yaml")),
        "identify": selector.identify({"found SW1": "01011000"}, [table]),
        "survey": selector.survey_records(ROOT / "tests/examples/surveys/boards.csv"),
    }


@pytest.fixture(scope="module")
def records() -> dict[str, list[dict[str, Any]]]:
    """The rows of each."""
    return {name: selector.to_records(answer) for name, answer in answers().items()}


def test_every_answer_is_a_table(records: dict[str, list[dict[str, Any]]]) -> None:
    for name, rows in records.items():
        assert rows, name
        assert len({tuple(row) for row in rows}) == 1, name
        assert {type(v) for row in rows for v in row.values()} <= {str, int, float, bool, type(None)}, name
        assert len(pandas.DataFrame(rows)) == len(rows)


def test_what_stands_in_them(records: dict[str, list[dict[str, Any]]]) -> None:
    """SW1-5 not read: 1,520 or 1,611.2 cfm; heating 1,038.4 cfm: 67.768 F, 2.768 over; the survey's verdicts."""
    cooling = next(r for r in records["decode"] if (r["call"], r["stage"]) == ("cooling", "second"))
    assert (cooling["airflow"], cooling["least"], cooling["most"]) == (None, 1520.0, pytest.approx(1611.2))
    rise = next(r for r in records["judge_board"] if (r["call"], r["stage"]) == ("heating", "second"))
    assert (rise["limit"], rise["state"], rise["beyond"]) == (
        "temperature rise",
        "broken",
        pytest.approx(2.768, abs=0.001),
    )
    assert sum(r["records"] for r in records["survey"]) == 12
    assert {r["rank"] for r in records["find"]} == {1, 2}
    assert records["identify"][0]["table"] == "corvane-k14"
