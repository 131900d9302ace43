"""The settings nearest the targets: exact, by elimination over the outcomes of charts."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from math import lcm
from typing import Literal

from selector.solve.board.marks import tapped_twice
from selector.solve.engine.bends import may_bend
from selector.solve.engine.engine import Engine, Limit, Point
from selector.solve.engine.evaluate import Board, CallAnswer, JudgedLimit, evaluate, judge
from selector.solve.engine.instructions import Instruction, Register, Value, finished
from selector.solve.engine.readings import ChartReading, Outcome
from selector.solve.rank.rank import Alternative, Factor, Ranked, Variable, rank
from selector.solve.search.space import SelectorGroup, Space, Why, groups_of, offered, space_of
from selector.solve.search.targets import Target, got, point_of
from selector.solve.search.walk import Outcomes, walk
from selector.table.model.table import Call, No, Setting
from selector.value import Struct, field, replace

NEAR = Fraction(1)
FIRST = 3


class Request(Struct, frozen=True, kw_only=True):
    """What is asked: targets, positions held (part -> position), the setting as found, how many answers, `near` in
    percentage points."""

    targets: tuple[Target, ...]
    held: Mapping[int, int] = field(default_factory=dict)
    found: Setting | None = None
    first: int = FIRST
    near: Fraction = NEAR


class Found(Struct, frozen=True, kw_only=True):
    """One setting. `airflows` are those the search itself worked out, for each target's call and stage; `answers`
    come from evaluating the board."""

    setting: Setting
    deviation: Fraction
    moves: int
    group: int
    airflows: Mapping[tuple[str, str], Fraction]
    answers: Mapping[str, CallAnswer]
    changed: tuple[int, ...]


class NotJudged(Struct, frozen=True, kw_only=True):
    """A limit or a call that can't be judged, and the fact that is missing."""

    call: str
    stage: str
    limit: str
    why: str


class Miss(Struct, frozen=True, kw_only=True):
    """Why nothing fits: the nearest setting there is with the limits it breaks, or why a call has no airflow, and held
    positions to blame.

    Without any one of the `blame` parts held a setting fits; with `together` only without all of them.
    """

    nearest: Found | None
    broken: tuple[tuple[str, str, JudgedLimit], ...]
    refused: tuple[tuple[str, str, No], ...]
    blame: tuple[int, ...]
    together: bool = False


class FindResult(Struct, frozen=True, kw_only=True):
    """The ranked settings, or why there are none. `nearer` is a setting nearer than the first that limits forbid,
    where there is one."""

    found: tuple[Found, ...]
    space: Space
    not_judged: tuple[NotJudged, ...]
    miss: Miss | None = None
    nearer: Found | None = None


class _Factor(Struct):
    """One call (or a share's two calls): what has to be carried out, what is judged, what it costs.

    `reads` are the parts that a stage with a target or a limit reads; only these are searched.
    """

    name: str
    instructions: list[Instruction]
    judged: list[tuple[Call, Point, Limit]]
    targets: list[Target]
    keep: set[Register]
    running: list[Register]
    warm: list[Register]
    bent: list[str]
    reads: dict[tuple[str, str], set[int]]


def find(engine: Engine, request: Request) -> FindResult:
    """The first settings in their order, or why none fits. Raises rank.TooLarge naming charts and outcomes beyond
    the bound."""
    search = _Search(engine, request)
    ranked = search.ranked(request.first, request.near)
    if ranked:
        nearer = _nearer(engine, request, ranked[0])
        return FindResult(
            found=tuple(ranked), space=search.space, not_judged=_not_judged(engine, ranked[0].setting), nearer=nearer
        )
    miss = _miss(engine, request)
    setting = miss.nearest.setting if miss.nearest is not None else search.space.standing
    return FindResult(found=(), space=search.space, not_judged=_not_judged(engine, setting), miss=miss)


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


