"""Boards without a known table: which charts fit, may fit or don't, by the stated error model, worked by hand on the
pages."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from selector.answers.identify import ERROR_MODEL, ONLY_NAMES, identify_report
from selector.job.file.read import job_from_text
from selector.job.file.report import Report
from selector.job.identify.identify import ChartCandidate, roles_meant, stages_meant
from selector.job.identify.library import possible_tables
from selector.job.identify.markings import NOT_PRINTED, Marking
from selector.table.from_file.build import build_table
from selector.table.library.library import load, shipped_folder, shipped_names
from selector.table.model.table import Table
from selector.table.source import source_from_text
from tests.helpers.judging import recomputed, trees
from tests.helpers.recompute import mismatches

NAMES = ("brindlemoor-16s", "corvane-k14", "drossfield-x", "garrowby-r", "lindmarrow-j", "saltmarsh-12", "wickerby-5")


@cache
def library() -> tuple[Table, ...]:
    return tuple(load(f"{shipped_folder()}/{name}.yaml")[0] for name in NAMES)


def identified(text: str, tables: Sequence[Table] | None = None) -> Report:
    job, _ = job_from_text(f"format: selector job 1\n{text}", "job.yaml")
    report = identify_report(job, library() if tables is None else tables)
    for figure in report.figures:
        assert mismatches(figure) == ()
    for tree in trees(json.loads(json.dumps(report.data))):
        recomputed(tree)
    return report


def named(report: Report, fit: str) -> set[tuple[str, str]]:
    found: Any = report.data[fit.replace("'", "").replace(" ", "_")]
    return {(one["table"], one["model"]) for one in found}


def why(report: Report, table: str, model: str = "") -> str:
    found: Any = [one for fit in ("fits", "may_fit", "doesnt_fit") for one in report.data[fit]]  # type: ignore[attr-defined]
    (one,) = (o for o in found if (o["table"], o["model"]) == (table, model))
    return " ".join(w["text"] for held in (one, *one["readings"]) for w in held["why"])


CORVANE = """as found: {SW1: 10011000}
measurements:
- {call: cooling second, minutes: 15, method: hood, airflow: 1200 cfm}
- {call: heating second, minutes: 15, method: rise, rise: 56 F}
"""


def test_the_chart_whose_airflows_are_inside_the_bands_fits() -> None:
    # Corvane 080: 1,197.8 and 1,250.8 cfm; read 1,200 +- 60 and 76,000 / (1.08 x 56) = 1,256.6 +- 88
    report = identified(CORVANE)
    assert named(report, "fits") == {("corvane-k14", "080")}
    assert report.exit_code == 0
    # 060: 943.4 is 257 off, more than twice the band of 60; 110: 1,632.4
    assert {("corvane-k14", "060"), ("corvane-k14", "110")} <= named(report, "doesn't fit")
    assert report.lines[0] == "fits: corvane-k14, model 080"
    assert ERROR_MODEL in report.lines


def test_just_beyond_twice_the_band_does_not_fit() -> None:
    # Drossfield 030 at 00110100: 1,200 - 10 % = 1,080 is 120 off, just twice the band; heating 610, read 32,400 /
    # (1.08 x 56) = 535.7 +- 37.5, twice 75: 74.3 off
    drossfield = CORVANE.replace("10011000", "00110100")
    assert ("drossfield-x", "030") in named(identified(drossfield), "may fit")
    # a reading of 1,201 less twice 5 % is 1,080.9: the chart is outside it
    report = identified(drossfield.replace("1200 cfm", "1201 cfm"))
    assert ("drossfield-x", "030") in named(report, "doesn't fit")


def test_marks_that_cannot_stand_on_a_board_do_not_fit_and_say_why() -> None:
    report = identified(CORVANE)
    assert "SW1 has 16 switches, but 8 marks are given" in why(report, "brindlemoor-16s")
    assert "no selector `SW1`" in why(report, "saltmarsh-12")


def test_marks_alone_never_fit_only_may() -> None:
    report = identified("as found: {SW1: 10011000}\n")
    assert named(report, "fits") == set()
    assert ("corvane-k14", "080") in named(report, "may fit")
    assert "nothing measured speaks for or against it" in why(report, "corvane-k14", "080")
    assert report.exit_code == 1


def test_a_reserved_row_does_not_fit_a_board_that_runs() -> None:
    # Corvane: SW1-3 and SW1-4 ON together are `do not use`
    report = identified(CORVANE.replace("10011000", "10111000"))
    assert {("corvane-k14", m) for m in ("060", "080", "110")} <= named(report, "doesn't fit")
    assert "do not use" in why(report, "corvane-k14", "080")


def test_selectors_that_the_marks_do_not_name_leave_it_open() -> None:
    # Saltmarsh 4b = 1,270; the other jumpers aren't named, so it may fit at most
    report = identified(
        "as found: {J1: 4, J2: b}\nmeasurements:\n- {call: Y O, minutes: 15, method: hood, airflow: 1260 cfm}\n"
    )
    assert ("saltmarsh-12", "") in named(report, "may fit")
    assert "J3, J4, J5 and LK1 missing in the marks" in why(report, "saltmarsh-12")


def test_an_unreadable_mark_leaves_it_open_where_some_reading_of_it_fits() -> None:
    # SW1-5 off or on: 1,130 or 1,197.8; 1,250 +- 62.5 holds only the second, twice the band both
    one = identified(CORVANE.replace("10011000", "1001?000").replace("1200 cfm", "1250 cfm"))
    assert ("corvane-k14", "080") in named(one, "may fit")
    # 1,400 +- 140 holds neither
    none = identified(CORVANE.replace("10011000", "1001?000").replace("1200 cfm", "1400 cfm"))
    assert ("corvane-k14", "080") in named(none, "doesn't fit")


def test_a_fact_that_is_not_known_is_tried_and_said() -> None:
    # Wickerby tap 4 at 125 Pa 480 L/s = 1,017 cfm; static isn't given
    report = identified(
        "as found: {M1: 1 4 3 2}\nmeasurements:\n- {call: cooling high, minutes: 15, method: hood, airflow: 1000 cfm}\n"
    )
    assert named(report, "may fit") == {("wickerby-5", "")}
    assert "if static pressure 125" in why(report, "wickerby-5")


def test_a_reading_during_the_ramp_says_nothing_of_a_chart() -> None:
    # Garrowby D1 = 4: 450 s at 82 %; three minutes is too soon there, though the airflow is charted
    text = (
        "as found: {SW1: 01000000, D1: 4, J1: A, J2: 1}\nmeasurements:\n- {call: cooling second, minutes: 3, method:"
        " hood, airflow: 1200 cfm}\n"
    )
    assert ("garrowby-r", "") in named(identified(text), "may fit")
    assert ("garrowby-r", "") in named(identified(text.replace("minutes: 3", "minutes: 8")), "fits")


def test_a_stage_that_is_not_named_is_tried_in_every_stage() -> None:
    # cooling first 790.5, second 1,197.8: 800 is the first
    text = "as found: {SW1: 10011000}\nmeasurements:\n- {call: cooling, minutes: 15, method: hood, airflow: 800 cfm}\n"
    report = identified(text)
    assert ("corvane-k14", "080") in named(report, "may fit")
    assert "if it was cooling first" in why(report, "corvane-k14", "080")


def test_altitude_counts_by_what_a_chart_means() -> None:
    # a hood reads volume: 1,440 cfm at 5,000 ft is 1,198 of standard air; Brindlemoor's motor holds mass: S70 delivered
    # 1,200 fits
    text = """site: {altitude: 5000 ft}
