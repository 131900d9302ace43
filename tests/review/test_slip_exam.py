"""The slip exam is fair: the same every time, clean where it says so, and wrong nowhere but where it says so.
Figures here are worked by hand."""

from __future__ import annotations

import dataclasses
from random import Random

import pytest

from selector.table.build.build import build_table
from selector.table.source import source_from_text
from tests.bench.slip_bench import same, with_edits
from tests.helpers.slip_exam import Question, clean_file, question, questions
from tests.helpers.slip_exam_families import FAMILIES, clean_sheet
from tests.helpers.slip_exam_judge import judge
from tests.helpers.slip_exam_kinds import KINDS, dropped, neighbour_key, transposed
from tests.helpers.slip_exam_sheet import Call, Cell, Chart, Row, Sheet, Step, airflows, greatest_change

SEEDS = range(4 * len(FAMILIES))


def sheet(rows: list[list[int]], sign: str = "") -> Sheet:
    """A chart of airflows by model and a trim of 0, +10, -10 %."""
    models = tuple(str(10 + m) for m in range(len(rows[0])))
    chart = Chart(
        name="air",
        keys=("D1",),
        heads=(("model", models),),
        gives=("airflow",),
        rows=tuple(Row(words=(str(i),)) for i in range(len(rows))),
    )
    trim = Chart(name="more", keys=("J1",), gives=("trim",), rows=tuple(Row(words=(w,)) for w in "ABC"))
    figures: dict[Cell, str] = {("air", r, c): str(x) for r, row in enumerate(rows) for c, x in enumerate(row)}
    figures |= {("more", 0, 0): "none", ("more", 1, 0): sign or "+10 %", ("more", 2, 0): "-10 %"}
    cooling = Call(
        name="cooling", lines=("terminals: Y1",), steps=(Step(op="use", name="air"), Step(op="use", name="more"))
    )
    return Sheet(name="small", head=(), charts=(chart, trim), calls=(cooling,), figures=figures, heat_per_rise={})


@pytest.mark.parametrize("seed", SEEDS)
def test_clean_tables_load_without_a_problem_or_a_remark(seed: int) -> None:
    _, report = build_table(source_from_text(clean_file(seed)), "exam")
    assert report.problems == []


@pytest.mark.parametrize("kind", KINDS)
def test_the_same_seed_makes_the_same_exam(kind: str) -> None:
    assert [q.text for q in questions(kind, 5)] == [q.text for q in questions(kind, 5)]
    assert clean_sheet(7) == clean_sheet(7)
    assert clean_file(7) != clean_file(7 + len(FAMILIES))


def differences(q: Question) -> list[tuple[int, str, str]]:
    """Line, word of the slipped file and word of the clean one, wherever the two differ; every line has as many
    words in both."""
    out = []
    for number, (now, was) in enumerate(zip(q.text.split("\n"), q.clean.split("\n"), strict=True), 1):
        out += [(number, a, b) for a, b in zip(now.split(), was.split(), strict=True) if a != b]
    return out


@pytest.mark.parametrize("kind", KINDS)
def test_a_slip_changes_the_cells_it_records_and_no_other(kind: str) -> None:
    for q in questions(kind, 12):
        lines = q.text.split("\n")
        for spot in q.spots:
            assert lines[spot.line - 1][spot.column - 1 :].startswith(spot.typed)
            assert spot.typed != spot.right
        put_right = with_edits(q.text, [(s.line, s.column, s.typed, s.right) for s in q.spots])
        assert same(put_right, q.clean)
        assert not same(q.text, q.clean)
        if not any("none" in (s.typed, s.right) for s in q.spots):
            assert len(differences(q)) == len(q.spots)


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_can_be_made(kind: str) -> None:
    found = list(questions(kind, 12))
    assert len(found) == 12
    assert any(q.findable for q in found)


def test_a_kind_that_a_table_has_no_place_for_makes_no_question() -> None:
    taps = FAMILIES.index(next(f for f in FAMILIES if f.__name__ == "taps"))
    assert question("wrong sign", taps) is None


