"""Groups of columns that a text prints side by side under the same heads, put below one another; marks run together
taken apart."""

from __future__ import annotations

from collections.abc import Sequence

from selector.transcribe.cells.columns import is_figure, joined
from selector.transcribe.cells.grid import Grid, GridCell
from selector.transcribe.import_page.headings import LABEL
from selector.value import Struct, replace

_MOST_GROUPS = 12


class _Group(Struct, frozen=True):
    """What repeats in a row of heads: where each group begins, how many labels it has, and how many words behind them.

    `whole` where the marks below are words of their own (ON, OFF), which are never taken apart.
    """

    starts: tuple[int, ...]
    labels: int
    others: int
    whole: bool = False


def unfolded(grid: Grid) -> Grid:
    """`J1 J2 cfm  J1 J2 cfm` above `1a 640  1b 705` as `J1 J2 cfm` above `1 a 640` and `1 b 705`; a page without
    such heads as it is."""
    if grid.fixed:
        return grid
    for at, row in enumerate(grid.rows[:-1]):
        group = _group(row)
        if group is not None:
            group = replace(group, whole=any(_worded(joined(r), group) for r in grid.rows[at + 1 :]))
        parts = [_parted(joined(r), group) for r in grid.rows[at + 1 :]] if group is not None else []
        if group is None or sum(1 for p in parts if p) < 2:
            continue
        short = [
            p
            for p, r in zip(parts, grid.rows[at + 1 :], strict=True)
            if p and len(joined(r)) < group.labels + group.others
        ]
        if len(group.starts) == 1 and not short:
            continue
        body = [part[g] for g in range(len(group.starts)) for part in parts if g in part]
        rest = [_line(r) for part, r in zip(parts, grid.rows[at + 1 :], strict=True) if not part]
        rows = (*(_line(r) for r in grid.rows[:at]), row[: group.labels + group.others], *body, *rest)
        return replace(grid, rows=rows, fixed=True, ruled=frozenset(i for i in grid.ruled if i <= at))
    return grid


def _line(row: tuple[GridCell, ...]) -> tuple[GridCell, ...]:
    """A line of words as one cell; one with figures as it is."""
    cells = joined(row)
    if any(is_figure(c.text) for c in cells[1:]) and not any(c.text.isalpha() and len(c.text) > 3 for c in cells):
        return tuple(cells)
    return (replace(row[0], text=" ".join(c.text for c in row), right=row[-1].right),)


def _group(row: Sequence[GridCell]) -> _Group | None:
    texts = [c.text for c in row]
    for width in range(2, len(texts) + 1):
        count = len(texts) // width
        if len(texts) % width or texts != texts[:width] * count or count > _MOST_GROUPS:
            continue
        labels = next(
            (k for k, t in enumerate(texts[:width]) if not (LABEL.fullmatch(t) and any(c.isdigit() for c in t))), width
        )
        if 0 < labels < width and (count > 1 or labels > 1):
            return _Group(tuple(row[g * width].left for g in range(count)), labels, width - labels)
        return None
    return None


def _worded(cells: Sequence[GridCell], group: _Group) -> bool:
    """True for a row whose marks are words."""
    marks = [c.text for c in cells[: group.labels]]
    return marks[:1] == ["ON"] or (
        len(cells) > group.labels and all(m.isalpha() for m in marks) and any(len(m) > 1 for m in marks)
    )


def _parted(cells: Sequence[GridCell], group: _Group) -> dict[int, tuple[GridCell, ...]]:
    """The words of a row by the group they stand in, each group with its marks apart; nothing where they don't fill
    whole groups."""
    out: dict[int, tuple[GridCell, ...]] = {}
    at = 0
    while at < len(cells):
        left = cells[at].left
        g = max((k for k, start in enumerate(group.starts) if start <= left + 1), default=0)
        together = (
            not group.whole and group.labels > 1 and len(cells[at].text) == group.labels and cells[at].text.isalnum()
        )
        count = group.others + (1 if together else group.labels)
        piece = cells[at : at + count]
        if g in out or len(piece) < count or (g + 1 < len(group.starts) and piece[-1].left >= group.starts[g + 1]):
            return {}
        marks = [replace(piece[0], text=c) for c in piece[0].text] if together else list(piece[: group.labels])
        if any(len(m.text) > 3 for m in marks):
            return {}
        out[g] = (*marks, *piece[len(piece) - group.others :])
        at += count
    return out
