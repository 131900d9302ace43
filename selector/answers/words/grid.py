"""A chart as a page prints it: rows under heads, in bands of columns where the terminal is too narrow."""

from __future__ import annotations

from collections.abc import Sequence

from selector.answers.words.fold import width_of


def grid_lines(rows: Sequence[Sequence[str]], keys: int, columns: int) -> list[str]:
    """The cells in columns two blanks apart, of rows of one length; the first `keys` columns begin every band again."""
    if not rows:
        return []
    widths = [max(width_of(row[i]) for row in rows if not _spans(row, i)) for i in range(len(rows[0]))]
    lead = sum(widths[:keys]) + 2 * keys
    bands: list[list[int]] = [[]]
    used = lead
    for i in range(keys, len(widths)):
        need = widths[i] + (2 if bands[-1] else 0)
        if bands[-1] and used + need > columns:
            bands.append([])
            used, need = lead, widths[i]
        bands[-1].append(i)
        used += need
    out: list[str] = []
    for band in bands:
        if out:
            out.append("")
        shown = [*range(keys), *band]
        out += ["  ".join(_padded(row[i], widths[i]) for i in shown).rstrip() for row in rows]
    return out


def _spans(row: Sequence[str], at: int) -> bool:
    """True for a cell that has the rest of its row to itself."""
    return at + 1 < len(row) and not any(row[at + 1 :])


def _padded(text: str, width: int) -> str:
    return text + " " * max(0, width - width_of(text))
