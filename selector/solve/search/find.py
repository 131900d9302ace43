"""The settings nearest the targets: exact, by elimination over the outcomes of charts."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from fractions import Fraction
from functools import partial
from itertools import product
from math import lcm, prod
from typing import Literal

from selector.solve.engine.bends import may_bend
from selector.solve.engine.chart_reading import ChartReading, Outcome, not_given
from selector.solve.engine.engine import Engine, Point
from selector.solve.engine.evaluate import Board, CallAnswer, judged_limit
from selector.solve.engine.limit import JudgedLimit, Limit
from selector.solve.engine.step_arithmetic import Instruction, Register, Value, finished
from selector.solve.rank.project import NamedTable, Together, projected
from selector.solve.rank.rank import Alternative, Factor, Ranked, TooLarge, Variable, rank
from selector.solve.search.any_of import Allowed, AnyOf, any_of
from selector.solve.search.left_out import PassedOver, left_out
from selector.solve.search.possible_airflows import airflows_over
from selector.solve.search.space import (
    LARGEST,
    SelectorGroup,
    Space,
    apart,
    baseline_of,
    declared_position,
    groups_of,
    offered,
    space_of,
)
from selector.solve.search.targets import Target, got, point_of
from selector.solve.search.walk import Outcomes, State, walk
from selector.solve.search.worlds import World, Worlds, deciding, evaluated, in_all
from selector.table.model.table import Call, No, Setting
from selector.value import Struct, field, replace

NEAR = Fraction(1)
FIRST = 3


class Request(Struct, frozen=True, kw_only=True):
    """What is asked: targets, positions held (part -> position), the setting as found with the parts that couldn't be
    read, how many answers, `near` in percentage points, whether links may be cut, and whether what else may stand
    is asked too."""

    targets: tuple[Target, ...]
    held: Mapping[int, int] = field(default_factory=dict)
    found: Setting | None = None
    unread: frozenset[int] = frozenset()
    first: int = FIRST
    near: Fraction = NEAR
    allow_cuts: bool = False
    otherwise: bool = True


class Found(Struct, frozen=True, kw_only=True):
    """One setting. `airflows` are those the search itself worked out, for each target's call and stage; `answers`
    come from evaluating the board. `any_of`: what else may stand where no asked call reads it."""

    setting: Setting
    deviation: Fraction
    moves: int
    group: int
    airflows: Mapping[tuple[str, str], Fraction]
    answers: Mapping[str, CallAnswer]
    changed: tuple[int, ...]
    any_of: tuple[AnyOf, ...] = ()


class Miss(Struct, frozen=True, kw_only=True):
    """Why nothing fits: the nearest setting there is (it breaks a limit), or why a call has no airflow, and held
    positions to blame.

    Without any one of the `blame` parts held a setting fits; with `together` only without all of them.
    """

    nearest: Found | None
    refused: tuple[tuple[str, str, No], ...]
    blame: tuple[int, ...]
    together: bool = False


class FindResult(Struct, frozen=True, kw_only=True):
    """The ranked settings, or why there are none. `nearer` is a setting nearer than the first that limits forbid,
    where there is one. `not_to_be_had`: stages refused wherever they run, which forbid nothing. `left_out`: what the
    search passed over."""

    found: tuple[Found, ...]
    space: Space
    miss: Miss | None = None
    nearer: Found | None = None
    not_to_be_had: tuple[tuple[str, str], ...] = ()
    left_out: tuple[PassedOver, ...] = ()


class Running(Struct, frozen=True):
    """A stage, and the worlds in which it stands apart."""

    point: Point
    worlds: tuple[World, ...]

    def airflows(self, registers: Mapping[Register, Value]) -> list[Fraction | No]:
        """Its final airflow in each world."""
        return [finished(registers.get(w.told(self.point.airflow))) for w in self.worlds]

    def airflow(self, registers: Mapping[Register, Value]) -> Fraction | None:
        """The airflow that it has in every world."""
        found = self.airflows(registers)
        return found[0] if isinstance(found[0], Fraction) and in_all(found) else None

    def stopped(self, registers: Mapping[Register, Value]) -> bool:
        """True where it runs in no world."""
        return all(isinstance(x, No) and x.kind == "does_not_run" for x in self.airflows(registers))

    def refused(self, registers: Mapping[Register, Value]) -> bool:
        """True where the page refuses it in every world."""
        return all(isinstance(x, No) and x.refused for x in self.airflows(registers))


class _Factor(Struct):
    """One call (or a share's two calls): what has to be carried out, what is judged, what it costs.

    `running` are its stages at the point they are asked for, in every world; `bent` those whose airflow may bend
    between firing rates.
    """

    call: Call
    instructions: list[Instruction]
    judged: list[tuple[World, Point, Limit]]
    targets: list[Target]
    keep: set[Register]
    running: list[Running]
    bent: list[str]

    @property
    def name(self) -> str:
        """The call's name."""
        return self.call.name


def find(engine: Engine, request: Request) -> FindResult:
    """The first settings in their order, or why none fits. Raises rank.TooLarge naming charts and outcomes beyond
    the bound, Refused for a cut link that is held whole."""
    search = _Search(engine, request)
    ranked = search.ranked(request.first, request.near)
    miss = None if ranked else _miss(engine, request)
    return FindResult(
        found=tuple(replace(f, any_of=search.any_of(f.setting)) if request.otherwise else f for f in ranked),
        space=search.space,
        miss=miss,
        nearer=_nearer(engine, request, ranked[0]) if ranked else None,
        not_to_be_had=search.not_to_be_had(),
        left_out=left_out(engine, search.space, tuple(search.depended) if ranked else ()),
    )


def nearest(engine: Engine, request: Request) -> Found | None:
    """The first setting alone, None where none fits: nothing is said of limits or of what is nearer. Raises
    rank.TooLarge as `find` does."""
    ranked = _Search(engine, request).ranked(1, request.near)
    return ranked[0] if ranked else None


def _nearer(engine: Engine, request: Request, best: Found) -> Found | None:
    """The nearest setting if limits were none, where it is nearer than the best by more than a point."""
    if best.deviation <= Fraction(1, 100):
        return None
    free = _Search(engine, request, limits="none").ranked(1, Fraction(0))
    return free[0] if free and free[0].deviation + Fraction(1, 100) < best.deviation else None


def _miss(engine: Engine, request: Request) -> Miss:
    relaxed = _Search(engine, request, limits="costly")
    nearest = relaxed.ranked(1, Fraction(0))
    blame: list[int] = []
    for part in request.held:
        others = {p: at for p, at in request.held.items() if p != part}
        if _Search(engine, replace(request, held=others)).ranked(1, Fraction(0)):
            blame.append(part)
    together = not blame and len(request.held) > 1
    if together and _Search(engine, replace(request, held={})).ranked(1, Fraction(0)):
        blame = list(request.held)
    if nearest:
        return Miss(nearest=nearest[0], refused=(), blame=tuple(blame), together=together)
    refused: list[tuple[str, str, No]] = []
    for t in request.targets:
        airflows, noes = airflows_over(engine, relaxed.space, point_of(engine, t.call, t.stage), offered(relaxed.space))
        if not airflows and noes:
            open_ = [no for no in noes if no.kind == "not_known"]  # told, it may give an airflow
            refused.append((t.call, t.stage, min(open_ or noes, key=lambda no: no.rank)))
        elif t.quantity == "airflow per ton" and engine.tons() is None:
            refused.append((t.call, t.stage, not_given("outdoor tons", "are")))
    return Miss(nearest=None, refused=tuple(refused), blame=tuple(blame), together=together)


class _Search:
    """One search: built once, ranked once."""

    def __init__(self, engine: Engine, request: Request, *, limits: Literal["kept", "costly", "none"] = "kept") -> None:
        self.engine = engine
        self.request = request
        self.limits = limits
        self._points: dict[tuple[str, str], Point] = {}
        self._never: dict[Point, bool] = {}
        self.worlds = Worlds(engine, self._untold())
        self.factors = self._factors()
        self.others = engine.unread_charts()
        self.readings = tuple(
            dict.fromkeys((*(r for f in self.factors for i in f.instructions for r in i.readings), *self.others))
        )
        self.space = space_of(
            engine,
            request.found,
            request.held,
            {p for r in self.readings for p in r.parts},
            unread=request.unread,
            asked=self._asked_parts(),
            allow_cuts=request.allow_cuts,
        )
        self.groups: list[SelectorGroup] = []
        self.depended: dict[str, None] = {}
        self._runs: dict[str, frozenset[Point]] = {}
        self.reports: dict[str, tuple[tuple[int, ...], dict[tuple[int, ...], tuple[Fraction, ...]]]] = {}

    def _asked_parts(self) -> frozenset[int]:
        calls = self.engine.table.calls
        out: set[int] = set()
        for t in self.request.targets:
            out |= self.engine.parts_of(calls[t.call], heat=t.quantity == "temperature rise")
            if t.of is not None:
                out |= self.engine.parts_of(calls[t.of[0]])
        return frozenset(out)

    def _untold(self) -> Iterator[int]:
        """The selectors that declare equipment which nobody knows, and that stand nobody knows where."""
        baseline = baseline_of(self.engine, self.request.found, self.request.unread)
        for fact, part in self.engine.declarers.items():
            known = part.index in self.request.held or baseline[part.index] is not None
            if not known and declared_position(self.engine, part, fact) is None:
                yield part.index

    def _asked(self, call: str, stage: str, *, heat: bool = False) -> Running:
        """A stage that somebody asks for."""
        return Running(self._point(call, stage), self.worlds.of(self.engine.table.calls[call], stage, heat=heat))

    def _point(self, call: str, stage: str) -> Point:
        """The point a call and stage speak of."""
        found = self._points.get((call, stage))
        if found is None:
            found = self._points[call, stage] = point_of(self.engine, call, stage)
        return found

    # -- what is carried out and judged

    def _factors(self) -> list[_Factor]:
        engine, table = self.engine, self.engine.table
        by_call: dict[str, list[Target]] = {}
        for t in self.request.targets:
            by_call.setdefault(t.call, []).append(t)
        out: list[_Factor] = []
        for call in table.calls.values():
            f = _Factor(call, [], [], by_call.get(call.name, []), set(), [], [])
            for stage in call.stages:
                f.running.append(self._asked(call.name, stage))
                for point in dict.fromkeys((f.running[-1].point, *engine.points(call, stage))):
                    self._add(f, call, Running(point, f.running[-1].worlds), limits=True)
            for t in f.targets:
                heat = t.quantity == "temperature rise"
                self._add(f, call, self._asked(t.call, t.stage, heat=heat), limits=False, heat=heat)
                if t.of is not None:
                    self._add(f, table.calls[t.of[0]], self._asked(*t.of), limits=False)
            f.instructions = list(dict.fromkeys(f.instructions))
            f.bent = [s for s in call.stages if may_bend(engine, call, s)]
            out.append(f)
        return out

    def _add(self, f: _Factor, call: Call, stage: Running, *, limits: bool, heat: bool = False) -> None:
        point = stage.point
        for world in stage.worlds:
            engine = world.engine
            program = [*engine.airflow(call, point.stage, point.rate)]
            f.keep.add(world.told(point.airflow))
            found, extra = engine.limits(call, point.stage, point.rate) if limits else ((), ())
            usable = [x for x in found if not x.missing]
            if heat or any(x.of_heat for x in usable):
                program.extend(engine.heat(call, point.stage, point.rate))
                f.keep.add(world.told(point.heat))
            program.extend(extra)
            f.keep.update(world.told(i.target) for i in extra)
            f.instructions.extend(self.worlds.carried(world, program))
            f.judged.extend((world, point, x) for x in usable)

    # -- the same answer otherwise

    def any_of(self, setting: Setting) -> tuple[AnyOf, ...]:
        """What else may stand in the selectors that no asked call reads, with the others as an answer has them; empty
        where that is beyond the bound of the search."""
        space, parts = self.space, self.engine.table.parts
        stays = {i: (setting[i], space.fixed.get(i, (None, "left"))[1]) for i in range(len(parts))}
        free = tuple(i for i in space.searched if i not in space.asked)
        within = replace(space, fixed={i: at for i, at in stays.items() if i not in free}, searched=free)
        look = offered(space, self.others)
        try:
            groups = groups_of(self.engine, within, self.readings, 1, look)
            homes = {p: n for n, g in enumerate(groups) for p in g.parts}
            tables = Outcomes(within, groups, homes, look)
            allowed = [self._allowed(f, within, groups, homes, tables) for f in self.factors]
        except TooLarge:
            return ()
        for r in self.others:
            numbers = tables.groups(r)
            kept = {key for key in tables.every(r) if not _not_usable(tables.at(r, key))}
            allowed.append(_ways_of([groups[n] for n in numbers], kept))
        allowed += [Allowed(g.parts, frozenset(g.ways)) for g in groups]
        domains = {i: space.domains[i] for i in (*free, *space.idle) if i not in space.asked}
        return any_of(domains, [a for a in allowed if a.parts], setting)

    def _allowed(
        self, f: _Factor, within: Space, groups: Sequence[SelectorGroup], homes: Mapping[int, int], tables: Outcomes
    ) -> Allowed:
        """The positions of what a call reads and nobody asks about that make it count."""
        numbers = sorted({homes[p] for i in f.instructions for r in i.readings for p in r.parts if p in homes})
        states = walk(f.name, f.instructions, f.keep, groups, tables, set(), 1)
        kept = {
            tuple(at[n] for n in numbers)
            for state, _ in self._costs(f, states, within, groups, self._runs[f.name])
            for at in (dict(state.classes),)
        }
        return _ways_of([groups[n] for n in numbers], kept)

    # -- ranking

    def ranked(self, first: int, near: Fraction) -> list[Found]:
        """The first settings, empty if none fits."""
        space = self.space
        if not apart(self.engine.table, space)(()):
            return []
        look = offered(space, self.others)
        groups = self.groups = groups_of(self.engine, space, self.readings, first, look)
        if not all(g.ways for g in groups):
            return []
        homes = {p: n for n, g in enumerate(groups) for p in g.parts}
        tables = Outcomes(space, groups, homes, look)
        others = [r for r in self.others if any(p in homes for p in r.parts)]
        variables, made, inner = self._variables(homes, others)
        parts: list[NamedTable] = []
        for f in self.factors:
            scope, private, costs = self._folded(f, homes, tables, variables, first)
            if private:
                if not f.targets:
                    inner.add(len(made))
                scope = (*scope, len(made))
                made.append(Variable(name=f.name, values=tuple(private)))
            parts.append((f.name, scope, costs))
        parts += [self._refusals(r, tables, variables) for r in others]
        parts += self._taps(variables)
        if any(not costs for _, _, costs in parts):
            return []
        outer = projected(made, parts, sorted(inner), LARGEST)
        if outer is None:
            return []
        made, parts = outer
        scale = lcm(*(c.denominator for _, _, costs in parts for c in costs.values()))
        factors = []
        for name, scope, table_costs in parts:
            order = sorted(range(len(scope)), key=lambda i: scope[i])
            factors.append(
                Factor(
                    name=name,
                    scope=tuple(scope[i] for i in order),
                    costs={tuple(key[i] for i in order): int(c * scale) for key, c in table_costs.items()},
                )
            )
        found = rank(made, factors, k=first, near=int(near / 100 * scale)) if made else self._only(factors)
        return [self._found(r, scale) for r in found]

    def _variables(
        self, homes: Mapping[int, int], others: Sequence[ChartReading]
    ) -> tuple[dict[int, int], list[Variable], set[int]]:
        """The groups that get a variable of their own (by number of the group), and the variables nobody asks about.

        A group that one call alone reads is folded into that call's factor, but for one that an asked call reads beside
        its airflow.
        """
        uses: dict[int, int] = {}
        for f in self.factors:
            for n in {homes[p] for i in f.instructions for r in i.readings for p in r.parts if p in homes}:
                apart = f.bent or (f.targets and not self._is_asked(n))
                uses[n] = uses.get(n, 0) + (2 if apart else 1)
        for r in others:
            for n in {homes[p] for p in r.parts if p in homes}:
                uses[n] = uses.get(n, 0) + 2
        for a, b in self._split_taps():
            uses[a], uses[b] = 2, 2
        variables: dict[int, int] = {}
        made: list[Variable] = []
        inner: set[int] = set()
        for n, g in enumerate(self.groups):
            if uses.get(n, 0) != 1:
                variables[n] = len(made)
                asked = self._is_asked(n)
                if not asked:
                    inner.add(len(made))
                names = " ".join(self.engine.table.parts[p].name for p in g.parts)
                made.append(Variable(name=names, values=tuple(g.classes if asked else [c[:1] for c in g.classes])))
        return variables, made, inner

    def _is_asked(self, group: int) -> bool:
        return self.groups[group].parts[0] in self.space.asked

    def _split_taps(self) -> list[tuple[int, int]]:
        """Pairs of groups that hold parts of one motor, asked and not."""
        by: dict[str, list[int]] = {}
        for n, g in enumerate(self.groups):
            if g.motor:
                by.setdefault(g.motor, []).append(n)
        return [(ns[0], ns[1]) for ns in by.values() if len(ns) == 2]

    def _taps(self, variables: Mapping[int, int]) -> list[NamedTable]:
        """Leads in two groups that share no tap, but where they may."""
        out: list[NamedTable] = []
        for a, b in self._split_taps():
            one, other = self.groups[a], self.groups[b]
            may = apart(self.engine.table, self.space, (*one.parts, *other.parts))
            costs: dict[tuple[int, ...], Fraction | int] = {
                (c, d): 0 for c, x in enumerate(one.first) for d, y in enumerate(other.first) if may((*x, *y))
            }
            out.append(("leads", (variables[a], variables[b]), costs))
        return out

    def _only(self, factors: Sequence[Factor]) -> list[Ranked]:
        return [Ranked(cost=sum(f.costs[()] for f in factors), moves=0, order=0, alternatives=(), group=0)]

    def _refusals(self, r: ChartReading, tables: Outcomes, variables: Mapping[int, int]) -> NamedTable:
        """A chart that no call reads: no move leads to a row that the page refuses."""
        numbers = tables.groups(r)
        costs: dict[tuple[int, ...], Fraction | int] = {}
        for classes in tables.every(r):
            if not _not_usable(tables.at(r, classes)):
                costs[classes] = 0
        return r.name, tuple(variables[n] for n in numbers), costs

    def _folded(
        self, f: _Factor, homes: Mapping[int, int], tables: Outcomes, variables: Mapping[int, int], first: int
    ) -> tuple[tuple[int, ...], list[tuple[Alternative, ...]], dict[tuple[int, ...], Fraction | int]]:
        """The factor over its shared groups; groups of its own are folded into one variable whose values are the
        distinct costs."""
        read = {homes[p] for i in f.instructions for r in i.readings for p in r.parts if p in homes}
        own = {n for n in read if n not in variables}
        first = first if f.targets else 1
        states = walk(f.name, f.instructions, f.keep, self.groups, tables, own, first)
        protected = self._runs[f.name] = self._protected(f, states)
        costs: dict[tuple[int, ...], Fraction | int] = {}
        private: list[tuple[Alternative, ...]] = []
        ordered = sorted(read - own)
        merged: dict[tuple[tuple[int, ...], Fraction], list[Alternative]] = {}
        reported: dict[tuple[int, ...], tuple[Fraction, ...]] = {}
        for state, cost in self._costs(f, states, self.space, self.groups, protected):
            at = dict(state.classes)
            key = tuple(at[n] for n in ordered)
            airflows = (self._asked(t.call, t.stage).airflow(state.registers) for t in f.targets)
            flows = tuple(x for x in airflows if x is not None)
            if own:
                merged.setdefault((key, cost), []).extend(
                    replace(w, payload=_Way(w.payload, f.name, flows)) for w in state.ways
                )
            else:
                costs[key] = cost
                reported[key] = flows
        if own:
            values: dict[tuple[Fraction, tuple[Alternative, ...]], int] = {}
            for (key, cost), ways in merged.items():
                kept = tuple(sorted(ways, key=lambda a: (a.moves, a.order))[:first])
                identity = (cost, kept)
                if identity not in values:
                    values[identity] = len(private)
                    private.append(kept)
                costs[(*key, values[identity])] = cost
        elif f.targets:
            self.reports[f.name] = (tuple(ordered), reported)
        return tuple(variables[n] for n in ordered), private, costs

    def _protected(self, f: _Factor, states: Sequence[State]) -> frozenset[Point]:
        """The stages that run for certain as the board stands, and that some setting lets run: no setting may stop
        them."""
        standing = tuple(
            self.space.fixed[i][0] if self.space.fixed.get(i, (None, ""))[1] == "fact" else at
            for i, at in enumerate(self.space.baseline)
        )
        parts = self.engine.table.parts
        open_ = tuple(i for i, at in enumerate(standing) if at is None and not parts[i].declares)
        board = replace(
            self.space,
            baseline=standing,
            fixed={i: (at, "as found") for i, at in enumerate(standing) if i not in open_},
            searched=open_,
            as_seen=True,
            domains={i: tuple(range(len(parts[i].positions))) for i in open_},
        )
        outcomes = {state.outcome: state.registers for state in states}.values()
        out = set()
        for stage in f.running:
            if not all(stage.stopped(registers) for registers in outcomes) and all(
                no.kind != "does_not_run"
                for w in stage.worlds
                for no in airflows_over(w.engine, board.where(w.at), stage.point, _as_read)[1]
            ):
                out.add(stage.point)
        return frozenset(out)

    def never(self, stage: Running) -> bool:
        """True for a stage that is refused wherever it runs, at every position of the board: it is not to be had."""
        point = stage.point
        found = self._never.get(point)
        if found is None:
            parts = self.engine.table.parts
            fixed = {i: (at, why) for i, (at, why) in self.space.fixed.items() if parts[i].declares}
            free = tuple(p.index for p in parts if p.index not in fixed)
            space = replace(
                self.space,
                fixed=fixed,
                searched=free,
                domains={i: tuple(range(len(parts[i].positions))) for i in free},
            )
            every = [airflows_over(w.engine, space.where(w.at), point, _as_read) for w in stage.worlds]
            noes = [no for _, found_noes in every for no in found_noes]
            found = self._never[point] = (
                any(no.refused for no in noes)
                and not any(airflows for airflows, _ in every)
                and all(no.refused or no.kind == "does_not_run" for no in noes)
            )
        return found

    def not_to_be_had(self) -> tuple[tuple[str, str], ...]:
        """The stages that the search found not to be had."""
        return tuple((point.call, point.stage) for point, never in self._never.items() if never)

    def _judged(
        self, f: _Factor, registers: Mapping[Register, Value], stands: Callable[[], Setting]
    ) -> Iterator[tuple[World, Point, JudgedLimit]]:
        """The limits that can be judged, world by world; between printed firing rates too, where the airflow bends."""
        for world, point, limit in f.judged:
            own = world.own(registers)
            x = finished(own.get(point.airflow))
            if isinstance(x, No):
                continue
            heat = own.get(point.heat)
            warm = None if heat is None else finished(heat)
            yield world, point, judged_limit(world.engine, limit, f.call, point, x, warm, own)
        if f.bent:
            standing = stands()
            for stage in f.running:
                for world in stage.worlds if stage.point.stage in f.bent else ():
                    board = Board(world.engine, world.filled(standing))
                    for point in board.bends(f.call, stage.point.stage):
                        yield from ((world, point, j) for j in board.judged(point))

    def _broken(
        self, f: _Factor, registers: Mapping[Register, Value], stands: Callable[[], Setting]
    ) -> Iterator[JudgedLimit]:
        """The limits that are broken in every world in which their stage has an airflow, each where it is broken
        least."""
        worst: dict[tuple[object, ...], dict[int, JudgedLimit]] = {}
        for world, point, one in self._judged(f, registers, stands):
            limit = one.limit
            key = (point.stage, limit.quantity, limit.source, limit.line, limit.least is None)
            at = worst.setdefault(key, {})
            old = at.get(world.number)
            if old is None or (one.ok is False and (old.ok is not False or one.miss > old.miss)):
                at[world.number] = one
        for (stage, *_), at in worst.items():
            running = next(s for s in f.running if s.point.stage == stage)
            flows = zip(running.worlds, running.airflows(registers), strict=True)
            held = [at.get(w.number) for w, x in flows if not isinstance(x, No)]
            broken = [one for one in held if one is not None and one.ok is False]
            if broken and len(broken) == len(held):
                yield min(broken, key=lambda j: j.miss)

    def _costs(
        self,
        f: _Factor,
        states: Iterable[State],
        space: Space,
        groups: Sequence[SelectorGroup],
        protected: frozenset[Point],
    ) -> Iterator[tuple[State, Fraction]]:
        """The states that count, with their costs: one cost for all that come to the same, but where it asks how the
        board stands between firing rates."""
        known: dict[int, Fraction | None] = {}
        for state in states:
            if f.bent or state.outcome not in known:
                stands = partial(_standing, space, groups, state.classes)
                known[state.outcome] = self._cost(f, state.registers, stands, protected)
            cost = known[state.outcome]
            if cost is not None:
                yield state, cost

    def _cost(
        self,
        f: _Factor,
        registers: Mapping[Register, Value],
        stands: Callable[[], Setting],
        protected: frozenset[Point],
    ) -> Fraction | None:
        """Sum of weighted deviations; None where a stage is refused or stopped, or a limit is broken (where limits are
        kept)."""
        total = Fraction(0)
        for stage in f.running:
            if stage.point in protected and stage.stopped(registers):
                return None
            if stage.refused(registers) and not self.never(stage):
                return None
        if self.limits != "none":
            for one in self._broken(f, registers, stands):
                if self.limits == "kept":
                    return None
                total += 1000 * one.miss + 1000
        for t in f.targets:
            value = self._got(t, registers)
            if value is None:
                stage = self._asked(t.call, t.stage)
                self.depended |= dict.fromkeys(deciding(stage.worlds, stage.airflows(registers)))
                return None
            total += t.weight * t.deviation(value)
        return total

    def _got(self, t: Target, registers: Mapping[Register, Value]) -> Fraction | None:
        stage = self._asked(t.call, t.stage, heat=t.quantity == "temperature rise")
        x = stage.airflow(registers)
        if x is None:
            return None
        other = self._asked(*t.of).airflow(registers) if t.of is not None else None
        values = []
        for world in stage.worlds:
            heat = registers.get(world.told(stage.point.heat))
            values.append(got(world.engine, t, x, heat if isinstance(heat, Fraction) else None, other))
        return values[0] if in_all(values) else None

    def _found(self, ranked: Ranked, scale: int) -> Found:
        at: dict[int, int | None] = {i: position for i, (position, _) in self.space.fixed.items()}
        flows: dict[str, tuple[Fraction, ...]] = {}
        for alternative in ranked.alternatives:
            _unpack(alternative.payload, at, flows)
        for name, (numbers, reported) in self.reports.items():
            flows[name] = reported[tuple(self.groups[n].class_at(at) for n in numbers)]
        setting = tuple(None if i in self.space.unknown else at[i] for i in range(len(self.engine.table.parts)))
        airflows: dict[tuple[str, str], Fraction] = {}
        for f in self.factors:
            for t, x in zip(f.targets, flows.get(f.name, ()), strict=False):
                airflows[t.call, t.stage] = x
        base = self.space.baseline
        changed = tuple(i for i, p in enumerate(setting) if base[i] is not None and p is not None and p != base[i])
        return Found(
            setting=setting,
            deviation=Fraction(ranked.cost, scale),
            moves=len(changed),
            group=ranked.group,
            airflows=airflows,
            answers=evaluated(self.engine, setting),
            changed=changed,
        )


class _Way(Struct, frozen=True):
    """How a call's own selectors stand, and the airflows that come of it."""

    assigned: object
    name: str
    flows: tuple[Fraction, ...]


def _standing(space: Space, groups: Sequence[SelectorGroup], classes: Iterable[tuple[int, int]]) -> Setting:
    """Where every part stands in classes of some groups."""
    at = {p: at for n, c in classes for p, at in zip(groups[n].parts, groups[n].first[c], strict=True)}
    return tuple(at.get(i, stands) for i, stands in enumerate(space.standing))


def _not_usable(outcome: Outcome) -> bool:
    return isinstance(outcome, No) and outcome.kind == "not_usable"


def _ways_of(groups: Sequence[SelectorGroup], kept: Collection[tuple[int, ...]]) -> Allowed:
    """The positions of several groups' parts whose classes are among those kept."""
    count = prod(len(g.ways) for g in groups)
    if count > LARGEST:
        raise TooLarge(variables=(), factors=(), entries=count)
    ways = {
        tuple(at for way in choice for at in way)
        for choice in product(*(g.ways for g in groups))
        if tuple(g.class_of[g.ways.index(way)] for g, way in zip(groups, choice, strict=True)) in kept
    }
    return Allowed(tuple(p for g in groups for p in g.parts), frozenset(ways))


def _as_read(reading: ChartReading, positions: tuple[int, ...]) -> Outcome:
    """What a board gives that stands so, whether or not it may be proposed."""
    return reading.find(positions)


def _unpack(payload: object, at: dict[int, int | None], flows: dict[str, tuple[Fraction, ...]]) -> None:
    if isinstance(payload, Together):
        for one in payload.payloads:
            _unpack(one, at, flows)
        return
    if isinstance(payload, _Way):
        flows[payload.name] = payload.flows
        payload = payload.assigned
    assert isinstance(payload, tuple)
    for part, position in payload:
        at[part] = position