def _not_judged(engine: Engine, setting: Setting) -> tuple[NotJudged, ...]:
    """Limits that can't be judged for want of a fact, and calls without an airflow, in a setting."""
    out: dict[NotJudged, None] = {}
    board = Board(engine, setting)
    for call in engine.table.calls.values():
        for stage in call.stages:
            for point in engine.points(call, stage):
                x = board.airflow(point)
                if isinstance(x, No):
                    if x.kind != "does_not_run":
                        out[NotJudged(call=call.name, stage=stage, limit="", why=x.why)] = None
                    continue
                for j in board.judged(point):
                    if j.ok is None:
                        out[NotJudged(call=call.name, stage=stage, limit=j.limit.source, why=j.why)] = None
    return tuple(out)


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
        broken = tuple(
            (s.call, s.stage, j)
            for a in nearest[0].answers.values()
            for s in a.stages
            for j in s.judged
            if j.ok is False
        )
        return Miss(nearest=nearest[0], broken=broken, refused=(), blame=tuple(blame), together=together)
    setting = tuple(
        relaxed.space.fixed[i][0] if i in relaxed.space.fixed else relaxed.space.baseline[i]
        for i in range(len(engine.table.parts))
    )
    board = Board(engine, setting)
    refused: list[tuple[str, str, No]] = []
    for t in request.targets:
        x = board.airflow(point_of(engine, t.call, t.stage))
        if isinstance(x, No):
            refused.append((t.call, t.stage, x))
        elif t.quantity == "airflow per ton" and engine.tons() is None:
            refused.append((t.call, t.stage, No(kind="not_known", why="outdoor tons are not given")))
    return Miss(nearest=None, broken=(), refused=tuple(refused), blame=tuple(blame), together=together)


