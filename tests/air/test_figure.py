"""Figures with their inputs: how they are written, and that they can be recomputed. The evaluator is held to
Python's own arithmetic."""

from __future__ import annotations

import json
import math
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given as hypothesis_given
from hypothesis import settings
from hypothesis import strategies as st

from selector.air.expression import evaluate
from selector.air.figure import Figure, Given, Worked, arithmetic, as_data, chain, given, renamed, text, written
from tests.helpers.recompute import mismatches, recompute

F = Fraction

HEAT = given("heat", 100_000, "Btu/h", source="plate")
RISE = given("rise", 50, "F", source="typed")
FACTOR = given("factor", F("1.08"), "Btu/(h cfm F)", bare=True)


def airflow(value: Fraction | None = None) -> Worked:
    """100,000 / (1.08 x 50) = 1,851.85, or another value claimed for it."""
    claimed = F(100_000) / F(54) if value is None else value
    return Worked(
        name="airflow", value=claimed, unit="cfm", expression="heat / (factor * rise)", inputs=(HEAT, FACTOR, RISE)
    )


def test_the_line_of_arithmetic() -> None:
    assert text(airflow()) == "100,000 Btu/h / (1.08 x 50 F) = 1,852 cfm"
    assert text(HEAT) == "heat 100,000 Btu/h (plate)"


@pytest.mark.parametrize(
    ("figure", "shown"),
    [
        (given("a", F("0.85"), "gph"), "0.85 gph"),
        (given("a", F("1197.8"), "cfm"), "1,197.8 cfm"),
        (given("a", F(2, 3), "in. w.c."), "0.666667 in. w.c."),
        (given("a", F("0.95"), shown="95 %"), "95 %"),
        (given("a", F("0.5"), "unknown unit"), "0.5 unknown unit"),
        (Worked(name="a", value=F("0.83204"), unit="", expression="1", inputs=()), "0.832"),
        (Worked(name="a", value=F("0.825"), unit="in. w.c.", expression="1", inputs=()), "0.83 in. w.c."),
        (Worked(name="a", value=F("56.26"), unit="F", expression="1", inputs=()), "56.3 F"),
        (Worked(name="a", value=F("1851.5"), unit="cfm", expression="1", inputs=(), places=1), "1,851.5 cfm"),
        (
            Worked(name="a", value=F("0.8986"), unit="Btu/(h cfm F)", expression="1", inputs=(), places=3, bare=True),
            "0.899",
        ),
    ],
)
def test_how_figures_are_written(figure: Figure, shown: str) -> None:
    assert written(figure) == shown


@pytest.mark.parametrize(
    ("expression", "shown"),
    [
        ("a+b*c", "1 + 2 x (-3)"),
        ("a - c", "1 - (-3)"),
        ("-(a + b)/c", "-(1 + 2) / (-3)"),
        ("max(a, b*c)", "max(1, 2 x (-3))"),
        ("(a/b)^2", "(1 / 2)^2"),
        ("a", "1"),
    ],
)
def test_expressions_are_written_with_figures(expression: str, shown: str) -> None:
    figures = tuple(
        one for one in (given("a", 1), given("b", 2), given("c", -3)) if one.name in expression.replace("max", "")
    )
    assert arithmetic(Worked(name="x", value=F(0), unit="", expression=expression, inputs=figures)) == shown


def test_a_figure_taken_over_is_written_once() -> None:
    assert (
        text(Worked(name="standard_airflow", value=HEAT.value, unit="Btu/h", expression="heat", inputs=(HEAT,)))
        == "standard airflow 100,000 Btu/h"
    )


@pytest.mark.parametrize("name", ["Heat", "heat input", "2nd", "", "sqrt", "max", "heat-input", "été"])
def test_names_that_no_expression_could_hold(name: str) -> None:
    with pytest.raises(ValueError, match="can't name a figure"):
        given(name, 1)


def test_inputs_are_exactly_what_the_expression_names() -> None:
    with pytest.raises(ValueError, match="have one name"):
        Worked(name="x", value=F(2), unit="", expression="rise + rise", inputs=(RISE, RISE))
    with pytest.raises(ValueError, match="the expression names heat rise, the inputs are rise"):
        Worked(name="x", value=F(2), unit="", expression="rise + heat", inputs=(RISE,))
    with pytest.raises(ValueError, match="the inputs are heat rise"):
        Worked(name="x", value=F(2), unit="", expression="rise", inputs=(RISE, HEAT))
    other = Worked(
        name="x", value=F(0), unit="F", expression="rise - least_rise", inputs=(RISE, renamed(RISE, "least_rise"))
    )
    assert recompute(other) == 0


