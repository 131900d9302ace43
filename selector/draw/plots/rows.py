"""What one call's airflow can be, is aimed at, allowed, chosen and measured: rows of signs over any scale of airflow,
by themselves or under a plot whose scale they share."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction

from selector.draw.parts.shapes import Box, Lettering, Shape, Stroke
from selector.draw.plots.scale import stretched, whole
from selector.units import format_number
from selector.value import Struct

SIZE = 10.0
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
            f"{whole(distinct[0])} to {whole(distinct[-1])}"
            if len(distinct) > 1
            else whole(distinct[0])
            if distinct
            else ""
        )
        out = [f"{count}, {ends} {unit}" if distinct else "no airflow can be reached"]
        if self.target is not None:
            low, high = self.target
            out.append(f"target {whole(low)} {unit}" if low == high else f"target {whole(low)} to {whole(high)} {unit}")
        least, most = self.window
        if least is not None and most is not None and least > most:
            out.append(f"window: at least {whole(least)}, at most {whole(most)} {unit}, and no airflow is both")
        elif self.window != OPEN:
            inside = sum((least is None or q >= least) and (most is None or q <= most) for q in distinct)
            said = (
                f"{whole(least)} to {whole(most)}"
                if least is not None and most is not None
                else f"from {whole(least)}"
                if least is not None
                else ""
            )
            out.append(
                f"window {said or f'up to {whole(most or 0)}'} {unit}: {inside} of the airflows"
                f" lie{'s' if inside == 1 else ''} in it"
            )
        if self.chosen is not None:
            out.append(f"{self.chosen_name} {whole(self.chosen)} {unit}{self._off(self.chosen)}")
        if self.measured is not None:
            low, best, high = self.measured
            out.append(f"measured {whole(best)} {unit}, {whole(low)} to {whole(high)} with its band")
        return tuple(out)

    def _off(self, airflow: float) -> str:
        """How far an airflow is from the target's nearer end."""
        if self.target is None or not self.target[0]:
            return ""
        low, high = self.target
        end = min(max(airflow, low), high)
        if airflow == end:
            return ", on the target" if low == high else ", in the target"
        far = format_number(Fraction(repr(100 * abs(airflow - end) / end)), 1)
        return f", {far} % {'low' if airflow < end else 'high'}"

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


def row_lines(
    reach: ReachPlot, column: Callable[[float], int], width: int, *, wide: bool
) -> list[tuple[str, list[str]]]:
    """A name and its cells for the airflows, the window, and each of target, chosen and measured where given."""
    signs = _WIDE if wide else _PLAIN
    lines: list[tuple[str, list[str]]] = [("reachable", [" "] * width)]
    for q in reach.airflows:
        lines[0][1][column(q)] = signs["airflow"]
    if reach.allowed != OPEN:
        a, b = (column(v) if v is not None else end for v, end in zip(reach.window, (0, width - 1), strict=True))
        line = _bar(width, a, b, signs["bar"])
        line[a] = "[" if reach.window[0] is not None else "<"
        line[b] = "]" if reach.window[1] is not None else ">"
        lines.append(("window", line))
    for name, values, sign in reach.rows():
        line = _bar(width, column(values[0]), column(values[-1]), signs["bar"]) if len(values) > 1 else [" "] * width
        for value in values[1:2] if len(values) > 2 else values:
            line[column(value)] = signs[sign]
        lines.append((name, line))
    return lines


def _bar(width: int, a: int, b: int, sign: str) -> list[str]:
    return [sign if a <= c <= b else " " for c in range(width)]


def sign_shapes(sign: str, xs: Sequence[float], y: float) -> list[Shape]:
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


def band_shapes(a: float, b: float, y: float, closed: tuple[bool, bool]) -> list[Shape]:
    """What is allowed: a grey band with its outline, open at an end that has no limit."""
    out: list[Shape] = [Box(x=a, y=y, width=b - a, height=10, solid=True, tone="hair", line=0)]
    out += [Stroke(points=((a, edge), (b, edge)), line=1.2) for edge in (y, y + 10)]
    return out + [
        Stroke(points=((x, y), (x, y + 10)), line=1.2) for x, shut in zip((a, b), closed, strict=True) if shut
    ]


def row_shapes(
    reach: ReachPlot, x_of: Callable[[float], float], ends: tuple[float, float], y: float
) -> tuple[list[Shape], float]:
    """The same drawn under a plot: a square for each airflow, what is chosen filled, its figure under it; then a row
    for each of window, target and measured; and the height under them."""
    left, right = ends
    out: list[Shape] = [Stroke(points=((left, y), (right, y)), line=1, tone="edge")]
    out.append(Lettering(x=4, y=y, text="reachable", size=SIZE))
    said: list[float] = []
    near = reach.chosen is not None and any(abs(x_of(q) - x_of(reach.chosen)) < 2 for q in reach.airflows)
    for q in (*reach.airflows, *(() if reach.chosen is None or near else (reach.chosen,))):
        x, chosen = x_of(q), reach.chosen is not None and abs(x_of(q) - x_of(reach.chosen)) < 2
        out.append(Box(x=x - 4, y=y - 4, width=8, height=8, solid=True, tone="ink" if chosen else "paper", line=0))
        out.append(Box(x=x - 4, y=y - 4, width=8, height=8, line=1.4))
        if all(abs(x - other) > 34 for other in said) or chosen:
            said.append(x)
            out.append(Lettering(x=x, y=y + 12, text=whole(q), size=SIZE, anchor="middle", bold=chosen))
    y += 22
    if reach.allowed != OPEN:
        a, b = (
            min(max(x_of(v), left), right) if v is not None else end for v, end in zip(reach.window, ends, strict=True)
        )
        out.append(Lettering(x=4, y=y + 5, text="window", size=SIZE))
        out += band_shapes(a, b, y, (reach.window[0] is not None, reach.window[1] is not None))
        y += 18
    for name, values, sign in reach.rows():
        if sign != "chosen":
            out.append(Lettering(x=4, y=y + 5, text=name, size=SIZE))
            out += sign_shapes(sign, [x_of(v) for v in values], y + 5)
            y += 17
    return out, y
