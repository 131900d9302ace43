"""The heads of a page put into one line above its rows, and figures that a blank parts put together, before the page
is understood."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from selector.transcribe.cells.columns import is_figure, joined
from selector.transcribe.cells.given import EMPTY, FILLED, NO_FIGURE, refusing_word
from selector.transcribe.cells.grid import Grid, GridCell
from selector.transcribe.import_page.headings import LABEL, Hints
from selector.value import Struct, replace

_QUANTITY = re.compile(r"s?cfm|l/s|m[3\u00b3]/h|air ?flow|(?:temp(?:erature|\.)? )?rise.*|\u0394 ?t.*", re.IGNORECASE)
_MODEL = re.compile(r"models?|sizes?|units?", re.IGNORECASE)
_PRESSURE = re.compile(r"pa|in\.? ?w\.? ?[cg]\.?|iwc|inwc|inwg|\"(?: ?w\.? ?c\.?)?", re.IGNORECASE)
_LEADING, _GROUP = re.compile(r"[1-9]\d?"), re.compile(r"\d{3}")
_MARKED = FILLED | EMPTY | {"ON", "OFF", "On", "Off", "on", "off"}


class _Heads(Struct, frozen=True):
    """The row of the heads: which it is, how many labels it begins with, and the words behind them."""

    at: int
    labels: tuple[GridCell, ...]
    words: tuple[GridCell, ...]


def tidied(grid: Grid, hints: Hints) -> tuple[Grid, Hints]:
    """The grid with one line of heads, each head one word, and rows as long as the heads say; the hints with what
    the heads are."""
    grid = _second_line(_heads_below_words(grid, hints), hints)
    grid, hints = _bare(grid, hints)
    return (grid if grid.fixed else _thousands(grid, hints)), hints


def _cells(grid: Grid, i: int) -> list[GridCell]:
    row = grid.rows[i]
    return list(row) if grid.fixed else joined(row)


def _heads(grid: Grid, hints: Hints) -> _Heads | None:
    """The last row that begins with labels (those of `--set`, or such as SW1-1) and goes on with other words, None
    where there is none."""
    known = {name.casefold() for name in hints.set}
    for i in range(len(grid.rows) - 1, -1, -1):
        cells = _cells(grid, i)
        count = next((k for k, c in enumerate(cells) if not _is_label(c.text, known)), len(cells))
        words = tuple(c for c in cells[count:] if c.text)
        if count and words and len(cells) - count <= 200 and i + 1 < len(grid.rows):
            return _Heads(i, tuple(cells[:count]), words)
    return None


def _is_label(text: str, known: set[str]) -> bool:
    return text.casefold() in known or bool(LABEL.fullmatch(text) and any(c.isdigit() for c in text))


def _put(grid: Grid, at: int, count: int, rows: Sequence[Sequence[GridCell]]) -> Grid:
    """The grid with `count` rows from `at` on in other words; the last of the new ones is the line of heads."""
    new = [tuple(row) for row in rows if row]
    shift = len(new) - count
    ruled = frozenset(i if i < at else i + shift if i >= at + count else at + len(new) - 1 for i in grid.ruled)
    return replace(grid, rows=(*grid.rows[:at], *new, *grid.rows[at + count :]), ruled=ruled)


def _heads_below_words(grid: Grid, hints: Hints) -> Grid:
    """`SW1-1 SW1-2  Model` above `060 080 110`, or `tap  Airflow, L/s` above `25 75 125`: labels and heads in one
    line, the words above it."""
    if grid.fixed:
        return grid
    for i in range(1, len(grid.rows) - 2):
        heads, above = _cells(grid, i), _cells(grid, i - 1)
        labels = (
            len(hints.set) or next((k for k, c in enumerate(above) if not _is_label(c.text, set())), len(above)) or 1
        )
        lead, rest = above[:labels], above[labels:]
        below = [_cells(grid, n) for n in range(i + 1, len(grid.rows))]
        if (
            not all(re.fullmatch(r"\.?\d[\d.]*", c.text) for c in heads)
            or len(above) < labels
            or any(c.isdigit() for c in "".join(r.text for r in rest))
        ):
            continue
        if (
            not all(re.fullmatch(r"[A-Za-z]+", c.text) or _is_label(c.text, set()) for c in lead)
            or lead[-1].right > heads[0].left
        ):
            continue
        if (
            sum(
                1
                for row in below
                if row[0].left < heads[0].left - 1 and sum(1 for c in row if is_figure(c.text)) >= len(heads)
            )
            < 2
        ):
            continue
        put = _put(grid, i - 1, 2, [rest, [*lead, *heads]])
        return replace(put, ruled=put.ruled | {i if rest else i - 1})
    return grid


def _second_line(grid: Grid, hints: Hints) -> Grid:
    """Heads with what stands below each (`cfm  rise F  cfm  rise F`) in one line: `060  rise F  080  rise F`; a
    second line of `cfm` alone goes."""
    heads = _heads(grid, hints)
    if heads is None:
        return grid
    below = [c for c in _cells(grid, heads.at + 1) if c.text and not _is_label(c.text, set())]
    each, odd = divmod(len(below), len(heads.words))
    kinds = [c.text.casefold() for c in below[:each]]
    if odd or not below or not all(_QUANTITY.fullmatch(c.text) for c in below):
        return grid
    if (
        each > 2
        or any(c.text.casefold() != kinds[k % each] for k, c in enumerate(below))
        or kinds[0].startswith(("rise", "temp", "\u0394"))
    ):
        return grid
    line = [
        cell
        for k, word in enumerate(heads.words)
        for cell in (replace(word, span=1), *below[k * each + 1 : (k + 1) * each])
    ]
    return _put(grid, heads.at, 2, [[*heads.labels, *line]])


def _bare(grid: Grid, hints: Hints) -> tuple[Grid, Hints]:
    """`model 060  model 080` as 060 and 080 of the models, `25 Pa  75 Pa` as 25 and 75 of the static pressure."""
    heads = _heads(grid, hints) or _worded(grid)
    if heads is None or len(heads.words) < 2:
        return grid, hints
    words = list(heads.words)
    if (
        not grid.fixed
        and len(words) % 2 == 0
        and len({w.text.casefold() for w in words[::2]}) == 1
        and words[0].text.isalpha()
    ):
        words = [
            replace(b, text=f"{a.text} {b.text}", left=a.left) for a, b in zip(words[::2], words[1::2], strict=True)
        ]
    parts = [w.text.split() for w in words]
    first, last = {p[0].casefold() for p in parts}, {" ".join(p[1:]).casefold() for p in parts}
    across = ""
    if (
        len(first) == 1
        and all(len(p) > 1 for p in parts)
        and next(iter(first)).isalpha()
        and len({tuple(p[1:]) for p in parts}) == len(parts)
    ):
        across = "model" if _MODEL.fullmatch(next(iter(first))) else ""
        words = [replace(w, text=" ".join(p[1:])) for w, p in zip(words, parts, strict=True)]
    elif (
        len(last) == 1
        and _PRESSURE.fullmatch(next(iter(last)))
        and all(re.fullmatch(r"\.?\d[\d.]*", p[0]) for p in parts)
    ):
        across = "static pressure"
        words = [replace(w, text=p[0]) for w, p in zip(words, parts, strict=True)]
        hints = replace(hints, pressure="Pa" if next(iter(last)) == "pa" else "in. w.c.")
    else:
        return grid, hints
    if across and not hints.across:
        hints = replace(hints, across=(across,))
    return _put(grid, heads.at, 1, [[*heads.labels, *words]]), hints


def _worded(grid: Grid) -> _Heads | None:
    """A first row of heads behind a plain word: `tap  25 Pa  75 Pa`."""
    for i in range(len(grid.rows) - 2):
        cells = _cells(grid, i)
        if (
            len(cells) > 2
            and re.fullmatch(r"[A-Za-z]{3,}", cells[0].text)
            and all(is_figure(c.text) for c in cells[1:])
        ):
            return _Heads(i, (cells[0],), tuple(cells[1:]))
    return None


def _thousands(grid: Grid, hints: Hints) -> Grid:
    """`1 020` made one figure in rows with more words than there are heads, where that can be done in one way only."""
    heads = _heads(grid, hints)
    if heads is None:
        return grid
    rows = list(grid.rows)
    below = range(heads.at + 1, len(rows))
    filled = any(c.text in FILLED for i in below for c in rows[i])
    for i in below:
        cells = joined(rows[i])
        if any(refusing_word(c.text) for c in cells):
            continue
        lead = next((k for k, c in enumerate(cells) if c.text not in _MARKED), 0) if filled else len(heads.labels)
        ways = list(_merged(cells[lead:], len(heads.words))) if len(cells) - lead > len(heads.words) else []
        if len(ways) == 1:
            rows[i] = (*cells[:lead], *ways[0])
    return replace(grid, rows=tuple(rows))


def _merged(cells: Sequence[GridCell], wanted: int) -> Iterator[tuple[GridCell, ...]]:
    """Every way to make so many figures of some words, by putting one or two digits and the three behind them
    together."""
    if not wanted or not wanted <= len(cells) <= 2 * wanted:
        if not wanted and not cells:
            yield ()
        return
    first, *rest = cells
    if (is_figure(first.text) and not re.match(r"0\d", first.text)) or first.text.casefold() in NO_FIGURE:
        yield from ((first, *others) for others in _merged(rest, wanted - 1))
    if rest and _LEADING.fullmatch(first.text) and _GROUP.match(rest[0].text) and is_figure(rest[0].text):
        one = replace(first, text=f"{first.text} {rest[0].text}", right=rest[0].right)
        yield from ((one, *others) for others in _merged(rest[1:], wanted - 1))
