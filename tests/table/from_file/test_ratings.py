"""Ratings of the plate, names of one's own, windows and steps as they are typed, and what is refused: each by hand."""

from __future__ import annotations

from fractions import Fraction

import pytest

from selector.problems import Problem, Refused
from selector.table.from_file.build import build_table
from selector.table.model.table import PerTon, Table
from selector.table.source import source_from_text

PAGE = """\
format: selector table 1
unit: {title: Furnace, models: 060 080}
units: {airflow: cfm, temperature: F, pressure: in. w.c., heat: Btu/h}
ratings: {heat output: 50000RATINGS}
board:
  NAME: {kind: jumper, positions: A B, factory: A}
charts:
  air: {set: NAME, gives: airflow, rows: A 900; B 1000}
calls:
  heating:
    terminals: {low: W1, high: W1 W2}
    stages: low high
    airflow: [airSTEPS]
    window: {airflow: 400 to 1600WINDOW}
"""


def text_of(ratings: str = "", name: str = "J1", steps: str = "", window: str = "") -> str:
    given = {"RATINGS": ratings and f", {ratings}", "NAME": name, "STEPS": steps and f", {steps}"}
    text = PAGE.replace("WINDOW", window and f", {window}")
    for mark, typed in given.items():
        text = text.replace(mark, typed)
    return text


def built(**typed: str) -> Table:
    return build_table(source_from_text(text_of(**typed)), "page")[0]


def refused(line: int, **typed: str) -> Problem:
    with pytest.raises(Refused) as wrong:
        build_table(source_from_text(text_of(**typed)), "page")
    (found,) = [p for p in wrong.value.problems if p.line == line]
    return found


@pytest.mark.parametrize(
    ("ratings", "name", "want"),
    [
        ("heat input: 60000", "heat input", {("", ""): 60_000}),
        ("heat input: 60 MBH", "heat input", {("", ""): 60_000}),
        ("heat input: {060: 60000, 080: 80000}", "heat input", {("060", ""): 60_000, ("080", ""): 80_000}),
        ("heat input: {low: 40000, high: 60000}", "heat input", {("", "low"): 40_000, ("", "high"): 60_000}),
        (
            "heat input: {060: {low: 40000, high: 60000}, 080: 80000}",
            "heat input",
            {("060", "low"): 40_000, ("060", "high"): 60_000, ("080", ""): 80_000},
        ),
        ("efficiency: 95 %", "efficiency", {("", ""): Fraction(95, 100)}),
        ("efficiency: 95", "efficiency", {("", ""): Fraction(95, 100)}),
        ("efficiency: 0.95", "efficiency", {("", ""): Fraction(95, 100)}),
        ("efficiency: 50 %", "efficiency", {("", ""): Fraction(1, 2)}),
        ("efficiency: 110 %", "efficiency", {("", ""): Fraction(11, 10)}),
        ("efficiency: 0.5", "efficiency", {("", ""): Fraction(1, 2)}),
        ("efficiency: 1.1", "efficiency", {("", ""): Fraction(11, 10)}),
        ("temperature rise: 35 to 65", "temperature rise", {("", ""): (35, 65)}),
        ("temperature rise: 35 to 65 F", "temperature rise", {("", ""): (35, 65)}),
        ("temperature rise: 0 to 65", "temperature rise", {("", ""): (0, 65)}),
        ("outlet limit: 160 F", "outlet limit", {("", ""): 160}),
        ("plate static: 0.5 in. w.c.", "plate static", {("", ""): Fraction(1, 2)}),
    ],
)
def test_a_rating(ratings: str, name: str, want: dict[tuple[str, str], object]) -> None:
    assert built(ratings=ratings).ratings[name].values == want


@pytest.mark.parametrize(
    ("ratings", "code", "said"),
    [
        ("heat input: 0", "not-above-0", "`0` must be more than 0"),
        ("heat input: -60000", "not-above-0", "`-60000` must be more than 0"),
        ("heat input: 60 cfm", "bad-figure", "`cfm` is a wrong unit"),
        ("heat input: {100: 60000}", "unknown-model-or-stage", "`100` is not a model or a stage"),
        ("heat input: {060: {mid: 60000}}", "unknown-stage", "`mid` is not a stage"),
        ("heat input: {low: {high: 60000}}", "unknown-model-or-stage", "`low` is not a model or a stage"),
        ("efficiency: 49 %", "bad-efficiency", "`49 %` can't be an efficiency"),
        ("efficiency: 111 %", "bad-efficiency", "`111 %` can't be"),
        ("efficiency: 0.49", "bad-efficiency", "`0.49` can't be"),
        ("efficiency: 0.95 %", "bad-efficiency", "`0.95 %` can't be"),
        ("efficiency: 1.11", "bad-efficiency", "`1.11` can't be"),
        ("temperature rise: 65 to 35", "bad-range", "is reversed"),
        ("temperature rise: -5 to 35", "bad-range", "begins below 0"),
        ("temperature rise: 35 to 65 C", "bad-range", "`C` is a wrong unit"),
        ("plate static: 0.5 Pa", "bad-figure", "`Pa` is a wrong unit"),
        ("plate static: 0", "not-above-0", "must be more than 0"),
    ],
)
def test_a_rating_that_can_t_be(ratings: str, code: str, said: str) -> None:
    found = refused(4, ratings=ratings)
    assert found.code == code
    assert said in found.message
    assert found.help


