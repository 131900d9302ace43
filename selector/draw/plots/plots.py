"""Several plots together: with characters under an answer, or as one picture."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from selector.draw.parts.layout import board_figure
from selector.draw.parts.shapes import Drawing, Shape
from selector.draw.plots.bars import (
    BarsPlot,
    HistogramPlot,
    bars_figure,
    bars_text,
    histogram_figure,
    histogram_text,
)
from selector.draw.plots.figure import plot_figure
from selector.draw.plots.plot import Plot
from selector.draw.plots.pressure import PressureBar, pressure_figure, pressure_text
from selector.draw.plots.reach import reach_figure, reach_text
from selector.draw.plots.rows import ReachPlot
from selector.draw.plots.text import plot_text
from selector.table.model.picture import Picture
from selector.value import Struct

_APART = 22.0


class BoardShown(Struct, frozen=True, kw_only=True):
    """The board that a picture's plots are about; in text it is drawn with the answer."""

    pictures: tuple[Picture, ...]


Shown = Plot | ReachPlot | BarsPlot | HistogramPlot | PressureBar | BoardShown


def plots_text(plots: Iterable[Shown], *, columns: int = 72, wide: bool = False) -> list[str]:
    """Every plot in lines no wider than `columns` (at least 30), with an empty line between two."""
    out: list[str] = []
    for plot in plots:
        lines = _text(plot, columns, wide=wide)
        out += ["", *lines] if out and lines else lines
    return out


def _text(plot: Shown, columns: int, *, wide: bool) -> list[str]:
    if isinstance(plot, BoardShown):
        return []
    if isinstance(plot, PressureBar):
        return pressure_text(plot, columns=columns)
    if isinstance(plot, BarsPlot):
        return bars_text(plot, columns=columns)
    if isinstance(plot, HistogramPlot):
        return histogram_text(plot, columns=columns)
    if isinstance(plot, ReachPlot):
        return reach_text(plot, columns=columns, wide=wide)
    return plot_text(plot, columns=columns, wide=wide)


def plot_as_figure(plot: Shown, width: float = 360) -> Drawing:
    """One plot as a figure."""
    if isinstance(plot, BoardShown):
        return board_figure(plot.pictures, width, detail="short")
    if isinstance(plot, PressureBar):
        return pressure_figure(plot, width)
    if isinstance(plot, BarsPlot):
        return bars_figure(plot, width)
    if isinstance(plot, HistogramPlot):
        return histogram_figure(plot, width)
    return reach_figure(plot, width) if isinstance(plot, ReachPlot) else plot_figure(plot, width)


def stacked(figures: Sequence[Drawing]) -> Drawing:
    """Figures one under the other as one."""
    shapes: list[Shape] = []
    y = 0.0
    for figure in figures:
        shapes += figure.moved(0, y)
        y += figure.height + _APART
    width = max((f.width for f in figures), default=1.0)
    return Drawing(
        width=width,
        height=max(y - _APART, 1.0),
        shapes=tuple(shapes),
        said=". ".join(f.said for f in figures if f.said),
    )
