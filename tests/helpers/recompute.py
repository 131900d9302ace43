"""Figures worked out again from their inputs, every step by its expression."""

from __future__ import annotations

from fractions import Fraction

from selector.air.expression import evaluate
from selector.air.figure import Figure, Given, Worked, chain


def recompute(figure: Figure) -> Fraction:
    """The value from the leaves alone, every step by its expression."""
    if isinstance(figure, Given):
        return figure.value
    return evaluate(figure.expression, {one.name: recompute(one) for one in figure.inputs})


def mismatches(figure: Figure, relative: float = 1e-12) -> tuple[Worked, ...]:
    """The figures of the chain whose value is not what their expression gives from their inputs. Empty where all is
    well."""
    bad = []
    for one in chain(figure):
        if isinstance(one, Worked):
            value = evaluate(one.expression, {deeper.name: deeper.value for deeper in one.inputs})
            if abs(value - one.value) > relative * max(abs(value), abs(one.value)):
                bad.append(one)
    return tuple(bad)
