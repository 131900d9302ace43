"""The decision table: each row, worked by hand from what technicians say first (common practice, no source)."""

from __future__ import annotations

from fractions import Fraction

import pytest

from selector.answers.verify.row_words import LOOK_AT, NEXT
from selector.answers.verify.steps import condition_text
from selector.job.readings.decision_table import (
    MOST,
    ROWS,
    Blower,
    Delivered,
    Seen,
    Static,
    chosen,
    deciding,
)
from selector.job.verify.causes import Suspect, explain, fitting
from selector.text_table import read_table

Case = tuple[Delivered, Static, Blower, str]

SAYS: dict[str, tuple[Case, tuple[str, ...]]] = {
    # row -> delivered, static, blower, also, and what is looked at first: as the table of the trade has it
    "narrow": (("low", "high", "constant airflow", ""), ("filter", "coil", "dampers", "duct")),
    "asks less": (("low", "usual", "constant airflow", ""), ("power-up", "terminal", "plug", "dehumidify", "wheel")),
    "wrong tap": (("low", "low", "taps", ""), ("tap", "wheel", "voltage")),
    "more heat": (
        ("unclocked low", "usual", "other", ""),
        ("probe", "terminal", "power-up", "plug", "dehumidify", "wheel"),
    ),
    "less heat": (("unclocked high", "usual", "constant airflow", ""), ("unlit", "derate")),
    "open": (("high", "low", "taps", ""), ("bypass", "opening", "other chart")),
    "over-fired": (("as selected", "usual", "constant airflow", "rise high"), ("probe",)),
    "under-fired": (("as selected", "low", "constant airflow", "rise low"), ("unlit", "derate")),
    "at a price": (("as selected", "high", "constant airflow", "watts high"), ("duct", "noise")),
    "contradict": (("disagree", "usual", "constant airflow", ""), ("measurement",)),
}


def seen(delivered: Delivered, static: Static, blower: Blower, *also: str) -> Seen:
    return Seen(delivered=delivered, static=static, blower=blower, also=frozenset(a for a in also if a))


def test_every_row_has_a_case_here() -> None:
    assert {row.name for row in ROWS} == set(SAYS)


@pytest.mark.parametrize("name", SAYS)
def test_a_row_is_said_alone_where_it_fits_and_says_what_to_look_at(name: str) -> None:
    (delivered, static, blower, also), checks = SAYS[name]
    rows = chosen(seen(delivered, static, blower, also))
    assert [row.name for row in rows] == [name]
    assert rows[0].checks == checks
    assert NEXT[rows[0].then]
    assert all(LOOK_AT[check] for check in rows[0].checks)


@pytest.mark.parametrize(
    ("what", "expected"),
    [
        # low static on a board that holds its airflow is the second row too, on taps the third
        (seen("low", "low", "constant airflow"), ["asks less"]),
        (seen("low", "usual", "taps"), []),
        # high airflow with usual or high static is no row of the table
        (seen("high", "usual", "constant airflow"), []),
        (seen("high", "high", "constant airflow"), []),
        # a rise outside the plate and a heat that nobody measured: the heat comes before what the board might do, a
        # measured static before the heat
        (seen("unclocked low", "usual", "constant airflow"), ["more heat"]),
        (seen("unclocked low", "high", "constant airflow"), ["narrow", "more heat"]),
        (seen("unclocked low", "not known", "constant airflow"), ["narrow", "more heat"]),
        (seen("unclocked high", "low", "constant airflow"), ["less heat"]),
        # as selected and nothing beside it: nothing to explain
        (seen("as selected", "high", "constant airflow"), []),
        (seen("as selected", "usual", "constant airflow", "watts high"), []),
        # two things beside: both rows, in the table's order
        (seen("as selected", "high", "constant airflow", "watts high", "rise high"), ["over-fired", "at a price"]),
        # three: the first two only
        (
            seen("as selected", "high", "constant airflow", "rise high", "rise low", "watts high"),
            ["over-fired", "under-fired"],
        ),
        # static not measured: every row it would choose between
        (seen("low", "not known", "constant airflow"), ["narrow", "asks less"]),
        (seen("low", "not known", "taps"), ["narrow", "wrong tap"]),
        (seen("high", "not known", "taps"), ["open"]),
        (seen("not known", "high", "taps", "rise high"), []),
    ],
)
def test_which_rows_are_said(what: Seen, expected: list[str]) -> None:
    assert [row.name for row in chosen(what)] == expected


def test_static_is_asked_for_only_where_it_decides() -> None:
    unknown = seen("low", "not known", "constant airflow")
    assert deciding(unknown, chosen(unknown)) == "static"
    known = seen("low", "high", "constant airflow")
    assert deciding(known, chosen(known)) == ""
    fired = seen("as selected", "not known", "constant airflow", "rise high")
    assert deciding(fired, chosen(fired)) == ""


def test_never_more_than_two_explanations_whatever_is_seen() -> None:
    for delivered in ("low", "as selected", "high", "disagree"):
        for static in ("low", "usual", "high", "not known"):
            for blower in ("constant airflow", "taps", "other"):
                found = explain(seen(delivered, static, blower, "rise high", "rise low", "watts high"))
                assert len(found) <= MOST == 2


def test_what_the_board_itself_speaks_for_is_looked_at_first_and_what_speaks_against_last() -> None:
    suspects = fitting(
        [
            Suspect(check="plug", source="model", name="060", airflow=Fraction(1000)),
            Suspect(check="terminal", source="call", name="cooling first", airflow=Fraction(700)),
            Suspect(check="power-up", source="as found", name="", airflow=Fraction(1100)),
        ],
        Fraction(950),
        Fraction(1050),
        Fraction(1100),
    )
    assert [s.check for s in suspects] == ["plug"]
    (only,) = explain(seen("low", "usual", "constant airflow"), suspects, {"power-up"})
    assert [c.name for c in only.checks] == ["plug", "terminal", "dehumidify", "wheel", "power-up"]
    assert only.checks[0].evidence == suspects
    assert only.checks[-1].unlikely


def test_an_airflow_just_at_the_end_of_the_band_fits_and_the_selected_one_never_does() -> None:
    ends = [
        Suspect(check="terminal", source="call", name="a", airflow=Fraction(950)),
        Suspect(check="terminal", source="call", name="b", airflow=Fraction(949)),
    ]
    assert [s.name for s in fitting(ends, Fraction(950), Fraction(1050), None)] == ["a"]
    assert fitting(ends, Fraction(950), Fraction(1050), Fraction(950)) == ()


def test_a_conditional_row_says_its_condition() -> None:
    narrow, less = explain(seen("low", "not known", "constant airflow"))
    assert condition_text(narrow) == "if the static is high"
    assert condition_text(less) == "if the static is low or usual"


def test_a_table_with_a_ragged_row_is_refused() -> None:
    with pytest.raises(ValueError, match="2 cells under 3 heads"):
        read_table("a | b | c\n--|--|--\n1 | 2")
