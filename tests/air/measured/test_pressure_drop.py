"""Drops at another airflow, worked by hand; trade rule: a medium of twice the face keeps a quarter to a half."""

from __future__ import annotations

from fractions import Fraction as F

from hypothesis import given as drawn
from hypothesis import strategies as st

from selector.air.figure import given
from selector.air.measured.arithmetic_flow import medium_then, square_then
from selector.air.measured.pressure_drop import by_chart, by_square
from tests.helpers.recompute import mismatches


def medium(drop: str, now: int, then: int) -> tuple[F, F]:
    """Least and most drop of a medium."""
    least, most = medium_then(given("drop", F(drop), "in. w.c."), given("now", now, "cfm"), given("then", then, "cfm"))
    return least.value, most.value


def test_the_square_law() -> None:
    # 0.30 at 1,200 cfm: at 1,400 x (7/6)^2 = 0.4083
    assert by_square(F("0.30"), F(1200), F(1400)) == F("0.3") * F(49, 36)


def test_twice_the_face_keeps_a_quarter_to_a_half() -> None:
    assert medium("0.24", 1200, 600) == (F("0.06"), F("0.12"))
    # more airflow: from 1,000 to 1,200 cfm 0.20 becomes 0.24 to 0.288
    assert medium("0.20", 1000, 1200) == (F("0.24"), F("0.288"))


def test_a_chart_is_never_extended() -> None:
    points = ((F(800), F("0.08")), (F(1200), F("0.16")), (F(1600), F("0.28")))
    assert by_chart(points, F(1400)) == F("0.22")
    assert by_chart(points, F(1600)) == F("0.28")
    assert by_chart(points, F(1601)) is None
    assert by_chart(points[:1], F(800)) == F("0.08")
    assert by_chart(points[:1], F(900)) is None


@drawn(st.fractions(F(1, 100), 1), st.integers(400, 2000), st.integers(400, 2000))
def test_the_square_is_the_far_end(drop: F, now: int, then: int) -> None:
    least, most = medium_then(given("drop", drop, "in. w.c."), given("now", now, "cfm"), given("then", then, "cfm"))
    assert least.value <= most.value
    assert by_square(drop, F(now), F(then)) == (most if then >= now else least).value
    assert mismatches(least) == mismatches(most) == ()
    assert mismatches(square_then(given("drop", drop), given("now", now), given("then", then))) == ()
