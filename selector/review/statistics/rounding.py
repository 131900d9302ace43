"""The step a chart's figures are rounded to, as far as the figures tell."""

from __future__ import annotations

from collections.abc import Sequence
from math import exp, log

from selector.value import Struct

STEPS: tuple[tuple[float, float], ...] = (
    (100.0, 0.02),
    (50.0, 0.06),
    (25.0, 0.17),
    (20.0, 0.04),
    (10.0, 0.3),
    (5.0, 0.25),
    (2.0, 0.02),
    (1.0, 0.1),
    (0.5, 0.02),
    (0.1, 0.02),
)
SHARE_STEPS: tuple[tuple[float, float], ...] = ((10.0, 0.35), (5.0, 0.5), (1.0, 0.15))
"""Steps that pages round airflows and shares of them to, and how common each is (common practice, no source)."""
_TRUST = 0.8
"""Figures of one chart favour round numbers anyhow: their evidence counts a little less than if they were
independent."""


def fits(value: float, step: float) -> bool:
    """True for a multiple of the step."""
    return abs(value / step - round(value / step)) < 1e-6


class Rounding(Struct, frozen=True):
    """(step, how sure, share of figures off it), the surest first."""

    steps: tuple[tuple[float, float, float], ...]

    @property
    def step(self) -> float:
        """The surest step."""
        return self.steps[0][0]

    def nearest(self, value: float) -> float:
        """The multiple of the surest step nearest to a value."""
        return round(value / self.step) * self.step

    def fits(self, value: float) -> bool:
        """True for a multiple of the surest step."""
        return fits(value, self.step)

    def log_mass(self, value: float) -> float:
        """Log of how much likelier a figure with these last digits is than one of whole numbers spread evenly."""
        return log(sum(sure * ((1 - off) * step if fits(value, step) else off) for step, sure, off in self.steps))


def rounding_of(values: Sequence[float], steps: Sequence[tuple[float, float]] = STEPS) -> Rounding:
    """What the figures tell about their step; with none, what pages commonly have."""
    n = len(values)
    found: list[tuple[float, float, float]] = []
    for step, common in steps:
        off = sum(1 for v in values if not fits(v, step))
        share = min(0.5, (off + (0.3 if steps is STEPS else 0.05)) / (n + 1.5))
        found.append(
            (log(common) + _TRUST * ((n - off) * (log(1 - share) + log(step)) + off * log(share)), step, share)
        )
    top = max(f[0] for f in found)
    total = sum(exp(f[0] - top) for f in found)
    by_sureness = sorted(((step, exp(weight - top) / total, off) for weight, step, off in found), key=lambda s: -s[1])
    return Rounding(tuple(s for s in by_sureness if s[1] > 1e-4))
