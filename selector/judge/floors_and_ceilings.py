"""The usual floor and ceiling of airflow per ton, of cooling, heat pump and auxiliary: every command holds a call to
them that runs the outdoor unit, where its tons are known and nobody typed others."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from selector.judge.known_facts import OutsideLimit, with_limits
from selector.solve.board.facts import Facts
from selector.solve.engine.engine import Engine, known_tons
from selector.table.model.range import Range
from selector.table.model.roles import COMPRESSOR, Role, roles
from selector.table.model.table import Call, Table
from selector.units import convert

FLOOR_CFM_PER_TON = Fraction(300)
"""Floor of cooling where none is typed (common practice has 300 to 350, no source; our choice)."""
HEAT_PUMP_FLOOR_CFM_PER_TON = Fraction(325)
"""Floor of heat pump heating where none is typed (common practice has 300 to 350, no source; our choice)."""
CEILING_CFM_PER_TON = Fraction(450)
"""Ceiling where none is typed (common practice, no source)."""
ASSUMED = "assumed (common practice)"
"""Where a limit comes from that nobody typed."""


def usual_per_ton(role: Role) -> Range:
    """Floor and ceiling of a role that runs the outdoor unit, cfm/ton; no ends for the others."""
    if role not in COMPRESSOR:
        return Range(None, None)
    if role in ("heat pump", "heat pump + auxiliary"):
        return Range(HEAT_PUMP_FLOOR_CFM_PER_TON, None)
    return Range(FLOOR_CFM_PER_TON, CEILING_CFM_PER_TON)


def assumed_per_ton(table: Table, call: Call, stage: str, role: Role) -> Range:
    """What is assumed of a stage, cfm/ton: the usual ends but those that the page prints for it, whatever the model."""
    usual = usual_per_ton(role)
    printed = [w for w in call.windows if w.quantity == "airflow per ton" and w.stage in ("", stage) and not w.when]

    def free(low: bool) -> bool:
        models = {w.model for w in printed if (w.low if low else w.high) is not None}
        return not models or ("" not in models and not models >= set(table.unit.models))

    return Range(usual.low if free(True) else None, usual.high if free(False) else None)


def assumed_limits(table: Table) -> Iterator[OutsideLimit]:
    """In the table's unit, of every call that runs the outdoor unit; by stage where the page prints ends for some."""
    for name, role in roles(table).items():
        call = table.calls[name]
        by_stage = {stage: assumed_per_ton(table, call, stage, role) for stage in call.stages}
        if len(set(by_stage.values())) == 1:
            by_stage = {"": by_stage[call.last]}
        for stage, usual in by_stage.items():
            if usual != Range(None, None):
                ends = (
                    None if end is None else convert(end, "cfm", table.units.airflow) for end in (usual.low, usual.high)
                )
                yield OutsideLimit(
                    quantity="airflow per ton", range=Range(*ends), source=ASSUMED, call=name, stage=stage
                )


def with_assumed(table: Table) -> Table:
    """The table with the usual window."""
    return with_limits(table, tuple(assumed_limits(table)))


def engine_of(table: Table, facts: Facts) -> Engine:
    """The table under facts, as every command that has no house judges it."""
    return Engine(table if known_tons(table, facts) is None else with_assumed(table), facts)
