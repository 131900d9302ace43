"""The words of a line put together that belong together, and the rows of a chart put into columns by where their words
stand."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import pairwise

from selector.transcribe.cells.given import BRACKETED, DAGGERS, FILLED, refusing_word, without_dagger
from selector.transcribe.cells.grid import GridCell
from selector.value import Struct, replace

_FIGURE = re.compile(
    r"[+\-\u2212\u2013]?(?:\d{1,3}(?:,\d{3})+|\d+)(?:\.\d+)?(?:%|cfm|l/s|m3/h|s|sec|f|pa|kw|w|btu/h)?", re.IGNORECASE
)
_NAMED = re.compile(r"[A-Z]{1,3} (?:\d{1,2}|0\d\d)")
_ONE = r"([1-9]\d{0,2},\d{3}|[1-9]\d{2,4}|[-\u2013\u2014]+)"
_BOTH = re.compile(rf"{_ONE}\s*/\s*{_ONE}")
_UNITS = frozenset(
    ("%", "cfm", "l/s", "m3/h", "m\u00b3/h", "s", "sec", "f", "\u00b0f", "pa", "c", "\u00b0c", "w", "kw")
)
_BEFORE_A_UNIT = frozenset(("rise", "\u0394t"))
AS_IT_IS = re.compile(r"as (?:charted|shown|listed|printed|is)(?: above)?|no change", re.IGNORECASE)
"""What pages print for a row that changes nothing."""
_NEAR, _NEARER = 0.45, 0.25
"""A word belongs to a column where it stands nearer to it than this part of the way to the next; nearer still where it
is further aside than a program that sets columns puts it."""
_PROSE = 6
"""Words behind a figure's `of` that are prose."""
_APART = 1.0
"""Characters that such programs push a word aside; further, and somebody may have moved the line."""


def is_figure(text: str) -> bool:
    """True for what looks like a figure, daggers aside."""
    bare, _ = without_dagger(text)
    return bool(_FIGURE.fullmatch(bare.replace(" ", ""))) or any(c.isdigit() for c in "".join(both_of(bare)))


def both_of(text: str) -> tuple[str, ...]:
    """The two figures of a cell that has two (or a dash in place of one), () of any other.

    >>> both_of("890 / 740"), both_of("- / -"), both_of("3/4")
    (('890', '740'), ('-', '-'), ())
    """
    found = _BOTH.fullmatch(text)
    return found.groups() if found else ()


def glued(cells: Sequence[GridCell]) -> GridCell:
    """Neighboring words of a line as one cell."""
    return replace(cells[0], text=" ".join(c.text for c in cells if c.text), right=cells[-1].right)


def joined(cells: Sequence[GridCell]) -> list[GridCell]:
    """Words that belong together made one cell: a sign or a number with its unit, a footnote's mark, the words of a row
    that is ruled out, notes in parentheses."""
    out: list[GridCell] = []
    at = 0
    while at < len(cells):
        cell, length = _whole(cells, at)
        at += length
        before = out[-1] if out else None
        folded = cell.text.casefold()
        if before is not None and folded == "of" and is_figure(before.text) and cell.left - before.right <= 1:
            # what a share is of is no cell: `68 % of the figure above`
            end = next((k for k in range(at, len(cells)) if cells[k].left - cells[k - 1].right > 1), len(cells))
            whole = glued([cell, *cells[at:end]])
            if end - at < _PROSE and not re.search(r"[.;,]", whole.text):
                out.append(replace(whole, text=f"({whole.text})"))
                at = end
                continue
        if (
            before is not None
            and folded in _UNITS
            and (is_figure(before.text) or before.text.casefold() in _BEFORE_A_UNIT)
        ):
            out[-1] = glued([before, cell])
        elif before is not None and _is_mark(cell.text) and cell.left - before.right <= 1:
            out[-1] = replace(glued([before, cell]), text=before.text + cell.text)
        else:
            out.append(cell)
    return out


def _is_mark(text: str) -> bool:
    return bool(text) and (all(c in DAGGERS for c in text) or bool(re.fullmatch(f"{BRACKETED}+", text)))


