"""A plot as a figure, for SVG, page and card: one ink, curves told apart by dashes and names, never by colour."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise

from selector.draw.parts.shapes import Box, Drawing, Lettering, Shape, Stroke, lines_of, text_width
from selector.draw.plots.plot import Plot
from selector.draw.plots.rows import SIZE, row_shapes
from selector.draw.plots.scale import shown, ticks

HEIGHT = 190.0
TITLE_SIZE = 12.0


class _Names:
    """Words put where nothing else stands, as near as can be to where they are wished."""

    def __init__(self, left: float, top: float, right: float, bottom: float) -> None:
        self.bounds = (left, top, right, bottom)
        self.taken: list[tuple[float, float, float, float]] = []

    def keep_off(self, points: tuple[tuple[float, float], ...]) -> None:
        """Leave a curve free."""
        for (x1, y1), (x2, y2) in pairwise(points):
            pieces = int(max(abs(x2 - x1), abs(y2 - y1)) // 4) + 1
            for i in range(pieces + 1):
                x, y = x1 + (x2 - x1) * i / pieces, y1 + (y2 - y1) * i / pieces
                self.taken.append((x - 1, y - 1, x + 1, y + 1))

    def place(self, wishes: Iterable[tuple[float, float]], text: str, *, needed: bool = True) -> Lettering | None:
        """A text whose left end and middle height are the first wish that is free; if none is, the first of all, or
        None where it isn't needed."""
        wide = text_width(text, SIZE)
        inside = [(max(self.bounds[0] + 2, min(x, self.bounds[2] - wide - 1)), y) for x, y in wishes]
        boxes = [(x, y - 5.5, x + wide, y + 5.5) for x, y in inside]
        free = [
            box
            for box in boxes
            if box[1] >= self.bounds[1]
            and box[3] <= self.bounds[3]
            and not any(_meet(box, other) for other in self.taken)
        ]
        if not free and not needed:
            return None
        box = (free or boxes)[0]
        self.taken.append(box)
        return Lettering(x=box[0], y=box[1] + 5.5, text=text, size=SIZE)


def _meet(a: tuple[float, float, float, float], b: tuple[float, float, float, float]) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


def _around(x: float, y: float, wide: float, farther: tuple[float, ...]) -> list[tuple[float, float]]:
    """Places for a text near a point, the nearest first."""
    return [
        place
        for far in farther
        for place in (
            (x - wide / 2, y - 9 - far),
            (x + 8 + far, y),
            (x - wide - 8 - far, y),
            (x - wide / 2, y + 11 + far),
        )
    ]


def heading(title: str, width: float) -> tuple[list[Shape], float]:
    """A plot's title over its whole width, and the height under it."""
    lines = lines_of(title, (width - 8) / 1.08, TITLE_SIZE)
    return [
        Lettering(x=4, y=10 + 15 * i, text=text, size=TITLE_SIZE, bold=True) for i, text in enumerate(lines)
    ], 9 + 15.0 * len(lines)


def notes(texts: Sequence[str], width: float, y: float) -> tuple[list[Shape], float]:
    """What a plot says in words, from a height down, and the height under it."""
    lines = [line for text in texts for line in lines_of(text, width - 8, SIZE)]
    return [Lettering(x=4, y=y + 12 * i, text=line, size=SIZE) for i, line in enumerate(lines)], y + 12.0 * len(lines)


