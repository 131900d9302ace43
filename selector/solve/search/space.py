"""The settings that may be proposed: which parts are searched, which stand fixed and why, and how the searched ones
group into variables."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from itertools import product
from typing import Literal

from selector.solve.board.marks import on_one_tap, tapped_twice
from selector.solve.engine.engine import Engine, same_value
from selector.solve.engine.readings import ChartReading, Outcome
from selector.solve.rank.rank import Alternative, TooLarge
from selector.table.model.table import ANY, No, Part, Setting
from selector.value import Struct, field

Why = Literal["held", "fact", "as found", "as delivered", "left", "not known"]
LARGEST = 200_000
"""Combinations one group of selectors or one chart may have."""


class Space(Struct, frozen=True, kw_only=True):
    """`baseline` is the setting as found, else as delivered. `fixed` gives, for the parts not searched, the position
    and the reason."""

    baseline: Setting
    fixed: Mapping[int, tuple[int | None, Why]]
    searched: tuple[int, ...]
    weights: Mapping[int, int]
    domains: Mapping[int, tuple[int, ...]]
    delivered_used: tuple[str, ...] = ()

    @property
    def standing(self) -> Setting:
        """The setting before anything is searched: what is fixed, and the baseline for the rest."""
        return tuple(self.fixed[i][0] if i in self.fixed else at for i, at in enumerate(self.baseline))


def baseline_of(engine: Engine, found: Setting | None) -> Setting:
    """As found where it can be read, else as delivered."""
    delivered = engine.table.delivered(engine.plate_model())
    if found is None:
        return delivered
    return tuple(d if f is None else f for f, d in zip(found, delivered, strict=True))


def declared_position(engine: Engine, part: Part, fact: str) -> int | None:
    """The position of a declaring selector that says what is installed; None where the fact isn't known or has no
    position."""
    value = engine.plate_model() if fact == "model" else engine.facts.values.get(fact)
    if value is None:
        return None
    for i, word in enumerate(part.positions):
        if same_value(word, value):
            return i
    return None


def space_of(engine: Engine, found: Setting | None, held: Mapping[int, int], reads: Iterable[int]) -> Space:
    """Search the parts in `reads`, except those that are held, declare equipment, are left alone, or can't be undone.

    Leads that stand on one tap can't stay as they are: they are searched though nothing reads them.
    """
    table = engine.table
    baseline = baseline_of(engine, found)
    fixed: dict[int, tuple[int | None, Why]] = {}
    wanted = set(reads)
    clash = tapped_twice(tuple(None if i in wanted else held.get(i, at) for i, at in enumerate(baseline)), table)
    wanted.update(clash)
    unsaid: list[str] = []
    for part in table.parts:
        selector = table.selectors[part.selector]
        source: Why = (
            "as found"
            if found is not None and found[part.index] is not None
            else "as delivered"
            if baseline[part.index] is not None
            else "not known"
        )
        if part.index in held:
            fixed[part.index] = (held[part.index], "held")
        elif selector.declares:
            at = declared_position(engine, part, selector.declares)
            fixed[part.index] = (at, "fact") if at is not None else (baseline[part.index], source)
            if at is None:
                unsaid.append(part.name)
        elif part.leave_at is not None:
            fixed[part.index] = (part.leave_at, "left")
        elif part.final:
            at = baseline[part.index]
            fixed[part.index] = (
                at if at is not None else next(i for i in range(len(part.positions)) if i not in part.final),
                source,
            )
        elif part.unused or part.index not in wanted:
            fixed[part.index] = (baseline[part.index], source)
    searched = tuple(p.index for p in table.parts if p.index not in fixed)
    domains = {i: _domain(table.parts[i], baseline[i]) for i in searched}
    weights: dict[int, int] = {}
    weight = 1
    for part in reversed(table.parts):
        weights[part.index] = weight
        weight *= len(part.positions) + 1
    return Space(
        baseline=baseline,
        fixed=fixed,
        searched=searched,
        weights=weights,
        domains=domains,
        delivered_used=tuple(unsaid),
    )


def _domain(part: Part, baseline: int | None) -> tuple[int, ...]:
    return tuple(i for i, p in enumerate(part.positions) if i not in part.idle and (p != "parked" or i == baseline))


class SelectorGroup(Struct):
    """Parts that the same readings look at: one variable. `classes` are the values that differ in an outcome; each
    keeps its first k ways."""

    parts: tuple[int, ...]
    readings: tuple[ChartReading, ...]
    ways: list[tuple[int, ...]] = field(default_factory=list)
    class_of: list[int] = field(default_factory=list)
    classes: list[tuple[Alternative, ...]] = field(default_factory=list)
    first: list[tuple[int, ...]] = field(default_factory=list)

    def class_at(self, at: Mapping[int, int | None]) -> int:
        """The class of the positions that a setting gives these parts."""
        return self.class_of[self.ways.index(tuple([at[p] for p in self.parts]))]  # type: ignore[misc]


def groups_of(
    engine: Engine, space: Space, readings: Sequence[ChartReading], k: int, look: Look
) -> list[SelectorGroup]:
    """The searched parts in groups, in file order of their first parts, with their classes as `look` sees them
    worked out."""
    table = engine.table
    by: dict[tuple[object, ...], list[int]] = {}
    seen_by: dict[int, list[ChartReading]] = {i: [] for i in space.searched}
    for r in readings:
        for p in r.parts:
            if p in seen_by:
                seen_by[p].append(r)
    for i in space.searched:
        part = table.parts[i]
        selector = table.selectors[part.selector]
        key: tuple[object, ...] = ("taps", selector.name) if selector.exclusive else tuple(id(r) for r in seen_by[i])
        by.setdefault(key, []).append(i)
    groups: list[SelectorGroup] = []
    for parts in by.values():
        union = tuple(dict.fromkeys(r for i in parts for r in seen_by[i]))
        groups.append(SelectorGroup(parts=tuple(parts), readings=union))
    for g in groups:
        g.ways = _ways(engine, space, g)
    homes = {p: n for n, g in enumerate(groups) for p in g.parts}
    for g in groups:
        _classify(engine, space, g, groups, homes, k, look)
    return groups


def _ways(engine: Engine, space: Space, g: SelectorGroup) -> list[tuple[int, ...]]:
    count = 1
    for p in g.parts:
        count *= len(space.domains[p])
        if count > LARGEST:
            raise TooLarge(
                variables=tuple(engine.table.parts[q].name for q in g.parts),
                factors=tuple(dict.fromkeys(r.name for r in g.readings)),
                entries=count,
            )
    ways: Iterable[tuple[int, ...]] = product(*(space.domains[p] for p in g.parts))
    selector = engine.table.selectors[engine.table.parts[g.parts[0]].selector]
    if not selector.exclusive:
        return list(ways)
    parked = len(engine.table.parts[g.parts[0]].positions) - 1
    taken = {at for i in selector.parts if i in space.fixed and (at := space.fixed[i][0]) is not None and at != parked}
    out = []
    for way in ways:
        taps = [t for t in way if t != parked]
        if len(set(taps)) == len(taps) and not taken & set(taps):
            out.append(way)
    return out


Look = Callable[[ChartReading, tuple[int, ...]], Outcome]
"""How outcomes are looked at: `offered` for proposing, `read_back` for a board as it stands."""


def read_back(engine: Engine, setting: Setting) -> Look:
    """The outcome for reading a board: what reads a lead that stands on one tap with another is refused."""
    clash = tapped_twice(setting, engine.table)

    def look(reading: ChartReading, positions: tuple[int, ...]) -> Outcome:
        for part in reading.parts if clash else ():
            if part in clash:
                return on_one_tap(engine.table.parts[part].name, clash[part])
        return reading.find(positions)

    return look


def offered(searched: Iterable[int]) -> Look:
    """The outcome for proposing: a row that behaves as another is refused like a reserved one, unless all it names
    is held or stays as it is."""
    free = frozenset(searched)

    def look(reading: ChartReading, positions: tuple[int, ...]) -> Outcome:
        row = reading.row(positions)
        if (
            row is not None
            and row.like
            and any(part in free and at != ANY for part, at in zip(reading.keys, row.positions, strict=True))
        ):
            return No(
                kind="not_usable",
                why=f"`{reading.name}` has this row only behaving as another",
                line=row.line,
            )
        return reading.find(positions)

    return look


def _classify(
    engine: Engine,
    space: Space,
    g: SelectorGroup,
    groups: Sequence[SelectorGroup],
    homes: Mapping[int, int],
    k: int,
    look: Look,
) -> None:
    signatures: list[tuple[object, ...]] = [()] * len(g.ways)
    own = {p: i for i, p in enumerate(g.parts)}
    for r in g.readings:
        others = list(dict.fromkeys(homes[p] for p in r.parts if p in homes and p not in own))
        size = len(g.ways)
        for n in others:
            size *= len(groups[n].ways)
        if size > LARGEST:
            raise TooLarge(
                variables=tuple(engine.table.parts[p].name for p in r.parts), factors=(r.name,), entries=size
            )
        slots: list[tuple[int, int]] = []
        fixed: list[int | None] = []
        for p in r.parts:
            if p in own:
                slots.append((-1, own[p]))
                fixed.append(None)
            elif p in homes:
                slots.append((others.index(homes[p]), groups[homes[p]].parts.index(p)))
                fixed.append(None)
            else:
                slots.append((-2, 0))
                fixed.append(space.fixed[p][0])
        unknown = any(s[0] == -2 and f is None for s, f in zip(slots, fixed, strict=True))
        combos = list(product(*(groups[n].ways for n in others)))
        cache: dict[tuple[int, ...], object] = {}
        for w, way in enumerate(g.ways):
            seen: list[object] = []
            for combo in combos:
                at = tuple(
                    [
                        way[j] if n == -1 else (f if n == -2 and f is not None else combo[n][j] if n >= 0 else 0)
                        for (n, j), f in zip(slots, fixed, strict=True)
                    ]
                )
                outcome = cache.get(at)
                if outcome is None:
                    found = No(kind="not_known", why="a position is not known") if unknown else look(r, at)
                    outcome = cache[at] = (found.kind,) if isinstance(found, No) else found
                seen.append(outcome)
            signatures[w] = (*signatures[w], tuple(seen) if len(seen) > 1 else seen[0])
    ids: dict[tuple[object, ...], int] = {}
    buckets: list[list[Alternative]] = []
    for w, way in enumerate(g.ways):
        c = ids.setdefault(signatures[w], len(ids))
        if c == len(buckets):
            buckets.append([])
            g.first.append(way)
        g.class_of.append(c)
        moves = sum(
            1 for p, at in zip(g.parts, way, strict=True) if space.baseline[p] is not None and space.baseline[p] != at
        )
        order = sum(space.weights[p] * at for p, at in zip(g.parts, way, strict=True))
        buckets[c].append(Alternative(moves=moves, order=order, payload=tuple(zip(g.parts, way, strict=True))))
    g.classes = [tuple(sorted(b, key=lambda a: (a.moves, a.order))[:k]) for b in buckets]
