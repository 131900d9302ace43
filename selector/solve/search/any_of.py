"""What else may stand in the selectors that an answer leaves as they are: every setting that counts and is the same
answer, as choices that don't depend on one another."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import product
from math import prod

from selector.table.model.table import Setting
from selector.value import Struct

MOST = 4_096
"""With more combinations of selectors that hang together than these they aren't listed."""


class AnyOf(Struct, frozen=True, kw_only=True):
    """Parts that hang together, and every combination of positions they may have. One part alone: any of its
    positions. `choices` empty: too many to list."""

    parts: tuple[int, ...]
    choices: tuple[tuple[int, ...], ...]

    def settings(self, setting: Setting) -> Iterator[Setting]:
        """The settings that the choices make of one."""
        for choice in self.choices:
            at = dict(zip(self.parts, choice, strict=True))
            yield tuple(at.get(i, stands) for i, stands in enumerate(setting))


class Allowed(Struct, frozen=True):
    """Parts, and the combinations of their positions that one call, chart or motor allows."""

    parts: tuple[int, ...]
    ways: frozenset[tuple[int, ...]]


def any_of(domains: Mapping[int, Sequence[int]], allowed: Sequence[Allowed], setting: Setting) -> tuple[AnyOf, ...]:
    """The choices beside a setting, by file order of their first parts: part by part only where every combination is
    allowed."""
    left = [a for a in allowed if len(a.ways) < prod(len(domains[p]) for p in a.parts)]
    out: list[AnyOf] = []
    todo = set(domains)
    while todo:
        group = {min(todo)}
        while grown := {p for a in left if group & set(a.parts) for p in a.parts} - group:
            group |= grown
        todo -= group
        parts = tuple(sorted(group))
        mine = [a for a in left if group & set(a.parts)]
        if prod(len(domains[p]) for p in parts) > MOST:
            out.append(AnyOf(parts=parts, choices=()))
            continue
        places = [([parts.index(p) for p in a.parts], a.ways) for a in mine]
        choices = [
            way
            for way in product(*(domains[p] for p in parts))
            if all(tuple([way[i] for i in at]) in ways for at, ways in places)
        ]
        out += _apart(parts, choices)
    told = (one for one in out if one.choices != (tuple(setting[p] for p in one.parts),))
    return tuple(sorted(told, key=lambda one: one.parts))


def _apart(parts: tuple[int, ...], choices: Sequence[tuple[int, ...]]) -> Iterator[AnyOf]:
    """Parts that don't depend on the others by themselves, the rest together."""
    together: list[int] = []
    for n, part in enumerate(parts):
        own = list(dict.fromkeys(way[n] for way in choices))
        rest = {(*way[:n], *way[n + 1 :]) for way in choices}
        if len(own) * len(rest) == len(choices):
            yield AnyOf(parts=(part,), choices=tuple((at,) for at in own))
        else:
            together.append(n)
    if together:
        left = dict.fromkeys(tuple([way[n] for n in together]) for way in choices)
        yield AnyOf(parts=tuple(parts[n] for n in together), choices=tuple(left))
