"""The settings that may be proposed: which parts are searched, which stand fixed and why, and how the searched ones
group into variables."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from itertools import product
from typing import Literal

from selector.problems import Problem, Refused
from selector.solve.board.facts import same_value
from selector.solve.board.marks import clashes, on_one_tap, tapped_twice
from selector.solve.engine.chart_reading import ChartReading, Outcome
from selector.solve.engine.engine import Engine
from selector.solve.rank.rank import Alternative, TooLarge
from selector.table.model.table import ABSENT, ANY, Chart, No, Part, Row, Setting, Table
from selector.value import Struct, field, replace

Why = Literal["held", "fact", "as found", "as delivered", "left", "not known"]
LARGEST = 200_000
"""Combinations one group of selectors or one chart may have."""


class Space(Struct, frozen=True, kw_only=True):
    """`baseline` is the setting as found, else as delivered. `fixed` gives, for the parts not searched, the position
    and the reason. `weights`: what a position counts in file order (none where no order is asked for). `asked`: parts
    that an asked call's airflow reads. `unknown`: parts searched only for some completion that counts, told as not
    known. `unread`: parts that were looked at and can't be read. `idle`: parts that stay since nothing reads them, and
    have a domain all the same. `as_seen`: the board is read as it stands, with the leads on one tap that it has."""

    baseline: Setting
    fixed: Mapping[int, tuple[int | None, Why]]
    searched: tuple[int, ...]
    domains: Mapping[int, tuple[int, ...]]
    weights: Mapping[int, int] = field(default_factory=dict)
    delivered_used: tuple[str, ...] = ()
    asked: frozenset[int] = frozenset()
    unknown: frozenset[int] = frozenset()
    unread: frozenset[int] = frozenset()
    idle: frozenset[int] = frozenset()
    as_seen: bool = False

    @property
    def standing(self) -> Setting:
        """The setting before anything is searched: what is fixed, and the baseline for the rest."""
        return tuple(self.fixed[i][0] if i in self.fixed else at for i, at in enumerate(self.baseline))

    def where(self, at: Mapping[int, int]) -> Space:
        """The same with some parts fixed where they stand in one of the worlds that are possible."""
        return replace(self, fixed={**self.fixed, **{p: (position, "not known") for p, position in at.items()}})


def baseline_of(engine: Engine, found: Setting | None, unread: Collection[int] = ()) -> Setting:
    """As typed, else as delivered; None for what couldn't be read, and for what is neither typed nor printed."""
    delivered = engine.table.delivered(engine.plate_model())
    if found is None:
        return delivered
    return tuple(
        d if f is None and i not in unread else f for i, (f, d) in enumerate(zip(found, delivered, strict=True))
    )


def declared_position(engine: Engine, part: Part, fact: str) -> int | None:
    """The position of a declaring selector that says what is installed; None where the fact isn't known or has no
    position."""
    value = engine.plate_model() if fact == "model" else engine.facts.values.get(fact)
    if value is None:
        return None
    return next((i for i in range(len(part.positions)) if same_value(part.tells(i), value)), None)


