"""What one step does to an airflow, and what the noes on its way do to it: each case by hand."""

from __future__ import annotations

from fractions import Fraction
from typing import Literal

import pytest

from selector.solve.engine.chart_reading import ChartReading, Outcome, constant
from selector.solve.engine.run import carry_out, first_no, held
from selector.solve.engine.step_arithmetic import Half, Instruction, Value, act, finished, operand, rounded
from selector.table.model.quantities import Operation
from selector.table.model.table import Cell, CellWord, Either, No, NoKind

OPEN = Either(((frozenset({(1, 1, 0)}), Fraction(900)), (frozenset({(1, 1, 1)}), Fraction(1100))))
"""Printed as `900 or 1100`."""
TARGET = ("airflow", "cooling", "", "")
OTHER = ("airflow", "fan", "", "")
HEAT = ("heat", "cooling", "", "")


def no(kind: NoKind) -> No:
    return No(kind=kind, why=kind)


@pytest.mark.parametrize(
    ("x", "step", "way", "want"),
    [
        (1002, 5, "round", 1000),
        (1003, 5, "round", 1005),
        ("1002.5", 5, "round", 1005),  # a half goes away from zero
        ("-1002.5", 5, "round", -1005),
        (-1002, 5, "round", -1000),
        (0, 5, "round", 0),
        (2, 5, "round", 0),
        (-2, 5, "round", 0),
        (1001, 10, "round up", 1010),
        (1010, 10, "round up", 1010),
        (-1001, 10, "round up", -1000),
        (1009, 10, "round down", 1000),
        (1010, 10, "round down", 1010),
        (-1001, 10, "round down", -1010),
        ("1009.9999999", 10, "round down", 1000),  # no slack: a hair under is under
        ("1000.0000001", 10, "round up", 1010),
        ("1004.9999999", 10, "round", 1000),
    ],
)
def test_rounded(x: int | str, step: int, way: Literal["round", "round up", "round down"], want: int) -> None:
    assert rounded(Fraction(x), Fraction(step), way) == want


@pytest.mark.parametrize(
    ("op", "x", "v", "want"),
    [
        ("start", None, 800, 800),
        ("divide heat", 54000, 50, 1080),
        ("add percent", 1000, 6, 1060),
        ("add percent", 1000, -12, 880),
        ("percent of", 1000, 66, 660),
        ("percent off", 1000, 16, 840),
        ("add", 1000, 50, 1050),
        ("add", 1000, -50, 950),
        ("subtract", 1000, 50, 950),
        ("raise to", 1000, 1200, 1200),
        ("raise to", 1000, 900, 1000),
        ("raise to", 0, 350, 350),  # an airflow of 0 is a figure, not nothing
        ("lower to", 1000, 900, 900),
        ("lower to", 1000, 1200, 1000),
        ("lower to", 0, 350, 0),
        ("round", 1002, 5, 1000),
        ("round up", 1001, 10, 1010),
        ("round down", 1009, 10, 1000),
        ("times", 3, 400, 1200),
    ],
)
def test_each_step_by_its_meaning(op: Operation, x: int | None, v: int, want: int) -> None:
    assert act(None if x is None else Fraction(x), op, Fraction(v)) == want


EVERY: tuple[Operation, ...] = (
    "divide heat",
    "add percent",
    "percent of",
    "percent off",
    "add",
    "subtract",
    "raise to",
    "lower to",
    "round",
    "round up",
    "round down",
    "times",
)


@pytest.mark.parametrize("op", EVERY)
def test_a_step_needs_an_airflow_and_passes_noes_on(op: Operation) -> None:
    for nothing in (None, Half("tons", Fraction(3))):
        refused = act(nothing, op, Fraction(5))
        assert isinstance(refused, No)
        assert refused.kind == "outside_chart"
    assert act(no("not_usable"), op, Fraction(5)) == no("not_usable")
    assert act(Fraction(900), op, no("unreadable")) == no("unreadable")
    assert act(no("not_usable"), op, no("unreadable")) == no("not_usable")
    assert act(Fraction(900), op, None) == 900  # no such step


def test_two_airflows_to_start_from_exclude_each_other() -> None:
    twice = act(Fraction(0), "start", Fraction(900))
    assert isinstance(twice, No)
    assert twice.kind == "outside_chart"


def test_a_rise_of_nothing_has_no_airflow() -> None:
    none = act(Fraction(54000), "divide heat", Fraction(0))
    assert isinstance(none, No)
    assert none.kind == "outside_chart"