as found: {SW1: 0000000000010000, SW2: OPEN OPEN OPEN OPEN}
measurements:
- {call: cooling second, minutes: 15, method: hood, shows: actual, airflow: 1440 cfm}
"""
    assert ("brindlemoor-16s", "S70") in named(identified(text), "fits")
    assert ("brindlemoor-16s", "S70") not in named(identified(text.replace("site: {altitude: 5000 ft}\n", "")), "fits")


def test_it_never_yields_a_setting_a_verdict_or_a_card() -> None:
    report = identified(CORVANE)
    assert report.lines[-1] == ONLY_NAMES
    assert report.data["note"] == ONLY_NAMES
    text = json.dumps(report.data).casefold()
    for word in ('"moves":', "as left", "next", 'verdict":', 'card":', "power off"):
        assert word not in text
    assert not any("->" in line or "Power off" in line for line in report.lines)


def test_nothing_to_go_by_is_a_problem() -> None:
    job, _ = job_from_text("format: selector job 1\nmodel: 080\n", "job.yaml")
    report = identify_report(job, library())
    assert [p.code for p in report.problems] == ["nothing-to-go-by"]
    assert report.exit_code == 1


# -- what would decide

ALIKE = """format: selector table 1
unit:
  title: A board made for a test
  maker: {maker}
  models: 1 2
  applies to: {{board part: {part}}}
units: {{airflow: cfm}}
ratings:
  heat input: {{1: {one}, 2: {two}}}
  efficiency: 80 %
