"""Arithmetic the recomputations share: rise, deviation, rounding, and ranking by deviation. Knows nothing of the
program."""

import re
from collections.abc import Iterable
from fractions import Fraction
from typing import Any

KW_BTUH = Fraction("3412.141633")
"""Btu/h in one kW (NIST SP 811)."""


def rise(delivered_btuh: Fraction, airflow_cfm: Fraction) -> Fraction:
    """The temperature rise in F of standard air: heat / (1.08 x airflow)."""
    return delivered_btuh / (Fraction("1.08") * airflow_cfm)


def off_by(got: Fraction, aim: Fraction) -> Fraction:
    """The relative deviation from an aim."""
    return abs(got - aim) / aim


def to_nearest(value: Fraction, step: Fraction) -> Fraction:
    """The value rounded to a whole number of steps, halves away from zero (values here are never negative)."""
    return (value / step + Fraction(1, 2)) // 1 * step


def first(found: Iterable[dict[str, Any]], count: int) -> list[dict[str, Any]]:
    """The first answers by deviation. Ties among them, or with the next one, would need moves: none may stand here."""
    ranked = sorted(found, key=lambda answer: answer["deviation"])
    if len(ranked) < count:
        raise ValueError(f"only {len(ranked)} settings fit")
    near = [answer["deviation"] for answer in ranked[: count + 1]]
    if len(set(near)) != len(near):
        raise ValueError("two settings tie")
    return ranked[:count]


def tokens(marks: str) -> frozenset[str]:
    """Marks in any order, one token for each `NAME=MARK` (a mark with blanks stays whole)."""
    return frozenset(re.sub(r"\s+", " ", mark.strip()).lower() for mark in re.split(r"\s+(?=\S+=)", marks.strip()))
