"""The fewest calls that already leave no setting: one by itself, or two together, searched on a table of these calls
alone.

What no setting gives to some of the calls, none gives to all: so an explanation found here is true of the whole board,
and quick.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction
from itertools import combinations

from selector.solve.engine.engine import Engine
from selector.solve.search.find import Request, nearest
from selector.solve.search.targets import Target
from selector.table.model.quantities import BOUNDING
from selector.table.model.table import Atom, Call, CallValue, Named, Setting, Table
from selector.value import replace


def narrowed(
    engine: Engine, targets: Sequence[Target], found: Setting, held: Mapping[int, int]
) -> tuple[Engine, tuple[Target, ...]]:
    """The engine and the windows of the fewest calls that can't all be met; everything where no one or two calls are
    to blame."""
    asked = list(dict.fromkeys(t.call for t in targets))
    for size in (1, 2):
        for calls in combinations(asked, size):
            own = Engine(only(engine, calls), engine.facts)
            wanted = tuple(t for t in targets if t.call in own.table.calls)
            first = nearest(own, Request(targets=wanted, held=held, found=found, first=1, near=Fraction(0)))
            if first is None or first.deviation:
                return own, wanted
    return engine, tuple(targets)


def only(engine: Engine, names: Iterable[str]) -> Table:
    """The table with these calls, those they read, and the charts that all of them need."""
    table = engine.table
    calls: dict[str, Call] = {}
    waiting = list(names)
    while waiting:
        name = waiting.pop()
        if name in calls:
            continue
        calls[name] = table.calls[name]
        waiting += [atom.call for atom in _atoms(table.calls[name]) if isinstance(atom, CallValue)]
    needed = {
        atom.name
        for call in calls.values()
        for atom in _atoms(call)
        if isinstance(atom, Named) and atom.kind == "chart"
    }
    bounds = set(BOUNDING)
    limits = {
        name for name, chart in table.charts.items() if bounds & set(chart.gives) and name not in engine.used_as_step
    }
    charts = {name: chart for name, chart in table.charts.items() if name in needed | limits}
    return replace(table, calls={name: call for name, call in table.calls.items() if name in calls}, charts=charts)


def _atoms(call: Call) -> Iterable[Atom]:
    """Everything a call's steps, ramps and delays name."""
    for step in (*call.airflow, *call.heat, *call.limits):
        yield from step.by_stage.values()
    for by_stage in (call.ramp, call.on_delay, call.off_delay):
        yield from by_stage.values()