board:
  SW1: {{kind: switches, count: 2, factory: all off}}
charts:
  cooling airflow:
    set: SW1-1 SW1-2
    gives: airflow
    rows: |
      00 1000
      10 1100
      01 1200
      11 1300
calls:
  cooling:
    terminals: Y
    airflow: cooling airflow
"""


def made(name: str, maker: str, part: str, one: int = 40000, two: int = 60000) -> Table:
    table, report = build_table(
        source_from_text(ALIKE.format(maker=maker, part=part, one=one, two=two), f"{name}.yaml"), name
    )
    assert not report.failed
    return table


READING = "as found: {SW1: 00}\nmeasurements:\n- {call: cooling, minutes: 15, method: hood, airflow: 1010 cfm}\n"


def markings(report: Report) -> Mapping[str, Any]:
    found: Any = report.data["would_decide"]
    return {m["marking"]: m for m in found}


def test_the_marking_that_leaves_one_chart_alone_comes_first() -> None:
    # two tables, two models each: maker and board part tell the tables apart, the input of the plate tells all four
    report = identified(READING, [made("a", "Tarnwick", "A-1"), made("b", "Eskerby", "B-7", 50000, 75000)])
    assert len(named(report, "fits")) == 4
    found: Any = report.data["would_decide"]
    assert (found[0]["marking"], found[0]["alone"]) == ("heat input on the rating plate", True)
    assert found[0]["says"]["b, model 2"] == "75,000 Btu/h"
    assert markings(report)["board part on the board"]["alone"] is False
    assert "selectors on the board" not in markings(report)
    assert any(line.startswith("  heat input on the rating plate (alone): ") for line in report.lines)


def test_one_chart_left_needs_no_marking() -> None:
    assert identified(CORVANE).data["would_decide"] == ()


def test_charts_that_nothing_tells_apart_are_said_to_be_so() -> None:
    report = identified(READING, [made("a", "Tarnwick", "A-1"), made("b", "Tarnwick", "A-1")])
    assert set(markings(report)) == {"model on the rating plate", "heat input on the rating plate"}
    assert all(not m["alone"] for m in markings(report).values())


def test_a_marking_that_a_table_does_not_know_decides_nothing() -> None:
    assert Marking(what="maker", says={"a": "Tarnwick", "b": "Eskerby"}).decides
    assert not Marking(what="maker", says={"a": "Tarnwick", "b": NOT_PRINTED}).decides
    assert not Marking(what="maker", says={"a": "Tarnwick", "b": "Tarnwick"}).decides


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        # technicians name calls by the terminals energised (common practice)
        ("Y1 Y2 O", ("cooling",)),
        ("Y G", ("cooling", "heat pump")),
        ("Y B", ("heat pump",)),
        ("Y1 W1", ("heat pump + auxiliary",)),
        ("W2", ("heat",)),
        ("G", ("fan",)),
        ("Y DH", ("dehumidify",)),
        ("second-stage cooling", ("cooling",)),
        ("heat pump", ("heat pump",)),
        ("whatever", ()),
    ],
)
def test_what_a_name_or_terminals_may_mean_on_an_unknown_board(text: str, meant: tuple[str, ...]) -> None:
    assert roles_meant(text) == meant


# -- models, stages by their place, the words of the answer


def test_a_typed_model_leaves_only_charts_that_have_it() -> None:
    report = identified("model: 080\nas found: {SW1: 10011000}\n")
    assert ("corvane-k14", "080") in named(report, "may fit")
    assert not {("corvane-k14", "060"), ("corvane-k14", "110")} & (
        named(report, "may fit") | named(report, "doesn't fit")
    )
    assert "the model is 080" in why(report, "drossfield-x")


SECOND = (
    "as found: {SW1: 00101100}\nmeasurements:\n- {call: cooling second, minutes: 20, method: hood, airflow: %s cfm}\n"
)


@pytest.mark.parametrize(("cfm", "fit"), [("1060", "doesn't fit"), ("1380", "may fit")])
def test_the_second_stage_is_the_high_one_where_a_page_calls_it_so(cfm: str, fit: str) -> None:
    """Marrowdale's page: these marks give low 990 and high 1,380; 1,060 is within twice 5 % of 990 only."""
    report = identified(SECOND % cfm, [load("marrowdale-t")[0]])
    assert named(report, fit) == {("marrowdale-t", "")}


def test_a_second_stage_is_never_sure_on_a_board_of_one() -> None:
    report = identified(SECOND % "1060", [load("drossfield-x")[0]])
    assert ("drossfield-x", "030") in named(report, "may fit")
    assert "has one stage" in why(report, "drossfield-x", "030")


