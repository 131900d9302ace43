"""Airflow of every call on one axis, from as found to as left, with what is allowed and the target; and the rise on a
bar with the plate's window and the margin kept inside it."""

from __future__ import annotations

from collections.abc import Sequence

from selector.draw.parts.shapes import Anchor, Box, Drawing, Lettering, Shape, Stroke, Tone, hatch, text_width
from selector.draw.plots.scale import stretched, ticks
from selector.value import Struct

Ends = tuple[float | None, float | None]
OPEN: Ends = (None, None)
SIGNS = {"was": "/", "now": "#", "target": "o", "over": "!"}
LEAST_CELLS = 20
_SIZE, _BOLD = 12.0, 14.0
_ROW = 39.0


class Strip(Struct, frozen=True, kw_only=True):
    """One call's stage. `was` and `now` are None where there is no one figure; `said` is what is written beside it."""

    name: str
    was: float | None = None
    now: float | None = None
    allowed: Ends = OPEN
    target: float | None = None
    said: tuple[str, str] = ("", "")

    @property
    def at(self) -> float | None:
        """Where it ends: as left, else as found."""
        return self.now if self.now is not None else self.was

    @property
    def past(self) -> float | None:
        """The end that is passed, None where the figure is inside."""
        low, high = self.allowed
        at = self.at
        if at is None:
            return None
        return low if low is not None and at < low else high if high is not None and at > high else None


class RiseBar(Struct, frozen=True, kw_only=True):
    """The rise of one call's stage on the plate's window; `margin` is kept inside both ends."""

    name: str
    plate: tuple[float, float]
    margin: float
    was: float | None = None
    now: float | None = None
    said: tuple[str, str] = ("", "")

    @property
    def inner(self) -> tuple[float, float]:
        """The window less its margin; its ends where it is too narrow for that."""
        low, high = self.plate
        return (low + self.margin, high - self.margin) if high - low >= 2 * self.margin else self.plate

    @property
    def strip(self) -> Strip:
        """The same as a strip on the plate's window."""
        return Strip(name=self.name, was=self.was, now=self.now, allowed=self.plate, said=self.said)


class Strips(Struct, frozen=True, kw_only=True):
    """Strips on one axis, and bars of rises below; `compared`: something was found before."""

    unit: str
    rows: tuple[Strip, ...]
    bars: tuple[RiseBar, ...] = ()
    words: tuple[str, str] = ("as found", "as left")

    @property
    def compared(self) -> bool:
        """True where a figure was another before."""
        return any(row.was is not None and row.now is not None and row.was != row.now for row in self.rows)


def range_of(rows: Sequence[Strip]) -> tuple[float, float]:
    """An axis that holds every figure and target, and of what is allowed what lies near them."""
    values = [v for row in rows for v in (row.was, row.now, row.target) if v is not None]
    if not values:
        return 0.0, 1.0
    low, high = min(values), max(values)
    room = (high - low or high or 1.0) * 0.35
    near = [end for row in rows for end in row.allowed if end is not None and low - room <= end <= high + room]
    return stretched([*values, *near])


# -- with characters