def test_tons_and_airflow_per_ton_in_either_order() -> None:
    """3 tons x 400; the same quantity twice, or a product on a whole airflow, can't be."""
    for first, second in ((("tons", 3), ("airflow per ton", 400)), (("airflow per ton", 400), ("tons", 3))):
        half = act(None, "product", Fraction(first[1]), first[0])
        assert half == Half(first[0], Fraction(first[1]))
        assert act(half, "product", Fraction(second[1]), second[0]) == 1200
        for before in (half, Fraction(900)):
            twice = act(before, "product", Fraction(first[1]), first[0])
            assert isinstance(twice, No)
            assert twice.kind == "outside_chart"


@pytest.mark.parametrize(
    ("x", "kind"),
    [(None, "outside_chart"), (Half("tons", Fraction(3)), "outside_chart"), (no("not_known"), "not_known")],
)
def test_what_is_no_airflow_in_the_end(x: Value, kind: str) -> None:
    last = finished(x)
    assert isinstance(last, No)
    assert last.kind == kind


@pytest.mark.parametrize(
    ("cell", "word", "want"),
    [
        (Fraction(6), "trim", Fraction(6)),
        (CellWord.NONE, "trim", Fraction(0)),
        (CellWord.NONE, "reduction", Fraction(0)),
        (CellWord.NONE, "offset", Fraction(0)),
        (CellWord.NONE, "plus", Fraction(0)),
        (CellWord.NONE, "at least", None),  # `none` is no bound
        (CellWord.NONE, "at most", None),
        (CellWord.NONE, "least airflow", None),
        (CellWord.NONE, "most airflow", None),
        (CellWord.NONE, "airflow", "does_not_run"),
        (CellWord.NONE, "share", "does_not_run"),
        (CellWord.NONE, "", "does_not_run"),
        (CellWord.BLANK, "airflow", "outside_chart"),
        (CellWord.UNREADABLE, "airflow", "unreadable"),
        (OPEN, "airflow", "unreadable"),
        ("slow", "airflow", "outside_chart"),
    ],
)
def test_what_a_cell_means_to_a_step(cell: Cell, word: str, want: Fraction | str | None) -> None:
    """By the reading rules of the table file: `none` in a trim, an offset, a reduction is 0, else no such call."""
    found = operand(cell, word, "chart", 7)
    assert (found.kind if isinstance(found, No) else found) == want
    if isinstance(found, No) and cell is not OPEN:
        assert found.line == 7
    assert not isinstance(found, No) or found.either is (OPEN if cell is OPEN else None)


def test_a_figure_that_is_one_of_two_is_worked_out_both_ways() -> None:
    one = No(kind="unreadable", why="printed as 900 or 1100", either=OPEN)
    more = act(one, "add percent", Fraction(10))
    assert isinstance(more, No)
    assert more.either is not None
    assert [*more.either.figures] == [990, 1210]
    assert act(one, "lower to", Fraction(800)) == 800  # it comes to the same
    assert act(one, "subtract", one) == 0  # one printed figure is one choice
    assert act(one, "add", no("not_usable")) == no("not_usable")
    beside = act(Fraction(100), "add", one)
    assert isinstance(beside, No)
    assert beside.either is not None
    assert [*beside.either.figures] == [1000, 1200]


# -- carrying out


def read(reading: ChartReading) -> Outcome:
    return reading.find(())


def done(i: Instruction, x: Value = None, other: Value = None) -> Value:
    return carry_out(i, {TARGET: x, OTHER: other, HEAT: other}, read)


YES, NOT = constant("a", (Fraction(1),)), constant("b", (Fraction(0),))
UNKNOWN, UNREAD = constant("c", no("not_known")), constant("d", no("unreadable"))
RESERVED = constant("e", no("not_usable"))


def test_one_condition_that_fails_settles_it_and_the_first_no_is_told() -> None:
    assert held((), read) is True
    assert held((YES, YES), read) is True
    assert held((UNKNOWN, NOT), read) is False
    assert held((YES, NOT, YES), read) is False
    assert held((YES, UNKNOWN), read) == no("not_known")
    assert held((UNKNOWN, UNREAD, YES), read) == no("unreadable")


def test_of_two_noes_the_first_of_the_five_is_told() -> None:
    order: tuple[NoKind, ...] = ("does_not_run", "not_usable", "outside_chart", "unreadable", "not_known")
    for a in range(5):
        for b in range(5):
            assert first_no(no(order[a]), no(order[b])).kind == order[min(a, b)]
    assert first_no(No(kind="unreadable", why="one"), No(kind="unreadable", why="two")).why == "one"
    assert first_no(Fraction(900), no("not_known")) == no("not_known")
    assert first_no(None, No(kind="unreadable", why="", either=OPEN)).either is None