def space_of(
    engine: Engine,
    found: Setting | None,
    held: Mapping[int, int],
    reads: Iterable[int],
    *,
    unread: Collection[int] = (),
    asked: Iterable[int] | None = None,
    allow_cuts: bool = False,
) -> Space:
    """Search the parts in `reads`, except those that are held or declare equipment; leads are searched with them.

    `asked`: the parts that an asked call's airflow reads (None: all). Others stay where that harms nothing, and stay
    unknown where nobody told them. What is held of equipment is what is there: no move leads to it. Raises Refused for
    a cut link that is held whole.
    """
    table = engine.table
    known = {p.index: held[p.index] for p in table.parts if p.declares and p.index in held}
    baseline = tuple(
        known.get(i, at) if found is None or found[i] is None else at
        for i, at in enumerate(baseline_of(engine, found, unread))
    )
    wanted = set(reads)
    wanted |= set(tapped_twice(tuple(held.get(i, at) for i, at in enumerate(baseline)), table))
    wanted = with_leads(table, wanted)
    asked = frozenset(range(len(table.parts)) if asked is None else asked)
    fixed: dict[int, tuple[int | None, Why]] = {}
    unsaid: list[str] = []
    idle: list[int] = []
    for part in table.parts:
        stands = baseline[part.index]
        typed = found is not None and found[part.index] is not None
        source: Why = "as found" if typed else "as delivered" if stands is not None else "not known"
        declares = part.declares
        if part.index in held:
            _refuse_uncutting(part, stands, held[part.index])
            fixed[part.index] = (held[part.index], "held")
        elif declares:
            at = declared_position(engine, part, declares)
            fixed[part.index] = (at, "fact") if at is not None else (stands, source)
            if at is None:
                unsaid.append(part.name)
        elif (part.unused and stands is not None) or stands in part.final:
            fixed[part.index] = (stands, source)
        elif part.index not in wanted:
            fixed[part.index] = (stands, source)
            idle.append(part.index)
    searched = tuple(p.index for p in table.parts if p.index not in fixed)
    weights: dict[int, int] = {}
    weight = 1
    for part in reversed(table.parts):
        weights[part.index] = weight
        weight *= len(part.positions) + 2
    cells = PositionCells(table)
    free = (*searched, *idle)
    unknown = frozenset(i for i in free if baseline[i] is None and i not in unread and i not in asked)
    return Space(
        baseline=baseline,
        fixed=fixed,
        searched=searched,
        weights=weights,
        domains={
            i: cells.distinct(table.parts[i], _domain(table.parts[i], baseline[i], allow_cuts=allow_cuts), baseline[i])
            if i not in unknown
            else tuple(range(len(table.parts[i].positions)))
            for i in free
        },
        idle=frozenset(idle),
        delivered_used=tuple(unsaid),
        asked=asked,
        unknown=unknown,
        unread=frozenset(unread),
    )


def motors(table: Table) -> dict[int, str]:
    """Leads, and the parts that say which of them may share a tap, to the motor whose they are."""
    out: dict[int, str] = {}
    for s in table.selectors.values():
        if s.exclusive:
            mine = {*s.parts, *(c.part for _, some in s.may_share for c in some if c.part >= 0)}
            joined = {out[p] for p in mine if p in out}
            out |= dict.fromkeys([*mine, *(p for p, name in out.items() if name in joined)], s.name)
    return out


def with_leads(table: Table, parts: Collection[int]) -> set[int]:
    """Parts, and all of a motor of which some are among them."""
    of = motors(table)
    wanted = {of[p] for p in parts if p in of}
    return {*parts, *(p for p, name in of.items() if name in wanted)}


def _refuse_uncutting(part: Part, stands: int | None, held: int) -> None:
    if stands in part.final and held != stands:
        message = f"{part.name} is {part.word(stands)} and can't be held {part.word(held)}: a cut can't be undone"
        raise Refused([Problem(file="hold", line=1, column=1, code="hold-against-cut", message=message)])


def _domain(part: Part, baseline: int | None, *, allow_cuts: bool) -> tuple[int, ...]:
    """Where a move may lead, and where the part stands."""
    moves = [
        i
        for i, word in enumerate(part.positions)
        if i == baseline
        or (
            i not in part.idle
            and word != "parked"
            and (allow_cuts or part.may_cut or i not in part.final)
            and part.leave_at in (None, i)
        )
    ]
    return (*moves, ABSENT) if baseline == ABSENT else tuple(moves)