def test_digits_go_wrong_as_fingers_do() -> None:
    random = Random("digits")
    assert {transposed(random, "1205") for _ in range(50)} == {"2105", "1025", "1250"}
    assert {dropped(random, "123") for _ in range(50)} == {"23", "13", "12"}
    assert {neighbour_key(random, "50") for _ in range(50)} == {"40", "60", "59"}


def test_airflow_of_every_model_row_and_trim_is_worked_out() -> None:
    # 1000 and 2000, as charted, 10 % more and 10 % less
    assert airflows(sheet([[1000, 2000]])) == pytest.approx([1000, 1100, 900, 2000, 2200, 1800])


def test_change_of_an_airflow_is_the_greatest() -> None:
    clean = sheet([[1000, 2000]])
    assert greatest_change(clean, clean.with_figures({("air", 0, 1): "2200"})) == pytest.approx(0.10)
    # -10 % for +10 %: 0.9 / 1.1 is 18.2 % less
    assert greatest_change(clean, clean.with_figures({("more", 1, 0): "-10 %"})) == pytest.approx(0.2 / 1.1)


GRID = [[600, 900, 1200], [700, 1050, 1400], [800, 1200, 1600], [900, 1350, 1800], [1000, 1500, 2000]]
"""Columns as 2 : 3 : 4 exactly: the least deviation, 1 %, counts, and 3 % is the border."""


def test_a_slip_is_findable_from_over_five_percent_off_a_regular_chart() -> None:
    clean = sheet(GRID)
    six = judge(clean, "wrong digit", {("air", 1, 1): "1113"})  # 1050 x 1.06
    four = judge(clean, "wrong digit", {("air", 1, 1): "1092"})  # 1050 x 1.04
    assert (six.changes_airflow, six.reasons, six.findable) == (True, ("pattern",), True)
    assert (four.changes_airflow, four.reasons, four.findable) == (False, ("pattern",), False)


def test_an_irregular_chart_hides_what_a_regular_one_shows() -> None:
    # every other figure of the middle column 20 % too high: the chart's own deviation is far above 3 %
    rough = [[a, round(b * (1.2 if i % 2 else 1)), c] for i, (a, b, c) in enumerate(GRID)]
    judged = judge(sheet(rough), "wrong digit", {("air", 2, 0): "880"})  # 800 x 1.1
    assert judged.changes_airflow
    assert not judged.findable


def test_rows_exchanged_show_only_where_the_rows_ran_one_way() -> None:
    def exchange(rows: list[list[int]]) -> tuple[str, ...]:
        changes = {("air", a, c): str(rows[b][c]) for a, b in ((1, 2), (2, 1)) for c in range(3)}
        return judge(sheet(rows), "swapped rows", changes).reasons

    assert exchange(GRID) == ("order",)
    assert exchange([GRID[i] for i in (2, 0, 4, 1, 3)]) == ()


def test_a_sign_shows_where_it_makes_two_positions_alike() -> None:
    changes = {("more", 1, 0): "-10 %"}
    assert judge(sheet(GRID), "wrong sign", changes).reasons == ("repeat",)
    uneven = sheet(GRID, "+6 %")
    assert judge(uneven, "wrong sign", {("more", 1, 0): "-6 %"}).reasons == ()


def test_rises_part_where_airflow_and_printed_rise_do() -> None:
    # 54,000 Btu/h / 1.08 is 50,000 cfm F: 1000 cfm rises 50 F, 1030 cfm 48.5 F, 1010 cfm 49.5 F
    chart = Chart(name="heat", keys=("J1",), gives=("airflow", "temperature rise"), rows=(Row(words=("A",)),))
    heating = Call(name="heating", lines=(), steps=(Step(op="use", name="heat"),))
    base = dataclasses.replace(
        sheet(GRID),
        charts=(chart,),
        calls=(heating,),
        figures={("heat", 0, 0): "1000", ("heat", 0, 1): "50"},
        heat_per_rise={("", ""): 50000.0},
    )
    assert judge(base, "rise not matching", {("heat", 0, 0): "1030"}).reasons == ("rise",)
    assert judge(base, "rise not matching", {("heat", 0, 0): "1010"}).reasons == ()
    beside = judge(base, "rise not matching", {("heat", 0, 1): "60"})
    assert (beside.change, beside.reasons, beside.findable) == (0, ("rise",), False)
