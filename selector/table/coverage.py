"""Which settings the rows of a chart answer for: doubly, or not at all."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import product

from selector.table.model import ANY, Row


def overlapping(rows: Sequence[Row]) -> list[tuple[Row, Row]]:
    """Pairs of rows that answer for the same setting; each later row is named once."""
    groups: dict[tuple[int, ...], list[Row]] = {}
    for row in rows:
        mask = tuple(i for i, p in enumerate(row.positions) if p != ANY)
        groups.setdefault(mask, []).append(row)
    out: list[tuple[Row, Row]] = []
    masks = list(groups)
    for i, a in enumerate(masks):
        for b in masks[i:]:
            common = tuple(c for c in a if c in b)
            seen: dict[tuple[int, ...], Row] = {}
            if a == b:
                for row in groups[a]:
                    key = tuple(row.positions[c] for c in common)
                    if key in seen:
                        out.append((seen[key], row))
                    seen.setdefault(key, row)
                continue
            for row in groups[a]:
                seen.setdefault(tuple(row.positions[c] for c in common), row)
            for row in groups[b]:
                first = seen.get(tuple(row.positions[c] for c in common))
                if first is not None:
                    out.append((first, row) if first.line <= row.line else (row, first))
    return out


def first_missing(rows: Sequence[Row], domains: Sequence[Sequence[int]], limit: int = 70_000) -> tuple[int, tuple[int, ...] | None]:
    """How many combinations of the domains no row answers (rows that don't overlap), and the first of them when it is found within `limit`."""
    total = 1
    for d in domains:
        total *= len(d)
    sets = [frozenset(d) for d in domains]
    covered = 0
    for row in rows:
        ways = 1
        for p, allowed in zip(row.positions, sets, strict=True):
            ways *= len(allowed) if p == ANY else int(p in allowed)
        covered += ways
    if covered >= total:
        return 0, None
    masks: dict[tuple[int, ...], set[tuple[int, ...]]] = {}
    for row in rows:
        mask = tuple(i for i, p in enumerate(row.positions) if p != ANY)
        masks.setdefault(mask, set()).add(tuple(row.positions[i] for i in mask))
    for n, combination in enumerate(product(*domains)):
        if n >= limit:
            break
        if not any(tuple(combination[i] for i in mask) in have for mask, have in masks.items()):
            return total - covered, combination
    return total - covered, None
