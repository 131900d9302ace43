"""The airflows a board can reach in one call, on one line, with the target, the window, what was chosen and what was
measured."""

from __future__ import annotations

from collections.abc import Sequence
from textwrap import wrap

from selector.draw.parts.shapes import Box, Drawing, Lettering, Shape, Stroke, text_width
from selector.draw.plots.figure import SIZE, heading, notes, x_scale
from selector.draw.plots.plot import shown, stretched
from selector.draw.plots.text import LEAST_COLUMNS, PLAIN, WIDE, scale
from selector.value import Struct

Window = tuple[float | None, float | None]
OPEN: Window = (None, None)
_WIDE = {"airflow": "│", "bar": "═", "target": "◇", "chosen": "◆", "measured": "●"}
_PLAIN = {"airflow": "|", "bar": "=", "target": "o", "chosen": "#", "measured": "@"}


class ReachPlot(Struct, frozen=True, kw_only=True):
    """`airflows` in `unit`, rising. `target` has two ends, equal for a single figure; `measured`: least, best and most
    it may be.

    `chosen_name`: what the chosen airflow is called, such as `selected` where a board was set already.
    """

    title: str
    unit: str
    airflows: tuple[float, ...]
    target: tuple[float, float] | None = None
    window: Window = OPEN
    chosen: float | None = None
    chosen_name: str = "chosen"
    measured: tuple[float, float, float] | None = None

    @property
    def x(self) -> tuple[float, float]:
        """A range that holds everything."""
        single = (self.chosen, *self.window, *(self.target or ()), *(self.measured or ()))
        return stretched([*self.airflows, *(v for v in single if v is not None)])

    @property
    def allowed(self) -> Window:
        """The window to be drawn: none where its ends leave nothing between them."""
        low, high = self.window
        return OPEN if low is not None and high is not None and low > high else self.window

    @property
    def notes(self) -> tuple[str, ...]:
        """The same in words."""
        distinct, unit = sorted(set(self.airflows)), self.unit
        count = f"{len(distinct)} airflow{'s' if len(distinct) > 1 else ''}"
        ends = (
            f"{shown(distinct[0])} to {shown(distinct[-1])}"
            if len(distinct) > 1
            else shown(distinct[0])
            if distinct
            else ""
        )
        out = [f"{count}, {ends} {unit}" if distinct else "no airflow can be reached"]
        if self.target is not None:
            low, high = self.target
            out.append(f"target {shown(low)} {unit}" if low == high else f"target {shown(low)} to {shown(high)} {unit}")
        least, most = self.window
        if least is not None and most is not None and least > most:
            out.append(f"window: at least {shown(least)}, at most {shown(most)} {unit}, and no airflow is both")
        elif self.window != OPEN:
            inside = sum((least is None or q >= least) and (most is None or q <= most) for q in distinct)
            said = (
                f"{shown(least)} to {shown(most)}"
                if least is not None and most is not None
                else f"from {shown(least)}"
                if least is not None
                else ""
            )
            out.append(
                f"window {said or f'up to {shown(most or 0)}'} {unit}: {inside} of the airflows"
                f" lie{'s' if inside == 1 else ''} in it"
            )
        if self.chosen is not None:
            out.append(f"{self.chosen_name} {shown(self.chosen)} {unit}{self._off(self.chosen)}")
        if self.measured is not None:
            low, best, high = self.measured
            out.append(f"measured {shown(best)} {unit}, {shown(low)} to {shown(high)} with its band")
        return tuple(out)

    def _off(self, airflow: float) -> str:
        """How far an airflow is from the target's nearer end."""
        if self.target is None or not self.target[0]:
            return ""
        low, high = self.target
        end = min(max(airflow, low), high)
        return (
            f", {shown(100 * (airflow - end) / end)} % from the target"
            if airflow != end
            else ", on the target"
            if low == high
            else ", in the target"
        )

    def rows(self) -> list[tuple[str, tuple[float, ...], str]]:
        """(name, values, sign) of what stands under the airflows, besides the window."""
        out: list[tuple[str, tuple[float, ...], str]] = []
        if self.target is not None:
            out.append(("target", tuple(dict.fromkeys(self.target)), "target"))
        if self.chosen is not None:
            out.append((self.chosen_name, (self.chosen,), "chosen"))
        if self.measured is not None:
            out.append(("measured", self.measured, "measured"))
        return out


