"""The summary of a survey: what is said first, and exit codes, worked by hand."""

from __future__ import annotations

import pytest

from selector.answers.parts import VERSION
from selector.answers.plots.survey import survey_plots
from selector.answers.survey.fault import VERDICTS, Verdict
from selector.answers.survey.summary import (
    AirflowPerTon,
    FaultCount,
    GroupCount,
    ReadingCount,
    StepCount,
    SurveyAnswer,
    exit_code,
    in_order,
    lines,
)
from selector.answers.words.fold import folded
from selector.draw.plots.bars import BarsPlot, HistogramPlot

OVER = "over the assumed 450 cfm/ton"


def answer(
    *counts: tuple[Verdict, int], out: str | None = "v.csv", measured: tuple[ReadingCount, ...] = ()
) -> SurveyAnswer:
    """A survey of one table."""
    verdicts = in_order(counts)
    records = sum(n for _, n in counts)
    return SurveyAnswer(
        version=VERSION,
        records=records,
        written=records,
        out=out,
        stages=None,
        blank_lines=2,
        mended=1,
        boards=3,
        verdicts=verdicts,
        tables=(GroupCount(table="t", model="", records=records, verdicts=verdicts),),
        models=(),
        faults=(
            FaultCount(verdict="outside limits", where="cooling", reason="over the assumed 450 cfm/ton", records=4),
        ),
        assumed=(),
        measured=measured,
        airflow_per_ton=AirflowPerTon(
            low=300,
            high=450,
            step=25,
            steps=(StepCount(low=0, records=2), StepCount(low=400, records=5), StepCount(low=900, records=1)),
        ),
    )


def test_danger_first_then_what_is_to_be_put_right() -> None:
    said = folded(lines(answer(("OK", 10), ("outside limits", 4), ("danger", 2), ("depends", 1))), 80)
    assert said[:2] == ["DANGER: 2 boards. Look at these first.", "6 boards of 17 to put right."]
    assert said[3:7] == [" 2  danger", " 4  outside limits", " 1  depends", "10  OK"]
    assert "  4  cooling: over the assumed 450 cfm/ton" in said
    assert "17 records read, 17 written to v.csv." in said


def test_what_was_measured_is_counted_and_a_low_one_is_wrong() -> None:
    some = tuple(ReadingCount(reading=word, records=n) for word, n in (("LOW", 3), ("OK", 1)))
    said = folded(lines(answer(("OK", 4), measured=some)), 80)
    assert "\n".join(said).count("Measured airflow against the setting\n  3  LOW\n  1  OK") == 1
    assert exit_code(answer(("OK", 4), measured=some)) == 1
    assert exit_code(answer(("OK", 4), measured=some[1:])) == 0
    assert "Note: 1 row mended while reading; the column `read` says how." in said
    assert "Note: 2 blank lines skipped." in said


@pytest.mark.parametrize("verdict", VERDICTS)
def test_exit_codes(verdict: Verdict) -> None:
    """1 for what is wrong, may be wrong or has no verdict as typed; 0 for the rest (design.md, section 7)."""
    fine = verdict in ("OK", "unreadable", "not known", "not checked")
    assert exit_code(answer(("OK", 1), (verdict, 1))) == (0 if fine else 1)


def test_pictures() -> None:
    """Sorts: danger, wrong, depends, OK, no verdict; what lies beyond 150 to 700 cfm/ton is counted in words."""
    bars, steps = survey_plots(
        answer(("danger", 1), ("contradiction", 2), ("not usable", 1), ("OK", 3), ("odd marks", 4))
    )
    assert isinstance(bars, BarsPlot)
    assert bars.rows == (("t", (1, 3, 0, 3, 4)),)
    assert isinstance(steps, HistogramPlot)
    assert [n for low, n in steps.bins if low == 400] == [5]
    assert steps.notes[1:3] == ("2 below 150 cfm/ton: not shown", "1 of 700 and more cfm/ton: not shown")
