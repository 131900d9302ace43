"""Why nothing fits: limits that leave no airflow, or limits and held positions that can't be had together, though any
one of them less could.

Found by leaving one out after the other and searching exactly each time: what isn't needed for the contradiction drops
out.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from fractions import Fraction
from typing import Literal

from selector.job.targets.aims import Bound, StageAim
from selector.job.targets.house import House
from selector.job.targets.stage_target import HIGHEST, as_target
from selector.judge.known_facts import KnownFacts, OutsideLimit
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import Board
from selector.solve.engine.limit import JudgedLimit
from selector.solve.search.find import Found, Request, nearest
from selector.solve.search.targets import Target, point_of
from selector.table.model.quantities import BOUNDING
from selector.table.model.range import Range
from selector.table.model.table import Call, No, Setting, Table
from selector.value import Struct, field, replace


class Obstacle(Struct, frozen=True, kw_only=True):
    """One thing that stands against a setting: what a stage of the house is allowed (`range`, with its `ends`), the
    plate's rise, what the page allows a call, a chart of limits, a position held, the static there is (`judged`).

    `nearest`: the airflow a stage would get if nothing else counted, where even that isn't inside.
    """

    what: Literal["stage", "plate rise", "call", "chart", "held", "static"]
    name: str = ""
    stage: str = ""
    range: Range = Range()
    ends: tuple[Bound, ...] = ()
    part: int = -1
    at: int = -1
    nearest: Fraction | None = None
    judged: JudgedLimit | None = None


class Conflict(Struct, frozen=True, kw_only=True):
    """One reason: a stage that no airflow suits (`empty`, short by so many cfm), or things that can't be had together.
    `shared`: names of the parts that more than one call in it reads."""

    empty: StageAim | None = None
    obstacles: tuple[Obstacle, ...] = ()
    shared: tuple[str, ...] = ()


def conflicts(house: House, known: KnownFacts, request: Request, at: Setting) -> tuple[Conflict, ...]:
    """What stands against every setting: stages without an allowed airflow first, else a least set of limits and held
    positions. Stages that don't run in `at`, the nearest miss, ask for nothing. As exact as the search."""
    board = Board(house.engine, at)
    running = [one for one in house.aims if _runs(board, one.call, one.stage)]
    found = tuple(Conflict(empty=one) for one in running if one.empty)
    if found:
        return found
    table = house.engine.table
    stages = [_stage(one, known.limits, house) for one in running]
    trial = Trial(
        engine=house.engine,
        known=known,
        request=replace(request, first=1, near=Fraction(0)),
        constraints=(*_page_limits(house.engine), *_held(request), *(one for one in stages if one is not None)),
    )
    needed = trial.least()
    if not needed:
        return ()
    obstacles = tuple(replace(one.obstacle, nearest=trial.nearest(one)) for one in needed)
    return (Conflict(obstacles=obstacles, shared=tuple(table.parts[p].name for p in _shared(house.engine, needed))),)


def _runs(board: Board, call: str, stage: str) -> bool:
    airflow = board.airflow(board.engine.asked(board.engine.table.calls[call], stage))
    return not (isinstance(airflow, No) and airflow.kind == "does_not_run")


class Constraint(Struct, frozen=True, kw_only=True):
    """Something that can be left out: limits from outside, a limit lifted from the table, a position not held.
    `calls`: those it speaks of."""

    obstacle: Obstacle
    limits: tuple[OutsideLimit, ...] = ()
    lift: Callable[[Table], Table] | None = None
    calls: tuple[str, ...] = ()


class Trial(Struct, frozen=True, kw_only=True):
    """Searches with some of the constraints kept and the others left out. `searched`: what was, by those kept."""

    engine: Engine
    known: KnownFacts
    request: Request
    constraints: tuple[Constraint, ...]
    searched: dict[frozenset[int], Found | None] = field(default_factory=dict)

    def least(self) -> list[Constraint]:
        """A least set under which nothing fits; empty where nothing fits without any of them."""
        if self.first([]) is None:
            return []
        needed = list(self.constraints)
        for one in self.constraints:
            without = [c for c in needed if c is not one]
            if self.first(without) is None:
                needed = without
        return needed

    def first(self, kept: Sequence[Constraint]) -> Found | None:
        """The first setting under what is kept; the same selectors are searched each time."""
        key = frozenset(n for n, one in enumerate(self.constraints) if one in kept)
        if key not in self.searched:
            held = {c.obstacle.part: c.obstacle.at for c in kept if c.obstacle.what == "held"}
            targets = tuple(opened(t) for t in self.request.targets)
            self.searched[key] = nearest(self.under(kept), replace(self.request, targets=targets, held=held))
        return self.searched[key]

    def under(self, kept: Sequence[Constraint]) -> Engine:
        """The engine with the limits that are kept, and those that nothing here may leave out."""
        table = self.engine.table
        left_out: set[OutsideLimit] = set()
        for one in self.constraints:
            if one in kept:
                continue
            left_out.update(one.limits)
            table = one.lift(table) if one.lift is not None else table
        limits = tuple(x for x in self.known.limits if x not in left_out)
        return replace(self.known, limits=limits).engine(table)

    def nearest(self, one: Constraint) -> Fraction | None:
        """The airflow nearest to what one stage is allowed, asked for alone, where even that isn't inside."""
        if one.obstacle.what != "stage" or self.first([one]) is not None:
            return None
        target = as_target((one.obstacle.name, one.obstacle.stage), one.obstacle.range)
        engine = self.under([])
        found = nearest(engine, replace(self.request, targets=(target,), held={}))
        if found is None or not found.deviation:
            return None
        airflow = Board(engine, found.setting).airflow(point_of(engine, target.call, target.stage))
        return None if isinstance(airflow, No) else airflow


