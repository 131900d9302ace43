"""The usual window of airflow per ton, which every command holds a call to that runs the outdoor unit, where its tons
are known and nobody typed another."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from selector.judge.known_facts import OutsideLimit, with_limits
from selector.solve.board.facts import Facts
from selector.solve.engine.engine import Engine, known_tons
from selector.table.model.range import Range
from selector.table.model.roles import COMPRESSOR, Role, roles
from selector.table.model.table import Table
from selector.units import convert

FLOOR_CFM_PER_TON = Fraction(300)
"""Floor of cooling where none is typed (common practice has 300 to 350, no source; our choice)."""
HEAT_PUMP_FLOOR_CFM_PER_TON = Fraction(325)
"""Floor of heat pump heating where none is typed (common practice has 300 to 350, no source; our choice)."""
CEILING_CFM_PER_TON = Fraction(450)
"""Ceiling where none is typed (common practice, no source)."""
ASSUMED = "assumed (common practice)"
"""Where a limit comes from that nobody typed."""
_COOLS: frozenset[Role] = frozenset({"cooling", "dehumidify"})


def assumed_limits(table: Table) -> Iterator[OutsideLimit]:
    """In the table's unit, of every call that runs the outdoor unit."""
    for name, role in roles(table).items():
        if role not in COMPRESSOR:
            continue
        low = FLOOR_CFM_PER_TON if role in _COOLS else HEAT_PUMP_FLOOR_CFM_PER_TON
        high = CEILING_CFM_PER_TON if role in _COOLS else None
        ends = (None if end is None else convert(end, "cfm", table.units.airflow) for end in (low, high))
        yield OutsideLimit(quantity="airflow per ton", range=Range(*ends), source=ASSUMED, call=name)


def with_assumed(table: Table) -> Table:
    """The table with the usual window."""
    return with_limits(table, tuple(assumed_limits(table)))


def engine_of(table: Table, facts: Facts) -> Engine:
    """The table under facts, as every command that has no house judges it."""
    return Engine(table if known_tons(table, facts) is None else with_assumed(table), facts)
