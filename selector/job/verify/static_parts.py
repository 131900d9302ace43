"""Static part by part in a state that was read, and the static to expect there at another setting."""

from __future__ import annotations

from collections.abc import Sequence

from selector.air.figure import Figure, given
from selector.job.readings.external_static import unit_parts
from selector.job.readings.measured_airflow import MovedAir
from selector.job.readings.pressure_profile import Profile, profile_of
from selector.job.readings.readings_by_state import TakenIn
from selector.job.readings.static import plate_static
from selector.job.readings.static_then import StaticThen, static_then
from selector.job.targets.house import House
from selector.job.verify.verdict import Verdict
from selector.solve.engine.evaluate import Board
from selector.table.model.table import No, Setting
from selector.units import convert


def profile_in(house: House, state: TakenIn, moved: Sequence[MovedAir], selected: Figure | No) -> Profile | None:
    """The profile read in a state, at the airflow measured there, else as selected; None where none was."""
    flow = moved[0].airflow if moved else None if isinstance(selected, No) else selected
    way = moved[0].way if moved else house.air.ways[0]
    volume = None if flow is None else house.air.actual(flow, way)
    for one in state.taken:
        found = profile_of(
            one.reading, house.job, unit_parts(house.table), plate_static(house.job, house.engine), volume
        )
        if found is not None:
            return found
    return None


def static_at(house: House, verdict: Verdict, profile: Profile | None, setting: Setting | None) -> StaticThen | None:
    """The static to expect in the state of a verdict at another setting; None where it stays, or no law holds."""
    if setting is None or verdict.static is None:
        return None
    state, table = verdict.state, house.table
    found = Board(house.engine, setting).airflow(house.engine.asked(house.engine.table.calls[state.call], state.stage))
    now = verdict.moved[0].airflow if verdict.moved else verdict.selected
    if isinstance(found, No) or isinstance(now, No):
        return None
    then = given(
        "airflow_then", convert(found, table.units.airflow, "cfm"), "cfm", source="the setting that is offered"
    )
    ends = static_then(verdict.static.measured, profile, now, then, house.job)
    if ends is None:
        return None
    limits = [end for end in (verdict.static.plate, verdict.static.holds) if end is not None]
    return StaticThen(
        call=state.call,
        stage=state.stage,
        measured=verdict.static.measured,
        now=now,
        then=then,
        low=ends[0],
        high=ends[1],
        most=min(limits, key=lambda end: end.value, default=None),
    )
