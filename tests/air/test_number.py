"""Square roots that stay exact where they can."""

from __future__ import annotations

import decimal
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from selector.air.number import positive, square_root


@settings(deadline=None)
@given(st.fractions(min_value=0))
def test_the_root_of_a_square_is_exact(value: Fraction) -> None:
    assert square_root(value * value) == value


@settings(deadline=None)
@given(st.fractions(min_value=Fraction(1, 10**12), max_value=10**12))
def test_other_roots_to_25_digits_against_decimal(value: Fraction) -> None:
    with decimal.localcontext() as context:
        context.prec = 60
        theirs = (decimal.Decimal(value.numerator) / decimal.Decimal(value.denominator)).sqrt()
    assert abs(square_root(value) - Fraction(theirs)) <= Fraction(theirs) / 10**25


def test_floats_stay_floats_and_negatives_are_refused() -> None:
    assert square_root(2.25) == 1.5
    for wrong in (-1.0, Fraction(-1)):
        with pytest.raises(ValueError, match="no square root"):
            square_root(wrong)


def test_positive() -> None:
    positive("rise", Fraction(1, 10**9))
    for wrong in (0.0, -1.0, float("nan")):
        with pytest.raises(ValueError, match="rise must be above 0"):
            positive("rise", wrong, "F")
