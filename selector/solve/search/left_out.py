"""What a search passes over, counted and named."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from selector.solve.engine.engine import Engine
from selector.solve.search.space import Space
from selector.table.model.table import ABSENT, CellWord, Either
from selector.value import Struct


class PassedOver(Struct, frozen=True, kw_only=True):
    """What a search did not consider: what it is, the parts or charts, and how many positions or rows."""

    what: Literal["cut", "copied row", "not used", "ambiguous figure", "off pins", "fact"]
    name: str
    count: int


def left_out(engine: Engine, space: Space, facts: Sequence[str] = ()) -> tuple[PassedOver, ...]:
    """What a search over a space passes over: cut links, positions not used, positions off pins, rows
    that behave as others, figures that can't be read, and airflows that depend on `facts` that aren't given."""
    out: list[PassedOver] = []
    for i in space.searched:
        part = engine.table.parts[i]
        gone = [at for at in range(len(part.positions)) if at not in space.domains[i]]
        if cut := sum(at in part.final for at in gone):
            out.append(PassedOver(what="cut", name=part.name, count=cut))
        if idle := sum(at in part.idle for at in gone):
            out.append(PassedOver(what="not used", name=part.name, count=idle))
        if part.absent and ABSENT not in space.domains[i]:
            out.append(PassedOver(what="off pins", name=part.name, count=1))
    for chart in engine.table.charts.values():
        copies = sum(bool(row.like) for row in chart.rows)
        unclear = sum(any(c is CellWord.UNREADABLE or isinstance(c, Either) for c in row.cells) for row in chart.rows)
        if copies:
            out.append(PassedOver(what="copied row", name=chart.name, count=copies))
        if unclear:
            out.append(PassedOver(what="ambiguous figure", name=chart.name, count=unclear))
    out += [PassedOver(what="fact", name=name, count=1) for name in facts]
    return tuple(out)