def _whole(cells: Sequence[GridCell], at: int) -> tuple[GridCell, int]:
    """The cell that begins here, and how many words it has."""
    for length in (5, 4, 3, 2, 1):
        piece = cells[at : at + length]
        text = " ".join(c.text for c in piece)
        close = all(b.left - a.right <= 1 for a, b in pairwise(piece))
        if len(piece) == length and close and (refusing_word(text) or AS_IT_IS.fullmatch(text)):
            return glued(piece), length
    if cells[at].text.startswith("("):
        end = next((k for k in range(at, len(cells)) if cells[k].text.endswith(")")), None)
        if end is not None:
            return glued(cells[at : end + 1]), end + 1 - at
    if at + 1 < len(cells) and cells[at + 1].left - cells[at].right == 1:
        # a name of letters and a number, such as `M 14`, that stands apart from what comes behind it
        apart = at + 2 == len(cells) or cells[at + 2].left - cells[at + 1].right > 1
        before = not at or cells[at].left - cells[at - 1].right > 1
        if apart and before and _NAMED.fullmatch(f"{cells[at].text} {cells[at + 1].text}"):
            return glued(cells[at : at + 2]), 2
    span = cells[at : at + 3]
    if len(span) == 3 and both_of(" ".join(c.text for c in span)):
        return glued(span), 3
    if len(span) == 3 and span[1].text == "to" and is_figure(span[0].text) and is_figure(span[2].text):
        return glued(span), 3
    if cells[at].text in ("+", "\u2212", "-", "\u2013") and at + 1 < len(cells):
        after = cells[at + 1]
        if after.text[:1].isdigit() and is_figure(after.text) and after.left - cells[at].right <= 1:
            return replace(glued(cells[at : at + 2]), text=cells[at].text + after.text), 2
    return cells[at], 1


def phrases(cells: Sequence[GridCell]) -> list[GridCell]:
    """Words a single blank apart made one cell."""
    out: list[GridCell] = []
    for cell in cells:
        if out and cell.left - out[-1].right <= 1:
            out[-1] = glued([out[-1], cell])
        else:
            out.append(cell)
    return out


def spaced(row: Sequence[GridCell]) -> bool:
    """True where more than one blank stands between two words: someone, or some program, set columns."""
    return any(b.left - a.right > 1 for a, b in pairwise(row))


class PlacedRows(Struct, frozen=True, kw_only=True):
    """Rows with a cell in every column, blank ones too; `notes` are what stands behind the columns of each row.

    `extents` are where the words of each column stand, () of a column that no row fills; `told` where they tell columns
    apart.
    """

    rows: tuple[tuple[GridCell, ...], ...]
    notes: tuple[tuple[GridCell, ...], ...]
    extents: tuple[tuple[tuple[int, int], ...], ...]
    told: bool


def placed(
    rows: Sequence[Sequence[GridCell]],
    lead: int,
    heads: Sequence[GridCell],
    *,
    fixed: bool,
    pages: Sequence[int] = (),
) -> PlacedRows:
    """The rows in columns, `lead` of them positions, `heads` the words above them (none where they tell nothing).

    `pages` say which page of the text each row is on: a page may stand further left than the one before. In a file with
    columns each cell stands in its own. In a text, rows with the usual number of words are taken in their order; in
    others a word goes to the column it stands at. Where that can't be told the row's figures are cells that say so.
    """
    parted = [_without_note(r) for r in rows]
    bare = [row for row, _ in parted]
    notes = tuple(tuple(note) for _, note in parted)
    if fixed:
        return _in_cells(bare, heads, notes)
    heads = list(heads)
    plain = [r for r in bare if _plain(r)]
    counts = Counter(len(r) for r in plain if any(is_figure(c.text) for c in r[lead:])) or Counter(map(len, plain))
    usual = max(counts, key=lambda c: (counts[c], c)) if counts else max(map(len, bare))
    filled = any(c.text in FILLED for r in bare for c in r[:lead])
    bare = [_thousands(r, lead, len(heads) or usual, filled=filled) for r in bare]
    plain = [r for r in bare if _plain(r)]
    counts = Counter(len(r) for r in plain if any(is_figure(c.text) for c in r[lead:])) or Counter(map(len, plain))
    usual = max(counts, key=lambda c: (counts[c], c)) if counts else max(map(len, bare))
    bare = [apart if len(r) > usual == len(apart := phrases(r)) else r for r in bare]
    plain = [r for r in bare if _plain(r)]
    if filled:
        usual = max(counts) if counts else usual
    width = len(heads) if len(heads) > usual and _apart(heads) else usual
    on = list(pages) or [0] * len(bare)
    seen = {}
    for page in set(on):
        full = [r for r, p in zip(bare, on, strict=True) if p == page and _plain(r) and len(r) == width]
        seen[page] = [[(r[k].left, r[k].right) for r in _not_moved(full)] for k in range(width)]
    marks = [[(r[k].left, r[k].right) for r in plain if len(r) > lead] for k in range(lead)] if len(plain) > 1 else []
    told = any(spaced(r) for r in [*plain, heads])
    over = [[(h.left, h.right)] for h in heads] if len(heads) == width else [[] for _ in range(width)]
    aside = [o and all(_distance(r[k], o, ()) > _APART for r in bare if k < len(r)) for k, o in enumerate(over[:lead])]
    if any(aside) and not filled:
        over = [[] for _ in over]  # the line of heads was moved: it doesn't stand over the marks
    out: list[list[GridCell]] = []
    for row, page in zip(bare, on, strict=True):
        above = over if page == on[0] else [[] for _ in over]
        cells = _in_order(row, width, lead)
        if cells is None and told:
            cells = _at_columns(row, seen[page], above, marks, lead, filled=filled)
        out.append(cells if cells is not None else _untold(row, width, lead, filled=filled))
    extents = tuple(
        tuple(
            (r[k].left, r[k].right)
            for r, page in zip(out, on, strict=True)
            if page == on[0] and _plain(r) and k < len(r) and r[k].text and not r[k].why
        )
        for k in range(width)
    )
    return PlacedRows(rows=tuple(tuple(r) for r in out), notes=notes, extents=extents, told=told and _disjoint(extents))


