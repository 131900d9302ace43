"""A range of figures with open ends: the one place that says below, inside, above and how far."""

from __future__ import annotations

from fractions import Fraction
from typing import Literal

from selector.value import Struct

Side = Literal["below", "inside", "above"]


class Range(Struct, frozen=True):
    """From `low` to `high`, both ends inside; None is an open end. All figures are in one unit."""

    low: Fraction | None = None
    high: Fraction | None = None

    @property
    def ends(self) -> tuple[Fraction | None, Fraction | None]:
        """The lower and the upper end."""
        return self.low, self.high

    @property
    def open(self) -> bool:
        """True where neither end is known."""
        return self.low is None and self.high is None

    @property
    def empty(self) -> bool:
        """True where no figure lies inside."""
        return self.low is not None and self.high is not None and self.low > self.high

    def side(self, value: Fraction) -> Side:
        """Where a figure lies. Of an empty range it is below while it is under `low`."""
        if self.low is not None and value < self.low:
            return "below"
        return "above" if self.high is not None and value > self.high else "inside"

    def beyond(self, value: Fraction) -> Fraction:
        """How far outside, in the unit of the figures: above positive, below negative, 0 inside.

        >>> Range(Fraction(35), Fraction(65)).beyond(Fraction(69)), Range(Fraction(35)).beyond(Fraction(30))
        (Fraction(4, 1), Fraction(-5, 1))
        """
        if self.low is not None and value < self.low:
            return value - self.low
        return value - self.high if self.high is not None and value > self.high else Fraction(0)

    def deviation(self, value: Fraction) -> Fraction:
        """Distance to the nearer end over that end, 0 inside; an end of 0 counts the distance itself."""
        side = self.side(value)
        end = self.low if side == "below" else self.high if side == "above" else None
        return Fraction(0) if end is None else abs(value - end) / end if end else abs(value)

    def within(self, other: Range) -> Range:
        """The part two ranges share; empty where they share none."""
        lows = [end for end in (self.low, other.low) if end is not None]
        highs = [end for end in (self.high, other.high) if end is not None]
        return Range(max(lows, default=None), min(highs, default=None))


ANYWHERE = Range()
"""No limit at all."""