@pytest.mark.parametrize(
    ("text", "stages", "meant"),
    [
        ("cooling second", ("low", "high"), ("high",)),
        ("cooling low", ("first", "second"), ("first",)),
        ("high cooling", ("first", "second", "third"), ("third",)),
        ("2nd stage heat", ("low", "high"), ("high",)),
        ("third-stage heat", ("low", "high"), ()),
        ("cooling", ("low", "high"), ("low", "high")),
        ("cooling second", ("",), ("",)),
    ],
)
def test_a_stage_by_its_place(text: str, stages: tuple[str, ...], meant: tuple[str, ...]) -> None:
    assert tuple(stages_meant(text, stages)) == meant


def test_the_answer_begins_with_what_fits_and_names_each_chart_once() -> None:
    report = identified(CORVANE)
    assert report.lines[0].startswith("fits: ")
    for table in NAMES:
        assert any(table in line for line in report.lines)
    marks = identified("as found: {SW1: 10011000}\n")
    assert (
        sum("nothing measured speaks for or against it" in line for line in marks.lines) == 2
    )  # with and without marks that it doesn't name


def test_nothing_to_go_by_shows_the_lines_to_add() -> None:
    (problem,) = identified("model: 080\n").problems
    lines = [line[2:] for line in problem.help.splitlines() if line.startswith("  ")]
    job, _ = job_from_text("\n".join(["format: selector job 1", *lines]) + "\n", "job.yaml")
    assert job.found
    assert job.measurements


def test_what_was_measured_is_held_against_the_marks_as_left() -> None:
    """Corvane 080 as left 1,062 cfm, as found 1,380."""
    report = identified("as found: {SW1: 00000000}\nas left: {SW1: 10010100}\n" + SECOND.partition("\n")[2] % "1060")
    assert ("corvane-k14", "080") in named(report, "fits")


def test_the_plates_input_rules_charts_out() -> None:
    # page 23: the Corvane's inputs are 60,000, 80,000 and 110,000 Btu/h
    report = identified(CORVANE + "heat: {input: 110 MBH}\n")
    assert ("corvane-k14", "080") in named(report, "doesn't fit")
    assert "the plate's heat input is 110 MBH, this unit's 80,000 Btu/h" in why(report, "corvane-k14", "080")
    assert ("corvane-k14", "080") in named(identified(CORVANE + "heat: {input: 80 MBH}\n"), "fits")


def test_the_static_of_the_reading_is_used_and_no_other_is_tried() -> None:
    # Wickerby: tap 4 at 150 Pa 462.5 L/s, at 25 Pa 530
    text = (
        "as found: {M1: 3 4 2 1}\nmeasurements:\n- {call: cooling high, minutes: 15, method: hood, airflow: %s L/s,"
        " static pressure: 150 Pa}\n"
    )
    assert ("wickerby-5", "") in named(identified(text % "470"), "fits")
    assert ("wickerby-5", "") in named(identified(text % "530"), "doesn't fit")


@pytest.mark.parametrize(
    "text",
    [
        "as found: {SW1: 10011000}",
        "as found: {SW1: 10011000, J2: C}",
        "as found: {J2: C, D9: 4}",
        "as found: {Y1: 3}",
        "model: 080\nas found: {SW1: 10011000}",
        "model: no such\nas found: {SW9: 10011000}",
        CORVANE,
    ],
)
def test_what_the_index_rules_out_is_ruled_out_by_the_table(text: str) -> None:
    """All tables shipped, read or as the index knows them: the same charts, for the same reasons."""
    job, _ = job_from_text(f"format: selector job 1\n{text}\n", "job.yaml")
    paths = [f"{shipped_folder()}/{name}.yaml" for name in shipped_names("tables")]
    by_index = list(possible_tables(job, paths, refused=pytest.fail))
    assert any(isinstance(one, ChartCandidate) for one in by_index)
    assert identify_report(job, by_index).data == identify_report(job, [load(path)[0] for path in paths]).data


def test_what_can_not_be_read_is_told(tmp_path: Path) -> None:
    path = tmp_path / "broken.yaml"
    path.write_text("format: selector table 1\n", encoding="utf-8")
    job, _ = job_from_text("format: selector job 1\nas found: {SW1: 10011000}\n", "job.yaml")
    told: list[str] = []
    assert not list(possible_tables(job, [str(path), "gone.yaml"], refused=told.append))
    assert told == [str(path), "gone.yaml"]
