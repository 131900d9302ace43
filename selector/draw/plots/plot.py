"""What a plot shows, with nothing said of how it is drawn: curves, levels, spots and spans over two axes. Plain
numbers in, in any one unit."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from selector.draw.plots.rows import ReachPlot
from selector.value import Struct

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


def at_x(points: Sequence[Point], x: float) -> float | None:
    """The height of a curve at x, on the straight lines between its points; None outside them."""
    for (x1, y1), (x2, y2) in pairwise(points):
        if min(x1, x2) <= x <= max(x1, x2):
            return y1 if x1 == x2 else y1 + (y2 - y1) * (x - x1) / (x2 - x1)
    return None
