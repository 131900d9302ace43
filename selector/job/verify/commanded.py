"""What the board says it asks for, and what it may be doing instead of what is selected."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from selector.air.figure import Figure
from selector.job.house.job_facts import Known
from selector.job.readings.measured_airflow import MovedAir
from selector.job.readings.readings_by_state import TakenIn
from selector.job.verify.causes import Suspect, fitting, suspects_of
from selector.table.model.table import No, Setting
from selector.units import convert

LARGEST_STEP_CFM = Fraction(50)
"""A lamp that counts in hundreds is off by half of one at most."""


SHOWN_RIGHT = ("power-up", "terminal", "plug", "dehumidify")
"""Checks that are unlikely where the board shows the selected airflow as what it asks for."""


def asked_for(state: TakenIn, selected: Figure | No) -> tuple[Figure | None, tuple[str, ...]]:
    """What a shown airflow says: the board asks for something else than the marks (that airflow), or for just that
    (then these checks are unlikely)."""
    shown = next((one.asked for one in state.taken if one.asked is not None), None)
    if shown is None or isinstance(selected, No):
        return None, ()
    return (None, SHOWN_RIGHT) if abs(shown.value - selected.value) <= _step(shown.value) else (shown, ())


def _step(value: Fraction) -> Fraction:
    """Half of the last figure that isn't 0, 50 cfm at most: how closely a shown airflow can be read."""
    step = Fraction(1)
    while step < 2 * LARGEST_STEP_CFM and value and (value / (10 * step)).denominator == 1:
        step *= 10
    return min(step / 2, LARGEST_STEP_CFM)


def suspects(
    state: TakenIn, setting: Setting, known: Known, moved: Sequence[MovedAir], selected: Figure | No
) -> tuple[Suspect, ...]:
    """What the board may be doing instead, inside the band of what was read, or of what it says it asks for."""
    unit = state.engine.table.units.airflow
    before = known.found if known.left is not None else None
    chosen = None if isinstance(selected, No) else convert(selected.value, "cfm", unit)
    found = suspects_of(state.engine, setting, state.call, state.stage, before)
    asked = next((one.asked for one in state.taken if one.asked is not None), None)
    if asked is not None:
        low, high = asked.value - _step(asked.value), asked.value + _step(asked.value)
    elif moved:
        low, high = min(one.low.value for one in moved), max(one.high.value for one in moved)
    else:
        return ()
    return fitting(found, convert(low, "cfm", unit), convert(high, "cfm", unit), chosen)
