"""Plots drawn with characters: `#` chosen, `@` measured, `o` a crossing, `*` a curve, `.` a dashed one, `=` and `-`
levels, `<==>` a span."""

from __future__ import annotations

from textwrap import wrap

from selector.draw.plots.plot import Plot, at_x
from selector.draw.plots.rows import row_lines
from selector.draw.plots.scale import shown, ticks
from selector.value import Struct

ROWS = 14
LEAST_COLUMNS = 30
PLAIN = {
    "curve": "*",
    "dashed": ".",
    "level": "=",
    "dashed level": "-",
    "side": "|",
    "tick": "+",
    "axis": "-",
    "solid": "#",
    "spot": "o",
    "measured": "@",
}
WIDE = {
    "curve": "█",
    "dashed": "·",
    "level": "═",
    "dashed level": "┄",
    "side": "│",
    "tick": "┼",
    "axis": "─",
    "solid": "◆",
    "spot": "○",
    "measured": "●",
}


class _Field(Struct):
    """Cells of the plot; row 0 is the greatest y."""

    plot: Plot
    width: int
    cells: list[list[str]]

    def column(self, x: float) -> int:
        """The column of an x, inside the field."""
        low, high = self.plot.x
        return min(self.width - 1, max(0, round((x - low) / (high - low) * (self.width - 1))))

    def row(self, y: float) -> int:
        """The row of a y, inside the field."""
        low, high = self.plot.y
        return min(ROWS - 1, max(0, ROWS - 1 - round((y - low) / (high - low) * (ROWS - 1))))

    def write(self, row: int, columns: tuple[int, ...], text: str, free: str) -> bool:
        """A name at the first of these columns where only signs of `free` stand; False where none is."""
        for start in columns:
            if (
                0 <= row < ROWS
                and start >= 0
                and start + len(text) <= self.width
                and all(c in free for c in self.cells[row][start : start + len(text)])
            ):
                self.cells[row][start : start + len(text)] = list(text)
                return True
        return False


def plot_text(plot: Plot, *, columns: int = 72, wide: bool = False) -> list[str]:
    """The plot in lines no wider than `columns` (at least 30), its notes under it."""
    columns = max(columns, LEAST_COLUMNS)
    signs = WIDE if wide else PLAIN
    y_ticks = ticks(*plot.y, 4)
    under = plot.under
    named = ("reachable", *(name for name, _, _ in under.rows())) if under is not None else ()
    left = max(*(len(shown(t)) for t in y_ticks), *map(len, named)) + 1
    width = columns - left - 2
    field = _Field(plot=plot, width=width, cells=[[" "] * width for _ in range(ROWS)])
    _lines(field, signs)
    homeless = _names(field, signs)
    beside = {field.row(t): shown(t) for t in y_ticks}
    out = [*wrap(plot.title, columns), plot.y_name]
    for r, cells in enumerate(field.cells):
        out.append(f"{beside.get(r, ''):>{left}}{signs['tick' if r in beside else 'side']}{''.join(cells)}".rstrip())
    axis, labels = scale(*plot.x, width, left + 1, signs)
    out.append(" " * left + signs["tick"] + "".join(axis))
    out.append(labels)
    out.append(" " * max(0, min(left + 1, columns - len(plot.x_name))) + plot.x_name)
    if under is not None:
        rows = row_lines(under, field.column, width, wide=wide)
        out += [f"{name:<{left + 1}}{''.join(cells)}".rstrip() for name, cells in rows]
    for span in plot.spans:
        a, b = field.column(span.low), field.column(span.high)
        out.append(" " * (left + 1 + a) + ("<" + "=" * (b - a - 1) + ">" if b > a else "|"))
    for note in (*plot.notes, *([f"no room for the name: {', '.join(homeless)}"] if homeless else [])):
        out += wrap(note, columns, subsequent_indent="  ")
    return out


def _lines(field: _Field, signs: dict[str, str]) -> None:
    """Levels, curves over them, spots over all."""
    plot = field.plot
    for level in plot.levels:
        r = field.row(level.at)
        if level.dashed and field.cells[r][0] == signs["level"]:
            continue
        field.cells[r] = [signs["dashed level" if level.dashed else "level"]] * field.width
    for curve in plot.curves:
        low, high = min(p[0] for p in curve.points), max(p[0] for p in curve.points)
        before: int | None = None
        for c in range(field.column(low), field.column(high) + 1):
            x = plot.x[0] + (plot.x[1] - plot.x[0]) * c / (field.width - 1)
            y = at_x(curve.points, min(high, max(low, x)))
            if y is None or not plot.y[0] <= y <= plot.y[1]:
                before = None
                continue
            r = field.row(y)
            first = r if before is None else before
            for between in range(min(r, first), max(r, first) + 1):
                field.cells[between][c] = signs["dashed" if curve.dashed else "curve"]
            before = r
    for spot in sorted(plot.spots, key=lambda s: s.solid):
        field.cells[field.row(spot.y)][field.column(spot.x)] = signs[
            "measured" if spot.measured else "solid" if spot.solid else "spot"
        ]


def _names(field: _Field, signs: dict[str, str]) -> list[str]:
    """Names where there is room for them; returns those of lines that have none: spots are told by their signs,
    which the notes speak of."""
    lines = signs["level"] + signs["dashed level"]
    homeless: list[str] = []
    by_row: dict[int, list[str]] = {}
    for level in field.plot.levels:
        by_row.setdefault(field.row(level.at), []).append(level.name)
    for r, names in by_row.items():
        if not _on_level(field, r, ", ".join(names), lines):
            homeless += [name for name in names if not _on_level(field, r, name, lines)]
    for spot in sorted(field.plot.spots, key=lambda s: not s.solid):
        _beside(field, spot.x, spot.y, spot.name, lines)
    for curve in field.plot.curves:
        homeless += _beside(field, *curve.points[-1], curve.name, lines)
    return homeless


def _on_level(field: _Field, row: int, text: str, lines: str) -> bool:
    """A name on its level, else right over or under it; False where there is no room."""
    text = f" {text} "
    places = (1, field.width - len(text) - 1, *range(2, field.width - len(text), 3))
    return any(field.write(row + shift, places, text, free) for shift, free in ((0, lines), (-1, " "), (1, " ")))


def _beside(field: _Field, x: float, y: float, text: str, lines: str) -> list[str]:
    """A name right or left of a place, in its row or one near it; the name where there is no room."""
    r, c = field.row(y), field.column(x)
    places = (c + 2, c - 1 - len(text), c - len(text) // 2)
    return (
        []
        if not text or any(field.write(r + shift, places, text, " " + lines) for shift in (0, -1, 1, -2, 2))
        else [text]
    )


def scale(low: float, high: float, width: int, left: int, signs: dict[str, str]) -> tuple[list[str], str]:
    """An axis of `width` cells that begins at column `left`, with its ticks, and under it the line of their values."""
    line, labels = [signs["axis"]] * width, [" "] * (left + width + 1)
    end = -1
    for t in ticks(low, high, max(3, width // 9)):
        text, c = shown(t), round((t - low) / (high - low) * (width - 1))
        start = min(max(0, left + c - len(text) // 2), len(labels) - len(text))
        line[c] = signs["tick"]
        if start > end:
            labels[start : start + len(text)] = list(text)
            end = start + len(text)
    return line, "".join(labels).rstrip()
