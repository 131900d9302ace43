"""The static of one call part by part, in the order that the air takes, with the plate's maximum: where it goes."""

from __future__ import annotations

from textwrap import wrap

from selector.draw.parts.shapes import Box, Drawing, Lettering, Stroke, text_width
from selector.draw.plots.figure import heading, notes
from selector.draw.plots.rows import SIZE
from selector.draw.plots.text import LEAST_COLUMNS
from selector.value import Struct

_HIGH = 30.0
_ROW = 15.0


class PressurePart(Struct, frozen=True, kw_only=True):
    """What lies between two ports and takes `drop`; `side`: on which side of the blower; `inside` the unit it doesn't
    count as external static."""

    name: str
    drop: float
    said: str
    side: str
    inside: bool = False


class PressureBar(Struct, frozen=True, kw_only=True):
    """`parts` in the order that the air takes; `plate`: maximum external static with its words; `total`: external
    static in words."""

    title: str
    unit: str
    parts: tuple[PressurePart, ...]
    total: tuple[float, str]
    plate: tuple[float, str] | None = None
    notes: tuple[str, ...] = ()

    @property
    def over(self) -> bool:
        """True where the external static is above the plate."""
        return self.plate is not None and self.total[0] > self.plate[0]

    @property
    def long(self) -> float:
        """What the scale has to hold."""
        ends = [sum(part.drop for part in self.parts), self.total[0], *([self.plate[0]] if self.plate else [])]
        return max(ends) or 1.0


def pressure_text(bar: PressureBar, *, columns: int = 72) -> list[str]:
    """A line for each part, its bar begun where the one before ends; the external static with `!` past the plate."""
    columns = max(columns, LEAST_COLUMNS)
    rows = [(part.name, part.said) for part in bar.parts] + [("external static", bar.total[1])]
    rows += [("plate", bar.plate[1])] if bar.plate else []
    left, figures = min(max(len(n) for n, _ in rows), columns // 2), max(len(said) for _, said in rows)
    room = max(8, columns - left - figures - 5)

    def cell(value: float) -> int:
        return round(value / bar.long * room)

    out, at = wrap(f"{bar.title}, {bar.unit}", columns), 0.0
    for part in bar.parts:
        long = max(1, cell(at + part.drop) - cell(at))
        sign = "-" if part.inside else "#"
        out.append(f"{part.name[:left]:<{left}}  {part.said:>{figures}}  {' ' * cell(at)}{sign * long}".rstrip())
        at += part.drop
    whole, plate = cell(bar.total[0]), cell(bar.plate[0]) if bar.plate else 0
    past = "!" * max(1, whole - plate) if bar.over else ""
    out.append(f"{'external static':<{left}}  {bar.total[1]:>{figures}}  {'=' * (whole - len(past))}{past}".rstrip())
    if bar.plate:
        out.append(f"{'plate':<{left}}  {bar.plate[1]:>{figures}}  {'.' * plate}^")
    return out + [line for note in bar.notes for line in wrap(note, columns, subsequent_indent="  ")]


def pressure_figure(bar: PressureBar, width: float = 360) -> Drawing:
    """One bar in pieces, those inside the unit grey; the plate's line, and what lies past it in ink above."""
    shapes, y = heading(f"{bar.title}, {bar.unit}", width)
    left, right = 4.0, width - 18
    top = y + 26

    def x_of(value: float) -> float:
        return left + value / bar.long * (right - left)

    at, legend = 0.0, []
    for n, part in enumerate(bar.parts):
        a, b = x_of(at), x_of(at + part.drop)
        if part.inside:
            shapes.append(Box(x=a, y=top, width=b - a, height=_HIGH, solid=True, tone="hair", line=0))
        shapes.append(Box(x=a, y=top, width=b - a, height=_HIGH, line=1.6))
        if b - a > text_width(part.said, SIZE, True) + 4:
            shapes.append(
                Lettering(x=(a + b) / 2, y=top + _HIGH / 2, text=part.said, size=SIZE, bold=True, anchor="middle")
            )
        legend.append((a, part, n))
        at += part.drop
    if bar.plate is not None:
        x = x_of(bar.plate[0])
        shapes.append(Stroke(points=((x, top - 14), (x, top + _HIGH)), line=3))
        words = f"plate {bar.plate[1]}"
        before = x > text_width(words, SIZE, True) + 10
        anchor = "end" if before else "start"
        place = x - 5 if before else x + 5
        shapes.append(Lettering(x=place, y=top - 9, text=words, size=SIZE, bold=True, anchor=anchor))  # type: ignore[arg-type]
        if bar.over:
            shapes.append(Box(x=x, y=top - 14, width=x_of(bar.total[0]) - x, height=9, solid=True, line=0))
    y = top + _HIGH + 12
    heavier = max(("return", "supply"), key=lambda side: sum(p.drop for p in bar.parts if p.side == side))
    for _, part, _ in legend:
        words = f"{part.said}  {part.name}" + (" (inside the unit)" if part.inside else "")
        shapes.append(Lettering(x=4, y=y, text=words, size=SIZE, bold=part.side == heavier))
        y += _ROW
    words = f"external static {bar.total[1]}"
    if bar.over:
        wide = text_width(words, SIZE, True) + 8
        shapes.append(Box(x=2, y=y - 8, width=wide, height=16, solid=True, line=0, round=2))
    tone = "paper" if bar.over else "ink"
    shapes.append(Lettering(x=6, y=y, text=words, size=SIZE, bold=True, tone=tone))  # type: ignore[arg-type]
    more, y = notes(bar.notes, width, y + 18)
    said = ", ".join(f"{part.name} {part.said}" for part in bar.parts)
    return Drawing(
        width=width, height=y, shapes=(*shapes, *more), said=". ".join((f"{bar.title}: {said}; {words}", *bar.notes))
    )
