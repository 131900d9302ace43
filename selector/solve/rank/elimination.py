"""In which order variables are eliminated, and the tables that this order needs."""

from __future__ import annotations

from collections.abc import Sequence
from heapq import heapify, heappop, heappush
from math import prod

from selector.solve.rank.flat_table import Scope, Table
from selector.value import Struct, field

Clique = tuple[int, set[int]]
"""A variable, and with it those it shares a table with when its turn comes."""

WORTH_A_SECOND_LOOK = 100_000
"""Entries above which an order that takes longer to find is tried too."""


class Bucket(Struct, kw_only=True):
    """The elimination of one variable: a table over it and what is left of its neighbours, from which a message goes to
    the parent bucket.

    `table` holds, for each entry of `scope`, the least cost of everything eliminated up to here; `message` the same
    without the variable,
    over `outer`. Both are filled in by `rank_sweep`. `inner` is the inner size of the variable's axis. `parent` is -1
    at a root.
    """

    variable: int
    size: int
    scope: Scope
    outer: Scope
    inner: int
    entries: int
    parent: int = -1
    factors: list[int] = field(default_factory=list)
    children: list[int] = field(default_factory=list)
    table: Table = field(default_factory=list)
    message: Table = field(default_factory=list)


def buckets(sizes: Sequence[int], scopes: Sequence[Scope]) -> list[Bucket]:
    """A bucket for each variable in order of elimination, tables not yet filled in. A factor belongs to the first
    bucket of its scope.

    Factors of empty scope belong to none.
    """
    cliques = _smallest_first(sizes, scopes)
    if _entries(sizes, cliques) > WORTH_A_SECOND_LOOK:
        cliques = min(cliques, _fewest_new_pairs_first(sizes, scopes), key=lambda found: _entries(sizes, found))
    place = [0] * len(sizes)
    for number, (variable, _) in enumerate(cliques):
        place[variable] = number
    out = []
    for variable, clique in cliques:
        scope = tuple(sorted(clique))
        at = scope.index(variable)
        outer = scope[:at] + scope[at + 1 :]
        bucket = Bucket(
            variable=variable,
            size=sizes[variable],
            scope=scope,
            outer=outer,
            inner=prod([sizes[v] for v in scope[at + 1 :]]),
            entries=prod([sizes[v] for v in scope]),
            parent=min([place[v] for v in outer], default=-1),
        )
        out.append(bucket)
    for number, bucket in enumerate(out):
        if bucket.parent >= 0:
            out[bucket.parent].children.append(number)
    for number, scope in enumerate(scopes):
        if scope:
            out[min([place[v] for v in scope])].factors.append(number)
    return out


def _entries(sizes: Sequence[int], cliques: list[Clique]) -> int:
    return sum(prod([sizes[v] for v in near]) for _, near in cliques)


def _around(sizes: Sequence[int], scopes: Sequence[Scope]) -> list[set[int]]:
    """For each variable those it shares a factor with, and itself."""
    around: list[set[int]] = [{variable} for variable in range(len(sizes))]
    for scope in scopes:
        for variable in scope:
            around[variable].update(scope)
    return around


def _smallest_first(sizes: Sequence[int], scopes: Sequence[Scope]) -> list[Clique]:
    """In order: the variable whose elimination leaves the smallest table."""
    around = _around(sizes, scopes)
    entries = [prod([sizes[v] for v in near]) for near in around]
    ranks = [(own // size, variable) for variable, (own, size) in enumerate(zip(entries, sizes, strict=True))]
    heap = list(ranks)
    heapify(heap)
    out: list[Clique] = []
    while heap:
        entry = heappop(heap)
        variable = entry[1]
        if entry != ranks[variable]:
            continue
        ranks[variable] = (-1, variable)
        clique = around[variable]
        out.append((variable, clique))
        for other in clique:
            if other == variable:
                continue
            near = around[other]
            if clique <= near:
                entries[other] //= sizes[variable]
                near.discard(variable)
            else:
                near |= clique
                near.discard(variable)
                entries[other] = prod([sizes[v] for v in near])
            rank = (entries[other] // sizes[other], other)
            if rank != ranks[other]:
                ranks[other] = rank
                heappush(heap, rank)
    return out


def _fewest_new_pairs_first(sizes: Sequence[int], scopes: Sequence[Scope]) -> list[Clique]:
    """In order: the variable whose elimination brings the fewest pairs of values of two variables together that were
    apart before."""
    around = _around(sizes, scopes)

    def new_pairs(variable: int) -> int:
        near = around[variable]
        return sum([sizes[a] * sizes[b] for a in near for b in near - around[a]])

    pairs = {variable: new_pairs(variable) for variable in range(len(sizes))}
    out: list[Clique] = []
    while pairs:
        variable = min(pairs, key=lambda v: (pairs[v], prod([sizes[other] for other in around[v]]), v))
        del pairs[variable]
        clique = around[variable]
        out.append((variable, clique))
        touched = set()
        for other in clique - {variable}:
            around[other] |= clique
            around[other].discard(variable)
            touched |= around[other]
        for other in touched:
            pairs[other] = new_pairs(other)
    return out
