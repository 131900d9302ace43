"""The duct curve: the Wickerby page worked by hand, and scipy's root finder on random curves."""

from __future__ import annotations

from fractions import Fraction

import numpy
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from selector.air.duct import (
    FILTER_FACE_FPM,
    airflow_at,
    airflow_at_face_cfm,
    crossing,
    crossings,
    duct_k,
    external_static,
    face_velocity_fpm,
    static_at,
)

F = Fraction
Points = list[tuple[Fraction, Fraction | None]]

WICKERBY_PA = (25, 75, 125, 175, 225)
WICKERBY_LPS = {
    1: (305, 270, 230, 185, 135),
    2: (375, 345, 310, 270, 225),
    3: (450, 425, 395, 360, 315),
    4: (530, 510, 480, 445, 405),
    5: (615, 595, 565, 530, 470),
}


def tap(number: int) -> Points:
    """A tap of the Wickerby page."""
    return [(F(pascal), F(lps)) for pascal, lps in zip(WICKERBY_PA, WICKERBY_LPS[number], strict=True)]


# Wickerby page, question 5: 100 Pa with tap 4 running (495 L/s); what the other taps give on the same ducts, worked by
# hand there
@pytest.mark.parametrize(
    ("number", "lps", "pascal"),
    [(1, 297.3, 36.1), (2, 358.5, 52.5), (3, 425.5, 73.9), (4, 495.0, 100.0), (5, 562.2, 129.0)],
)
def test_other_taps_on_the_same_ducts(number: int, lps: float, pascal: float) -> None:
    found = crossing(tap(number), duct_k(F(100), F(495)))
    assert found is not None
    assert float(found.airflow) == pytest.approx(lps, abs=0.05)
    assert float(found.static) == pytest.approx(pascal, abs=0.05)


def test_outside_the_page_there_is_no_answer() -> None:
    # tap 1 ends at 135 L/s, 225 Pa and begins at 305 L/s, 25 Pa: ducts tighter or wider than that meet it nowhere
    assert crossing(tap(1), duct_k(F(226), F(135))) is None
    assert crossing(tap(1), duct_k(F(24), F(305))) is None
    last, first = crossing(tap(1), duct_k(F(225), F(135))), crossing(tap(1), duct_k(F(25), F(305)))
    assert last is not None
    assert first is not None
    assert (last.airflow, last.static, first.airflow, first.static) == (F(135), F(225), F(305), F(25))


def test_an_inner_point_is_one_crossing() -> None:
    assert len(crossings(tap(2), duct_k(F(125), F(310)))) == 1


def test_never_across_a_blank() -> None:
    gap: Points = [(F(25), F(305)), (F(75), None), (F(125), F(230))]
    assert crossing(gap, duct_k(F(75), F(270))) is None
    assert crossing([(F(75), F(270))], duct_k(F(75), F(270))) is not None
    assert crossing([], F(1)) is None


def test_more_than_one_crossing_is_not_guessed() -> None:
    # ducts with q = 5 sqrt(p) and a curve q = p + 4 that rises: they meet at p = 1 (q = 5) and p = 16 (q = 20)
    steep: Points = [(F("0.5"), F("4.5")), (F(20), F(24))]
    assert [(one.static, one.airflow) for one in crossings(steep, F(1, 25))] == [(F(1), F(5)), (F(16), F(20))]
    with pytest.raises(ValueError, match="more than once"):
        crossing(steep, F(1, 25))


@settings(deadline=None)
@given(
    st.lists(st.fractions(min_value=1, max_value=60, max_denominator=20), min_size=2, max_size=7),
    st.lists(st.fractions(min_value=0, max_value=200, max_denominator=20), min_size=7, max_size=7),
    st.fractions(min_value=0, max_value=50, max_denominator=5),
    st.fractions(min_value=100, max_value=2000, max_denominator=5),
    st.fractions(min_value=F(1, 10), max_value=500, max_denominator=50),
    st.fractions(min_value=100, max_value=2500, max_denominator=50),
)
def test_crossing_against_scipy(
    steps: list[Fraction],
    drops: list[Fraction],
    start: Fraction,
    end_airflow: Fraction,
    measured_static: Fraction,
    measured_airflow: Fraction,
) -> None:
    statics = [start + sum(steps[:index], F(0)) for index in range(len(steps))]
    airflows = [end_airflow + sum(drops[index : len(steps) - 1], F(0)) for index in range(len(steps))]
    k = duct_k(measured_static, measured_airflow)
    found = crossing(list(zip(statics, airflows, strict=True)), k)
    first, last = (k * airflows[at] ** 2 - statics[at] for at in (0, -1))
    if first < 0 or last > 0:
        assert found is None
        return
    assert found is not None
    assert found.static == k * found.airflow**2
    assert statics[0] <= found.static <= statics[-1]

    xs, ys = [float(static) for static in statics], [float(airflow) for airflow in airflows]
    slack = 1e-9 * xs[-1]
    assume(abs(float(first)) > slack and abs(float(last)) > slack)
    static = brentq(lambda p: float(k) * float(numpy.interp(p, xs, ys)) ** 2 - p, xs[0], xs[-1], xtol=1e-12, rtol=1e-14)
    assert float(found.static) == pytest.approx(static, rel=1e-8)
    assert float(found.airflow) == pytest.approx(float(numpy.interp(static, xs, ys)), rel=1e-8)


@settings(deadline=None)
@given(
    st.fractions(min_value=F(1, 100), max_value=500),
    st.fractions(min_value=1, max_value=3000),
    st.fractions(min_value=1, max_value=3000),
)
def test_static_follows_airflow_squared(static: Fraction, airflow: Fraction, other: Fraction) -> None:
    k = duct_k(static, airflow)
    assert static_at(k, airflow) == static
    assert static_at(k, other) == static * (other / airflow) ** 2
    assert airflow_at(k, static_at(k, other)) == other


def test_external_static_adds_both_sides() -> None:
    # -0.22 in. w.c. in the return, +0.31 in the supply: 0.53 across the unit
    assert external_static(F("-0.22"), F("0.31")) == F("0.53")
    assert external_static(F("0.22"), F("0.31")) == F("0.53")


def test_faces() -> None:
    # common practice, no source: 300 fpm at a filter; 20 x 25 in = 500/144 ft2 -> 1,041.7 cfm
    assert FILTER_FACE_FPM == 300
    assert float(airflow_at_face_cfm(F(500, 144), F(300))) == pytest.approx(1041.7, abs=0.05)
    assert face_velocity_fpm(F(1200), F(3)) == 400


def test_refusals() -> None:
    for static, airflow in ((F(0), F(495)), (F(100), F(0)), (F(-1), F(495))):
        with pytest.raises(ValueError, match="must be above 0"):
            duct_k(static, airflow)
    with pytest.raises(ValueError, match="without a sign"):
        airflow_at(F(1), F(-1))
    with pytest.raises(ValueError, match="rising static"):
        crossing([(F(75), F(270)), (F(25), F(305))], F(1))
    with pytest.raises(ValueError, match="area"):
        face_velocity_fpm(F(1200), F(0))
