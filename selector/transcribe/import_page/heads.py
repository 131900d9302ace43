"""The heads above the columns of a chart: which words stand over which figures, and what they tell."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from itertools import pairwise

from selector.table.from_file.rows import TO_TYPE
from selector.transcribe.cells.columns import PlacedRows, glued, joined, phrases, spaced
from selector.transcribe.cells.given import without_dagger
from selector.transcribe.cells.grid import GridCell
from selector.transcribe.import_page.rows import (
    CORNER,
    REMARK,
    counts_pages,
    is_corner,
    is_footnote,
    labels_at_start,
    labels_in,
    like_head,
)
from selector.value import Struct, field

Level = list[GridCell | None]
"""What one line of heads says of each column of figures; None over a column where it says nothing."""


class Hints(Struct, frozen=True, kw_only=True):
    """What a person says of the page: `set` the selectors of the rows, `positions` what each may be, `across` what the
    columns are.

    With nothing in `gives` it is told by the heads, else by the figures themselves: signs and percent are trims, s and
    min times, others airflows.
    """

    set: tuple[str, ...] = ()
    positions: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    across: tuple[str, ...] = ()
    gives: tuple[str, ...] = ("airflow",)
    models: tuple[str, ...] = ()
    airflow: str = "cfm"
    name: str = ""
    page: str = ""
    pressure: str = ""


class Heads(Struct, frozen=True, kw_only=True):
    """The lines of heads, outermost first: `levels` over the columns of figures, `captions` words over all of them (one
    for each level, with those above it), `corner` words over the positions, `used` cells that were understood.

    `doubtful` are lines of heads of which it can't be told which columns they stand over.
    """

    levels: tuple[tuple[GridCell | None, ...], ...]
    captions: tuple[str, ...]
    corner: tuple[GridCell, ...]
    used: tuple[GridCell, ...]
    doubtful: tuple[str, ...] = ()


def bottom_heads(
    above: Sequence[Sequence[GridCell]], rows: Sequence[Sequence[GridCell]], *, fixed: bool
) -> list[GridCell]:
    """The lowest line of heads that names every column (blank ones too), positions with it; [] where there is none."""
    if fixed:
        lowest: dict[int, GridCell] = {}
        for row in above:
            if len([c for c in row if c.text]) > 1 and not is_footnote(" ".join(c.text for c in row)):
                lowest |= {c.left: c for c in row if c.text}
        return [lowest[k] for k in sorted(lowest)]
    most = max((len(r) for r in rows), default=0)
    for n, row in enumerate(reversed(above[-4:])):
        words = joined(row)
        named = labels_at_start(words, most)
        if not n and 0 < named < len(words) <= most:
            return words
        for cells in (phrases(row), words):
            named = sum(1 for c in cells if labels_in(c.text))
            if cells is words and not all(like_head(c.text) for c in words):
                continue
            # more heads than columns a single blank apart: only where each is a head by itself
            close = cells is words and len(cells) > most and len(phrases(row)) != len(cells)
            if close and not all(any(x.isdigit() for x in c.text) or REMARK.fullmatch(c.text) for c in words):
                continue
            if len(cells) >= most and len(cells) > 1 and (named or len(cells) == most or len(cells) == most + 1):
                if cells is not words and any(labels_in(c.text) and len(c.text.split()) > 1 for c in cells):
                    continue
                return cells
    return []


def heads_over(above: Sequence[Sequence[GridCell]], body: PlacedRows, lead: int, *, fixed: bool) -> Heads:
    """The lines right above a chart as heads of its columns, from the lowest up to the first that is none."""
    levels: list[Level] = []
    captions: list[list[str]] = [[]]
    corner: list[GridCell] = []
    used: list[GridCell] = []
    doubtful: list[str] = []
    width = len(body.extents)
    for row in reversed(above):
        text = " ".join(c.text for c in row if c.text)
        if is_footnote(text) or not text:
            continue
        found = _in_cells(row, body, lead) if fixed else _in_text(row, body, lead, width, lower=levels)
        if found is None:
            break
        front, level, over, sure = found
        if any(level) and counts_pages(row):
            break
        if not sure:
            doubtful.append(" ".join(text.split()))
            corner += [c for c in front if labels_in(c.text)]
            used += [c for c in front if labels_in(c.text)]
            continue
        if over is not None:
            if re.search(r"[.;]$", text) or (not front and fixed and not levels):
                break
            captions[0].append(over.text)
        if any(cell is not None for cell in level):
            levels.insert(0, level)
            captions.insert(0, [])
        corner = [*front, *corner]
        used += [*front, *([over] if over is not None else []), *(c for c in level if c is not None)]
    told = [" ".join(reversed(words)) for words in captions]
    # a caption belongs to the lines of heads below it
    running = ""
    below = []
    for words in told:
        running = f"{running} {words}".strip()
        below.append(running)
    spread = _spread(levels)
    return Heads(
        levels=tuple(tuple(level) for level in spread),
        captions=tuple(below[1:] if len(below) > len(spread) else below),
        corner=tuple(corner),
        used=tuple(used),
        doubtful=tuple(doubtful),
    )


Found = tuple[list[GridCell], Level, GridCell | None, bool]
"""Words over the positions, words over the columns, words over all columns, and whether it is sure."""


def _in_cells(row: Sequence[GridCell], body: PlacedRows, lead: int) -> Found | None:
    """A line of a file with columns; None for a title, in the first cell alone."""
    kept = [extent[0][0] for extent in body.extents]
    start = kept[lead]
    filled = [c for c in row if c.text]
    front = [c for c in filled if c.left < start]
    behind = [c for c in filled if c.right > start]
    wide = behind[0] if len(behind) == 1 else None
    if len(filled) == 1 and (filled[0].left == 0 or filled[0].left < start) and not labels_in(filled[0].text):
        return None
    if wide is not None and len(kept) - lead > 1 and (wide.left < start or wide.right > kept[-1]):
        return [c for c in front if c is not wide], [None] * (len(kept) - lead), wide, True
    level: Level = [None] * (len(kept) - lead)
    for cell in behind:
        for k, left in enumerate(kept[lead:]):
            if cell.left <= left < cell.right:
                level[k] = cell
    return front, level, None, True


def _in_text(row: Sequence[GridCell], body: PlacedRows, lead: int, width: int, lower: Sequence[Level]) -> Found | None:
    """A line of a text; None for a title or a sentence."""
    cells, apart = joined(row), phrases(row)
    nothing: Level = [None] * (width - lead)
    for whole in (apart, cells):
        if len(whole) == width and (labels_at_start(whole, width) == lead or not any(map(_names, whole[lead:]))):
            if lead > 1 and len(labels_in(whole[0].text)) == lead:
                continue  # one cell has the names of all positions, so the next stands over none
            if lower and not all(labels_in(c.text) or is_corner(c.text) for c in whole[:lead]):
                continue
            if len(apart) != len(cells) and whole is cells:
                known = all(labels_in(c.text) or CORNER.fullmatch(c.text) for c in cells[:lead])
                if not known or not all(like_head(c.text) for c in cells) or _elsewhere(cells, body, lead):
                    continue
            return list(whole[:lead]), list(whole[lead:]), None, True
    labels = labels_at_start(cells, width)
    rest = cells[labels:]
    if len(apart) > 1 and not labels and labels_in(apart[-1].text):
        return None
    if labels == lead and len(rest) == width - lead:
        return list(cells[:lead]), list(rest), None, True
    if labels and not rest:
        return list(cells), nothing, None, True
    start = _start(body, lead)
    if body.told and not labels:
        # words over the positions end before the figures begin
        rest = [c for c in row if (c.left + c.right) / 2 >= _border(body, lead)]
        front = phrases([c for c in row if c not in rest])
        if front and rest and rest[0].left - front[-1].right <= 1 and not is_corner(front[-1].text):
            return None
        known = all(is_corner(c.text) for c in front)
        if not front and row[0].left <= _left(body, lead) + 1:
            return None
        if not known and (lower or len(phrases(rest)) != width - lead):
            return None
        if not rest:
            return (front, nothing, None, True) if lower and len(front) <= lead else None
    else:
        front = list(cells[:labels])
        rest = list(row[-sum(len(c.text.split()) for c in rest) :]) if rest else []
    if not rest:
        return None
    gaps = phrases(rest)
    if len(gaps) == 1 and (row[0].left < start - 1 if not front else False) and not labels and body.told:
        return None
    return _over(front, rest, gaps, body, lead, width, lower)


def _names(cell: GridCell) -> bool:
    return bool(labels_in(cell.text))


def _over(
    front: list[GridCell],
    rest: Sequence[GridCell],
    gaps: list[GridCell],
    body: PlacedRows,
    lead: int,
    width: int,
    lower: Sequence[Level],
) -> Found | None:
    """Words behind the positions put over the columns they stand over."""
    columns = width - lead
    nothing: Level = [None] * columns
    words = joined(rest)
    if columns == 1:
        return front, [glued(rest)], None, len(gaps) == 1
    for parts in (gaps, *([words] if all(like_head(w.text) for w in words) else [])):
        each, odd = divmod(columns, len(parts))
        if len(parts) == columns and (front or lower or body.told):
            if body.told and _elsewhere(parts, body, lead, at=lead):
                break
            return front, list(parts), None, True
        over_each = 1 < len(parts) < columns and not odd and lower and _periodic(lower, each)
        if over_each and (not body.told or _within(parts, body, lead, each)):
            return front, [parts[k // each] for k in range(columns)], None, True
    pairs = _in_pairs(rest, columns)
    if pairs:
        return front, pairs, None, True
    if not body.told:
        if len(gaps) == 1 and len(words) != columns and (front or lower):
            return front, nothing, glued(rest), True
        return (front, nothing, None, False) if front or lower else None
    whole = bool(lower) and any(all(c is not None for c in level) for level in lower)
    if len(gaps) == 1 and (whole or CORNER.fullmatch(gaps[0].text) or not _fits_one(gaps[0], body, lead)):
        return front, nothing, gaps[0], True
    ranked = _ranges(rest, [_middle(e) for e in body.extents[lead:]], _pitch(body, lead))
    if not ranked or (len(ranked) > 1 and ranked[1][0] - ranked[0][0] < 1.0):
        return (front, nothing, None, False) if front or lower or len(gaps) > 1 else None
    level: Level = [None] * columns
    for first, last, cell in ranked[0][1]:
        for k in range(first, last + 1):
            level[k] = cell
    if len(ranked[0][1]) == 1 and ranked[0][1][0][:2] == (0, columns - 1):
        return front, nothing, gaps[0], True
    return front, level, None, True


def _in_pairs(words: Sequence[GridCell], columns: int) -> Level:
    """Two words for each column, one of the two the same everywhere: `first stage second stage`; else nothing."""
    if len(words) != 2 * columns or columns < 2:
        return []
    first, second = ([w.text.casefold() for w in words[k::2]] for k in (0, 1))
    for same, other in ((first, second), (second, first)):
        if len(set(same)) == 1 and len(set(other)) == columns:
            return [glued(words[k : k + 2]) for k in range(0, len(words), 2)]
    return []


def _fits_one(cell: GridCell, body: PlacedRows, lead: int) -> bool:
    """True where words stand over one column and reach over no other."""
    spans = [_middle(e) for e in body.extents[lead:] if e]
    return sum(1 for left, right in spans if cell.left < right and left < cell.right) <= 1


def _start(body: PlacedRows, lead: int) -> float:
    """Where the figures begin."""
    first = next((e for e in body.extents[lead:] if e), ())
    return min((a for a, _ in first), default=0)


def _left(body: PlacedRows, lead: int) -> int:
    """Where the positions begin; before all where they stand nowhere."""
    return min((a for e in body.extents[:lead] for a, _ in e), default=-9)


def _border(body: PlacedRows, lead: int) -> float:
    """Half the way between the positions and the figures."""
    marks = max((b for e in body.extents[:lead] for _, b in e), default=0)
    return (marks + _start(body, lead)) / 2


def _middle(extent: Sequence[tuple[int, int]]) -> tuple[float, float]:
    return (min(a for a, _ in extent), max(b for _, b in extent)) if extent else (-1e9, -1e9)


def _pitch(body: PlacedRows, lead: int) -> float:
    """The least distance of two columns' middles."""
    middles = [sum(_middle(e)) / 2 for e in body.extents[lead:] if e]
    return min((b - a for a, b in pairwise(middles)), default=8.0)