@pytest.mark.parametrize(
    ("conditions", "x", "want"),
    [
        ((YES,), 1000, 1060),
        ((NOT,), 1000, 1000),
        ((UNKNOWN,), 1000, "not_known"),
        ((UNKNOWN,), 0, 0),  # 6 % of nothing is nothing, whether it counts or not
        ((UNREAD,), 0, 0),
        ((RESERVED,), 0, "not_usable"),  # what the page refuses, it refuses
        ((UNKNOWN, NOT), 1000, 1000),
        ((UNKNOWN,), no("does_not_run"), "does_not_run"),
        ((RESERVED,), no("does_not_run"), "does_not_run"),
        ((RESERVED,), no("unreadable"), "not_usable"),
    ],
)
def test_a_step_counts_where_its_conditions_hold(
    conditions: tuple[ChartReading, ...], x: int | No, want: int | str
) -> None:
    i = Instruction(target=TARGET, op="add percent", word="trim", number=Fraction(6), conditions=conditions)
    found = done(i, x if isinstance(x, No) else Fraction(x))
    assert (found.kind if isinstance(found, No) else found) == want


@pytest.mark.parametrize(
    ("condition", "want"), [(YES, 900), (NOT, "does_not_run"), (UNKNOWN, "not_known"), (UNREAD, "unreadable")]
)
def test_a_call_runs_on_its_condition(condition: ChartReading, want: int | str) -> None:
    found = done(Instruction(target=TARGET, op="runs", conditions=(condition,)), Fraction(900))
    assert (found.kind if isinstance(found, No) else found) == want


@pytest.mark.parametrize(
    ("op", "other", "want"),
    [
        ("start", Fraction(700), 700),
        ("start", no("does_not_run"), "does_not_run"),
        ("raise to", Fraction(1100), 1100),
        ("raise to", no("does_not_run"), 900),  # a call that does not run bounds nothing
        ("lower to", no("does_not_run"), 900),
        ("raise to", no("not_usable"), "not_usable"),
        ("add", no("does_not_run"), "does_not_run"),
        ("add", None, "outside_chart"),
    ],
)
def test_another_call_s_airflow(op: Operation, other: Value, want: int | str) -> None:
    x = None if op == "start" else Fraction(900)
    found = done(Instruction(target=TARGET, op=op, register=OTHER), x, other)
    assert (found.kind if isinstance(found, No) else found) == want


@pytest.mark.parametrize(
    ("other", "want"),
    [
        (Fraction(54000), 54000),
        (None, "not_known"),
        (Half("tons", Fraction(3)), "outside_chart"),
        (no("unreadable"), "unreadable"),
    ],
)
def test_heat_to_start_from(other: Value, want: int | str) -> None:
    found = done(Instruction(target=TARGET, op="start", register=HEAT), None, other)
    assert (found.kind if isinstance(found, No) else found) == want


@pytest.mark.parametrize(
    ("heat", "want"),
    [
        (no("not_usable"), "not_usable"),
        (no("outside_chart"), "outside_chart"),
        (no("does_not_run"), "does_not_run"),
        (no("unreadable"), 900),
        (no("not_known"), 900),
        (Fraction(54000), 900),
        (None, 900),
    ],
)
def test_heat_that_isn_t_there_stops_a_stage_and_heat_that_isn_t_known_does_not(heat: Value, want: int | str) -> None:
    found = done(Instruction(target=TARGET, op="stands", register=HEAT), Fraction(900), heat)
    assert (found.kind if isinstance(found, No) else found) == want


@pytest.mark.parametrize(
    ("reading", "cell", "want"),
    [
        (RESERVED, 0, "not_usable"),
        (UNREAD, 0, 900),
        (UNKNOWN, 0, 900),
        (constant("run-on", (CellWord.BLANK,)), 0, "outside_chart"),
        (constant("run-on", (CellWord.NONE,)), 0, 900),
        (constant("run-on", (Fraction(90), CellWord.BLANK)), 0, 900),
        (constant("run-on", (Fraction(90), CellWord.BLANK)), 1, "outside_chart"),
    ],
)
def test_a_chart_beside_the_steps_refuses_only_where_the_page_does(
    reading: ChartReading, cell: int, want: int | str
) -> None:
    """A row not usable or blank in a chart of a delay, a ramp or a limit refuses the stage."""
    found = done(Instruction(target=TARGET, op="stands", reading=reading, cell=cell), Fraction(900))
    assert (found.kind if isinstance(found, No) else found) == want


def test_a_bound_kept_for_a_limit_is_its_figure_and_none_is_no_end() -> None:
    chart = constant("least", (Fraction(350), CellWord.NONE))
    assert done(Instruction(target=TARGET, op="bound", reading=chart)) == 350
    assert done(Instruction(target=TARGET, op="bound", reading=chart, cell=1)) is None
    assert done(Instruction(target=TARGET, op="bound", number=Fraction(400))) == 400