def x_scale(values: tuple[float, float], places: tuple[float, float], y: float) -> list[Shape]:
    """Ticks and their values under an axis that runs at y from one place to another."""
    (low, high), (left, right) = values, places
    out: list[Shape] = []
    for t in ticks(low, high, int((right - left) // 55)):
        x = left + (t - low) / (high - low) * (right - left)
        out += [
            Stroke(points=((x, y), (x, y + 4)), line=1),
            Lettering(x=x, y=y + 11, text=shown(t), size=SIZE, anchor="middle"),
        ]
    return out


def plot_figure(plot: Plot, width: float = 360) -> Drawing:
    """The plot, its axes named and its notes under it."""
    y_ticks = ticks(*plot.y, 5)
    under = plot.under
    named = ("reachable", *(name for name, _, _ in under.rows())) if under is not None else ()
    left = max(text_width(text, SIZE) for text in (*map(shown, y_ticks), *named)) + 12
    shapes, y = heading(plot.title, width)
    shapes.append(Lettering(x=4, y=y + 4, text=plot.y_name, size=SIZE))
    top, right, bottom = y + 16, width - 18, y + 16 + HEIGHT

    def x_of(x: float) -> float:
        return left + (x - plot.x[0]) / (plot.x[1] - plot.x[0]) * (right - left)

    def y_of(y: float) -> float:
        return bottom - (y - plot.y[0]) / (plot.y[1] - plot.y[0]) * (bottom - top)

    for low, high in plot.bands:
        a, b = (y_of(min(max(end, plot.y[0]), plot.y[1])) for end in (high, low))
        shapes.append(Box(x=left, y=a, width=right - left, height=b - a, solid=True, tone="hair", line=0))
    shapes.append(Stroke(points=((left, top), (left, bottom), (right, bottom)), line=1))
    for t in y_ticks:
        shapes += [
            Stroke(points=((left - 4, y_of(t)), (left, y_of(t))), line=1),
            Lettering(x=left - 6, y=y_of(t), text=shown(t), size=SIZE, anchor="end"),
        ]
    shapes += x_scale(plot.x, (left, right), bottom)
    shapes.append(Lettering(x=right, y=bottom + 24, text=plot.x_name, size=SIZE, anchor="end"))
    names = _Names(left, top - 8, width, bottom)
    for spot in plot.spots:
        x, y = x_of(spot.x), y_of(spot.y)
        names.taken.append((x - 6, y - 6, x + 6, y + 6))
        shapes.append(Box(x=x - 4, y=y - 4, width=8, height=8, solid=spot.solid, line=1.4))
    for level in plot.levels:
        line = ((left, y_of(level.at)), (right, y_of(level.at)))
        names.keep_off(line)
        shapes.append(Stroke(points=line, line=1, dashes=(5, 4) if level.dashed else ()))
    for curve in plot.curves:
        points = tuple((x_of(x), y_of(min(max(y, plot.y[0]), plot.y[1]))) for x, y in curve.points)
        names.keep_off(points)
        shapes.append(Stroke(points=points, line=1.2 if curve.dashed else 1.8, dashes=(2, 3) if curve.dashed else ()))
    for level in plot.levels:
        across = [
            left + 4,
            right - text_width(level.name, SIZE) - 2,
            *(left + part * (right - left) / 8 for part in range(1, 8)),
        ]
        shapes += (
            [found]
            if (found := names.place([(x, y_of(level.at) + dy) for dy in (-7, 7) for x in across], level.name))
            else []
        )
    for spot in plot.spots:
        if spot.name:
            found = names.place(
                _around(x_of(spot.x), y_of(spot.y), text_width(spot.name, SIZE), (0, 4)), spot.name, needed=False
            )
            shapes += [found] if found else []
    for curve in plot.curves:
        if curve.name:
            x, y = curve.points[-1]
            wide = text_width(curve.name, SIZE)
            wishes = _around(x_of(x), y_of(min(max(y, plot.y[0]), plot.y[1])), wide, (0, 6, 12, 20, 30))
            shapes += [found] if (found := names.place(wishes, curve.name)) else []
    y = bottom + 38
    for span in plot.spans:
        a, b = x_of(span.low), max(x_of(span.high), x_of(span.low) + 2)
        shapes.append(Box(x=a, y=bottom - 4, width=b - a, height=4, solid=True, line=0))
    if under is not None:
        dropped = [spot for spot in plot.spots if not spot.measured]
        shapes += [
            Stroke(points=((x_of(s.x), y_of(s.y) + 5), (x_of(s.x), y)), line=1, dashes=(1, 3), tone="edge")
            for s in dropped
        ]
        rows, y = row_shapes(under, x_of, (left, right), y + 4)
        shapes += rows
        y += 8
    more, y = notes(plot.notes, width, y)
    return Drawing(width=width, height=y, shapes=(*shapes, *more), said=". ".join((plot.title, *plot.notes)))