def _elsewhere(cells: Sequence[GridCell], body: PlacedRows, lead: int, at: int = 0) -> bool:
    """True where some head stands nearer to another column than to that of its number."""
    if not body.told or not spaced(cells):
        return False
    middles = [sum(_middle(e)) / 2 if e else None for e in body.extents]
    for k, cell in enumerate(cells):
        if k + at < lead:
            continue
        own = middles[k + at]
        centre = (cell.left + cell.right) / 2
        if own is not None and any(
            m is not None and n >= lead and abs(centre - m) + 1.5 < abs(centre - own) for n, m in enumerate(middles)
        ):
            return True
    return False


def _periodic(lower: Sequence[Level], each: int) -> bool:
    texts = [c.text.casefold() if c is not None else "" for c in lower[-1]]
    return len(set(texts)) < len(texts) and all(t == texts[k % each] for k, t in enumerate(texts))


def _within(parts: Sequence[GridCell], body: PlacedRows, lead: int, each: int) -> bool:
    """True where every part stands over its own columns."""
    spans = [_middle(e) for e in body.extents[lead:]]
    groups = [(spans[k][0], spans[k + each - 1][1]) for k in range(0, len(spans), each)]
    return all(a - 3 <= (p.left + p.right) / 2 <= b + 3 for p, (a, b) in zip(parts, groups, strict=True))


