"""The first solutions by cost alone, walked down the filled buckets from the roots without ever meeting a dead end."""

from __future__ import annotations

from collections.abc import Sequence

from selector.solve.rank.elimination import Bucket
from selector.solve.rank.flat_table import inner_sizes

Costed = tuple[int, list[int]]
"""A cost and the value of each variable."""


def cheapest(
    buckets: Sequence[Bucket], sizes: Sequence[int], *, lowest: int, missing: int | None, count: int, stop: int
) -> list[Costed] | None:
    """The first `count` solutions in order of cost, all where there are fewer; None as soon as it is known that `count`
    cost at most `stop`.

    `lowest` is the least cost, `missing` a bound that no solution reaches, None where everything fits. Equal costs come
    in no
    order that means anything.
    """
    walk = []
    for bucket in reversed(buckets):
        strides = list(zip(bucket.scope, inner_sizes(bucket.scope, sizes), strict=True))
        walk.append((bucket.variable, bucket.inner, bucket.inner * bucket.size, bucket.table, strides))
    found: list[Costed] = []
    waiting: list[tuple[int, int, int, list[int]]] = []
    cost, first, values = lowest, 0, [0] * len(sizes)
    limit = missing
    while True:
        for level in range(first, len(walk)):
            variable, inner, block, table, strides = walk[level]
            values[variable] = 0
            start = 0
            for other, stride in strides:
                start += values[other] * stride
            row = table[start : start + block : inner]
            best = min(row)
            chosen = row.index(best)
            values[variable] = chosen
            rise = cost - best
            ceiling = max(row) + 1 if limit is None else limit - rise
            waiting += [
                (rise + entry, level, value, values)
                for value, entry in enumerate(row)
                if entry < ceiling and value != chosen
            ]
        found.append((cost, values))
        waiting.sort(key=_cost)
        left = count - len(found)
        del waiting[left:]
        if len(waiting) == left:
            limit = waiting[-1][0] if waiting else cost
            if limit <= stop:
                return None
        if not waiting:
            return found
        cost, level, value, values = waiting.pop(0)
        values = list(values)
        values[walk[level][0]] = value
        first = level + 1


def _cost(entry: tuple[int, int, int, list[int]]) -> int:
    return entry[0]
