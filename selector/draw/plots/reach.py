"""The airflows a board can reach in one call, on one line, with the target, the window, what was chosen and what was
measured."""

from __future__ import annotations

from textwrap import wrap

from selector.draw.parts.shapes import Drawing, Lettering, Stroke, text_width
from selector.draw.plots.figure import heading, notes, x_scale
from selector.draw.plots.rows import OPEN, SIZE, ReachPlot, band_shapes, row_lines, sign_shapes
from selector.draw.plots.text import LEAST_COLUMNS, PLAIN, WIDE, scale


def reach_text(reach: ReachPlot, *, columns: int = 72, wide: bool = False) -> list[str]:
    """A line for the airflows, one each for window, target, chosen and measured where given, a scale, and the same
    in words; at least 30 columns."""
    columns = max(columns, LEAST_COLUMNS)
    low, high = reach.x
    rows = reach.rows()
    label = max(len(name) for name in ("reachable", reach.unit, *(name for name, _, _ in rows))) + 1
    width = columns - label - 1

    def column(x: float) -> int:
        return round((x - low) / (high - low) * (width - 1))

    lines = row_lines(reach, column, width, wide=wide)
    axis, labels = scale(low, high, width, label, WIDE if wide else PLAIN)
    lines.append((reach.unit, axis))
    out = [*wrap(reach.title, columns), *(f"{name:<{label}}{''.join(line)}".rstrip() for name, line in lines), labels]
    return out + [part for text in reach.notes for part in wrap(text, columns, subsequent_indent="  ")]


def reach_figure(reach: ReachPlot, width: float = 360) -> Drawing:
    """The same as a figure: strokes for airflows over the line, a band for the window, signs on lines of their own
    for the rest."""
    low, high = reach.x
    rows = reach.rows()
    left = max(text_width(name, SIZE) for name in ("reachable", *(name for name, _, _ in rows))) + 10
    right = width - 18

    def x_of(x: float) -> float:
        return left + (x - low) / (high - low) * (right - left)

    shapes, y = heading(f"{reach.title}, {reach.unit}", width)
    line = y + 17 * len(rows) + 22
    for n, (name, values, sign) in enumerate(rows):
        middle = y + 8 + 17 * n
        shapes.append(Lettering(x=4, y=middle, text=name, size=SIZE))
        shapes += sign_shapes(sign, [x_of(v) for v in values], middle)
    shapes += [Stroke(points=((x_of(q), line - 16), (x_of(q), line)), line=1.2) for q in reach.airflows]
    shapes.append(Lettering(x=4, y=line - 8, text="reachable", size=SIZE))
    shapes.append(Stroke(points=((left, line), (right, line)), line=1))
    shapes += x_scale((low, high), (left, right), line)
    y = line + 24
    if reach.allowed != OPEN:
        a, b = (x_of(v) if v is not None else end for v, end in zip(reach.window, (left, right), strict=True))
        shapes.append(Lettering(x=4, y=y + 4, text="window", size=SIZE))
        shapes += band_shapes(a, b, y, (reach.window[0] is not None, reach.window[1] is not None))
        y += 18
    more, y = notes(reach.notes, width, y + 4)
    return Drawing(width=width, height=y, shapes=(*shapes, *more), said=". ".join((reach.title, *reach.notes)))