Part = tuple[int, int, GridCell]


def _ranges(
    words: Sequence[GridCell], columns: Sequence[tuple[float, float]], pitch: float
) -> list[tuple[float, list[Part]]]:
    """The two best ways to put words, in their order, over ranges of columns: what stands over a range has its middle
    where the range has its own. A cost is in characters; more than a part of the pitch for a group is too much."""
    best: list[list[tuple[float, int, list[Part]]]] = [[(0.0, -1, [])]]
    most = 0.4 * pitch + 1
    for end in range(1, len(words) + 1):
        found: list[tuple[float, int, list[Part]]] = []
        for start in range(max(0, end - 8), end):
            group = words[start:end]
            if any(b.left - a.right > 1 for a, b in pairwise(group)):
                continue
            split = 1.5 if end < len(words) and words[end].left - group[-1].right <= 1 else 0.0
            cell = glued(group)
            middle = (cell.left + cell.right) / 2
            for cost, last, parts in best[start]:
                for first in range(last + 1, len(columns)):
                    for final in range(first, len(columns)):
                        off = abs(middle - (columns[first][0] + columns[final][1]) / 2)
                        if len(cell.text) < cell.right - cell.left:  # strokes beside it say how far it reaches
                            off = 0.0 if [*range(first, final + 1)] == _below(cell, columns) else most + 99.0
                        if off <= most + 0.5 * (final - first):
                            total = cost + off + split
                            found.append((total, final, [*parts, (first, final, cell)]))
        found.sort(key=lambda f: f[0])
        best.append(found[:12])
    whole = [(cost + len(columns) - sum(b - a + 1 for a, b, _ in parts), parts) for cost, _, parts in best[-1]]
    return sorted(whole, key=lambda f: f[0])[:2]


