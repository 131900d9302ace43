"""The charts of a page, each a grid of its own: below one another, or printed in groups side by side under the same
heads."""

from __future__ import annotations

import re
from collections.abc import Sequence

from selector.transcribe.cells.columns import is_figure, joined
from selector.transcribe.cells.grid import Grid, GridCell
from selector.transcribe.import_page.blocks import unfolded
from selector.transcribe.import_page.chart_rows import is_data
from selector.transcribe.import_page.headings import LABEL
from selector.value import replace

_MOST_GROUPS = 12
_MOST_HEADING = 8
_BANK = re.compile(r"(?:SW|DS|S)\d{0,2}", re.IGNORECASE)


def pieces(grid: Grid) -> tuple[Grid, ...]:
    """A grid for each chart, with the lines above it; the page as it is where it holds one chart or none that can be
    told apart."""
    grid = _labelled(_uncounted(grid))
    rows = [list(row) if grid.fixed else joined(row) for row in grid.rows]
    data = [i not in grid.ruled and is_data(row, headed=_below_heads(grid, i)) for i, row in enumerate(rows)]
    starts: list[int] = []
    above = 0
    for i in range(len(rows)):
        if not data[i]:
            continue
        if (i == 0 or not data[i - 1]) and (not starts or any(_is_heading(grid, n, rows[n]) for n in range(above, i))):
            starts.append(above)
        above = i + 1
    if starts:
        starts[0] = 0
    ends = [*starts[1:], len(rows)]
    out = [_piece(grid, start, end) for start, end in zip(starts, ends, strict=True)] if len(starts) > 1 else [grid]
    return tuple(_unfolded(unfolded(piece)) for piece in out)


def _uncounted(grid: Grid) -> Grid:
    """The grid without a first column that only counts its rows, as programs that write tables add one: no head,
    then 0 1 2 .. or 1 2 3 .."""
    if not grid.fixed or len(grid.rows) < 3 or grid.rows[0][0].text or len(grid.rows[0]) < 3:
        return grid
    first = [row[0].text for row in grid.rows[1:]]
    if not any(first == [str(i) for i in range(start, start + len(first))] for start in (0, 1)):
        return grid
    remarks = (*grid.remarks, "the first column only counts the rows; it was left out")
    return replace(grid, rows=tuple(row[1:] for row in grid.rows), remarks=remarks)


def _labelled(grid: Grid) -> Grid:
    """The grid with `SW1` above `1 2 3` written as the names of those switches."""
    rows = [list(row) for row in grid.rows]
    for i in range(len(rows) - 2):
        at = next((k for k, c in enumerate(rows[i]) if any(x.isdigit() for x in c.text)), len(rows[i]))
        if at == len(rows[i]) or not _BANK.fullmatch(rows[i][at].text) or (grid.fixed and at):
            continue
        bank = rows[i][at].text
        below = rows[i + 1]
        switches = next(
            (k for k, c in enumerate(rows[i + 2]) if is_figure(c.text) and len(c.text) > 1), len(rows[i + 2])
        )
        first = int(below[0].text) if below and below[0].text.isdecimal() else 0
        count = next((k for k, c in enumerate(below) if c.text != str(first + k)), len(below))
        if not first or not 0 < min(count, switches) <= 16:
            continue
        for k in range(min(count, switches)):
            below[k] = replace(below[k], text=f"{bank}-{first + k}")
        gone = [] if not grid.fixed else [replace(rows[i][at], text="")]
        rows[i] = [*rows[i][:at], *gone, *rows[i][at + 1 :]]
    kept = [(n, row) for n, row in enumerate(rows) if row]
    ruled = frozenset(k for k, (n, _) in enumerate(kept) if n in grid.ruled)
    return replace(grid, rows=tuple(tuple(row) for _, row in kept), ruled=ruled)


