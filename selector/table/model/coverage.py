"""Which settings the rows of a chart answer for: doubly, or not at all."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import product

from selector.table.model.table import ANY, Row

MOST_FOUND = 50
"""How many rows that answer doubly are told at most."""
MOST_BETWEEN = 100_000
"""How many looks at a row are taken where groups are held against each other."""
MOST_PARTED = 12_000_000
"""How many looks at a cell are taken where rows are parted, before a chart with very many `-` is given up."""

Mask = tuple[int, ...]


class TooManyDashes(Exception):
    """So many rows leave positions open, each in its own way, that they can't be compared one by one."""


def overlapping(rows: Sequence[Row]) -> list[tuple[Row, Row]]:
    """Pairs of rows that answer for the same setting, the earlier first; each later row is named once. Raises
    TooManyDashes.

    Rows that leave the same positions open are told apart by a look-up; where there are few such groups, each group is
    held against each other
    one. Else the rows are parted by one column after another, those with `-` in it going into every part.
    """
    rests = [row for row in rows if row.rest]
    rows = [row for row in rows if not row.rest]
    if not rows:
        return [(rests[0], rest) for rest in rests[1:]]
    groups: dict[Mask, list[Row]] = {}
    for row in rows:
        positions = row.positions
        mask = _FULL if ANY not in positions else tuple(i for i, p in enumerate(positions) if p != ANY)
        groups.setdefault(mask, []).append(row)
    found: dict[int, tuple[Row, Row]] = {}
    for group in groups.values():
        _within(group, found)
    if len(groups) > 1:
        if len(groups) * len(rows) <= MOST_BETWEEN:
            _between(groups, len(rows[0].positions), found)
        else:
            budget = [MOST_PARTED]
            _parted(list(rows), list(range(len(rows[0].positions))), found, budget)
    twice = [(rests[0], rest) for rest in rests[1:]]
    return sorted([*found.values(), *twice], key=lambda pair: pair[1].line)[:MOST_FOUND]


_FULL: Mask = (-1,)
"""Stands for the group of rows that leave nothing open."""


def _note(found: dict[int, tuple[Row, Row]], one: Row, other: Row) -> None:
    first, second = (one, other) if one.line <= other.line else (other, one)
    found.setdefault(id(second), (first, second))


def _within(group: Iterable[Row], found: dict[int, tuple[Row, Row]]) -> None:
    """Rows with the same positions, `-` included."""
    seen: dict[tuple[int, ...], Row] = {}
    for row in group:
        first = seen.setdefault(row.positions, row)
        if first is not row:
            _note(found, first, row)


def _between(groups: dict[Mask, list[Row]], width: int, found: dict[int, tuple[Row, Row]]) -> None:
    """Each group against each other one, by the columns that both name."""
    masks = [(mask if mask != _FULL else tuple(range(width)), rows) for mask, rows in groups.items()]
    for i, (a, ours) in enumerate(masks):
        for b, theirs in masks[i + 1 :]:
            common = [c for c in a if c in b]
            seen: dict[tuple[int, ...], Row] = {}
            for row in ours:
                seen.setdefault(tuple([row.positions[c] for c in common]), row)
            for row in theirs:
                first = seen.get(tuple([row.positions[c] for c in common]))
                if first is not None:
                    _note(found, first, row)


def _parted(rows: list[Row], columns: list[int], found: dict[int, tuple[Row, Row]], budget: list[int]) -> None:
    """Part the rows by the column that fewest of them leave open, until one is left or nothing parts them."""
    if len(rows) < 2 or len(found) >= MOST_FOUND:
        return
    budget[0] -= len(rows) * len(columns)
    if budget[0] < 0:
        raise TooManyDashes
    open_rows = {c: sum(row.positions[c] == ANY for row in rows) for c in columns}
    columns = [c for c in columns if open_rows[c] < len(rows)]
    if not columns:
        for row in rows[1:]:
            _note(found, rows[0], row)
        return
    by = min(columns, key=lambda c: open_rows[c])
    parts: dict[int, list[Row]] = {}
    for row in rows:
        if row.positions[by] != ANY:
            parts.setdefault(row.positions[by], []).append(row)
    either = [row for row in rows if row.positions[by] == ANY]
    left = [c for c in columns if c != by]
    for part in parts.values():
        _parted([*part, *either], left, found, budget)
    if not parts:
        _parted(either, left, found, budget)


def first_missing(
    rows: Sequence[Row], domains: Sequence[Sequence[int]], limit: int = 70_000
) -> tuple[int, tuple[int, ...] | None]:
    """How many combinations of the domains no row answers (rows that don't overlap), and the first of them when it
    is found within `limit`."""
    if any(row.rest for row in rows):
        return 0, None
    total = 1
    for d in domains:
        total *= len(d)
    sets = [frozenset(d) for d in domains]
    covered = 0
    for row in rows:
        ways = 1
        for p, allowed in zip(row.positions, sets, strict=True):
            if p == ANY:
                ways *= len(allowed)
            elif p not in allowed:
                ways = 0
                break
        covered += ways
    if covered >= total:
        return 0, None
    masks: dict[Mask, set[tuple[int, ...]]] = {}
    for row in rows:
        mask = tuple(i for i, p in enumerate(row.positions) if p != ANY)
        masks.setdefault(mask, set()).add(tuple(row.positions[i] for i in mask))
    for n, combination in enumerate(product(*domains)):
        if n * len(masks) >= limit:
            break
        if not any(tuple([combination[i] for i in mask]) in have for mask, have in masks.items()):
            return total - covered, combination
    return total - covered, None