def _below(cell: GridCell, columns: Sequence[tuple[float, float]]) -> list[int]:
    """The columns whose middle is below a head."""
    return [k for k, (left, right) in enumerate(columns) if cell.left <= (left + right) / 2 <= cell.right]


def _spread(levels: Sequence[Level]) -> list[Level]:
    """The lines with a head that stands over the first of several columns carried over the others, where the line below
    repeats itself; heads broken over several lines put together."""
    out: list[Level] = [list(level) for level in levels]
    for n in range(len(out) - 1):
        level = out[n]
        below = [_texts(out, n + 1, k) for k in range(len(level))]
        if level[0] is not None and None in level and _twice(below):
            for k in range(1, len(level)):
                if level[k] is None:
                    level[k] = level[k - 1]
    n = len(out) - 2
    while n >= 0:
        upper, lower = out[n], out[n + 1]
        alone = all(a is None or [b is a for b in upper].count(True) == 1 for a in upper)
        under = all(b is None or [c is b for c in lower].count(True) == 1 for b in lower)
        same = None not in lower and len({c.text.casefold() for c in lower if c is not None}) == 1 < len(lower)
        if alone and under and (None in upper or None in lower or (same and not quantity_word(lower[0]))):
            out[n + 1] = [glued([a, b]) if a and b else a or b for a, b in zip(upper, lower, strict=True)]
            del out[n]
        n -= 1
    return out


def quantity_word(cell: GridCell | None) -> bool:
    """True for a head such as `cfm`, which stands below every column and is no part of their names."""
    like = r"s?cfm|l/s|m[3\u00b3]/h|air ?flow|watts?|rpm"
    return cell is not None and bool(re.fullmatch(like, cell.text, re.IGNORECASE))


def _texts(levels: Sequence[Level], start: int, column: int) -> tuple[str, ...]:
    return tuple(c.text.casefold() if (c := level[column]) is not None else "" for level in levels[start:])


def _twice(texts: Sequence[tuple[str, ...]]) -> bool:
    return len(set(texts)) < len(texts)


def bare_head(text: str) -> str:
    """A head without the marks that a list of a table file can't hold."""
    return " ".join(re.sub(r"[\[\]{},:;#&*!|<>%@`\"'~\\()?]", " ", without_dagger(text)[0]).split())


def unnamed(count: int) -> tuple[str, ...]:
    """Words for columns whose heads aren't known, to be typed over."""
    return tuple(f"column{i + 1}" for i in range(count))


__all__ = ["TO_TYPE", "Heads", "Hints", "bare_head", "bottom_heads", "heads_over", "unnamed"]
