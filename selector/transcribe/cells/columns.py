"""Rows of words with ragged blanks between them, put into columns."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from itertools import pairwise

from selector.transcribe.cells.given import FILLED, refusing_word, without_dagger
from selector.transcribe.cells.grid import GridCell
from selector.value import replace

_FIGURE = re.compile(
    r"[+\-\u2212\u2013]?(?:\d{1,3}(?:,\d{3})+|\d+)(?:\.\d+)?(?:%|cfm|l/s|m3/h|s|sec|f|pa|kw|btu/h)?", re.IGNORECASE
)
_UNITS = frozenset(("%", "cfm", "l/s", "m3/h", "m\u00b3/h", "s", "sec", "f", "\u00b0f", "pa", "c", "\u00b0c"))


AS_IT_IS = re.compile(r"as (?:charted|shown|listed|printed|is)(?: above)?|no change", re.IGNORECASE)
"""What pages print for a row that changes nothing."""


def is_figure(text: str) -> bool:
    """True for what looks like a figure, daggers aside."""
    bare, _ = without_dagger(text)
    return bool(_FIGURE.fullmatch(bare.replace(" ", "")))


def joined(cells: Sequence[GridCell]) -> list[GridCell]:
    """Words that belong together made one cell: a sign or a number with its unit, the words of a row that is ruled
    out, notes in parentheses."""
    out: list[GridCell] = []
    at = 0
    while at < len(cells):
        cell = cells[at]
        for length in (5, 4, 3, 2, 1):
            text = " ".join(c.text for c in cells[at : at + length])
            if at + length <= len(cells) and (refusing_word(text) or AS_IT_IS.fullmatch(text)):
                cell, at = _merge(cells[at : at + length]), at + length - 1
                break
        else:
            if cell.text.startswith("("):
                end = next((k for k in range(at, len(cells)) if cells[k].text.endswith(")")), None)
                if end is not None:
                    cell, at = _merge(cells[at : end + 1]), end
            elif cell.text in ("+", "\u2212") and at + 1 < len(cells) and is_figure(cells[at + 1].text):
                cell, at = replace(_merge(cells[at : at + 2]), text=cell.text + cells[at + 1].text), at + 1
        at += 1
        if (
            out
            and cell.text.casefold() in _UNITS
            and (is_figure(out[-1].text) or out[-1].text.casefold() in ("rise", "\u0394t"))
        ):
            out[-1] = _merge([out[-1], cell])
        elif out and cell.text and all(c in "\u2020\u2021\u00a7\u00b6*" for c in cell.text) and is_figure(out[-1].text):
            out[-1] = replace(_merge([out[-1], cell]), text=out[-1].text + cell.text)
        else:
            out.append(cell)
    return out


def _merge(cells: Sequence[GridCell]) -> GridCell:
    return replace(cells[0], text=" ".join(c.text for c in cells), right=cells[-1].right)


def aligned(
    rows: Sequence[Sequence[GridCell]], lead: int, heads: Sequence[GridCell] = ()
) -> tuple[list[list[GridCell]], int]:
    """(rows of equally many cells, how many) of rows of joined words, `lead` of them positions, `heads` what stands
    above them.

    Rows with the usual number of words are taken in their order; in the others each word goes to the column it stands
    under. Where that can't be
    told, the figures of the row are cells that say so.
    """
    plain = [r for r in rows if not _note(r) and not any(refusing_word(c.text) for c in r)]
    counts = Counter(len(r) for r in plain if any(is_figure(c.text) for c in r[lead:])) or Counter(
        len(r) for r in plain
    )
    if not counts:
        return [list(r) for r in rows], max((len(_without_note(r)) for r in rows), default=0)
    usual = max(counts, key=lambda c: (counts[c], c))
    filled = any(c.text in FILLED for r in rows for c in r)
    if max(counts) > usual and filled:
        usual = max(counts)
    apart = _spans(plain)
    if not filled and len(heads) > usual and (len(heads) in counts or _each_under_one(apart, heads)):
        usual = len(heads)
    full = [r for r in rows if len(_without_note(r)) == usual and not any(refusing_word(c.text) for c in r)]
    spans = _spans(full) if full else apart
    known = [_without_note(r) for r in full] + ([heads] if len(heads) == usual else [])
    out = []
    for r in rows:
        row, note = _without_note(r), _note(r)
        if len(row) != usual and not any(refusing_word(c.text) for c in row):
            row = _under(row, spans, usual, lead, () if filled else known)
        out.append([*row, *note])
    return out, usual


def _each_under_one(spans: Sequence[tuple[int, int]], heads: Sequence[GridCell]) -> bool:
    """True where every head has one column of words below it and every column one head."""
    if len(spans) != len(heads):
        return False
    over = [[k for k, head in enumerate(heads) if head.left < right and left < head.right] for left, right in spans]
    return over == [[k] for k in range(len(heads))]


def _note(row: Sequence[GridCell]) -> list[GridCell]:
    return [row[-1]] if row and row[-1].text.startswith("(") and row[-1].text.endswith(")") else []


def _without_note(row: Sequence[GridCell]) -> list[GridCell]:
    return list(row[: len(row) - len(_note(row))])


def _spans(rows: Sequence[Sequence[GridCell]]) -> list[tuple[int, int]]:
    """The character columns covered in any of the rows, as intervals."""
    out: list[tuple[int, int]] = []
    for left, right in sorted((c.left, c.right) for row in rows for c in _without_note(row)):
        if out and left < out[-1][1]:
            out[-1] = (out[-1][0], max(out[-1][1], right))
        else:
            out.append((left, right))
    return out


def _under(
    row: Sequence[GridCell],
    spans: Sequence[tuple[int, int]],
    count: int,
    lead: int,
    known: Sequence[Sequence[GridCell]],
) -> list[GridCell]:
    """The row with each word in the column it stands under, empty cells where nothing does; cells marked with the
    reason where that can't be told.

    `known` are rows with a word in every column: a word behind the positions belongs to the column whose words begin,
    end or are centred
    where it does.
    """
    place = row[0].place if row else ""
    if len(spans) == count and len(row) < count and (not known or any(_spaced(r) for r in (row, *known))):
        marks = row[:lead] if known and not any(is_figure(c.text) and len(c.text) > 1 for c in row[:lead]) else []
        found = dict(enumerate(marks))
        for cell in row[len(marks) :]:
            at = [k for k, (left, right) in enumerate(spans) if cell.left < right and left < cell.right]
            if len(at) != 1 or at[0] in found or (known and not any(_in_line(cell, other[at[0]]) for other in known)):
                break
            found[at[0]] = cell
        else:
            return [found.get(k, GridCell(text="", place=place)) for k in range(count)]
    what = f"{len(row)} words where the other rows have {count}, and where they stand doesn't tell their columns"
    front = (
        []
        if any(c.text in FILLED for c in row) or any(is_figure(c.text) and len(c.text) > 1 for c in row[:lead])
        else list(row[:lead])
    )
    return front + [GridCell(text="", place=place, why=what)] * (count - len(front))


def _spaced(row: Sequence[GridCell]) -> bool:
    """True where more than one blank stands between two words somewhere: someone, or some program, set columns."""
    return any(b.left - a.right > 1 for a, b in pairwise(row))


def _in_line(cell: GridCell, other: GridCell) -> bool:
    """True where two words begin or end at one place, or have their middles there."""
    return (
        cell.left == other.left
        or cell.right == other.right
        or abs(cell.left + cell.right - other.left - other.right) <= 1
    )
