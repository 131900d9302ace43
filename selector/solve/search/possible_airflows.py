"""Every airflow that a call's stage may have while some selectors stand open, without listing settings."""

from __future__ import annotations

from fractions import Fraction

from selector.solve.engine.engine import Engine, Point
from selector.solve.engine.step_arithmetic import finished
from selector.solve.search.space import Look, Space, Why, groups_of, offered, with_leads
from selector.solve.search.walk import Outcomes, walk
from selector.table.model.table import Either, No
from selector.value import replace


def airflows_over(
    engine: Engine, space: Space, point: Point, look: Look
) -> tuple[tuple[Fraction, ...], tuple[No, ...]]:
    """The distinct airflows over the searched parts of a space, rising, and one reason of each kind why there may be
    none (one for each figure printed as one of several).

    Raises rank.TooLarge where too many outcomes would have to be told apart.
    """
    instructions = engine.airflow(engine.table.calls[point.call], point.stage, point.rate)
    readings = tuple(dict.fromkeys(r for i in instructions for r in i.readings))
    read = {p for r in readings for p in r.parts}
    read = with_leads(engine.table, read)
    idle: dict[int, tuple[int | None, Why]] = {
        p: (space.baseline[p], "as found") for p in space.searched if p not in read
    }
    space = replace(space, searched=tuple(p for p in space.searched if p in read), fixed={**space.fixed, **idle})
    groups = groups_of(engine, space, readings, 1, look)
    homes = {p: n for n, g in enumerate(groups) for p in g.parts}
    states = walk(
        point.call,
        instructions,
        [point.airflow],
        groups,
        Outcomes(space, groups, homes, look),
        set(range(len(groups))),
        1,
    )
    airflows: set[Fraction] = set()
    noes: dict[tuple[str, Either | None], No] = {}
    for state in states:
        x = finished(state.registers.get(point.airflow))
        if isinstance(x, No):
            noes.setdefault((x.kind, x.either), x)
        else:
            airflows.add(x)
    return tuple(sorted(airflows)), tuple(noes.values())


def reachable(engine: Engine, space: Space, point: Point) -> tuple[Fraction, ...]:
    """The distinct airflows that settings which may be proposed give, rising, whatever limits say of them."""
    return airflows_over(engine, space, point, offered(space))[0]
