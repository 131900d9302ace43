"""What stands against a setting: windows, limits and held positions that can't be had together, though any one of them
less could.

Found by leaving one out after the other and searching exactly each time: what isn't needed for the contradiction drops
out.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from fractions import Fraction

from selector.job.targets.stage_target import HIGHEST
from selector.solve.board.marks import mark
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import Board
from selector.solve.search.find import Found, Request, nearest
from selector.solve.search.targets import Target, point_of
from selector.table.model.quantities import BOUNDING
from selector.table.model.table import No, Setting, Table
from selector.value import Struct, field, replace


class Obstacle(Struct, frozen=True, kw_only=True):
    """One thing that stands against a setting. `nearest`: what a window would get if nothing else counted, where
    even that isn't inside."""

    words: str
    nearest: Fraction | None = None


class _Constraint(Struct, frozen=True, kw_only=True):
    """Something that can be left out: a target not asked, a position not held, a limit lifted from the table.
    `calls`: those it speaks of."""

    words: str
    target: Target | None = None
    held: tuple[int, int] | None = None
    lift: Callable[[Table], Table] | None = None
    calls: tuple[str, ...] = ()


def against(
    engine: Engine, found: Setting, targets: Sequence[Target], held: Mapping[int, int], always: Sequence[Target] = ()
) -> tuple[tuple[Obstacle, ...], tuple[int, ...]]:
    """A least set of obstacles and the parts that more than one of their calls reads; no obstacle where the page
    refuses every setting."""
    trial = _Trial(engine, found, (*_limits(engine), *_holds(engine.table, held), *_windows(targets)), tuple(always))
    needed = list(trial.constraints)
    for one in trial.constraints:
        without = [c for c in needed if c is not one]
        if not trial.fits(without):
            needed = without
    return tuple(Obstacle(words=c.words, nearest=trial.nearest(c)) for c in needed), _shared(engine, needed)


class _Trial(Struct, frozen=True):
    """Searches with some of the constraints kept and the others left wide open, so that the same selectors are searched
    each time.

    `known`: what was searched already, by the constraints kept.
    """

    engine: Engine
    found: Setting
    constraints: tuple[_Constraint, ...]
    always: tuple[Target, ...]
    known: dict[frozenset[int], Found | None] = field(default_factory=dict)

    def fits(self, kept: Sequence[_Constraint]) -> bool:
        """True where some setting meets everything kept."""
        first = self.first(kept)
        return first is not None and first.deviation == 0

    def first(self, kept: Sequence[_Constraint]) -> Found | None:
        """The nearest setting under what is kept."""
        key = frozenset(n for n, one in enumerate(self.constraints) if one in kept)
        if key not in self.known:
            self.known[key] = self._search(kept)
        return self.known[key]

    def _search(self, kept: Sequence[_Constraint]) -> Found | None:
        targets = tuple(c.target if c in kept else _opened(c.target) for c in self.constraints if c.target is not None)
        held = dict(c.held for c in kept if c.held is not None)
        return nearest(
            self.freed(kept),
            Request(targets=(*targets, *self.always), held=held, found=self.found, first=1, near=Fraction(0)),
        )

    def freed(self, kept: Sequence[_Constraint]) -> Engine:
        """The engine without the limits that aren't kept."""
        table = self.engine.table
        for one in self.constraints:
            if one.lift is not None and one not in kept:
                table = one.lift(table)
        return self.engine if table is self.engine.table else Engine(table, self.engine.facts)

    def nearest(self, one: _Constraint) -> Fraction | None:
        """The airflow nearest to one window asked for alone, where even that isn't inside."""
        first = self.first([one]) if one.target is not None else None
        if first is None or one.target is None or first.deviation == 0:
            return None
        engine = self.freed([one])
        airflow = Board(engine, first.setting).airflow(point_of(engine, one.target.call, one.target.stage))
        return None if isinstance(airflow, No) else airflow


def _opened(target: Target) -> Target:
    """The same stage with nothing asked but that it runs."""
    return replace(target, low=Fraction(0), high=HIGHEST)


def _windows(targets: Sequence[Target]) -> list[_Constraint]:
    return [_Constraint(words=f"{t.call} {t.stage}".strip() + f" {t.text}", target=t, calls=(t.call,)) for t in targets]


def _holds(table: Table, held: Mapping[int, int]) -> list[_Constraint]:
    return [
        _Constraint(words=f"{table.parts[p].name} held {mark(table, p, at)}", held=(p, at)) for p, at in held.items()
    ]


def _limits(engine: Engine) -> list[_Constraint]:
    """The plate's rise, each call's own window, and charts of least and most airflow that act as windows."""
    table = engine.table
    out = []
    if "temperature rise" in table.ratings:
        heating = tuple(call.name for call in table.calls.values() if call.heats)
        out.append(_Constraint(words="the plate's rise", lift=_without_rating("temperature rise"), calls=heating))
    for call in table.calls.values():
        if call.windows:
            out.append(
                _Constraint(
                    words=f"the manual's limits of {call.name}", lift=_without_window(call.name), calls=(call.name,)
                )
            )
    for chart in table.charts.values():
        if set(BOUNDING) & set(chart.gives) and chart.name not in engine.used_as_step:
            out.append(
                _Constraint(
                    words=f"the manual's {chart.name}", lift=_without_chart(chart.name), calls=tuple(table.calls)
                )
            )
    return out


def _without_rating(name: str) -> Callable[[Table], Table]:
    def lift(table: Table) -> Table:
        rating = table.ratings[name]
        wide = replace(rating, values=dict.fromkeys(rating.values, (Fraction(0), HIGHEST)))
        return replace(table, ratings={**table.ratings, name: wide})

    return lift


def _without_window(name: str) -> Callable[[Table], Table]:
    def lift(table: Table) -> Table:
        call = table.calls[name]
        wide = tuple(replace(window, low=Fraction(0), high=HIGHEST) for window in call.windows)
        return replace(table, calls={**table.calls, name: replace(call, windows=wide)})

    return lift


def _without_chart(name: str) -> Callable[[Table], Table]:
    return lambda table: replace(table, charts={key: chart for key, chart in table.charts.items() if key != name})


def _shared(engine: Engine, needed: Sequence[_Constraint]) -> tuple[int, ...]:
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
