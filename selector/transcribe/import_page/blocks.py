"""The charts of a page, each a block of it: below one another, side by side, gone on with behind a page break, or
printed in groups under the same heads."""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import pairwise

from selector.problems import Refused
from selector.transcribe.cells.columns import is_figure, joined
from selector.transcribe.cells.given import refusing_word, without_dagger
from selector.transcribe.cells.grid import Grid, GridCell, refused
from selector.transcribe.import_page.rows import (
    CORNER,
    begins_with_mark,
    counts_pages,
    is_data,
    is_footnote,
    is_heading,
    is_title,
    labels_at_start,
    labels_in,
    only_counts,
    words_of,
)
from selector.value import Struct, replace

Row = tuple[GridCell, ...]
_BANK = re.compile(r"(?:SW|DS|S)\d{0,2}", re.IGNORECASE)
_PROSE = 6
"""Words a single blank apart that are a line of prose."""
_FAMILY = re.compile(r"([A-Za-z]{1,4})[ -]?(\d+)")
_MOST_GROUPS = 12


class PageBlock(Struct, frozen=True, kw_only=True):
    """One chart: the lines `above` its rows since the chart before, its `rows`, and what stands `between` and below
    them.

    `again` are heads that a page break repeats; `inherited` where the heads above are those of the chart before;
    `parted` where every row is a whole one, its cells in the order of the columns.
    """

    grid: Grid
    above: tuple[Row, ...]
    rows: tuple[Row, ...]
    between: tuple[Row, ...] = ()
    again: tuple[Row, ...] = ()
    inherited: bool = False
    parted: bool = False


def blocks_of(grid: Grid) -> tuple[PageBlock, ...]:
    """The charts of a page in its order; none where no row of figures is found."""
    if _one_a_line(grid):
        return ()
    grid = _labelled(_uncounted(_unwrapped(_hyphened(_bare(_in_one_column(grid))))))
    out: list[PageBlock] = []
    for region in _regions(grid):
        if _of_ratings(region):
            continue
        for block in _side_by_side(region):
            out.append(_in_groups(block))
    return tuple(out)


def _of_ratings(block: PageBlock) -> bool:
    """True for the figures of a rating plate: input, efficiency, rise down the side."""
    first = [" ".join(c.text for c in _cells(block.grid, r)[:2]).casefold() for r in block.rows]
    heads = [" ".join(c.text for c in row if c.text) for row in block.above[-3:]]
    if any(labels_in(c.text) for row in block.above[-3:] for c in row):
        return False
    down = any(re.match(r"(?:heat(?:ing)? )?(?:input|output|efficiency)\b", t) for t in first)
    return down or any(re.fullmatch(r"(?:rating plate|ratings)\W*", t, re.IGNORECASE) for t in heads)


def _one_a_line(grid: Grid) -> bool:
    """True for a text that has most of its cells on lines of their own: its columns are lost."""
    if grid.fixed:
        return False
    alone = [row[0].text for row in grid.rows if len(row) == 1]
    cells = [t for t in alone if is_figure(t) or len(t) < 4 or labels_in(t)]
    rows = sum(1 for row in grid.rows if len(row) > 1 and is_data(joined(row), headed=True))
    return (len(alone) > 8 and len(alone) > 0.4 * len(grid.rows)) or len(cells) >= max(3, 0.3 * rows)


def no_chart(grid: Grid) -> Refused:
    """The refusal of a page on which no chart is found."""
    if _one_a_line(grid):
        what = "Each cell of this page is on a line of its own, so its columns are lost."
        return refused(grid.name, "no-columns", what, "Take the text with its layout: pdftotext -layout PAGE.pdf")
    what = "No row with positions and figures was found here."
    return refused(grid.name, "no-rows", what, "Give the part of the page with the chart; see --set.")


