"""Flat tables over a scope of variables: spread them to a larger scope, add them, take the least along one axis.

A table is a plain list. Its scope is a tuple of variable numbers, ascending; the last varies fastest. The inner size of
an axis is
the number of entries between one value of it and the next. Loops run inside built-in functions wherever one can do the
work.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import chain, product, repeat
from math import prod
from operator import add, eq

Table = list[int]
Scope = tuple[int, ...]


def read(costs: Mapping[tuple[int, ...], int], sizes: Sequence[int], missing: int) -> Table:
    """The table of a mapping from value numbers to cost; `missing` where the mapping has no entry."""
    ranges = [range(size) for size in sizes]
    if len(costs) == prod(sizes) and all(map(eq, costs, product(*ranges))):
        return list(costs.values())
    return list(map(costs.get, product(*ranges), repeat(missing)))


def spread(table: Table, have: Scope, want: Scope, sizes: Sequence[int]) -> Table:
    """The table repeated along every axis of `want` that `have` lacks."""
    if have == want:
        return table
    inner = 1
    times = 1
    for variable in reversed(want):
        if variable in have:
            if times > 1:
                table = _repeat(table, inner, times)
                inner *= times
                times = 1
            inner *= sizes[variable]
        else:
            times *= sizes[variable]
    return _repeat(table, inner, times) if times > 1 else table


def _repeat(table: Table, inner: int, times: int) -> Table:
    length = len(table)
    if inner == length:
        return table * times
    if inner == 1:
        return list(chain.from_iterable(zip(*repeat(table, times), strict=True)))
    out: Table = []
    if length // inner <= inner * times:
        for start in range(0, length, inner):
            out += table[start : start + inner] * times
        return out
    out = [0] * (length * times)
    for start in range(inner):
        column = table[start::inner]
        for turn in range(times):
            out[start + turn * inner :: inner * times] = column
    return out


def total(parts: list[tuple[Scope, Table]], want: Scope, sizes: Sequence[int]) -> Table:
    """The sum of several tables, spread to the scope `want` that holds all of theirs. Zeros where there is none."""
    if not parts:
        return [0] * prod([sizes[variable] for variable in want])
    (scope, out), *rest = sorted(parts, key=lambda part: len(part[1]))
    for other, table in rest:
        both = scope if scope == other else tuple(sorted({*scope, *other}))
        out = list(map(add, spread(out, scope, both, sizes), spread(table, other, both, sizes)))
        scope = both
    return spread(out, scope, want, sizes)


def least(table: Table, inner: int, size: int) -> Table:
    """The least along the axis of `size` values and inner size `inner`; a table without that axis."""
    if size == 1:
        return table
    length = len(table)
    block = inner * size
    if length // block <= inner:
        out: Table = []
        for start in range(0, length, block):
            out += _least_of([table[at : at + inner] for at in range(start, start + block, inner)])
        return out
    if inner == 1:
        return _least_of([table[start::size] for start in range(size)])
    out = [0] * (length // size)
    for start in range(inner):
        out[start::inner] = _least_of([table[at::block] for at in range(start, block, inner)])
    return out


def _least_of(columns: list[Table]) -> Table:
    if len(columns[0]) == 1:
        return [min(column[0] for column in columns)]
    if len(columns) == 2:
        return [a if a < b else b for a, b in zip(*columns, strict=True)]
    return list(map(min, zip(*columns, strict=True)))


def inner_sizes(scope: Scope, sizes: Sequence[int]) -> list[int]:
    """The inner size of each axis of a table."""
    out = []
    inner = 1
    for variable in reversed(scope):
        out.append(inner)
        inner *= sizes[variable]
    out.reverse()
    return out