def test_chain_has_inputs_first_and_each_once() -> None:
    flow = airflow()
    back = Worked(
        name="again", value=HEAT.value, unit="Btu/h", expression="airflow * rise * factor", inputs=(flow, RISE, FACTOR)
    )
    names = [one.name for one in chain(back)]
    assert sorted(names) == ["again", "airflow", "factor", "heat", "rise"]
    assert names.index("airflow") > max(names.index(name) for name in ("heat", "factor", "rise"))
    assert names[-1] == "again"


def test_recompute_and_mismatches() -> None:
    assert recompute(airflow()) == F(100_000) / F(54)
    assert mismatches(airflow()) == ()
    wrong = airflow(F(1852))
    assert mismatches(wrong) == (wrong,)
    above = Worked(name="ton", value=F(1852, 3), unit="cfm/ton", expression="airflow / 3", inputs=(wrong,))
    assert mismatches(above) == (wrong,)  # the step above is right in itself


def test_data_can_be_recomputed_from_json_alone() -> None:
    data = json.loads(json.dumps(as_data(airflow())))

    def again(one: dict[str, Any]) -> float:
        inputs: list[dict[str, Any]] = one.get("inputs", [])
        if "expression" not in one:
            return float(one["value"])
        return float(evaluate(one["expression"], {each["name"]: again(each) for each in inputs}))

    assert again(data) == pytest.approx(100_000 / 54, rel=1e-12)
    assert data["text"] == "100,000 Btu/h / (1.08 x 50 F) = 1,852 cfm"
    assert [one["name"] for one in data["inputs"]] == ["heat", "factor", "rise"]
    assert data["inputs"][0]["source"] == "plate"


def test_note_is_in_the_data() -> None:
    assert as_data(Given(name="a", value=F(1), unit="", note="as typed"))["note"] == "as typed"


# worked by hand
@pytest.mark.parametrize(
    ("expression", "value"),
    [
        ("1 + 2 * 3", "7"),
        ("(1 + 2) * 3", "9"),
        ("8 / 4 / 2", "1"),
        ("8 - 4 - 2", "2"),
        ("-2 ^ 2", "-4"),
        ("2 ^ 3 ^ 2", "512"),
        ("2 ^ -1", "0.5"),
        ("3 * -2", "-6"),
        ("0.1 + 0.2", "0.3"),
        ("sqrt(6.25)", "2.5"),
        ("min(3, 1, 2) + max(3, 1, 2)", "4"),
        ("abs(-0.22)", "0.22"),
        ("nearest(1234, 10)", "1230"),
        ("nearest(1235, 10)", "1240"),
        ("nearest(-1235, 10)", "-1240"),
        ("up(1231, 10)", "1240"),
        ("up(1230, 10)", "1230"),
        ("down(1239, 10)", "1230"),
    ],
)
def test_evaluator_by_hand(expression: str, value: str) -> None:
    assert evaluate(expression, {}) == F(value)


def test_broken_powers_are_floats() -> None:
    assert float(evaluate("x ^ 5.2559", {"x": F("0.9")})) == pytest.approx(math.pow(0.9, 5.2559), rel=1e-14)


@pytest.mark.parametrize(
    "expression",
    ["", "1 +", "(1", "1)", "1 2", "sqrt 4", "sqrt(4", "* 2", "max(1,)", "1 ! 2", "a.b", "__import__('os')", "1 % 2"],
)
def test_slips_in_an_expression_are_refused(expression: str) -> None:
    with pytest.raises((ValueError, KeyError)):
        evaluate(expression, {"a": F(1), "b": F(2)})


names = st.sampled_from(["a", "b", "c"])
terms = st.recursive(
    names,
    lambda deeper: st.tuples(deeper, st.sampled_from("+-*/"), deeper).map(lambda parts: f"({' '.join(parts)})"),
    max_leaves=8,
)
numbers = st.fractions(min_value=-50, max_value=50, max_denominator=10)


@settings(deadline=None)
@hypothesis_given(terms, terms, st.tuples(numbers, numbers, numbers))
def test_evaluator_against_python(one: str, other: str, values: tuple[Fraction, Fraction, Fraction]) -> None:
    named = dict(zip("abc", values, strict=True))
    expression = f"-{one} * {other} - {other} / 3"
    try:
        theirs: Fraction = eval(expression, {}, named)  # Python's own precedence on the same Fractions
    except ZeroDivisionError:
        with pytest.raises(ZeroDivisionError):
            evaluate(expression, named)
        return
    assert evaluate(expression, named) == theirs
