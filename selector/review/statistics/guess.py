"""What a structure foretells of one cell, and what all of them say together."""

from __future__ import annotations

from math import exp, log

from selector.review.statistics.robust import log_t
from selector.value import Struct

FREEDOM = 7.0
"""Degrees of freedom of what is foretold: pages have odd figures now and then."""


class Guess(Struct, frozen=True):
    """One structure's foretelling of one cell: `middle` and `scale` in logs or in plain figures; `low`, `high` where
    figures are clipped."""

    weight: float
    middle: float
    scale: float
    logs: bool
    freedom: float = 0.0
    low: float | None = None
    high: float | None = None

    def log_density(self, value: float) -> float:
        """Log of the density of the log of a figure."""
        if value <= 0:
            return -60.0
        middle = self.middle
        if self.logs:
            if self.high is not None and middle > log(self.high):
                middle = log(self.high)
            if self.low is not None and middle < log(self.low):
                middle = log(self.low)
            return log_t(log(value) - middle, self.scale, self.freedom or FREEDOM)
        if self.high is not None and middle > self.high:
            middle = self.high
        if self.low is not None and middle < self.low:
            middle = self.low
        return log_t(value - middle, self.scale, self.freedom or FREEDOM) + log(value)

    @property
    def figure(self) -> float:
        """The foretold figure."""
        return exp(min(self.middle, 30.0)) if self.logs else self.middle


class Foretold(Struct, frozen=True):
    """What all structures say of one cell."""

    guesses: tuple[Guess, ...]

    def log_density(self, value: float) -> float:
        """Log of the weighed density."""
        parts = [(log(g.weight) if g.weight > 0 else -700.0) + g.log_density(value) for g in self.guesses]
        top = max(parts)
        return top + log(sum(exp(p - top) for p in parts))

    @property
    def best(self) -> Guess:
        """The structure trusted most."""
        return max(self.guesses, key=lambda g: g.weight)
