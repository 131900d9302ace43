"""The airflow at which static comes to the end it may not pass, by the ducts as they were read: the one place for this
ceiling.

The ducts are read where static was measured: at the airflow delivered there, where that was measured in the same state,
else at the selected one. The end is the plate's, what the chart is held to, or the last static it prints, the least of
them; a filter that was read by itself goes by its own law.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from selector.air import arithmetic_duct
from selector.air.figure import Figure, given, renamed
from selector.job.file.model import Job
from selector.job.house.air import HouseAir, Way
from selector.job.house.job_facts import Known
from selector.job.readings.external_static import unit_parts
from selector.job.readings.measured_airflow import Apart, moved_air
from selector.job.readings.pressure_profile import profile_of
from selector.job.readings.readings_by_state import TakenIn, by_state, taken_in
from selector.job.readings.static import charted_end, plate_static, pressure
from selector.job.readings.static_then import airflow_at_static
from selector.job.targets.aims import Bound, StageAim
from selector.solve.engine.engine import Engine
from selector.table.model.table import No


def most_airflow(job: Job, engine: Engine, known: Known, aims: Sequence[StageAim], air: HouseAir) -> tuple[Bound, ...]:
    """A ceiling of every stage: the least of what every reading of static gives, for each way to read the chart. Empty
    where the marks, the airflow, or the end of static isn't known."""
    setting = known.left if known.left is not None else known.found
    if setting is None:
        return ()
    # a derate nobody clocked: the least air for a rise goes by the nameplate's heat, and so does what these ducts pass
    heats = {(one.call, one.stage): heat for one in aims if (heat := one.as_read or one.nameplate or one.heat)}
    efficiencies = {(one.call, one.stage): one.efficiency for one in aims if one.efficiency is not None}
    found: list[Bound] = []
    for key, readings in by_state(job, engine)[0].items():
        state = taken_in(key, readings, job, engine, setting, heats, efficiencies)
        selected = state.answer.airflow
        for taken in state.taken:
            static = taken.static
            if static is None or not static.value:
                continue
            read = pressure(static, state.call, state.stage, job, engine, setting)
            ends = [end for end in (read.plate, read.holds, charted_end(engine, state.call)) if end is not None]
            if not ends:
                continue
            end = min(ends, key=lambda e: e.value)
            plate = plate_static(job, engine)
            profile = profile_of(taken.reading, job, unit_parts(engine.table), plate, None)
            for way in air.ways:
                moved = _moved(state, selected, way, air)
                if moved is not None:
                    figure = airflow_at_static(static, profile, moved[0], end, job)
                    where = f"{state.call} {state.stage}".strip()
                    found.append(
                        Bound(
                            end="high",
                            figure=figure,
                            origin="static",
                            way=way,
                            limit=renamed(end, "greatest_static"),
                            name=where,
                            measured=moved[1],
                        )
                    )
    return tuple(
        min(mine, key=lambda m: m.figure.value) for way in air.ways if (mine := [m for m in found if m.way == way])
    )


def _moved(state: TakenIn, selected: Fraction | No, way: Way, air: HouseAir) -> tuple[Figure, bool] | None:
    """The airflow in a state, cfm as the chart counts it, and whether it was measured there; else by its marks."""
    moved = _delivered(state, way, air)
    if moved is not None:
        return moved, True
    if isinstance(selected, No):
        return None
    unit = state.engine.table.units.airflow
    where = f"{state.call} {state.stage}".strip()
    by_marks: Figure = given("airflow_selected", selected, unit, source=f"{where}, by its marks")
    if unit != "cfm":
        by_marks = arithmetic_duct.in_unit(by_marks, "cfm", name="airflow_selected_cfm")
    return by_marks, False


def _delivered(state: TakenIn, way: Way, air: HouseAir) -> Figure | None:
    """The airflow measured in a state as the chart counts it, cfm; None where none was, or two readings contradict each
    other.

    At a firing rate only what reads the air itself: the heat at that rate isn't known here.
    """
    flows = [one.flow for one in state.taken if one.flow is not None and (not state.rate or one.flow.basis == "actual")]
    if not flows:
        return None
    moved = moved_air(flows, way, air)
    return None if isinstance(moved, Apart) else renamed(moved.airflow, "airflow_measured")
