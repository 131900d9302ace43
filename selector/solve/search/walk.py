"""Outcomes of charts over classes of selectors, and a call's instructions carried out over all of them at once."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from itertools import product
from math import prod

from selector.solve.engine.chart_reading import ChartReading, Outcome
from selector.solve.engine.run import carry_out
from selector.solve.engine.step_arithmetic import Instruction, Register, Value
from selector.solve.rank.rank import Alternative, TooLarge
from selector.solve.search.space import LARGEST, Look, SelectorGroup, Space
from selector.table.model.table import No
from selector.value import Struct


class Outcomes:
    """Outcomes of readings by the classes of the groups they look at."""

    def __init__(self, space: Space, groups: Sequence[SelectorGroup], homes: Mapping[int, int], look: Look) -> None:
        self.space, self.all, self.homes, self.look = space, groups, homes, look
        self._groups: dict[ChartReading, tuple[int, ...]] = {}
        self._found: dict[tuple[ChartReading, tuple[int, ...]], Outcome] = {}

    def groups(self, r: ChartReading) -> tuple[int, ...]:
        """Numbers of the groups a reading looks at, rising."""
        found = self._groups.get(r)
        if found is None:
            found = self._groups[r] = tuple(sorted({self.homes[p] for p in r.parts if p in self.homes}))
        return found

    def every(self, r: ChartReading) -> list[tuple[int, ...]]:
        """Every combination of classes of the reading's groups."""
        out: list[tuple[int, ...]] = [()]
        for n in self.groups(r):
            out = [(*key, c) for key in out for c in range(len(self.all[n].classes))]
            if len(out) > LARGEST:
                raise TooLarge(variables=(), factors=(r.name,), entries=len(out))
        return out

    def at(self, r: ChartReading, classes: tuple[int, ...]) -> Outcome:
        """The outcome for classes of the reading's groups."""
        key = (r, classes)
        found = self._found.get(key)
        if found is None:
            unknown = any(p not in self.homes and self.space.fixed[p][0] is None for p in r.parts)
            found = (
                No(kind="not_known", why=f"a position that `{r.name}` needs isn't known")
                if unknown
                else self.look(r, self.positions(r, dict(zip(self.groups(r), classes, strict=True))))
            )
            self._found[key] = found
        return found

    def positions(self, r: ChartReading, chosen: Mapping[int, int]) -> tuple[int, ...]:
        """The positions of a reading's parts in classes of its groups; -1 for one that isn't known."""
        positions: list[int] = []
        for p in r.parts:
            if p in self.homes:
                g = self.all[self.homes[p]]
                positions.append(g.first[chosen[self.homes[p]]][g.parts.index(p)])
            else:
                at = self.space.fixed[p][0]
                positions.append(-1 if at is None else at)
        return tuple(positions)


Classes = tuple[tuple[int, int], ...]


class State(Struct, frozen=True):
    """Classes of groups, what is kept of the registers there (states of one `outcome` keep the same) and the ways."""

    classes: Classes
    outcome: int
    registers: Mapping[Register, Value]
    ways: list[Alternative]


_Live = tuple[tuple[Register, Value], ...]
_Open = dict[tuple[Classes, _Live, int], list[Alternative]]
"""States on the way: registers that are still read, and the number of those done with in `_Kept`."""


class _Kept:
    """Values of registers that are to be kept and are read no more: a number for each distinct list of them."""

    def __init__(self) -> None:
        self._lists: list[tuple[int, Register, Value]] = []
        self._numbers: dict[tuple[int, Register, Value], int] = {}

    def with_one(self, number: int, register: Register, value: Value) -> int:
        """The number of a list with one more."""
        key = (number, register, value)
        found = self._numbers.get(key)
        if found is None:
            self._lists.append(key)
            found = self._numbers[key] = len(self._lists)
        return found

    def all_of(self, number: int) -> tuple[tuple[Register, Value], ...]:
        """The list of a number; 0 is the empty one."""
        out = []
        while number:
            number, register, value = self._lists[number - 1]
            out.append((register, value))
        return tuple(reversed(out))


