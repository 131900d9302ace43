"""What a plot shows, with nothing said of how it is drawn: curves, levels, spots and spans over two axes. Plain
numbers in, in any one unit."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from itertools import pairwise
from math import floor, log10
from typing import TYPE_CHECKING

from selector.units import format_number
from selector.value import Struct

if TYPE_CHECKING:
    from selector.draw.plots.rows import ReachPlot

Point = tuple[float, float]


class Curve(Struct, frozen=True, kw_only=True):
    """Points joined by straight lines, with a name at its end."""

    points: tuple[Point, ...]
    name: str = ""
    dashed: bool = False


class Level(Struct, frozen=True, kw_only=True):
    """A line across the plot at a height."""

    at: float
    name: str
    dashed: bool = False


class Spot(Struct, frozen=True, kw_only=True):
    """A single point; filled where it is what was chosen or measured, of which the latter is a sign of its own."""

    x: float
    y: float
    name: str = ""
    solid: bool = False
    measured: bool = False


class PlotSpan(Struct, frozen=True, kw_only=True):
    """A stretch along x, barred."""

    low: float
    high: float


class Plot(Struct, frozen=True, kw_only=True):
    """One plot. `x_name` and `y_name` carry the unit; `notes` say in words what matters, so that nothing hangs on
    the lines alone. `bands`: heights that are allowed, shaded. `under`: rows of airflows that share
    the scale of x."""

    title: str
    x_name: str
    y_name: str
    x: tuple[float, float]
    y: tuple[float, float]
    curves: tuple[Curve, ...] = ()
    levels: tuple[Level, ...] = ()
    spots: tuple[Spot, ...] = ()
    spans: tuple[PlotSpan, ...] = ()
    notes: tuple[str, ...] = ()
    bands: tuple[tuple[float, float], ...] = ()
    under: ReachPlot | None = None


def titled(title: str, call: str) -> str:
    """`Temperature rise over airflow: heating second`."""
    return f"{title}: {call}" if call else title


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


def at_x(points: Sequence[Point], x: float) -> float | None:
    """The height of a curve at x, on the straight lines between its points; None outside them."""
    for (x1, y1), (x2, y2) in pairwise(points):
        if min(x1, x2) <= x <= max(x1, x2):
            return y1 if x1 == x2 else y1 + (y2 - y1) * (x - x1) / (x2 - x1)
    return None
