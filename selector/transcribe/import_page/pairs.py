"""Two figures in one cell, `890 / 740`, parted into two columns under the words that the page has for them."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from selector.transcribe.cells.columns import PlacedRows, both_of
from selector.transcribe.cells.given import NO_FIGURE, refusing_word, without_dagger
from selector.transcribe.cells.grid import GridCell
from selector.transcribe.import_page.heads import Heads, unnamed
from selector.value import replace

_MOST_WORDS = 3
"""Most words for one of two figures."""


def paired_columns(body: PlacedRows, lead: int) -> tuple[int, ...]:
    """The columns behind the positions that hold two figures a cell; () unless all that hold figures do."""
    out = []
    for k in range(lead, len(body.extents)):
        texts = [without_dagger(r[k].text)[0] for r in body.rows if len(r) == len(body.extents)]
        filled = [t for t in texts if t.casefold() not in NO_FIGURE and not refusing_word(t)]
        if any(both_of(t) for t in filled):
            if not all(both_of(t) for t in filled):
                return ()
            out.append(k)
        elif any(c.isdigit() for t in filled for c in t):
            return ()
    return tuple(out)


def parted_pairs(
    body: PlacedRows, heads: Heads, lead: int, columns: Sequence[int], above: Sequence[str]
) -> tuple[PlacedRows, Heads]:
    """The rows and heads with each of these columns made two. `above` are the lines above the heads, the nearest last;
    where nothing names the two they are numbered, to be asked."""
    width = len(body.extents)

    def spread(k: int) -> range:
        return range(2 if k in columns else 1)

    rows = tuple(
        tuple(_half(c, h) if k in columns else c for k, c in enumerate(r) for h in spread(k)) if len(r) == width else r
        for r in body.rows
    )
    levels = list(heads.levels)
    words: tuple[str, ...] = ()
    if levels:
        words = next(_named([c.text if c is not None else "" for c in levels[-1]]), ())
        levels = levels[:-1] if words else levels
    told = [*reversed(heads.captions), *(c.text for c in heads.corner), *reversed(above)]
    words = words or next((found for text in told for found in _named([text])), ()) or unnamed(2)
    inner = [
        GridCell(text=words[h], place="", line=0) if k in columns else None
        for k in range(lead, width)
        for h in spread(k)
    ]
    doubled = [tuple(c for k, c in enumerate(level, start=lead) for _ in spread(k)) for level in levels]
    return (
        replace(body, rows=rows, extents=tuple(e for k, e in enumerate(body.extents) for _ in spread(k))),
        replace(heads, levels=(*doubled, tuple(inner)), captions=(*heads.captions[: len(levels)], "")),
    )


def _half(cell: GridCell, half: int) -> GridCell:
    """One of the two figures of a cell, with the footnote's mark that stands behind both."""
    bare, marks = without_dagger(cell.text)
    both = both_of(bare)
    return replace(cell, text=both[half] + marks) if both else cell


def _named(texts: Sequence[str]) -> Iterator[tuple[str, ...]]:
    """What texts that all say the same call two figures: `HIGH FIRE / LOW FIRE` behind a comma, a colon, a bracket."""
    if len(set(texts)) != 1:
        return
    for piece in re.split(r"[,.:;()]", texts[0]):
        words = tuple(" ".join(w.split()) for w in piece.split("/"))
        if len(words) != 2 or len({w.casefold() for w in words}) < 2:
            continue
        plain = all(re.fullmatch(r"[A-Za-z][\w-]*(?: [\w-]+)*", w) and len(w.split()) <= _MOST_WORDS for w in words)
        if plain and not re.search(r"\b(?:l/s|m3/h|w/o|btu/h|and/or)\b", piece, re.IGNORECASE):
            yield tuple(w.lower() if w.isupper() and not any(c.isdigit() for c in w) else w for w in words)