def opened(target: Target) -> Target:
    """The same stage with nothing asked but that it runs."""
    return replace(target, quantity="airflow", low=Fraction(0), high=HIGHEST)


def _stage(one: StageAim, limits: Iterable[OutsideLimit], house: House) -> Constraint | None:
    """What the house allows a stage; None where it limits nothing."""
    own = tuple(x for x in limits if (x.call, x.stage) == (one.call, one.stage))
    if not own:
        return None
    allowed = one.allowed(house.table.units.airflow).range
    for limit in own:
        if limit.quantity == "airflow":
            allowed = allowed.within(limit.range)
    ends = tuple(dict.fromkeys(b for b in (one.low, one.high) if b is not None))
    obstacle = Obstacle(what="stage", name=one.call, stage=one.stage, range=allowed, ends=ends)
    return Constraint(obstacle=obstacle, limits=own, calls=(one.call,))


def _held(request: Request) -> Iterable[Constraint]:
    for part, at in request.held.items():
        yield Constraint(obstacle=Obstacle(what="held", part=part, at=at))


def _page_limits(engine: Engine) -> Iterable[Constraint]:
    """The static that plate and page allow, the plate's rise, what the page allows each call, and charts of least and
    most airflow that act as windows."""
    table = engine.table
    worst = _static_over(engine)
    if worst is not None:
        yield Constraint(obstacle=Obstacle(what="static", judged=worst), lift=_without_static, calls=tuple(table.calls))
    if "temperature rise" in table.ratings:
        heating = tuple(call.name for call in table.calls.values() if call.heats)
        yield Constraint(obstacle=Obstacle(what="plate rise"), lift=_without_rise, calls=heating)
    for name, call in table.calls.items():
        if call.windows:
            yield Constraint(obstacle=Obstacle(what="call", name=name), lift=_without_windows(name), calls=(name,))
    for name, chart in table.charts.items():
        if set(BOUNDING) & set(chart.gives) and name not in engine.used_as_step:
            calls = tuple(table.calls)
            yield Constraint(obstacle=Obstacle(what="chart", name=name), lift=_without_chart(name), calls=calls)


def _static_over(engine: Engine) -> JudgedLimit | None:
    """The static that is furthest over what plate or page allow, whatever the board is set to; None where none is."""
    over = []
    for call in engine.table.calls.values():
        for stage in call.stages:
            static = engine.static_of(call, stage)
            for limit in engine.static_limits(call, stage):
                if static is not None and limit.range.side(static) == "above":
                    over.append(JudgedLimit(limit=limit, ok=False, value=static, range=limit.range))
    return max(over, key=lambda j: j.beyond, default=None)


def _without_static(table: Table) -> Table:
    def free(call: Call) -> Call:
        return replace(call, windows=tuple(w for w in call.windows if w.quantity != "static pressure"))

    return replace(
        table,
        ratings={name: rating for name, rating in table.ratings.items() if name != "plate static"},
        unit=replace(table.unit, holds_up_to=None),
        charts={name: replace(chart, holds_up_to=None) for name, chart in table.charts.items()},
        calls={name: free(call) for name, call in table.calls.items()},
    )


def _without_rise(table: Table) -> Table:
    rating = table.ratings["temperature rise"]
    wide = replace(rating, values=dict.fromkeys(rating.values, (Fraction(0), HIGHEST)))
    return replace(table, ratings={**table.ratings, "temperature rise": wide})


def _without_windows(name: str) -> Callable[[Table], Table]:
    return lambda table: replace(table, calls={**table.calls, name: replace(table.calls[name], windows=())})


def _without_chart(name: str) -> Callable[[Table], Table]:
    return lambda table: replace(table, charts={key: chart for key, chart in table.charts.items() if key != name})


def _shared(engine: Engine, needed: Sequence[Constraint]) -> tuple[int, ...]:
    """Parts that more than one of the calls spoken of reads."""
    readers: dict[int, set[str]] = {}
    for name in dict.fromkeys(call for one in needed for call in one.calls):
        call = engine.table.calls[name]
        for stage in call.stages:
            for point in engine.points(call, stage):
                for instruction in engine.airflow(call, stage, point.rate):
                    for part in (p for reading in instruction.readings for p in reading.parts):
                        readers.setdefault(part, set()).add(name)
    return tuple(sorted(part for part, calls in readers.items() if len(calls) > 1))