@pytest.mark.parametrize("name", ["J1", "my jumper", "J1-A", "trims", "calls", "60 Hz switch"])
def test_a_name_of_one_s_own(name: str) -> None:
    assert [*built(name=name).selectors] == [name]


@pytest.mark.parametrize(
    ("name", "said", "instead"),
    [
        ("trim", "`trim` has a meaning of its own and can't be a name of yours: it is a quantity", "my trim"),
        ("Trim", "`Trim` has a meaning of its own", "my Trim"),
        ("none", "`none` has a meaning of its own", "my none"),
        ("at least", "`at least` has a meaning of its own", "my at least"),
        ("call fan", "`call fan` has a meaning of its own", "my call fan"),
        ("060", "`060` is a figure and can't be a name of yours", "my 060"),
        ("60 %", "`60 %` is a figure", "my 60 %"),
        ("'a, b'", "the name `a, b` holds a comma or semicolon", "a b"),
        ("a; b", "the name `a; b` holds a comma or semicolon", "a b"),
    ],
)
def test_a_name_that_is_no_name(name: str, said: str, instead: str) -> None:
    found = refused(6, name=name)
    assert found.code == "reserved-name"
    assert said in found.message
    assert instead in found.help


@pytest.mark.parametrize(
    ("steps", "op", "want"),
    [
        ("share: 66 %", "share", {"": 66}),
        ("share: {low: 66 %}", "share", {"low": 66}),
        ("share: {low: 66 %, high: 90 %}", "share", {"low": 66, "high": 90}),
        ("trim: -6 %", "trim", {"": -6}),
        ("offset: +50 cfm", "offset", {"": 50}),
        ("at least: 400", "at least", {"": 400}),
        ("at least: 350 cfm/ton", "at least", {"": PerTon(Fraction(350))}),
        ("round: 5", "round", {"": 5}),
        ("round: 2000", "round", {"": 2000}),
    ],
)
def test_a_step(steps: str, op: str, want: dict[str, object]) -> None:
    (_, step) = built(steps=steps).calls["heating"].airflow
    assert (step.op, step.by_stage) == (op, want)
    assert step.value("low") == want.get("low", want.get(""))
    assert step.value("high") == want.get("high", want.get(""))


@pytest.mark.parametrize(
    ("steps", "code"),
    [
        ("share: -5 %", "signed-share"),
        ("share: 0.66", "percent-as-fraction"),
        ("trim: 6 %", "unsigned-trim"),
        ("share: {mid: 66 %}", "unknown-stage"),
        ("round: 0", "bad-rounding"),
        ("round: -5", "bad-rounding"),
        ("round: 2001", "bad-rounding"),
        ("at least: 0.5 tons", "bad-figure"),
    ],
)
def test_a_step_that_is_refused(steps: str, code: str) -> None:
    assert refused(13, steps=steps).code == code


@pytest.mark.parametrize(
    ("window", "quantity", "ends"),
    [
        ("temperature rise: 30 to 60", "temperature rise", [("", 30, 60)]),
        ("temperature rise: at least 30", "temperature rise", [("", 30, None)]),
        ("temperature rise: up to 60", "temperature rise", [("", None, 60)]),
        ("temperature rise: at most 60", "temperature rise", [("", None, 60)]),
        (
            "temperature rise: {low: 30 to 60, high: at least 35}",
            "temperature rise",
            [("low", 30, 60), ("high", 35, None)],
        ),
        ("airflow per ton: 350 to 450", "airflow per ton", [("", 350, 450)]),
    ],
)
def test_a_window(window: str, quantity: str, ends: list[tuple[str, int | None, int | None]]) -> None:
    found = [w for w in built(window=window).calls["heating"].windows if w.quantity == quantity]
    assert [[w.stage, w.low, w.high] for w in found] == [[*one] for one in ends]


@pytest.mark.parametrize(
    ("window", "code"),
    [
        ("temperature rise: 60 to 30", "bad-range"),
        ("temperature rise: at least 0", "not-above-0"),
        ("temperature rise: {mid: 30 to 60}", "unknown-stage"),
    ],
)
def test_a_window_that_is_refused(window: str, code: str) -> None:
    assert refused(14, window=window).code == code
