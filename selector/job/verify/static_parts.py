"""Static part by part in a state that was read, and the static to expect there at another setting."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from selector.air.figure import Figure, given
from selector.job.board.state_readings import readings_of
from selector.job.readings.external_static import unit_parts
from selector.job.readings.measured_airflow import Apart, MovedAir, moved_air
from selector.job.readings.pressure_profile import Profile, profile_of
from selector.job.readings.readings_by_state import TakenIn, by_state
from selector.job.readings.static import Pressure, plate_static, pressure
from selector.job.readings.static_then import StaticThen, static_then
from selector.job.targets.house import House
from selector.solve.engine.evaluate import Board
from selector.table.model.table import No, Setting
from selector.units import convert
from selector.value import Struct


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


class StaticRead(Struct, frozen=True, kw_only=True):
    """A static that counts, with its parts where ports were read, and the airflow it was read at (as the chart counts
    it, cfm): measured there, else as selected; None where neither is known."""

    pressure: Pressure
    profile: Profile | None
    now: Figure | None


def static_at(house: House, read: StaticRead, setting: Setting) -> StaticThen | None:
    """The static to expect there at another setting; None where the airflow stays, or no law holds."""
    call, stage, table = read.pressure.call, read.pressure.stage, house.table
    found = Board(house.engine, setting).airflow(house.engine.asked(house.engine.table.calls[call], stage))
    if isinstance(found, No) or read.now is None:
        return None
    cfm = convert(found, table.units.airflow, "cfm")
    then = given("airflow_then", cfm, "cfm", source="the airflow of the setting")
    ends = static_then(read.pressure.measured, read.profile, read.now, then, house.job)
    if ends is None:
        return None
    limits = [end for end in (read.pressure.plate, read.pressure.holds) if end is not None]
    return StaticThen(
        call=call,
        stage=stage,
        measured=read.pressure.measured,
        now=read.now,
        then=then,
        low=ends[0],
        high=ends[1],
        most=min(limits, key=lambda end: end.value, default=None),
    )


def statics_of(house: House, setting: Setting) -> tuple[StaticRead, ...]:
    """Every static of a job that counts, with the board set so."""
    out = []
    for key, readings in by_state(house.job, house.engine)[0].items():
        _, state = readings_of(house, key, readings, setting)
        static = next((one.static for one in state.taken if one.static is not None), None)
        if static is None:
            continue
        flows = [one.flow for one in state.taken if one.flow is not None]
        read = [moved_air(flows, way, house.air) for way in house.air.ways] if flows else []
        moved = [one for one in read if not isinstance(one, Apart)]
        airflow = state.answer.airflow
        selected = airflow if isinstance(airflow, No) else _charted(airflow, house)
        out.append(
            StaticRead(
                pressure=pressure(static, state.call, state.stage, house.job, state.engine, setting),
                profile=profile_in(house, state, moved, selected),
                now=moved[0].airflow if moved else None if isinstance(selected, No) else selected,
            )
        )
    return tuple(out)


def _charted(airflow: Fraction, house: House) -> Figure:
    cfm = convert(airflow, house.table.units.airflow, "cfm")
    return given("selected", cfm, "cfm", source="by its marks")
