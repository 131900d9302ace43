"""A place where two transcriptions say different things, and how each says it."""

from __future__ import annotations

from fractions import Fraction

from selector.table.model.formula import ramp_words
from selector.table.model.table import Ramp
from selector.units import plain
from selector.value import Struct


class Difference(Struct, frozen=True, kw_only=True, order=True):
    """One place where two tables say different things: their lines (0 where one says nothing), where in words, and
    what each says; None where a chart or selector isn't in that table at all."""

    line_a: int
    line_b: int
    where: str
    a: str | None
    b: str | None


def number_said(value: Fraction) -> str:
    """A figure as short as it is exact, else to six places."""
    try:
        return plain(value)
    except ValueError:
        return f"{float(value):g}"


def ramp_said(ramp: Ramp) -> str:
    """What a ramp does, whatever its name."""
    return ", ".join(ramp_words(ramp, lambda s: f"{number_said(s)} s", lambda share: f"{number_said(share)} %"))
