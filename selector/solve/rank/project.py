"""Variables that nobody asks about, taken out: of every way they could stand only the best stays, for each combination
of the values of the others.

Knows nothing of boards, like all of this folder.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction

from selector.solve.rank.rank import Alternative, TooLarge, Variable
from selector.value import Struct

Costs = Mapping[tuple[int, ...], Fraction | int]
NamedTable = tuple[str, tuple[int, ...], Costs]
"""A factor that isn't scaled yet: its name, its variables, the costs of their values."""


class Together(Struct, frozen=True):
    """The payloads of several alternatives chosen together."""

    payloads: tuple[object, ...]


_Best = tuple[Fraction | int, int, int, tuple[object, ...]]
"""Cost, moves, order and payloads of the best way."""
_Rows = dict[tuple[int, ...], _Best]


def projected(
    variables: Sequence[Variable], tables: Sequence[NamedTable], inner: Iterable[int], most: int
) -> tuple[list[Variable], list[NamedTable]] | None:
    """The problem without the inner variables; None where nothing fits. Raises TooLarge beyond `most` rows of a table.

    Each of the new variables stands for the best way (by cost, moves, order) of the inner ones that hang together.
    """
    left: list[tuple[str, tuple[int, ...], _Rows]] = [
        (name, scope, {key: (cost, 0, 0, ()) for key, cost in costs.items()}) for name, scope, costs in tables
    ]
    todo = list(inner)
    for v in todo:
        own: _Rows = {(i,): (0, one.moves, one.order, (one.payload,)) for i, (one,) in enumerate(variables[v].values)}
        left.append((variables[v].name, (v,), own))
    while todo:
        v = min(todo, key=lambda v: _width(v, left, variables))
        todo.remove(v)
        mine = sorted((t for t in left if v in t[1]), key=lambda t: len(t[2]))
        left = [t for t in left if v not in t[1]]
        joined = mine[0]
        for other in mine[1:]:
            joined = _joined(joined, other, most)
        left.append(_without(joined, v))
    if any(not rows for _, _, rows in left):
        return None
    return _rebuilt(variables, left, frozenset(inner))


def _width(v: int, left: Sequence[tuple[str, tuple[int, ...], _Rows]], variables: Sequence[Variable]) -> int:
    size = 1
    for other in {w for _, scope, _ in left if v in scope for w in scope}:
        size *= len(variables[other].values)
    return size


def _joined(
    a: tuple[str, tuple[int, ...], _Rows], b: tuple[str, tuple[int, ...], _Rows], most: int
) -> tuple[str, tuple[int, ...], _Rows]:
    shared = [v for v in a[1] if v in b[1]]
    more = [v for v in b[1] if v not in a[1]]
    at_a, at_b, at_more = ([s.index(v) for v in vs] for s, vs in ((a[1], shared), (b[1], shared), (b[1], more)))
    by: dict[tuple[int, ...], list[tuple[tuple[int, ...], _Best]]] = {}
    for key, best in b[2].items():
        by.setdefault(tuple([key[i] for i in at_b]), []).append((tuple([key[i] for i in at_more]), best))
    rows: _Rows = {}
    for key, (cost, moves, order, payloads) in a[2].items():
        for rest, (cost_b, moves_b, order_b, payloads_b) in by.get(tuple([key[i] for i in at_a]), ()):
            rows[(*key, *rest)] = (cost + cost_b, moves + moves_b, order + order_b, (*payloads, *payloads_b))
        if len(rows) > most:
            raise TooLarge(variables=(), factors=(a[0], b[0]), entries=len(rows))
    return a[0], (*a[1], *more), rows


def _without(table: tuple[str, tuple[int, ...], _Rows], v: int) -> tuple[str, tuple[int, ...], _Rows]:
    name, scope, rows = table
    n = scope.index(v)
    best: _Rows = {}
    for key, value in rows.items():
        rest = (*key[:n], *key[n + 1 :])
        old = best.get(rest)
        if old is None or value[:3] < old[:3]:
            best[rest] = value
    return name, (*scope[:n], *scope[n + 1 :]), best


def _rebuilt(
    variables: Sequence[Variable], left: Sequence[tuple[str, tuple[int, ...], _Rows]], inner: frozenset[int]
) -> tuple[list[Variable], list[NamedTable]]:
    numbers = {v: n for n, v in enumerate(v for v in range(len(variables)) if v not in inner)}
    made = [variables[v] for v in numbers]
    out: list[NamedTable] = []
    for name, scope, rows in left:
        outer = tuple(numbers[v] for v in scope)
        if not any(best[3] for best in rows.values()):
            out.append((name, outer, {key: best[0] for key, best in rows.items()}))
            continue
        values: dict[tuple[int, int, tuple[object, ...]], int] = {}
        costs: dict[tuple[int, ...], Fraction | int] = {}
        for key, (cost, moves, order, payloads) in rows.items():
            at = values.setdefault((moves, order, payloads), len(values))
            costs[(*key, at)] = cost
        ways = tuple((Alternative(moves=m, order=o, payload=Together(p)),) for m, o, p in values)
        out.append((name, (*outer, len(made)), costs))
        made.append(Variable(name=name, values=ways))
    return made, out
