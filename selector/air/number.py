"""Numbers of this room: Fractions stay Fractions, floats stay floats.

The plain algebra takes all its figures as Fractions (or ints) and returns a Fraction, or all as floats and returns a
float. Mix them and the
type checker objects; wrap a float as `Fraction(x)` to stay exact from there on.
"""

from __future__ import annotations

import math
from decimal import Decimal, localcontext
from fractions import Fraction
from typing import TypeVar, overload

N = TypeVar("N", Fraction, float)
Number = Fraction | float

_ROOT_DIGITS = 30


@overload
def square_root(value: Fraction) -> Fraction: ...
@overload
def square_root(value: float) -> float: ...
def square_root(value: Number) -> Number:
    """The square root. Of a Fraction: exact where it is rational, else to 30 significant digits, then a fraction;
    of a float: a float. Negative: ValueError.

    >>> square_root(Fraction(9, 4)), square_root(2.25)
    (Fraction(3, 2), 1.5)
    """
    if value < 0:
        raise ValueError(f"no square root of {float(value):g}")
    if isinstance(value, float):
        return math.sqrt(value)
    exact = Fraction(value)
    top, bottom = math.isqrt(exact.numerator), math.isqrt(exact.denominator)
    if top * top == exact.numerator and bottom * bottom == exact.denominator:
        return Fraction(top, bottom)
    with localcontext() as context:
        context.prec = 2 * _ROOT_DIGITS
        root = (Decimal(exact.numerator) / Decimal(exact.denominator)).sqrt()
        context.prec = _ROOT_DIGITS
        return Fraction(+root)


def positive(name: str, value: Number, unit: str = "") -> None:
    """Raises ValueError, in plain words, unless the value is above 0 (NaN is not)."""
    if not value > 0:
        raise ValueError(f"{name} must be above 0, got {float(value):g}{f' {unit}' if unit else ''}")