def _not_moved(rows: Sequence[Sequence[GridCell]]) -> list[Sequence[GridCell]]:
    """The rows that begin where most of them do: a line that was moved tells of no column."""
    starts = Counter(r[0].left for r in rows)
    usual = max(starts, key=lambda left: (starts[left], -left)) if starts else 0
    return [r for r in rows if abs(r[0].left - usual) <= _APART]


def _apart(heads: Sequence[GridCell]) -> bool:
    return all(a.right < b.left for a, b in pairwise(heads))


def _disjoint(extents: Sequence[Sequence[tuple[int, int]]]) -> bool:
    """True where no word of a column reaches into the next."""
    spans = [(min(a for a, _ in e), max(b for _, b in e)) for e in extents if e]
    return all(a[1] <= b[0] for a, b in pairwise(spans))


def _plain(row: Sequence[GridCell]) -> bool:
    return not any(refusing_word(c.text) for c in row) and not any(c.text.casefold() == "as" for c in row)


def _without_note(row: Sequence[GridCell]) -> tuple[list[GridCell], list[GridCell]]:
    """A row, and the words in parentheses at its end."""
    if len(row) > 1 and row[-1].text.startswith("(") and row[-1].text.endswith(")"):
        return list(row[:-1]), [row[-1]]
    return list(row), []


def _in_cells(
    rows: Sequence[Sequence[GridCell]], heads: Sequence[GridCell], notes: tuple[tuple[GridCell, ...], ...]
) -> PlacedRows:
    """Rows of a file with columns; a column in which nothing stands is left out."""
    held = sorted({c.left for row in [*rows, heads] for c in row if c.text or c.why or c.down})
    headed = {c.left for c in heads if c.text}
    most = Counter(max((c.left for c in r if c.text or c.why), default=0) for r in rows if _plain(r))
    last = max(most, key=lambda n: (most[n], n)) if most else 0
    last = max([last, *headed])
    out: list[tuple[GridCell, ...]] = []
    for row in rows:
        at = {c.left: c for c in row}
        place = row[0].place
        over = [c for c in row if c.left > last and c.text and not refusing_word(c.text)]
        cells = [at.get(k, GridCell(text="", place=place, line=row[0].line, left=k, right=k + 1)) for k in held]
        if over and headed and all(is_figure(c.text) for c in over):
            why = "more cells than the other rows and the heads have"
            cells = [replace(c, why=why) for c in cells]
        for wide in [c for c in row if is_figure(c.text) and sum(1 for k in held if c.left <= k < c.right) > 1]:
            why = f"`{wide.text}` stands across several columns"
            cells = [replace(c, why=why) if wide.left <= c.left < wide.right else c for c in cells]
        out.append(tuple(cells))
    extents = tuple(((k, k + 1),) for k in held)
    return PlacedRows(rows=tuple(out), notes=notes, extents=extents, told=True)


def _in_order(row: Sequence[GridCell], width: int, lead: int) -> list[GridCell] | None:
    """The row where it has a word for every column, or is ruled out behind its positions."""
    out = next((k for k, c in enumerate(row) if refusing_word(c.text) or c.text.casefold() == "as"), None)
    if out is not None and out >= lead and not any(is_figure(c.text) for c in row[out + 1 :] if not _plain(row[out:])):
        return list(row)
    return list(row) if len(row) == width and out is None else None