def _in_one_column(grid: Grid) -> Grid:
    """The grid of a text set in two columns of prose and charts: the left column, then the right."""
    if grid.fixed or len(grid.rows) < 8:
        return grid
    spans = [[(run[0].left, run[-1].right, len(run)) for run in _runs(row)] for row in grid.rows if row]
    wide = max(right for row in spans for _, right, _ in row)
    for edge in sorted(range(wide // 4, 3 * wide // 4), key=lambda x: abs(2 * x - wide)):
        if any(left < edge and right > edge - 2 for row in spans for left, right, _ in row):
            continue
        sides = [[n for row in spans for left, _, n in row if (left >= edge) == side] for side in (False, True)]
        if all(sum(1 for n in side if n >= _PROSE) >= 2 for side in sides):
            parted = [tuple(c for c in row if (c.left >= edge) == side) for side in (False, True) for row in grid.rows]
            return replace(grid, rows=tuple(row for row in parted if row), ruled=frozenset())
    return grid


def _runs(row: Row) -> list[list[GridCell]]:
    """The words of a line, those a single blank apart together."""
    out: list[list[GridCell]] = []
    for cell in row:
        if out and cell.left - out[-1][-1].right <= 1:
            out[-1].append(cell)
        else:
            out.append([cell])
    return out


def _bare(grid: Grid) -> Grid:
    """The grid without the stars and strokes that make words bold in a text."""

    def plain(cell: GridCell) -> GridCell:
        found = re.fullmatch(r"(\*\*|__)(.*\S)\1", cell.text)
        return replace(cell, text=found.group(2)) if found else cell

    rows = []
    for row in grid.rows:
        if not grid.fixed and row[0].text.startswith("**") and row[-1].text.endswith("**") and row[0].text != "**":
            row = (replace(row[0], text=row[0].text[2:]), *row[1:])
            row = (*row[:-1], replace(row[-1], text=row[-1].text.removesuffix("**")))
        rows.append(tuple(plain(c) for c in row))
    return replace(grid, rows=tuple(rows))


def _hyphened(grid: Grid) -> Grid:
    """The grid with names of switches that a page breaks behind the dash (`SW1-` above `1`) put together."""
    rows = [list(row) for row in grid.rows]
    for i, row in enumerate(rows):
        count = next((k for k, c in enumerate(row) if not re.fullmatch(r"[A-Za-z]{1,2}\d{0,2}-", c.text)), len(row))
        for below in rows[i + 1 : i + 3]:
            if count and len(below) >= count and all(re.fullmatch(r"[1-9]\d?", c.text) for c in below[:count]):
                for k in range(count):
                    below[k] = replace(below[k], text=row[k].text + below[k].text)
                rows[i] = row[count:]
                break
    kept = [(n, row) for n, row in enumerate(rows) if row]
    ruled = frozenset(k for k, (n, _) in enumerate(kept) if n in grid.ruled)
    return replace(grid, rows=tuple(tuple(row) for _, row in kept), ruled=ruled)


def _unwrapped(grid: Grid) -> Grid:
    """The grid with words that stand above and below the left of a row, as a page breaks them in a narrow cell, before
    that row."""
    if grid.fixed:
        return grid
    out = list(grid.rows)
    for i in range(1, len(out) - 1):
        above, row, below = out[i - 1], out[i], out[i + 1]
        if not (above and row and below) or [r[0].line - row[0].line for r in (above, below)] != [-1, 1]:
            continue
        if max(above[-1].right, below[-1].right) > row[0].left or not is_data(joined(row), headed=True):
            continue
        if is_data(joined(above), headed=True) or is_data(joined(below), headed=True):
            continue
        out[i - 1] = out[i + 1] = ()
        out[i] = (*above, *below, *row)
    kept = [(n, row) for n, row in enumerate(out) if row]
    ruled = frozenset(k for k, (n, _) in enumerate(kept) if n in grid.ruled)
    return replace(grid, rows=tuple(row for _, row in kept), ruled=ruled)


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
        bank, below = rows[i][at].text, rows[i + 1]
        switches = next(
            (k for k, c in enumerate(rows[i + 2]) if is_figure(c.text) and len(c.text) > 1), len(rows[i + 2])
        )
        first = int(below[0].text) if below and below[0].text.isdecimal() else 0
        count = next((k for k, c in enumerate(below) if c.text != str(first + k)), len(below))
        if not first or not 0 < min(count, switches) <= 16:
            continue
        for k in range(min(count, switches)):
            below[k] = replace(below[k], text=f"{bank}-{first + k}")
        rows[i] = [*rows[i][:at], *([replace(rows[i][at], text="")] if grid.fixed else []), *rows[i][at + 1 :]]
    kept = [(n, row) for n, row in enumerate(rows) if row]
    ruled = frozenset(k for k, (n, _) in enumerate(kept) if n in grid.ruled)
    return replace(grid, rows=tuple(tuple(row) for _, row in kept), ruled=ruled)


def _cells(grid: Grid, row: Row) -> list[GridCell]:
    return [c for c in row if c.text or c.why] if grid.fixed else joined(row)


def _regions(grid: Grid) -> list[PageBlock]:
    """The page parted where heads or a title begin another chart."""
    out: list[PageBlock] = []
    above: list[int] = []
    rows: list[int] = []
    between: list[int] = []
    pending: list[int] = []
    again: list[int] = []

    def close() -> None:
        if rows:
            out.append(_block(grid, above, rows, between, again))

    for i, row in enumerate(grid.rows):
        if not _is_row(grid, i, headed=_headed(grid, i)):
            pending.append(i)
            continue
        if not rows:
            above, pending = pending, []
        elif pending:
            how = _parts(grid, above, rows, pending, i)
            if how and len(rows) == 1 and all(is_figure(c.text) for c in _cells(grid, grid.rows[rows[0]])):
                # figures above a line of heads are heads too
                above, rows, pending = [*above, *rows, *pending], [], []
            elif how == "again":
                again += pending
            elif how:
                close()
                inherited = [n for n in above if _is_head(grid, n)] if how == "title" else []
                above, rows, between, again = [*inherited, *pending], [], [], []
            else:
                between += pending
            pending = []
        rows.append(i)
        del row
    between += pending
    close()
    return [
        replace(b, inherited=k > 0 and bool(set(map(id, b.above)) & set(map(id, out[k - 1].above))))
        for k, b in enumerate(out)
    ]


def _block(grid: Grid, above: list[int], rows: list[int], between: list[int], again: list[int]) -> PageBlock:
    def told(at: Sequence[int]) -> tuple[Row, ...]:
        return tuple(grid.rows[i] for i in at)

    while len(rows) > 1 and _head_among(grid, rows):
        above, rows = [*above, rows[0]], rows[1:]
    while (
        above
        and above[-1] == rows[0] - 1
        and (begins_with_mark(_cells(grid, grid.rows[above[-1]])) or _row_of_words(grid, above[-1], rows))
    ):
        above, rows = above[:-1], [above[-1], *rows]
    return PageBlock(grid=grid, above=told(above), rows=told(rows), between=told(between), again=told(again))


def _row_of_words(grid: Grid, n: int, rows: Sequence[int]) -> bool:
    """True for a line that is numbered as the rows below it are and has as many cells, words among them."""
    cells = _cells(grid, grid.rows[n])
    below = [_cells(grid, grid.rows[i]) for i in rows]
    numbered = [r[0].text for r in [cells, *below]]
    return all(t.isdecimal() for t in numbered) and bool(words_of(cells)) and len(cells) in {len(r) for r in below}


def _head_among(grid: Grid, rows: Sequence[int]) -> bool:
    """True where the first of the rows is the line of heads above the others."""
    cells = [_cells(grid, grid.rows[i]) for i in rows]
    first, others = cells[0], cells[1:]
    worded = bool(words_of(first[:1])) and not any(words_of(r[:1]) for r in others)
    return worded or (len(others) > 2 and only_counts(first, others)) or _all_heads(first, others)


def _all_heads(first: Sequence[GridCell], others: Sequence[Sequence[GridCell]]) -> bool:
    """True for a line of nothing but figures, without a position where the rows below it have one."""
    short = all(len(r) == len(first) + 1 for r in others if not any(refusing_word(c.text) for c in r))
    return len(others) > 1 and short and all(re.fullmatch(r"\.?\d[\d.]*", c.text) for c in first) and len(first) > 1


def _is_row(grid: Grid, i: int, *, headed: bool) -> bool:
    cells = _cells(grid, grid.rows[i])
    if not cells or i in grid.ruled or not is_data(cells, headed=headed) or any(c.text == "\u00b7" for c in cells):
        return False
    heads = is_heading(cells) and not is_figure(cells[0].text) and not _of_a_family(grid, i, cells)
    if heads or is_footnote(" ".join(c.text for c in cells)):
        return False
    return not counts_pages(cells) and not _numbers_the_columns(grid, i, cells)


def _of_a_family(grid: Grid, i: int, cells: Sequence[GridCell]) -> bool:
    """True for figures behind a name, `M9`, like that of the next line, `M14`: rows of models, no line of heads."""
    below = _cells(grid, grid.rows[i + 1]) if i + 1 < len(grid.rows) else []
    names = [_FAMILY.fullmatch(r[0].text) for r in (cells, below) if len(r) > 2 and len(r) == len(cells)]
    if len(names) < 2 or not all(is_figure(c.text) for r in (cells, below) for c in r[1:]):
        return False
    one, other = names
    return one is not None and other is not None and one.group(1) == other.group(1) and one.group(2) != other.group(2)


def _numbers_the_columns(grid: Grid, i: int, cells: Sequence[GridCell]) -> bool:
    """True for a line of nothing but figures above a row that begins further left: heads."""
    if i + 1 >= len(grid.rows) or len(cells) < 2 or not all(re.fullmatch(r"\.?\d[\d.]*", c.text) for c in cells):
        return False
    below = _cells(grid, grid.rows[i + 1])
    named = [_cells(grid, row) for row in grid.rows[i + 1 : i + 3]]
    named = named[:1] if is_data(below, headed=True) else named
    if any(labels_in(cells[0].text) and is_heading(cells) for cells in named):
        return True
    if i and is_data(_cells(grid, grid.rows[i - 1]), headed=True):
        return False
    return len(below) > len(cells) and below[0].left < cells[0].left - (0 if grid.fixed else 1)


def _headed(grid: Grid, i: int) -> bool:
    """True for a row right below a heading, or below rows that are."""
    n = i - 1
    while n >= 0 and grid.rows[n] and grid.rows[n][0].text.casefold() in ("on", "off", "open", "closed"):
        n -= 1
    if n < 0:
        return False
    texts = [c.text for c in grid.rows[n] if c.text]
    return n in grid.ruled or bool(texts and labels_in(texts[0])) or any("-" in t and labels_in(t) for t in texts)


def _is_head(grid: Grid, i: int) -> bool:
    cells = _cells(grid, grid.rows[i])
    return i in grid.ruled or is_heading(cells) or _heads_alone(cells)


def _heads_alone(cells: Sequence[GridCell]) -> bool:
    """True for a line of several words or figures far apart: `060   080   110`."""
    return len(cells) > 1 and all(b.left - a.right > 1 for a, b in pairwise(cells)) and len(cells) <= 40


def _parts(grid: Grid, above: Sequence[int], rows: Sequence[int], pending: Sequence[int], i: int) -> str:
    """How lines between rows part a chart: "heads" or "title" begin another, heads "again" go on with it, "" not at
    all."""
    heads = [n for n in pending if is_heading(_cells(grid, grid.rows[n])) or n in grid.ruled]
    before = [n for n in above if is_heading(_cells(grid, grid.rows[n])) or n in grid.ruled]
    repeats = _begins_again(grid, rows, i)
    if heads:
        same = [_text(grid, n) for n in heads] == [_text(grid, n) for n in before]
        titles = {_title(grid, n) for n in pending if n not in heads and is_title(_cells(grid, grid.rows[n]))}
        known = {_title(grid, n) for n in above}
        named = any(t and t not in known and not _footer(t) for t in titles)
        return "again" if same and not repeats and not named else "heads"
    if repeats and any(is_title(_cells(grid, grid.rows[n])) for n in pending):
        return "title"
    known = {_title(grid, n) for n in above}
    for n in pending:
        if is_title(_cells(grid, grid.rows[n])) and not _footer(_text(grid, n)) and _title(grid, n) not in known:
            return "heads"
    told = [n for n in pending if not is_footnote(_text(grid, n))]
    if told and len(_cells(grid, grid.rows[i])) not in {len(_cells(grid, grid.rows[n])) for n in rows}:
        # what another line parts, and has another number of words, is another chart
        return "heads"
    other = _kind(_cells(grid, grid.rows[i])[0].text) not in {_kind(_cells(grid, grid.rows[n])[0].text) for n in rows}
    return "heads" if other and not all(is_footnote(_text(grid, n)) for n in pending) else ""


def _kind(text: str) -> str:
    """What the first word of a row is like."""
    if text.casefold() in ("on", "off", "-", "open", "closed", "x", "none"):
        return "mark"
    return "figure" if is_figure(text) else "letter" if len(text) < 3 else "word"


def _footer(title: str) -> bool:
    return bool(re.search(r"\d", title))


def _text(grid: Grid, n: int) -> str:
    return " ".join(c.text for c in grid.rows[n] if c.text).casefold()


def _title(grid: Grid, n: int) -> str:
    """A title without `continued` and the like."""
    return re.sub(r"\W*\b(?:continued|cont\.?|contd\.?)\W*", "", _text(grid, n)).strip()


def _begins_again(grid: Grid, rows: Sequence[int], i: int) -> bool:
    """True where a row has the first words of the first row of the chart before."""
    first, now = _cells(grid, grid.rows[rows[0]]), _cells(grid, grid.rows[i])
    lead = max(1, next((k for k, c in enumerate(first) if is_figure(c.text) and len(c.text) > 2), 1))
    return [c.text for c in first[:lead]] == [c.text for c in now[:lead]]


def _side_by_side(block: PageBlock) -> list[PageBlock]:
    """Charts that stand beside each other under heads of their own."""
    edge = _edge(block)
    if edge is None:
        return [block]
    out = []
    ends = [c.right for row in block.rows for c in row if _is_left(block.grid, row, c, edge)]
    over = edge if block.grid.fixed else min(edge, max(ends, default=edge) + 3)  # a title may begin left of its chart
    for left in (True, False):

        def told(rows: Sequence[Row], edge: int = over, left: bool = left) -> tuple[Row, ...]:
            parts = (tuple(c for c in row if _is_left(block.grid, row, c, edge) == left) for row in rows)
            return tuple(part for part in parts if part)

        rows = told(block.rows, edge)
        held = tuple(r for r in rows if is_data(_cells(block.grid, r), headed=True))
        loose = tuple(r for r in rows if r not in held)
        out.append(
            replace(
                block,
                above=told(block.above),
                rows=held,
                between=(*told(block.between), *loose),
                again=told(block.again),
            )
        )
    if not all(b.rows for b in out):
        return [block]
    return [out[0], *_side_by_side(out[1])]


def _is_left(grid: Grid, row: Row, cell: GridCell, edge: int) -> bool:
    """Whether a word belongs to the left chart: words a single blank apart stay together."""
    if grid.fixed:
        return cell.left < edge
    at = row.index(cell)
    while at and row[at].left - row[at - 1].right <= 1:
        at -= 1
    return row[at].left < edge - 1


def _edge(block: PageBlock) -> int | None:
    """Where the second chart of a block begins: at the first name of a selector behind other heads, with marks of its
    own below it."""
    for row in block.above[::-1]:
        cells = _cells(block.grid, row)
        if not is_heading(cells):
            continue
        first = labels_at_start(cells) or (1 if cells and CORNER.fullmatch(cells[0].text) else 0)
        for k in range(1, len(cells)):
            named = labels_in(cells[k].text) or (first == 1 and cells[k].text == cells[0].text)
            behind = (k > first and not labels_in(cells[k - 1].text)) or (named and _figures_before(block, cells[k], k))
            if first and named and behind:
                period = [c.text for c in cells[:k]]
                groups = [c.text for c in cells[k : 2 * k]]
                if (period == groups and not _doubled(block, cells[k].left, first)) or not _marks_at(block, cells[k]):
                    return None
                return cells[k].left
    return None


def _figures_before(block: PageBlock, label: GridCell, labels: int) -> bool:
    """True where more stands left of a name in every row than the names left of it are for."""
    if block.grid.fixed:
        return False
    left = [[c for c in _cells(block.grid, row) if c.right < label.left - 1] for row in block.rows]
    figures = sum(1 for cells in left if len(cells) > labels and _changes(cells[labels].text))
    return figures == len(left) > 1


def _changes(text: str) -> bool:
    """True for a figure with its unit or sign, or the word for no change."""
    return text.casefold() == "none" or (is_figure(text) and (len(text) > 2 or text[0] in "+-"))


def _marks_at(block: PageBlock, label: GridCell) -> bool:
    """True where short marks stand below a name."""
    below = []
    for row in block.rows:
        cells = [c for c in _cells(block.grid, row) if c.right > label.left - 1]
        if cells:
            below.append(cells[0].text)
    return bool(below) and sum(1 for t in below if len(t) <= 6 and not re.fullmatch(r"\d{3,}", t)) > len(below) / 2


def _doubled(block: PageBlock, edge: int, lead: int) -> bool:
    """True where the marks right of the edge are those left of it: two charts, not one printed in two groups."""
    left, right = [], []
    for row in block.rows:
        cells = _cells(block.grid, row)
        behind = [c for c in cells if c.left >= edge - (0 if block.grid.fixed else 1)]
        right.append(tuple(c.text for c in behind[:lead]))
        left.append(tuple(c.text for c in cells[:lead]))
    return len(set(left) & set(right)) > 0


def _in_groups(block: PageBlock) -> PageBlock:
    """Groups that stand side by side under the same heads put below one another, and marks run together (`1a` under
    `J1 J2`) taken apart."""
    if not block.above:
        return block
    head = _cells(block.grid, block.above[-1])
    texts = [c.text for c in head]
    width = next((w for w in range(2, len(texts) // 2 + 1) if len(texts) % w == 0 and _repeats(texts, w)), len(texts))
    labels = next((k for k, t in enumerate(texts[:width]) if not labels_in(t)), width)
    names = [name for t in texts[:labels] for name in labels_in(t)]
    if not labels or labels == width or (width == len(texts) and len(names) < 2) or len(texts) // width > _MOST_GROUPS:
        return block
    rows = [_cells(block.grid, r) for r in block.rows]
    whole = any(_worded(r, labels) for r in rows) or len(names) != labels
    starts = [head[g * width].left for g in range(len(texts) // width)]
    parts: list[list[tuple[int, Row]]] = []
    for row in rows:
        found = _parted(row, starts, labels, width - labels, whole=whole, marks=len(names))
        if found is None:
            return block
        parts.append(found)
    if len(starts) == 1 and all(len(r) == width for r in rows):
        return block
    body = [part for g in range(len(starts)) for row in parts for at, part in row if at == g]
    own = tuple(_split_labels(head[:width]))
    repeat = tuple(head[width:])
    again = (*block.again, repeat) if repeat else block.again
    rows_placed = tuple(r for r in body if len(r) == len(own))
    if len(rows_placed) < len(body):
        return block
    return replace(block, above=(*block.above[:-1], own), rows=rows_placed, again=again, parted=True)


def _repeats(texts: Sequence[str], width: int) -> bool:
    return all(t == texts[i % width] for i, t in enumerate(texts))


def _split_labels(cells: Sequence[GridCell]) -> list[GridCell]:
    return [replace(c, text=name) for c in cells for name in (labels_in(c.text) or (c.text,))]


def _worded(cells: Sequence[GridCell], labels: int) -> bool:
    """True for a row whose marks are words."""
    marks = [c.text for c in cells[:labels]]
    return marks[:1] == ["ON"] or (
        len(cells) > labels and all(m.isalpha() for m in marks) and any(len(m) > 1 for m in marks)
    )


def _parted(
    cells: Sequence[GridCell], starts: Sequence[int], labels: int, others: int, *, whole: bool, marks: int
) -> list[tuple[int, Row]] | None:
    """(group, words) of a row, each group with its marks apart; None where they don't fill whole groups."""
    out: list[tuple[int, Row]] = []
    at = 0
    if not whole and labels > 1 and len(cells) == len(starts) * (others + 1):
        # as many words as whole groups have: a page may stand further left than its heads
        starts = [cells[g * (others + 1)].left for g in range(len(starts))]
    while at < len(cells):
        left = cells[at].left
        g = max((k for k, start in enumerate(starts) if start <= left + 1), default=0)
        run, dagger = without_dagger(cells[at].text)
        together = len(run) == marks and run.isalnum() and ((not whole and labels > 1) or labels < marks)
        count = others + (1 if together else labels)
        piece = cells[at : at + count]
        if any(k == g for k, _ in out) or len(piece) < count:
            return None
        if g + 1 < len(starts) and piece[-1].left >= starts[g + 1]:
            return None
        words = run.split()
        if together:
            front = [replace(piece[0], text=c) for c in run]
            front[-1] = replace(front[-1], text=front[-1].text + dagger)
        elif labels < marks and len(words) == marks:
            front = [replace(piece[0], text=w) for w in words]
            front[-1] = replace(front[-1], text=front[-1].text + dagger)
        elif labels < marks:
            why = f"`{run}` is not {marks} marks"
            front = [replace(piece[0], text="", why=why) for _ in range(marks)]
        else:
            front = list(piece[:labels])
        if any(len(without_dagger(m.text)[0]) > 3 for m in front):
            return None
        out.append((g, (*front, *piece[len(piece) - others :])))
        at += count
    return out
