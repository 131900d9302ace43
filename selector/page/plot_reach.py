"""The airflows a board can reach, on one line, with the target, the window and what was chosen."""

from __future__ import annotations

from collections.abc import Sequence
from textwrap import wrap

from selector.page.draw_shapes import Figure, Shape, Stroke, Words, hatch, lines_of
from selector.page.draw_svg import figure_svg
from selector.page.plot import shown, stretched, ticks

Window = tuple[float | None, float | None]
OPEN: Window = (None, None)
_LABEL = 10
_SIZE = 10.0


def _range(airflows: Sequence[float], target: float | None, window: Window, chosen: float | None) -> tuple[float, float]:
    return stretched([*airflows, *(v for v in (target, *window, chosen) if v is not None)])


def _said(airflows: Sequence[float], unit: str, target: float | None, window: Window, chosen: float | None) -> list[str]:
    distinct = sorted(set(airflows))
    out = [f"{len(distinct)} airflows, {shown(distinct[0])} to {shown(distinct[-1])} {unit}" if distinct else "no airflow can be reached"]
    if target is not None:
        out.append(f"target {shown(target)} {unit}")
    if window != OPEN:
        low, high = window
        inside = [q for q in distinct if (low is None or q >= low) and (high is None or q <= high)]
        ends = f"{shown(low)} to {shown(high)}" if low is not None and high is not None else f"from {shown(low)}" if low is not None else ""
        out.append(f"window {ends or f'up to {shown(high or 0)}'} {unit}: {len(inside)} of the airflows lie in it")
    if chosen is not None:
        off = f", {shown(100 * (chosen - target) / target)} % from the target" if target else ""
        out.append(f"chosen {shown(chosen)} {unit}{off}")
    return out


def reach_text(
    airflows: Sequence[float],
    *,
    unit: str = "cfm",
    target: float | None = None,
    window: Window = OPEN,
    chosen: float | None = None,
    columns: int = 72,
    wide: bool = False,
) -> list[str]:
    """A line for the airflows, one each for window, target and chosen where given, a scale, and the same in words. At least 30 columns."""
    columns = max(columns, 30)
    low, high = _range(airflows, target, window, chosen)
    width = columns - _LABEL - 1

    def column(x: float) -> int:
        return round((x - low) / (high - low) * (width - 1))

    rows: list[tuple[str, list[str]]] = [("reachable", [" "] * width)]
    for q in airflows:
        rows[0][1][column(q)] = "│" if wide else "|"
    if window != OPEN:
        a, b = (column(v) if v is not None else end for v, end in zip(window, (0, width - 1), strict=True))
        line = [("═" if wide else "=") if a <= c <= b else " " for c in range(width)]
        line[a] = "[" if window[0] is not None else "<"
        line[b] = "]" if window[1] is not None else ">"
        rows.append(("window", line))
    for name, value, sign in (("target", target, "◇" if wide else "o"), ("chosen", chosen, "◆" if wide else "#")):
        if value is not None:
            line = [" "] * width
            line[column(value)] = sign
            rows.append((name, line))
    scale, labels, end = ["─" if wide else "-"] * width, [" "] * columns, -1
    for t in ticks(low, high, max(3, width // 9)):
        scale[column(t)] = "┼" if wide else "+"
        text = shown(t)
        start = min(_LABEL + column(t) - len(text) // 2, columns - len(text))
        if start > end:
            labels[start : start + len(text)] = list(text)
            end = start + len(text)
    rows.append((unit, scale))
    out = [f"{name:<{_LABEL}}{''.join(line)}".rstrip() for name, line in rows] + ["".join(labels).rstrip()]
    return out + [part for text in _said(airflows, unit, target, window, chosen) for part in wrap(text, columns, subsequent_indent="  ")]


def reach_figure(
    airflows: Sequence[float],
    *,
    unit: str = "cfm",
    target: float | None = None,
    window: Window = OPEN,
    chosen: float | None = None,
    width: float = 360,
) -> Figure:
    """The same as a figure: strokes for airflows, a hatched bar for the window, an empty triangle for the target, a filled one for the chosen."""
    low, high = _range(airflows, target, window, chosen)
    left, right, line = 66.0, width - 14, 76.0

    def x_of(x: float) -> float:
        return left + (x - low) / (high - low) * (right - left)

    shapes: list[Shape] = [Words(x=4, y=10, text=f"Reachable airflow, {unit}", size=12, bold=True)]
    shapes += [Stroke(points=((x_of(q), line - 16), (x_of(q), line)), line=1.2) for q in airflows]
    shapes.append(Words(x=4, y=line - 8, text="reachable", size=_SIZE))
    shapes.append(Stroke(points=((left, line), (right, line)), line=1))
    for t in ticks(low, high, int((right - left) // 55)):
        shapes += [
            Stroke(points=((x_of(t), line), (x_of(t), line + 5)), line=1),
            Words(x=x_of(t), y=line + 12, text=shown(t), size=_SIZE, anchor="middle"),
        ]
    if target is not None:
        shapes.append(Words(x=4, y=line - 26, text="target", size=_SIZE))
        x = x_of(target)
        shapes.append(Stroke(points=((x, line - 19), (x - 5, line - 31), (x + 5, line - 31), (x, line - 19)), line=1.2))
    if chosen is not None:
        shapes.append(Words(x=4, y=line - 42, text="chosen", size=_SIZE))
        x = x_of(chosen)
        shapes.append(Stroke(points=((x, line - 35), (x - 5, line - 47), (x + 5, line - 47)), solid=True))
    y = line + 24
    if window != OPEN:
        a, b = (x_of(v) if v is not None else end for v, end in zip(window, (left, right), strict=True))
        shapes.append(Words(x=4, y=y + 4, text="window", size=_SIZE))
        shapes += _hatched(a, b, y, closed=(window[0] is not None, window[1] is not None))
        y += 18
    said = _said(airflows, unit, target, window, chosen)
    y += 4
    for text in said:
        for part in lines_of(text, width - 8, _SIZE):
            shapes.append(Words(x=4, y=y, text=part, size=_SIZE))
            y += 12
    return Figure(width=width, height=y, shapes=tuple(shapes), said=". ".join(said))


def _hatched(a: float, b: float, y: float, closed: tuple[bool, bool]) -> list[Shape]:
    """A bar from a to b, hatched, open at an end that has no limit."""
    out: list[Shape] = [Stroke(points=((a, y), (b, y)), line=1), Stroke(points=((a, y + 8), (b, y + 8)), line=1)]
    out += [Stroke(points=((x, y), (x, y + 8)), line=1.4) for x, shut in zip((a, b), closed, strict=True) if shut]
    at = a
    while at + 8 <= b:
        out += hatch(at, y, 8, 6)
        at += 8
    return out


def reach_svg(
    airflows: Sequence[float],
    *,
    unit: str = "cfm",
    target: float | None = None,
    window: Window = OPEN,
    chosen: float | None = None,
    width: float = 360,
) -> str:
    """The same as SVG."""
    return figure_svg(reach_figure(airflows, unit=unit, target=target, window=window, chosen=chosen, width=width))
