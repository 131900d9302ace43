"""Ranges, round steps and figures of a plot's scales."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from math import floor, log10

from selector.units import format_number


def whole(airflow: float) -> str:
    """An airflow to be read: in whole units, halves away from zero."""
    return format_number(Fraction(repr(float(airflow))), 0)


def shown(value: float) -> str:
    """A number to be read: a decimal from 10 on, two below, none that are idle; commas in thousands, halves away
    from zero."""
    exact = Fraction(repr(float(value)))
    text = format_number(exact, 1 if abs(exact) >= 10 else 2)
    return text.rstrip("0").rstrip(".")


def stretched(values: Iterable[float], *, from_zero: bool = False) -> tuple[float, float]:
    """A range that holds the values and some room on both sides, on round numbers. Equal values get a range of their
    own; none give 0 to 1."""
    numbers = [*values, *([0.0] if from_zero else [])]
    if not numbers:
        return 0.0, 1.0
    low, high = min(numbers), max(numbers)
    if low == high:
        low, high = (low * 0.9, high * 1.1) if low else (0.0, 1.0)
        low, high = min(low, high), max(low, high)
    step = step_of(low, high, 6)
    first = floor(low / step) * step
    last = -floor(-high / step) * step
    return first, last


def step_of(low: float, high: float, most: int) -> float:
    """A round step (1, 2, 2.5 or 5 times a power of ten) that cuts the range in at most `most` pieces."""
    least = (high - low) / max(1, most)
    if least <= 0:
        return 1.0
    power: float = 10.0 ** floor(log10(least))
    return next(power * m for m in (1, 2, 2.5, 5, 10) if power * m >= least * 0.999999)


def ticks(low: float, high: float, most: int) -> list[float]:
    """Round values inside the range, at most `most` + 1."""
    step = step_of(low, high, most)
    first = -floor(-(low - step * 1e-9) / step)
    return [n * step for n in range(first, floor((high + step * 1e-9) / step) + 1)]