def _below_heads(grid: Grid, i: int) -> bool:
    """True for a row right below a heading, or below rows that are."""
    n = i - 1
    while n >= 0 and grid.rows[n] and grid.rows[n][0].text.casefold() in ("on", "off", "open", "closed"):
        n -= 1
    texts = [c.text for c in grid.rows[n]] if n >= 0 else []
    return n in grid.ruled or bool(texts and _labels(texts[0])) or any("-" in t and _labels(t) for t in texts)


def _is_heading(grid: Grid, n: int, row: Sequence[GridCell]) -> bool:
    """True for a row that names selectors or stands above a drawn line; sentences that begin with a label are none."""
    if n in grid.ruled:
        return True
    filled = [c.text for c in row if c.text]
    prose = sum(1 for t in filled if t.islower() and t.isalpha() and len(t) > 2)
    named = bool(filled) and (
        bool(_labels(filled[0])) or (len(filled) <= _MOST_HEADING and any("-" in t and _labels(t) for t in filled))
    )
    return named and prose <= 2 and not filled[-1].endswith(".")


def _labels(text: str) -> list[str]:
    """The labels of a heading cell that holds nothing else: `J1 J2`."""
    words = text.split()
    return words if words and all(LABEL.fullmatch(w) and any(c.isdigit() for c in w) for w in words) else []


def _piece(grid: Grid, start: int, end: int) -> Grid:
    return replace(grid, rows=grid.rows[start:end], ruled=frozenset(i - start for i in grid.ruled if start <= i < end))


def _unfolded(grid: Grid) -> Grid:
    """Groups that stand side by side under the same heads put below one another, and marks run together (`1a` under
    `J1 J2`) taken apart."""
    if not grid.fixed:
        return grid
    at = next(
        (i for i, row in enumerate(grid.rows) if sum(1 for c in row if c.text) > 1 and _labels(row[0].text)), None
    )
    if at is None:
        return grid
    head = grid.rows[at]
    width = _period([c.text for c in head])
    labels = _labels(head[0].text)
    if width == len(head) and len(labels) < 2:
        return grid
    body: list[tuple[GridCell, ...]] = []
    rows = [row for row in grid.rows[at + 1 :] if sum(1 for c in row if c.text or c.why) > 1]
    for g in range(-(-len(head) // width)):
        parts = [row[g * width : (g + 1) * width] for row in rows]
        body += [_apart(part, len(labels)) for part in parts if any(c.text or c.why for c in part)]
    body += [row for row in grid.rows[at + 1 :] if row not in rows]
    top = (*(replace(head[0], text=label) for label in labels), *head[1:width]) if len(labels) > 1 else head[:width]
    while top and not top[-1].text:
        top = top[:-1]
    return replace(grid, rows=(*grid.rows[:at], top, *body), ruled=frozenset(i for i in grid.ruled if i <= at))


def _period(texts: Sequence[str]) -> int:
    """How many columns a group has, where the heads repeat from group to group; all of them where they don't. An
    empty column may part groups."""
    for width in range(2, len(texts) // 2 + 2):
        group = list(texts[:width])
        rest = len(texts) % width
        whole = rest == 0 or rest == len([t for t in group if t])
        if (
            whole
            and 1 < -(-len(texts) // width) <= _MOST_GROUPS
            and all(t == group[i % width] for i, t in enumerate(texts))
        ):
            return width
    return len(texts)


def _apart(row: Sequence[GridCell], count: int) -> tuple[GridCell, ...]:
    """The row with the marks of its first cell in cells of their own, where they are as many as the labels above it."""
    if count < 2 or not row:
        return tuple(row)
    words = row[0].text.split()
    marks = words if len(words) == count else list(row[0].text) if len(row[0].text) == count else []
    if not marks:
        why = f"`{row[0].text}` is not {count} marks"
        return (*(replace(row[0], text="", why=why) for _ in range(count)), *row[1:])
    return (*(replace(row[0], text=mark) for mark in marks), *row[1:])