class _Search:
    """One search: built once, ranked once."""

    def __init__(self, engine: Engine, request: Request, *, limits: Literal["kept", "costly", "none"] = "kept") -> None:
        self.engine = engine
        self.request = request
        self.limits = limits
        self._points: dict[tuple[str, str], Point] = {}
        self.factors = self._factors()
        self._place()

    def _place(self) -> None:
        judged_parts = {p for f in self.factors for read in f.reads.values() for p in read}
        self.space = space_of(self.engine, self.request.found, self.request.held, judged_parts)
        self.groups: list[SelectorGroup] = []
        self.reports: dict[str, tuple[tuple[int, ...], dict[tuple[int, ...], tuple[Fraction, ...]]]] = {}

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
            f = _Factor(call.name, [], [], by_call.get(call.name, []), set(), [], [], [], {})
            for stage in call.stages:
                for point in engine.points(call, stage):
                    self._add(f, call, point, limits=True)
            for t in f.targets:
                self._add(f, call, self._point(t.call, t.stage), limits=False, heat=t.quantity == "temperature rise")
                if t.of is not None:
                    self._add(f, table.calls[t.of[0]], self._point(*t.of), limits=False)
            f.instructions = list(dict.fromkeys(f.instructions))
            f.bent = [
                s
                for s in call.stages
                if may_bend(engine, call, s) and any(point.stage == s for _, point, _ in f.judged)
            ]
            out.append(f)
        return out

    def _add(self, f: _Factor, call: Call, point: Point, *, limits: bool, heat: bool = False) -> None:
        engine = self.engine
        f.instructions.extend(engine.airflow(call, point.stage, point.rate))
        f.keep.add(point.airflow)
        if point.call == f.name:
            f.running.append(point.airflow)
        found, extra = engine.limits(call, point.stage, point.rate) if limits else ((), ())
        usable = [
            x
            for x in found
            if not (x.quantity == "airflow per ton" and engine.tons() is None)
            and not (x.low is None and x.high is None and x.least is None and x.most is None)
        ]
        rise = any(x.quantity == "temperature rise" for x in usable)
        if heat or rise or call.heat:
            instructions = engine.heat(call, point.stage, point.rate)
            f.instructions.extend(instructions)
            f.keep.add(point.heat)
            f.warm.append(point.heat)
            if not instructions:
                usable = [x for x in usable if x.quantity != "temperature rise"]
        f.instructions.extend(extra)
        f.keep.update(i.target for i in extra)
        f.judged.extend((call, point, x) for x in usable)
        if usable or not limits:
            read = [
                *engine.airflow(call, point.stage, point.rate),
                *extra,
                *(engine.heat(call, point.stage, point.rate) if heat or rise else ()),
            ]
            f.reads.setdefault((point.call, point.stage), set()).update(
                p for i in read for r in i.readings for p in r.parts
            )

    # -- ranking

    def ranked(self, first: int, near: Fraction) -> list[Found]:
        """The first settings, empty if none fits."""
        table = self.engine.table
        readings = tuple(
            dict.fromkeys((*(r for f in self.factors for i in f.instructions for r in i.readings), *self._others()))
        )
        if tapped_twice(
            tuple(self.space.fixed[i][0] if i in self.space.fixed else None for i in range(len(table.parts))), table
        ):
            return []
        look = offered(self.space.searched)
        groups = self.groups = groups_of(self.engine, self.space, readings, first, look)
        homes = {p: n for n, g in enumerate(groups) for p in g.parts}
        tables = Outcomes(self.space, groups, homes, look)
        uses: dict[int, int] = {}
        for f in self.factors:
            for n in {homes[p] for i in f.instructions for r in i.readings for p in r.parts if p in homes}:
                uses[n] = uses.get(n, 0) + (2 if f.bent else 1)
        others = [r for r in self._others() if any(p in homes for p in r.parts)]
        for r in others:
            for n in {homes[p] for p in r.parts if p in homes}:
                uses[n] = uses.get(n, 0) + 1
        variables: dict[int, int] = {}
        made: list[Variable] = []
        for n, g in enumerate(groups):
            if uses.get(n, 0) != 1:
                variables[n] = len(made)
                made.append(Variable(name=" ".join(table.parts[p].name for p in g.parts), values=tuple(g.classes)))
        parts: list[tuple[str, tuple[int, ...], dict[tuple[int, ...], Fraction | int]]] = []
        for f in self.factors:
            folded = self._folded(f, groups, homes, tables, variables, first)
            if folded is None:
                self._place()
                return self.ranked(first, near)
            scope, private, costs = folded
            if private:
                scope = (*scope, len(made))
                made.append(Variable(name=f.name, values=tuple(private)))
            parts.append((f.name, scope, costs))
        for r in others:
            parts.append(self._refusals(r, groups, tables, variables, made))
        if any(not costs for _, _, costs in parts):
            return []
        scale = lcm(*(c.denominator for _, _, costs in parts for c in costs.values()))
        factors = []
        for name, scope, costs in parts:
            order = sorted(range(len(scope)), key=lambda i: scope[i])
            factors.append(
                Factor(
                    name=name,
                    scope=tuple(scope[i] for i in order),
                    costs={tuple(key[i] for i in order): int(c * scale) for key, c in costs.items()},
                )
            )
        found = rank(made, factors, k=first, near=int(near / 100 * scale)) if made else self._only(factors)
        return [self._found(r, scale) for r in found]

    def _only(self, factors: Sequence[Factor]) -> list[Ranked]:
        return [Ranked(cost=sum(f.costs[()] for f in factors), moves=0, order=0, alternatives=(), group=0)]

    def _others(self) -> list[ChartReading]:
        """Charts that no airflow or heat is worked out from (delays, ramps, labels, limits): their reserved rows are
        avoided too."""
        engine = self.engine
        call = next(iter(engine.table.calls.values()))
        return [
            engine.chart(c, call, call.last, "")
            for c in engine.table.charts.values()
            if c.name not in engine.used_as_step
        ]

    def _refusals(
        self,
        r: ChartReading,
        groups: Sequence[SelectorGroup],
        tables: Outcomes,
        variables: dict[int, int],
        made: list[Variable],
    ) -> tuple[str, tuple[int, ...], dict[tuple[int, ...], Fraction | int]]:
        numbers = tables.groups(r)
        costs: dict[tuple[int, ...], Fraction | int] = {}
        for classes in tables.every(r):
            outcome = tables.at(r, classes)
            if not (isinstance(outcome, No) and outcome.kind == "not_usable"):
                costs[classes] = 0
        for n in numbers:
            if n not in variables:
                variables[n] = len(made)
                made.append(Variable(name=r.name, values=tuple(groups[n].classes)))
        return r.name, tuple(variables[n] for n in numbers), costs

    def _folded(
        self,
        f: _Factor,
        groups: Sequence[SelectorGroup],
        homes: Mapping[int, int],
        tables: Outcomes,
        variables: Mapping[int, int],
        first: int,
    ) -> tuple[tuple[int, ...], list[tuple[Alternative, ...]], dict[tuple[int, ...], Fraction | int]] | None:
        """The factor over its shared groups; groups of its own are folded into one variable whose values are the
        distinct costs.

        None where a stage nobody asks for turns out not to be judged in any setting: its selectors needn't be searched.
        """
        own = {
            n
            for i in f.instructions
            for r in i.readings
            for p in r.parts
            if p in homes and (n := homes[p]) not in variables
        }
        shared = {
            n
            for i in f.instructions
            for r in i.readings
            for p in r.parts
            if p in homes and (n := homes[p]) in variables
        }
        states = walk(f.name, f.instructions, f.keep, groups, tables, own, first)
        weighed = [
            (bound, dict(registers), self._judged(f, dict(registers), dict(bound)), ways)
            for (bound, registers), ways in states.items()
        ]
        judged = (
            {(t.call, t.stage) for t in f.targets}
            | {t.of for t in f.targets if t.of}
            | {stage for _, _, found, _ in weighed for stage in found}
        )
        if not judged >= f.reads.keys():
            judged |= self._judged_on_copies(f)
        if not judged >= f.reads.keys():
            f.reads = {stage: parts for stage, parts in f.reads.items() if stage in judged}
            return None
        without = [r for r in f.running if all(_missing(finished(registers.get(r))) for _, registers, _, _ in weighed)]
        costs: dict[tuple[int, ...], Fraction | int] = {}
        private: list[tuple[Alternative, ...]] = []
        ordered = sorted(shared)
        merged: dict[tuple[tuple[int, ...], Fraction], list[Alternative]] = {}
        reported: dict[tuple[int, ...], tuple[Fraction, ...]] = {}
        for bound, registers, found, ways in weighed:
            cost = self._cost(f, registers, found, without)
            if cost is None:
                continue
            at = dict(bound)
            key = tuple(at[n] for n in ordered)
            flows = tuple(
                x for t in f.targets if isinstance(x := registers.get(self._point(t.call, t.stage).airflow), Fraction)
            )
            if own:
                merged.setdefault((key, cost), []).extend(
                    replace(w, payload=_Way(w.payload, f.name, flows)) for w in ways
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

    def _judged_on_copies(self, f: _Factor) -> set[tuple[str, str]]:
        """The stages that are judged on a row which behaves as another: never proposed, but a board may stand on it."""
        readings = tuple(dict.fromkeys(r for i in f.instructions for r in i.readings))
        charts = (self.engine.table.charts.get(r.name) for r in readings)
        if not any(row.like for chart in charts if chart is not None for row in chart.rows):
            return set()
        read = {p for r in readings for p in r.parts}
        idle: dict[int, tuple[int | None, Why]] = {
            p: (self.space.baseline[p], "as found") for p in self.space.searched if p not in read
        }
        space = replace(
            self.space, searched=tuple(p for p in self.space.searched if p in read), fixed={**self.space.fixed, **idle}
        )
        groups = groups_of(self.engine, space, readings, 1, _as_read)
        homes = {p: n for n, g in enumerate(groups) for p in g.parts}
        states = walk(
            f.name, f.instructions, f.keep, groups, Outcomes(space, groups, homes, _as_read), set(range(len(groups))), 1
        )
        return {stage for _, registers in states for stage in self._judged(f, dict(registers), {})}

    def _judged(
        self, f: _Factor, registers: Mapping[Register, Value], classes: Mapping[int, int]
    ) -> dict[tuple[str, str], list[JudgedLimit]]:
        """The limits that can be judged, by call and stage; between printed firing rates too, where the airflow
        bends."""
        out: dict[tuple[str, str], list[JudgedLimit]] = {}
        for call, point, limit in f.judged:
            x = finished(registers.get(point.airflow))
            if isinstance(x, No):
                continue
            heat = registers.get(point.heat)
            judged = judge(self.engine, limit, call, point, x, None if heat is None else finished(heat), registers)
            if judged.ok is not None:
                out.setdefault((point.call, point.stage), []).append(judged)
        if f.bent:
            at = {
                p: position
                for n, c in classes.items()
                for p, position in zip(self.groups[n].parts, self.groups[n].first[c], strict=True)
            }
            board = Board(self.engine, tuple(at.get(i, stands) for i, stands in enumerate(self.space.standing)))
            call = self.engine.table.calls[f.name]
            for point in (p for stage in f.bent for p in board.bends(call, stage)):
                told = [j for j in board.judged(point) if j.ok is not None]
                if told:
                    out.setdefault((point.call, point.stage), []).extend(told)
        return out

    def _cost(
        self,
        f: _Factor,
        registers: Mapping[Register, Value],
        judged: Mapping[tuple[str, str], list[JudgedLimit]],
        without: Sequence[Register],
    ) -> Fraction | None:
        """Sum of weighted deviations, None where something refuses or a limit is broken (where limits are kept).

        `without` have no airflow in any setting: want of a figure or fact is then told as not judged and stops nothing;
        a reserved row always does.
        """
        total = Fraction(0)
        for register in f.running:
            x = finished(registers.get(register))
            if isinstance(x, No) and x.refused and (x.kind == "not_usable" or register not in without):
                return None
        if any(isinstance(h := registers.get(register), No) and h.kind == "not_usable" for register in f.warm):
            return None
        for found in judged.values():
            for one in found:
                if one.ok is False:
                    if self.limits == "kept":
                        return None
                    if self.limits == "costly":
                        total += 1000 * one.miss + 1000
        for t in f.targets:
            value = self._got(t, registers)
            if value is None:
                return None
            total += t.weight * t.deviation(value)
        return total

    def _got(self, t: Target, registers: Mapping[Register, Value]) -> Fraction | None:
        point = self._point(t.call, t.stage)
        x = finished(registers.get(point.airflow))
        if isinstance(x, No):
            return None
        heat = registers.get(point.heat)
        other = finished(registers.get(self._point(*t.of).airflow)) if t.of is not None else None
        return got(
            self.engine,
            t,
            x,
            heat if isinstance(heat, Fraction) else None,
            other if isinstance(other, Fraction) else None,
        )

    def _found(self, ranked: Ranked, scale: int) -> Found:
        at: dict[int, int | None] = {i: position for i, (position, _) in self.space.fixed.items()}
        flows: dict[str, tuple[Fraction, ...]] = {}
        for alternative in ranked.alternatives:
            _unpack(alternative.payload, at, flows)
        for name, (numbers, reported) in self.reports.items():
            flows[name] = reported[tuple(self.groups[n].class_at(at) for n in numbers)]
        setting = tuple(at[i] for i in range(len(self.engine.table.parts)))
        airflows: dict[tuple[str, str], Fraction] = {}
        for f in self.factors:
            for t, x in zip(f.targets, flows.get(f.name, ()), strict=False):
                airflows[t.call, t.stage] = x
        base = self.space.baseline
        changed = tuple(i for i, p in enumerate(setting) if base[i] is not None and p != base[i])
        return Found(
            setting=setting,
            deviation=Fraction(ranked.cost, scale),
            moves=len(changed),
            group=ranked.group,
            airflows=airflows,
            answers=evaluate(self.engine, setting),
            changed=changed,
        )


class _Way(Struct, frozen=True):
    """How a call's own selectors stand, and the airflows that come of it."""

    assigned: object
    name: str
    flows: tuple[Fraction, ...]


def _as_read(reading: ChartReading, positions: tuple[int, ...]) -> Outcome:
    """What a board gives that stands so, whether or not it may be proposed."""
    return reading.find(positions)


def _missing(x: Fraction | No) -> bool:
    """True where there is no airflow, though the call runs."""
    return isinstance(x, No) and x.kind != "does_not_run"


def _unpack(payload: object, at: dict[int, int | None], flows: dict[str, tuple[Fraction, ...]]) -> None:
    if isinstance(payload, _Way):
        flows[payload.name] = payload.flows
        payload = payload.assigned
    assert isinstance(payload, tuple)
    for part, position in payload:
        at[part] = position