def strips_text(strips: Strips, columns: int) -> list[str]:
    """A line for each call (two where the terminal is narrow), a scale, the bars; empty where nothing is known."""
    rows = [row for row in strips.rows if row.at is not None]
    if not rows:
        return []
    names = max(len(name) for name in (*(row.name for row in rows), *(bar.name for bar in strips.bars))) + 1
    figures = max(len(_figure(row)) for row in (*rows, *(bar.strip for bar in strips.bars))) + 1
    narrow = columns - names - figures < LEAST_CELLS
    lead = 2 if narrow else names
    width = max(LEAST_CELLS, min(columns - lead - figures, 60))
    out = _signs(strips, columns)
    low, high = range_of(rows)
    for row in rows:
        out += [row.name] if narrow else []
        cells = _cells(row, (low, high), width, row.allowed)
        out.append(f"{'' if narrow else row.name:<{lead}}{cells}{_figure(row):>{figures}}".rstrip())
    out.append(_scale(ticks(low, high, max(2, width // 9)), (low, high), width, lead, strips.unit))
    for bar in strips.bars:
        out += _bar_text(bar, width, lead, figures, narrow)
    return out


def _signs(strips: Strips, columns: int) -> list[str]:
    """What the signs mean, those alone that are met."""
    rows = [*strips.rows, *(bar.strip for bar in strips.bars)]
    words = [
        f"{SIGNS['was']} {strips.words[0]}" if strips.compared else "",
        f"{SIGNS['now']} {strips.words[1]}",
        "[=] allowed" if any(row.allowed != OPEN for row in rows) else "",
        f"{SIGNS['target']} target" if any(row.target is not None for row in rows) else "",
        f"{SIGNS['over']} past a limit" if any(row.past is not None for row in rows) else "",
    ]
    out = [""]
    for word in filter(None, words):
        joined = f"{out[-1]}   {word}" if out[-1] else word
        out = [*out[:-1], joined] if len(joined) <= columns else [*out, word]
    return out


def _figure(row: Strip) -> str:
    was, now = row.said
    return now or was


def _place(x: float, span: tuple[float, float], width: int) -> int:
    low, high = span
    return min(width - 1, max(0, round((x - low) / (high - low) * (width - 1))))


def _cells(row: Strip, span: tuple[float, float], width: int, allowed: Ends) -> str:
    cells = ["."] * width
    if allowed != OPEN:
        a, b = (None if end is None else _place(end, span, width) for end in allowed)
        inside = [end is None or span[0] <= end <= span[1] for end in allowed]
        for i in range(a or 0, (width - 1 if b is None else b) + 1):
            cells[i] = "="
        if a is not None and inside[0]:
            cells[a] = "["
        if b is not None and inside[1]:
            cells[b] = "]"
    if row.target is not None:
        cells[_place(row.target, span, width)] = SIGNS["target"]
    at = row.at
    if row.was is not None and row.now is not None and row.was != row.now:
        a, b = sorted((_place(row.was, span, width), _place(row.now, span, width)))
        for i in range(a + 1, b):
            cells[i] = "-" if cells[i] == "." else cells[i]
        cells[_place(row.was, span, width)] = SIGNS["was"]
    if at is not None:
        if row.past is not None:
            a, b = sorted((_place(row.past, span, width), _place(at, span, width)))
            for i in range(a + 1, b):
                cells[i] = SIGNS["over"]
        cells[_place(at, span, width)] = SIGNS["now"]
    return "".join(cells)


def _scale(values: Sequence[float], span: tuple[float, float], width: int, lead: int, unit: str) -> str:
    line = [" "] * (lead + width + 12)
    line[: len(unit)] = list(unit)
    end = len(unit) if lead <= len(unit) else 0
    for value in values:
        text = f"{value:,.0f}"
        start = max(0, lead + _place(value, span, width) - len(text) // 2)
        if start > end and start + len(text) <= len(line):
            line[start : start + len(text)] = list(text)
            end = start + len(text)
    return "".join(line).rstrip()


def _bar_text(bar: RiseBar, width: int, lead: int, figures: int, narrow: bool) -> list[str]:
    span = _bar_range(bar)
    cells = list(_cells(Strip(name="", allowed=bar.plate), span, width, bar.plate))
    a, b = (_place(end, span, width) for end in bar.inner)
    for i, sign in enumerate(cells):
        if sign == "=" and not a <= i <= b:
            cells[i] = "-"
    for at, sign in ((bar.was if bar.was != bar.now else None, "was"), (bar.strip.at, "now")):
        if at is not None:
            cells[_place(at, span, width)] = SIGNS[sign]
    name = [bar.name] if narrow else []
    line = f"{'' if narrow else bar.name:<{lead}}{''.join(cells)}{_figure(bar.strip):>{figures}}".rstrip()
    return [*name, line, _scale(sorted({*bar.plate, *bar.inner}), span, width, lead, "")]


def _bar_range(bar: RiseBar) -> tuple[float, float]:
    low, high = bar.plate
    room = (high - low) * 0.25
    values = [v for v in (bar.was, bar.now) if v is not None]
    return min([low - room, *(v - 2 for v in values)]), max([high + room, *(v + 2 for v in values)])


# -- as a figure


def strips_figure(strips: Strips, width: float = 360, scale: float = 1.0) -> Drawing:
    """A strip a call with its figures over it, the axis under the last, then the bars of rises. `scale` makes words
    and signs larger without the axis."""
    rows = [row for row in strips.rows if row.at is not None]
    shapes: list[Shape] = []
    y = 0.0
    if rows:
        low, high = range_of(rows)
        left, right = 8.0 * scale, width - 8.0 * scale
        for row in rows:
            shapes += _row_figure(row, (low, high), (left, right), y, width, scale)
            y += _ROW * scale
        shapes += _axis(ticks(low, high, int((right - left) // (70 * scale))), (low, high), (left, right), y, scale)
        y += 18 * scale
    for bar in strips.bars:
        shapes += _bar_figure(bar, width, y, scale)
        y += 68 * scale
    return Drawing(width=width, height=max(y, 1.0), shapes=tuple(shapes), said=said(strips))


def said(strips: Strips) -> str:
    """The same in words."""
    every = [*strips.rows, *(bar.strip for bar in strips.bars)]
    return ". ".join(f"{one.name}: {_change(one)}" for one in every if one.at is not None)


def _change(one: Strip) -> str:
    was, now = one.said
    return f"{was} to {now}" if was and now and was != now else now or was


def _row_figure(
    row: Strip, span: tuple[float, float], ends: tuple[float, float], y: float, width: float, scale: float
) -> list[Shape]:
    out: list[Shape] = _heads(row, y + 9 * scale, width, scale)
    axis, (left, right) = y + 28 * scale, ends

    def x_of(x: float) -> float:
        return left + (min(max(x, span[0]), span[1]) - span[0]) / (span[1] - span[0]) * (right - left)

    out.append(Stroke(points=((0, axis), (width, axis)), line=1, tone="edge"))
    if row.allowed != OPEN:
        low, high = row.allowed
        a = 0.0 if low is None or low < span[0] else x_of(low)
        b = width if high is None or high > span[1] else x_of(high)
        band = Box(x=a, y=axis - 7 * scale, width=b - a, height=14 * scale, solid=True, tone="hair", line=0)
        out.append(band)
        out += _open_frame(band, left=low is not None and low >= span[0], right=high is not None and high <= span[1])
    at = row.at
    if row.target is not None:
        x = x_of(row.target)
        out.append(Stroke(points=((x, axis - 8 * scale), (x, axis + 9 * scale)), line=1.2))
        out.append(_pointer(x, axis - 8 * scale, scale, solid=False))
    if at is None:
        return out
    if row.was is not None and row.now is not None and row.was != row.now:
        out.append(Stroke(points=((x_of(row.was), axis), (x_of(row.now), axis)), line=2.5 * scale))
        out += _hatched_square(x_of(row.was), axis, 6 * scale)
    if row.past is not None:
        out.append(Stroke(points=((x_of(row.past), axis), (x_of(at), axis)), line=5 * scale))
    half = 5.5 * scale
    out.append(Box(x=x_of(at) - half, y=axis - half, width=2 * half, height=2 * half, solid=True, line=0))
    return out


def _heads(row: Strip, y: float, width: float, scale: float) -> list[Shape]:
    """The name, and what it was and is, the latter in reverse where it is past a limit."""
    was, now = row.said
    size, bold = _SIZE * scale, _BOLD * scale
    now = now or was
    out: list[Shape] = [Lettering(x=0, y=y, text=row.name, size=size)]
    wide = text_width(now, bold, bold=True) * 0.95
    x = width
    if row.past is not None:
        out.append(Box(x=x - wide - 8, y=y - 9 * scale, width=wide + 8, height=18 * scale, solid=True, line=0, round=2))
        x -= 4
    tone: Tone = "paper" if row.past is not None else "ink"
    out.append(Lettering(x=x, y=y, text=now, size=bold, bold=True, anchor="end", tone=tone))
    if row.said[0] and row.said[0] != now:
        before = f"{row.said[0]} to"
        out.append(Lettering(x=x - wide - 9, y=y, text=before, size=size, anchor="end", tone="soft"))
    return out


def _open_frame(band: Box, *, left: bool, right: bool) -> list[Shape]:
    """The outline of a band, open at an end that has no limit."""
    x, y, a, b = band.x, band.y, band.x + band.width, band.y + band.height
    out: list[Shape] = [Stroke(points=((x, edge), (a, edge)), line=1.5) for edge in (y, b)]
    return out + [Stroke(points=((end, y), (end, b)), line=1.5) for end, shut in ((x, left), (a, right)) if shut]


def _pointer(x: float, y: float, scale: float, *, solid: bool) -> Stroke:
    """A triangle that points down at x, y."""
    points = ((x, y), (x - 6 * scale, y - 9 * scale), (x + 6 * scale, y - 9 * scale))
    return Stroke(points=points, solid=True) if solid else Stroke(points=points, line=1.3, closed=True)


def _hatched_square(x: float, y: float, half: float) -> list[Shape]:
    box = Box(x=x - half, y=y - half, width=2 * half, height=2 * half, line=1.3)
    lines = [Stroke(points=((a, b), (c, d)), line=1.2) for a, b, c, d in hatch(box)]
    return [_ground(box), box, *lines]


def _ground(box: Box) -> Box:
    """The ground under an open sign."""
    return Box(x=box.x, y=box.y, width=box.width, height=box.height, solid=True, tone="paper", line=0)


def _axis(
    values: Sequence[float], span: tuple[float, float], ends: tuple[float, float], y: float, scale: float
) -> list[Shape]:
    out: list[Shape] = []
    for value in values:
        x = ends[0] + (value - span[0]) / (span[1] - span[0]) * (ends[1] - ends[0])
        anchor: Anchor = "start" if x < 14 * scale else "end" if x > ends[1] - 8 * scale else "middle"
        out.append(Stroke(points=((x, y - 8 * scale), (x, y - 3 * scale)), line=1))
        out.append(
            Lettering(x=x, y=y + 5 * scale, text=f"{value:,.0f}", size=_SIZE * scale, anchor=anchor, tone="soft")
        )
    return out


def _bar_figure(bar: RiseBar, width: float, y: float, scale: float) -> list[Shape]:
    """The plate's window with its margins, pointers over it, a broken limit in ink past the plate."""
    span = _bar_range(bar)
    strip = bar.strip
    axis = y + 40 * scale

    def x_of(x: float) -> float:
        return (x - span[0]) / (span[1] - span[0]) * width

    low, high = (x_of(end) for end in bar.plate)
    a, b = (x_of(end) for end in bar.inner)
    top, high_of = axis - 7 * scale, 14 * scale
    out: list[Shape] = _heads(strip, y + 9 * scale, width, scale)
    out.append(Stroke(points=((0, axis), (width, axis)), line=1, tone="edge"))
    out.append(Box(x=low, y=top, width=high - low, height=high_of, solid=True, tone="paper", line=0))
    for left, right in ((low, a), (b, high)):
        if right > left:
            out.append(Box(x=left, y=top, width=right - left, height=high_of, solid=True, tone="hair", line=0))
    out += [Stroke(points=((x, top), (x, top + high_of)), line=1) for x in (a, b) if low < x < high]
    out.append(Box(x=low, y=top, width=high - low, height=high_of, line=2.2))
    inside = bar.inner if bar.inner != bar.plate else ()
    for end in inside:
        text = f"{end:g}"
        if min(abs(x_of(end) - x_of(p)) for p in bar.plate) > text_width(text, _SIZE * scale) + 8:
            out.append(
                Lettering(x=x_of(end), y=axis + 17 * scale, text=text, size=_SIZE * scale, anchor="middle", tone="soft")
            )
    out += [
        Lettering(x=x_of(end), y=axis + 17 * scale, text=f"{end:g}", size=_SIZE * scale, anchor="middle", bold=True)
        for end in bar.plate
    ]
    if strip.at is not None and strip.past is not None:
        out.append(Stroke(points=((x_of(strip.past), axis), (x_of(strip.at), axis)), line=6 * scale))
    if bar.was is not None and bar.now is not None and bar.was != bar.now:
        out += [_ground_pointer(x_of(bar.was), top, scale), _pointer(x_of(bar.was), top, scale, solid=False)]
        out += _slants(x_of(bar.was), top, scale)
    if strip.at is not None:
        out.append(_pointer(x_of(strip.at), top, scale, solid=True))
    return out


def _ground_pointer(x: float, y: float, scale: float) -> Stroke:
    points = ((x, y), (x - 6 * scale, y - 9 * scale), (x + 6 * scale, y - 9 * scale))
    return Stroke(points=points, solid=True, tone="paper")


def _slants(x: float, y: float, scale: float) -> list[Shape]:
    """The hatch of a pointer."""
    pairs = (((-3, -4.5), (0, -9)), ((-0.5, -1), (4.5, -8.5)))
    return [
        Stroke(points=((x + a * scale, y + b * scale), (x + c * scale, y + d * scale)), line=1.1)
        for (a, b), (c, d) in pairs
    ]