def reach_text(reach: ReachPlot, *, columns: int = 72, wide: bool = False) -> list[str]:
    """A line for the airflows, one each for window, target, chosen and measured where given, a scale, and the same
    in words; at least 30 columns."""
    columns = max(columns, LEAST_COLUMNS)
    low, high = reach.x
    rows = reach.rows()
    label = max(len(name) for name in ("reachable", reach.unit, *(name for name, _, _ in rows))) + 1
    width = columns - label - 1
    signs = _WIDE if wide else _PLAIN

    def column(x: float) -> int:
        return round((x - low) / (high - low) * (width - 1))

    lines: list[tuple[str, list[str]]] = [("reachable", [" "] * width)]
    for q in reach.airflows:
        lines[0][1][column(q)] = signs["airflow"]
    if reach.allowed != OPEN:
        a, b = (column(v) if v is not None else end for v, end in zip(reach.window, (0, width - 1), strict=True))
        line = _bar(width, a, b, signs["bar"])
        line[a] = "[" if reach.window[0] is not None else "<"
        line[b] = "]" if reach.window[1] is not None else ">"
        lines.append(("window", line))
    for name, values, sign in rows:
        line = _bar(width, column(values[0]), column(values[-1]), signs["bar"]) if len(values) > 1 else [" "] * width
        for value in values[1:2] if len(values) > 2 else values:
            line[column(value)] = signs[sign]
        lines.append((name, line))
    axis, labels = scale(low, high, width, label, WIDE if wide else PLAIN)
    lines.append((reach.unit, axis))
    out = [*wrap(reach.title, columns), *(f"{name:<{label}}{''.join(line)}".rstrip() for name, line in lines), labels]
    return out + [part for text in reach.notes for part in wrap(text, columns, subsequent_indent="  ")]


def _bar(width: int, a: int, b: int, sign: str) -> list[str]:
    return [sign if a <= c <= b else " " for c in range(width)]


def reach_figure(reach: ReachPlot, width: float = 360) -> Drawing:
    """The same as a figure: strokes for airflows over the line, a hatched bar for the window, signs on lines of
    their own for the rest."""
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
        shapes += _signs(sign, [x_of(v) for v in values], middle)
    shapes += [Stroke(points=((x_of(q), line - 16), (x_of(q), line)), line=1.2) for q in reach.airflows]
    shapes.append(Lettering(x=4, y=line - 8, text="reachable", size=SIZE))
    shapes.append(Stroke(points=((left, line), (right, line)), line=1))
    shapes += x_scale((low, high), (left, right), line)
    y = line + 24
    if reach.allowed != OPEN:
        a, b = (x_of(v) if v is not None else end for v, end in zip(reach.window, (left, right), strict=True))
        shapes.append(Lettering(x=4, y=y + 4, text="window", size=SIZE))
        shapes += _hatched(a, b, y, closed=(reach.window[0] is not None, reach.window[1] is not None))
        y += 18
    more, y = notes(reach.notes, width, y + 4)
    return Drawing(width=width, height=y, shapes=(*shapes, *more), said=". ".join((reach.title, *reach.notes)))


def _signs(sign: str, xs: Sequence[float], y: float) -> list[Shape]:
    """An empty triangle for a target (a line between two), a filled one for the chosen, a square with its band for
    the measured."""
    out: list[Shape] = [Stroke(points=((xs[0], y), (xs[-1], y)), line=1.2)] if len(xs) > 1 else []
    if sign == "measured":
        out += [Stroke(points=((x, y - 4), (x, y + 4)), line=1.2) for x in (xs[0], xs[-1])]
        return [*out, Box(x=xs[1] - 4, y=y - 4, width=8, height=8, solid=True, line=0)]
    for x in xs:
        points = ((x, y + 6), (x - 5, y - 6), (x + 5, y - 6))
        out.append(
            Stroke(points=points, solid=True) if sign == "chosen" else Stroke(points=(*points, points[0]), line=1.2)
        )
    return out


def _hatched(a: float, b: float, y: float, closed: tuple[bool, bool]) -> list[Shape]:
    """A bar from a to b, hatched, open at an end that has no limit."""
    out: list[Shape] = [Stroke(points=((a, y), (b, y)), line=1), Stroke(points=((a, y + 8), (b, y + 8)), line=1)]
    out += [Stroke(points=((x, y), (x, y + 8)), line=1.4) for x, shut in zip((a, b), closed, strict=True) if shut]
    foot = a - 8
    while (foot := foot + 6) < b:
        low, high = max(foot, a), min(foot + 8, b)
        out.append(Stroke(points=((low, y + 8 - (low - foot)), (high, y + 8 - (high - foot))), line=1.2))
    return out