class PositionCells:
    """What each position of a part means to the charts and conditions of a table."""

    def __init__(self, table: Table) -> None:
        self.table = table

    def distinct(self, part: Part, positions: tuple[int, ...], stands: int | None) -> tuple[int, ...]:
        """The positions less those that are alike in every chart: of them the one that stands is kept, else the
        first. Leads are never alike: each needs its own tap."""
        classes = (*self.classes(part), -1)
        kept: dict[object, int] = {}
        for at in positions:
            meaning = classes[at]
            if meaning not in kept or at == stands:
                kept[meaning] = at
        return tuple(at for at in positions if at in kept.values())

    def classes(self, part: Part) -> tuple[int, ...]:
        """For each position the number of its class: those alike in every chart share one."""
        if self.table.selectors[part.selector].exclusive:
            return tuple(range(len(part.positions)))
        numbers: dict[object, int] = {}
        return tuple(numbers.setdefault(self._meaning(part, at), len(numbers)) for at in range(len(part.positions)))

    def _meaning(self, part: Part, at: int) -> object:
        out: list[object] = [part.values[at] if part.values else None]
        for chart in self.table.charts.values():
            for n, key in enumerate(chart.keys):
                if key.part == part.index:
                    rows = {
                        (row.positions[:n], row.positions[n + 1 :], row.cells, row.word, row.like, row.marks)
                        for row in chart.rows
                        if row.positions[n] in (ANY, at)
                    }
                    out.append(frozenset(rows))
            for n, head in enumerate(chart.heads):
                if head.part == part.index:
                    out.append(_columns(chart, n, at))
        for call in self.table.calls.values():
            whens = (*call.when, *(c for step in (*call.airflow, *call.heat) for c in step.when))
            out.append(tuple(at in c.allowed for c in whens if c.part == part.index))
        shares = (c for s in self.table.selectors.values() for _, some in s.may_share for c in some)
        out.append(tuple(at in c.allowed for c in shares if c.part == part.index))
        return tuple(out)


def _columns(chart: Chart, head: int, at: int) -> object:
    """What stands in the columns of a position along the top: the cells and footnotes of every row; None where it has
    none."""
    one = chart.heads[head]
    if one.order and at not in one.order:
        return None
    wanted = one.order.index(at) if one.order else at
    places = product(*(range(len(h.values)) for h in chart.heads))
    columns = [c for c, place in enumerate(places) if place[head] == wanted]
    cells = {c * len(chart.gives) + i: n for n, (c, i) in enumerate(product(columns, range(len(chart.gives))))}
    return tuple(
        (
            tuple(row.cells[c] for c in cells if c < len(row.cells)),
            tuple((cells[cell], mark) for cell, mark in row.marks if cell in cells),
        )
        for row in chart.rows
    )


class SelectorGroup(Struct):
    """Parts that the same readings look at, or of one `motor`: one variable. `classes` are the values that differ in an
    outcome (of a motor all); each keeps its first k ways."""

    parts: tuple[int, ...]
    readings: tuple[ChartReading, ...]
    motor: str = ""
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
    motor = motors(table)
    for i in space.searched:
        asked = i in space.asked
        key: tuple[object, ...] = (motor[i], asked) if i in motor else (asked, *(id(r) for r in seen_by[i]))
        by.setdefault(key, []).append(i)
    groups: list[SelectorGroup] = []
    for parts in by.values():
        union = tuple(dict.fromkeys(r for i in parts for r in seen_by[i]))
        groups.append(SelectorGroup(parts=tuple(parts), readings=union, motor=motor.get(parts[0], "")))
    for g in groups:
        g.ways = _ways(engine, space, g)
    homes = {p: n for n, g in enumerate(groups) for p in g.parts}
    for g in groups:
        _classify(engine, space, g, groups, homes, k, look)
    return groups


def apart(table: Table, space: Space, parts: Sequence[int] = ()) -> Callable[[tuple[int, ...]], bool]:
    """Whether no leads stand on one tap that may not, with these searched parts standing so. The other searched parts
    may stand as that takes; a selector that stays unknown doesn't let leads share."""
    leads = {p: s for s in table.selectors.values() if s.exclusive for p in s.parts}
    standing = [None if i in space.searched else at for i, at in enumerate(space.standing)]
    if parts and not any(leads[p].may_share if p in leads else True for p in parts):
        parked = len(table.parts[parts[0]].positions) - 1
        taken = {at for p in leads[parts[0]].parts if (at := standing[p]) is not None and at != parked}

        def alone(way: tuple[int, ...]) -> bool:
            taps = [at for at in way if at != parked]
            return len(set(taps)) == len(taps) and not taken & set(taps)

        return alone
    open_ = set(space.searched) - set(parts) - space.unknown
    told = [(n, p) for n, p in enumerate(parts) if p in leads or p not in space.unknown]

    def may(way: tuple[int, ...]) -> bool:
        setting = list(standing)
        for n, p in told:
            setting[p] = way[n]
        pairs = clashes(tuple(setting), table, open_)
        return not any(not space.as_seen or a in parts or b in parts for a, b in pairs)

    return may


