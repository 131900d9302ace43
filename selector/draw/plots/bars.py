"""Counts as bars: how many of each sort a thing has, one bar a thing; and how many figures lie in each step of a scale,
with the window they should lie in. One ink: sorts are told apart by fill, hatch and dashes, and by their figures."""

from __future__ import annotations

from collections.abc import Sequence
from textwrap import wrap

from selector.draw.parts.shapes import Box, Drawing, Lettering, Shape, Stroke, hatch, text_width
from selector.draw.plots.figure import heading, notes
from selector.draw.plots.rows import SIZE
from selector.draw.plots.scale import shown
from selector.draw.plots.text import LEAST_COLUMNS
from selector.value import Struct

SIGNS = "#/?=."
"""What a sort is drawn with in text, in the order of the sorts."""
_ROW = 20.0
_BAR = 12.0
_HIGH = 90.0
_NAME = 0.3
_FILLS = ("solid", "hatched", "dashed", "open", "pale")


class BarsPlot(Struct, frozen=True, kw_only=True):
    """`rows`: a thing and its count of each of `sorts` (five at most, the gravest first)."""

    title: str
    sorts: tuple[str, ...]
    rows: tuple[tuple[str, tuple[int, ...]], ...]
    notes: tuple[str, ...] = ()


class HistogramPlot(Struct, frozen=True, kw_only=True):
    """`bins`: where a step begins, and its count; all steps are `step` wide. `window`: the ends of what is allowed."""

    title: str
    x_name: str
    bins: tuple[tuple[float, int], ...]
    step: float
    window: tuple[float, float] | None = None
    notes: tuple[str, ...] = ()


