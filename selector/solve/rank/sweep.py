"""The pass that fills the buckets in order of elimination, and with it the least cost there is."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from selector.solve.rank.elimination import Bucket
from selector.solve.rank.flat_table import Scope, least, read, total

Costs = Mapping[tuple[int, ...], int]


def sweep(
    buckets: Sequence[Bucket],
    sizes: Sequence[int],
    scopes: Sequence[Scope],
    costs: Sequence[Costs],
    *,
    missing: int,
    keep: bool,
) -> int:
    """The least cost of all the buckets together; `missing` or more when there is no solution. Fills in their tables
    and messages.

    Without `keep` tables are dropped as soon as they have served.
    """
    lowest = 0
    for bucket in buckets:
        parts = [(scopes[f], read(costs[f], [sizes[v] for v in scopes[f]], missing)) for f in bucket.factors]
        for child in bucket.children:
            below = buckets[child]
            parts.append((below.outer, below.message))
            if not keep:
                below.message = []
        table = total(parts, bucket.scope, sizes)
        bucket.message = least(table, bucket.inner, bucket.size)
        if keep:
            bucket.table = table
        if bucket.parent < 0:
            lowest += bucket.message[0]
    return lowest