def _ways(engine: Engine, space: Space, g: SelectorGroup) -> list[tuple[int, ...]]:
    """Every way its parts may stand; those with leads on one tap only where a board is seen that has no other."""
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
    if not g.motor:
        return list(ways)
    every = list(ways)
    kept = list(filter(apart(engine.table, space, g.parts), every))
    return kept or (every if space.as_seen else [])


Look = Callable[[ChartReading, tuple[int, ...]], Outcome]
"""How outcomes are looked at: `offered` for proposing, `read_back` for a board as it stands."""


def read_back(engine: Engine, setting: Setting, open_: Collection[int] = ()) -> Look:
    """The outcome for reading a board: what reads a lead that stands on one tap with another is refused, but where a
    part in `open_` may let them."""
    clash = tapped_twice(setting, engine.table, open_)

    def look(reading: ChartReading, positions: tuple[int, ...]) -> Outcome:
        for part in reading.parts if clash else ():
            if part in clash:
                return on_one_tap(engine.table.parts[part].name, clash[part])
        return reading.find(positions)

    return look


def offered(space: Space, apart: Collection[ChartReading] = ()) -> Look:
    """The outcome for proposing: a row that behaves as another is refused like a reserved one, unless the board stands
    in it or is held there. `apart`: readings that no call looks at; in their refused rows a board may stay."""
    free = frozenset(space.searched)

    def look(reading: ChartReading, positions: tuple[int, ...]) -> Outcome:
        parts = dict(zip(reading.parts, positions, strict=True))
        for one, row in reading.rows(positions):
            if row.like and _moved_to(row, one, space, free, tuple([parts[p] for p in one.parts])):
                return No(kind="not_usable", why=f"`{one.name}` has this row only behaving as another", line=row.line)
        outcome = reading.find(positions)
        if (
            reading in apart
            and isinstance(outcome, No)
            and positions == tuple(space.baseline[p] for p in reading.parts)
        ):
            return ()
        return outcome

    return look


def _moved_to(row: Row, reading: ChartReading, space: Space, free: frozenset[int], at: tuple[int, ...]) -> bool:
    """True where something that the row names and that may be moved would have to move for it: a part, or one that
    gives the label that the row goes by."""
    named = list(zip(reading.keys, row.positions, strict=True))
    if any(p is not None and to != ANY and p in free and space.baseline[p] != to for p, to in named):
        return True
    if not reading.led:
        return False
    stood = [space.baseline[p] if p in free else to for p, to in zip(reading.parts, at, strict=True)]
    known = tuple([to for to in stood if to is not None])
    before = reading.row(known) if len(known) == len(stood) else None
    return before is None or any(
        p is None and to != ANY and to != was for (p, to), was in zip(named, before.positions, strict=True)
    )


def _classify(
    engine: Engine,
    space: Space,
    g: SelectorGroup,
    groups: Sequence[SelectorGroup],
    homes: Mapping[int, int],
    k: int,
    look: Look,
) -> None:
    signatures: list[tuple[object, ...]] = [(way,) if g.motor else () for way in g.ways]
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
            1
            for p, at in zip(g.parts, way, strict=True)
            if space.baseline[p] not in (None, at) and p not in space.unknown
        )
        order = sum(
            space.weights[p] * (len(engine.table.parts[p].positions) if at == ABSENT else at)
            for p, at in zip(g.parts, way, strict=True)
            if p in space.weights and p not in space.unknown
        )
        buckets[c].append(Alternative(moves=moves, order=order, payload=tuple(zip(g.parts, way, strict=True))))
    g.classes = [tuple(sorted(b, key=lambda a: (a.moves, a.order))[:k]) for b in buckets]