def walk(
    name: str,
    instructions: Sequence[Instruction],
    keep: Iterable[Register],
    groups: Sequence[SelectorGroup],
    tables: Outcomes,
    own: set[int],
    first: int,
) -> list[State]:
    """Carry out instructions over all classes of their groups at once, merging states that can't be told apart any
    more.

    A state is the classes of the groups that are still told apart (those in `own` are forgotten after their last use)
    and the registers still
    needed or in `keep`; each keeps its first ways by moves and file order. What an instruction comes to is worked out
    once for what it reads, however many states there are. Classes that differ only in parts that nothing here looks
    at (other leads of the motor) are carried as one and told apart again in what is given back.
    """
    keeping, kept = set(keep), _Kept()
    last_use: dict[int, int] = {}
    last_register: dict[Register, int] = {}
    for n, i in enumerate(instructions):
        for r in i.readings:
            for g in tables.groups(r):
                last_use[g] = n
        last_register[i.target] = n
        if i.register is not None:
            last_register[i.register] = n
    states: _Open = {((), (), 0): [Alternative(moves=0, order=0, payload=())]}
    bound: list[int] = []
    looked_at = {p for i in instructions for r in i.readings for p in r.parts}
    alike = {g: _alike(groups[g], looked_at) for g in last_use}
    for n, i in enumerate(instructions):
        looks = tuple(dict.fromkeys(g for r in i.readings for g in tables.groups(r)))
        for g in looks:
            if g not in bound:
                bound.append(g)
                states = _branch(states, g, groups[g], alike[g], g in own, first, name)
        done = {g for g in bound if last_use[g] == n and g in own}
        known: dict[tuple[tuple[int, ...], Value, Value], Value] = {}
        after: _Open = {}
        for (classes, live, number), ways in states.items():
            at = dict(classes)
            values = dict(live)
            other = values.get(i.register) if i.register is not None else None
            read_by = (tuple([at[g] for g in looks]), values.get(i.target), other)
            try:
                found = known[read_by]
            except KeyError:

                def read(r: ChartReading, at: dict[int, int] = at) -> Outcome:
                    return tables.at(r, tuple([at[g] for g in tables.groups(r)]))

                found = known[read_by] = carry_out(i, values, read)
            values[i.target] = found
            if last_register[i.target] == n or (i.register is not None and last_register[i.register] == n):
                left = []
                for register, value in values.items():
                    if last_register[register] > n:
                        left.append((register, value))
                    elif register in keeping:
                        number = kept.with_one(number, register, value)
                live = tuple(left)
            else:
                live = tuple(values.items())
            key = (tuple([c for c in classes if c[0] not in done]) if done else classes, live, number)
            old = after.get(key)
            after[key] = ways if old is None else sorted((*old, *ways), key=lambda a: (a.moves, a.order))[:first]
        states = after
    entries = sum(prod(len(alike[g][c]) for g, c in classes) for classes, _, _ in states)
    if entries > LARGEST:
        raise TooLarge(variables=(), factors=(name,), entries=entries)
    registers = {number: dict(kept.all_of(number)) for _, _, number in states}
    told = [
        State(tuple(zip((g for g, _ in classes), every, strict=True)), number, registers[number], ways)
        for (classes, _, number), ways in states.items()
        for every in product(*(alike[g][c] for g, c in classes))
    ]
    return sorted(told, key=lambda state: state.classes)


def _alike(group: SelectorGroup, looked_at: Collection[int]) -> dict[int, list[int]]:
    """The classes of a group by the first of those that stand alike in the parts looked at."""
    places = [n for n, p in enumerate(group.parts) if p in looked_at]
    firsts: dict[tuple[int, ...], int] = {}
    out: dict[int, list[int]] = {}
    for c, way in enumerate(group.first):
        out.setdefault(firsts.setdefault(tuple([way[n] for n in places]), c), []).append(c)
    return out


def _branch(
    states: _Open, g: int, group: SelectorGroup, alike: Mapping[int, list[int]], own: bool, first: int, name: str
) -> _Open:
    out: _Open = {}
    if len(states) * len(alike) > LARGEST:
        raise TooLarge(
            variables=(),
            factors=(name, *dict.fromkeys(r.name for r in group.readings)),
            entries=len(states) * len(alike),
        )
    for (classes, live, number), ways in states.items():
        for c, every in alike.items():
            key = ((*classes, (g, c)), live, number)
            if own:
                choices = [a for one in every for a in group.classes[one]]
                combined = [
                    Alternative(moves=w.moves + a.moves, order=w.order + a.order, payload=(*w.payload, *a.payload))  # type: ignore[misc]
                    for w in ways
                    for a in choices
                ]
                out[key] = sorted(combined, key=lambda a: (a.moves, a.order))[:first]
            else:
                out[key] = ways
    return out