def parted(counts: Sequence[int], room: int) -> list[int]:
    """Whole shares of a room in proportion to counts: one at least for each that isn't 0, the largest give way.

    >>> parted((1, 0, 999), 20), parted((3, 3, 3), 10), parted((0,), 5)
    ([1, 0, 19], [4, 3, 3], [0])
    """
    whole = sum(counts)
    if not whole:
        return [0] * len(counts)
    out = [max(1, count * room // whole) if count else 0 for count in counts]
    while sum(out) != room:
        over = sum(out) > room
        most = max(range(len(out)), key=lambda i: (out[i] if over else counts[i] * room / whole - out[i], -i))
        out[most] += -1 if over else 1
    return out


def bars_text(plot: BarsPlot, *, columns: int = 72) -> list[str]:
    """The bars with characters, each as long as its count beside the largest; what each sign means below."""
    columns = max(columns, LEAST_COLUMNS)
    named = [name for name, _ in plot.rows]
    left = min(max(map(len, named), default=0), columns // 3)
    totals = [sum(counts) for _, counts in plot.rows]
    figures = max((len(f"{total:,}") for total in totals), default=1)
    room = columns - left - figures - 4
    most = max(totals, default=1) or 1
    out = wrap(plot.title, columns)
    for (name, counts), total in zip(plot.rows, totals, strict=True):
        bar = "".join(sign * n for sign, n in zip(SIGNS, parted(counts, max(1, room * total // most)), strict=False))
        out.append(f"{name[:left]:<{left}}  {total:>{figures},}  {bar}".rstrip())
    out += wrap("  ".join(f"{sign} {sort}" for sign, sort in zip(SIGNS, plot.sorts, strict=False)), columns)
    return [*out, *(line for note in plot.notes for line in wrap(note, columns, subsequent_indent="  "))]


def histogram_text(plot: HistogramPlot, *, columns: int = 72) -> list[str]:
    """A line for each step; a bar along those that begin inside the window."""
    columns = max(columns, LEAST_COLUMNS)
    steps = [f"{shown(low)} to {shown(low + plot.step)}" for low, _ in plot.bins]
    left = max(map(len, steps), default=0)
    figures = max((len(f"{n:,}") for _, n in plot.bins), default=1)
    room, most = columns - left - figures - 6, max((n for _, n in plot.bins), default=1) or 1
    out = [*wrap(plot.title, columns), plot.x_name]
    for name, (low, count) in zip(steps, plot.bins, strict=True):
        inside = plot.window is not None and plot.window[0] <= low and low + plot.step <= plot.window[1]
        bar = "#" * (max(1, room * count // most) if count else 0)
        out.append(f"{name:>{left}} {'|' if inside else ' '}  {count:>{figures},}  {bar}".rstrip())
    return [*out, *(line for note in plot.notes for line in wrap(note, columns, subsequent_indent="  "))]


def bars_figure(plot: BarsPlot, width: float = 360) -> Drawing:
    """The bars drawn, their totals at the end, a key below."""
    shapes, y = heading(plot.title, width)
    totals = [sum(counts) for _, counts in plot.rows]
    most = max(totals, default=1) or 1
    figures = max((text_width(f"{total:,}", SIZE) for total in totals), default=0) + 8
    left = min(max((text_width(name, SIZE) for name, _ in plot.rows), default=0) + 8, width * _NAME * 1.5)
    room = width - left - figures - 8
    for (name, counts), total in zip(plot.rows, totals, strict=True):
        middle = y + _ROW / 2
        shapes.append(Lettering(x=4, y=middle, text=_cut(name, left - 6), size=SIZE))
        x = left
        for fill, count in zip(_FILLS, counts, strict=False):
            wide = room * count / most
            if count:
                shapes += _bar(x, middle - _BAR / 2, max(wide, 1.5), _BAR, fill)
            x += wide
        shapes.append(Lettering(x=x + 5, y=middle, text=f"{total:,}", size=SIZE))
        y += _ROW
    y += 6
    x = 4.0
    for fill, sort in zip(_FILLS, plot.sorts, strict=False):
        wide = 22 + text_width(sort, SIZE) + 12
        if x + wide > width:
            x, y = 4.0, y + 16
        shapes += _bar(x, y + 2, 16, 10, fill)
        shapes.append(Lettering(x=x + 21, y=y + 7, text=sort, size=SIZE))
        x += wide
    more, y = notes(plot.notes, width, y + 26)
    said = "; ".join(_said(name, plot.sorts, counts) for name, counts in plot.rows)
    return Drawing(width=width, height=y, shapes=(*shapes, *more), said=". ".join((plot.title, said, *plot.notes)))


def histogram_figure(plot: HistogramPlot, width: float = 360) -> Drawing:
    """Upright bars over a scale; the window is a band behind them with its ends named."""
    shapes, y = heading(plot.title, width)
    top, bottom = y + 14, y + 14 + _HIGH
    most = max((n for _, n in plot.bins), default=1) or 1
    first = plot.bins[0][0] if plot.bins else 0.0
    wide = (width - 24) / max(1, len(plot.bins))

    def x_of(value: float) -> float:
        return 12 + (value - first) / plot.step * wide

    if plot.window is not None and plot.bins:
        a, b = (min(max(x_of(end), 12), width - 12) for end in plot.window)
        shapes.append(
            Box(x=a, y=top - 4, width=max(b - a, 1), height=bottom - top + 4, tone="hair", solid=True, line=0)
        )
        for end, x in zip(plot.window, (a, b), strict=True):
            shapes.append(Stroke(points=((x, top - 4), (x, bottom)), line=1, dashes=(5, 4)))
            shapes.append(Lettering(x=x, y=top - 10, text=shown(end), size=SIZE, anchor="middle"))
    for low, count in plot.bins:
        high = _HIGH * count / most
        if count:
            shapes.append(
                Box(x=x_of(low) + 1, y=bottom - max(high, 1), width=wide - 2, height=max(high, 1), solid=True)
            )
    shapes.append(Stroke(points=((12, bottom), (width - 12, bottom)), line=1))
    every = max(1, round(len(plot.bins) / 7))
    for n, (low, _) in enumerate(plot.bins):
        if n % every == 0:
            shapes.append(Stroke(points=((x_of(low), bottom), (x_of(low), bottom + 4)), line=1))
            shapes.append(Lettering(x=x_of(low), y=bottom + 11, text=shown(low), size=SIZE, anchor="middle"))
    shapes.append(Lettering(x=width - 12, y=bottom + 24, text=plot.x_name, size=SIZE, anchor="end"))
    more, y = notes(plot.notes, width, bottom + 40)
    return Drawing(width=width, height=y, shapes=(*shapes, *more), said=". ".join((plot.title, *plot.notes)))


def _bar(x: float, y: float, wide: float, high: float, fill: str) -> list[Shape]:
    box = Box(x=x, y=y, width=wide, height=high, solid=fill == "solid", tone="hair" if fill == "pale" else "ink")
    if fill == "pale":
        return [Box(x=x, y=y, width=wide, height=high, solid=True, tone="hair", line=0)]
    if fill == "hatched":
        lines = [Stroke(points=((a, b), (c, d)), line=0.8) for a, b, c, d in hatch(box, 6)]
        return [box, *lines]
    if fill == "dashed":
        return [Box(x=x, y=y, width=wide, height=high, dashes=(2, 2))]
    return [box]


def _cut(name: str, room: float) -> str:
    while len(name) > 1 and text_width(name, SIZE) > room:
        name = name[:-2] + "~"
    return name


def _said(name: str, sorts: Sequence[str], counts: Sequence[int]) -> str:
    return f"{name}: {', '.join(f'{n:,} {sort}' for sort, n in zip(sorts, counts, strict=False) if n)}"
