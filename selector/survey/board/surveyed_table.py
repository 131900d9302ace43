"""One table as a survey reads it: its limits with those that nobody typed, and which facts its charts read."""

from __future__ import annotations

from collections.abc import Iterator

from selector.judge.floors_and_ceilings import assumed_limits
from selector.judge.known_facts import KnownFacts, OutsideLimit
from selector.solve.board.facts import Facts
from selector.solve.engine.engine import Engine
from selector.table.model.roles import Role, roles
from selector.table.model.table import CALL, Condition, Named, PerTon, Table
from selector.value import Struct

STATIC = "static pressure"
TONS = "outdoor tons"


class SurveyedTable(Struct, frozen=True, kw_only=True):
    """`by_static`, `by_tons`: charts, steps, selectors or a window's condition read them, so that they change more than
    how far a limit is kept. `limits`: the assumed windows per ton."""

    table: Table
    roles: dict[str, Role]
    by_static: bool
    by_tons: bool
    limits: tuple[OutsideLimit, ...]

    def engine(self, facts: Facts) -> Engine:
        """The table under facts and the limits from outside."""
        return KnownFacts(facts=facts, limits=self.limits).engine(self.table)


def surveyed(table: Table, *, assumed: bool = True) -> SurveyedTable:
    """`assumed`: hold the usual window of airflow per ton (as `found` does) beside the table's own."""
    told = {f.name for f in table.facts.values() if f.gives == "tons"}
    read = frozenset(_facts_read(table))
    of = roles(table)
    return SurveyedTable(
        table=table,
        roles=of,
        by_static=STATIC in read,
        by_tons=not read.isdisjoint({TONS, "tons", *told}),
        limits=tuple(assumed_limits(table)) if assumed else (),
    )


def _facts_read(table: Table) -> Iterator[str]:
    """The names of facts that an airflow, or which limit holds, may follow from."""
    conditions: list[Condition] = [*table.unit.only]
    for chart in table.charts.values():
        yield from (key.name for key in (*chart.keys, *chart.heads) if key.kind == "fact")
        conditions += (*chart.only, *(c for note in chart.notes for c in note.only))
    for call in table.calls.values():
        conditions += (*call.when, *(c for window in call.windows for c in window.when))
        for step in (*call.airflow, *call.heat):
            conditions += step.when
            yield from (a.name for a in step.by_stage.values() if isinstance(a, Named) and a.kind == "fact")
            yield from (TONS for a in step.by_stage.values() if isinstance(a, PerTon))
    yield from (c.name for c in conditions if c.part < 0 and c.name != CALL)
    yield from (p.declares for p in table.parts if p.declares)
