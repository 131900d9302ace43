"""What a stage ought to move as a target of the search."""

from __future__ import annotations

from fractions import Fraction

from selector.solve.search.targets import Target
from selector.table.model.range import ANYWHERE, Range

HIGHEST = Fraction(10**9)
"""Stands for an open upper end: no blower moves that."""


def as_target(key: tuple[str, str], allowed: Range = ANYWHERE) -> Target:
    """The allowed range of a call and stage, in the table's unit: no deviation anywhere inside."""
    low = Fraction(0) if allowed.low is None else allowed.low
    high = HIGHEST if allowed.high is None else allowed.high
    return Target(call=key[0], stage=key[1], quantity="airflow", low=low, high=high)