def _at_columns(
    row: Sequence[GridCell],
    seen: Sequence[Sequence[tuple[int, int]]],
    over: Sequence[Sequence[tuple[int, int]]],
    marks: Sequence[Sequence[tuple[int, int]]],
    lead: int,
    *,
    filled: bool,
) -> list[GridCell] | None:
    """The row with each word in the column it stands at, None where that isn't plain for every word."""
    if any(refusing_word(c.text) for c in row) and not all(c.text in FILLED or refusing_word(c.text) for c in row):
        return None
    place, line = row[0].place, row[0].line
    cells = [GridCell(text="", place=place, line=line) for _ in seen]
    words = list(row)
    first = 0
    if not filled and len(row) >= lead and not any(is_figure(c.text) and len(c.text) > 2 for c in row[:lead]):
        if any(sum(_distance(c, [m], ()) <= _APART for m in marks[k]) < 2 for k, c in enumerate(row[:lead]) if marks):
            return None
        cells[:lead] = words[:lead]
        words, first = words[lead:], lead
    behind = [c for c in words if c.text not in FILLED]
    if filled and len(behind) == len(seen) - lead and words[len(words) - len(behind) :] == behind:
        cells[lead:] = behind
        words = words[: len(words) - len(behind)]
    for cell in words:
        ranked = sorted((_distance(cell, seen[k], over[k]), k) for k in range(first, len(seen)) if seen[k] or over[k])
        if not ranked or cells[ranked[0][1]].text:
            return None
        if len(ranked) > 1 and ranked[0][0] > (_NEAR if ranked[0][0] <= _APART else _NEARER) * ranked[1][0]:
            return None
        cells[ranked[0][1]] = cell
        first = ranked[0][1] + 1
    stood = [(c, (*seen[k], *over[k])) for k, c in enumerate(cells) if c in words]
    return cells if filled or _alike(stood) else None


def _alike(stood: Sequence[tuple[GridCell, Sequence[tuple[int, int]]]]) -> bool:
    """True where the words of a row stand in their columns in one way, all by the left, by the right or by the middle:
    else the line, or that of the heads, was moved."""
    offsets = [
        [(abs(c.left - a), abs(c.right - b), abs(c.left + c.right - a - b) / 2) for a, b in over] for c, over in stood
    ]
    return any(all(min(o[way] for o in each) <= _APART / 2 for each in offsets) for way in range(3))


def _distance(cell: GridCell, seen: Sequence[tuple[int, int]], over: Sequence[tuple[int, int]]) -> float:
    """How far a word is from standing as the words of a column do: its left, its right or its middle."""
    return min(
        min(abs(cell.left - a), abs(cell.right - b), abs(cell.left + cell.right - a - b) / 2) for a, b in (*seen, *over)
    )


def _untold(row: Sequence[GridCell], width: int, lead: int, *, filled: bool) -> list[GridCell]:
    """The positions of a row that can't be put into columns, its figures marked with the reason."""
    what = f"{len(row)} words where the other rows have {width}, and where they stand doesn't tell their columns"
    marks = [] if filled or any(is_figure(c.text) and len(c.text) > 2 for c in row[:lead]) else list(row[:lead])
    marks = next((marks[:k] for k, c in enumerate(marks) if refusing_word(c.text)), marks)
    blank = GridCell(text="", place=row[0].place, line=row[0].line, why=what)
    return [*marks, *[blank] * (width - len(marks))]


def _thousands(row: list[GridCell], lead: int, usual: int, *, filled: bool) -> list[GridCell]:
    """The row with `1 020` made one figure, where a single blank stands within it and more before it, or where that
    gives the usual number of words in one way only."""
    pairs = [
        k
        for k in range(0 if filled else lead, len(row) - 1)
        if re.fullmatch(r"[1-9]\d?", row[k].text)
        and re.fullmatch(r"\d{3}", without_dagger(row[k + 1].text)[0])
        and row[k + 1].left - row[k].right == 1
    ]
    over = len(row) - usual
    if not pairs or (over <= 0 and not filled):
        return row
    wide = [k for k in pairs if k == 0 or row[k].left - row[k - 1].right > 1]
    chosen = pairs if len(pairs) == over else wide if len(wide) == over or filled or len(wide) == len(pairs) else []
    out: list[GridCell] = []
    for k, cell in enumerate(row):
        if k - 1 in chosen:
            out[-1] = replace(out[-1], text=f"{out[-1].text} {cell.text}", right=cell.right)
        else:
            out.append(cell)
    return out


def words_at(cells: Sequence[GridCell]) -> Iterator[tuple[int, int, int]]:
    """(line, left, right) of cells that hold something."""
    for cell in cells:
        if cell.text and cell.line:
            yield cell.line, cell.left, cell.right
