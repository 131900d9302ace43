"""The airflow at which static comes to the end it may not pass, by the ducts as they were read: the one place for this
ceiling.

The ducts are read where static was measured: at the airflow delivered there, where that was measured in the same state,
else at the selected one.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from selector.air import arithmetic_duct
from selector.air.figure import Figure, given, renamed
from selector.job.file.model import Job
from selector.job.house.air import HouseAir, Way
from selector.job.house.job_names import Known
from selector.job.readings.measured_airflow import Apart, moved_air
from selector.job.readings.readings_by_state import TakenIn, by_state, taken_in
from selector.job.readings.static import pressure
from selector.job.targets.aims import Bound, StageAim
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import Board
from selector.table.model.table import No


def most_airflow(job: Job, engine: Engine, known: Known, aims: Sequence[StageAim], air: HouseAir) -> tuple[Bound, ...]:
    """A ceiling of every stage: the least of what every reading of static gives, for each way to read the chart. Empty
    where the marks, the airflow, or the end of static isn't known."""
    setting = known.left if known.left is not None else known.found
    if setting is None:
        return ()
    heats = {(one.call, one.stage): one.heat for one in aims if one.heat is not None}
    efficiencies = {(one.call, one.stage): one.efficiency for one in aims if one.efficiency is not None}
    found: list[Bound] = []
    for key, readings in by_state(job, engine)[0].items():
        state = taken_in(key, readings, job, engine, setting, heats, efficiencies)
        selected = Board(engine, setting).airflow(engine.asked(engine.table.calls[state.call], state.stage))
        for static in (one.static for one in state.taken if one.static is not None):
            read = pressure(static, state.call, state.stage, job, engine)
            ends = [end for end in (read.plate, read.holds) if end is not None]
            if ends and static.value:
                end = renamed(min(ends, key=lambda e: e.value), "greatest_static")
                found += [
                    most for way in air.ways if (most := _most(state, static, end, selected, way, air)) is not None
                ]
    return tuple(
        min(mine, key=lambda m: m.figure.value) for way in air.ways if (mine := [m for m in found if m.way == way])
    )


def _most(
    state: TakenIn, static: Figure, end: Figure, selected: Fraction | No, way: Way, air: HouseAir
) -> Bound | None:
    where = f"{state.call} {state.stage}".strip()
    moved = _delivered(state, way, air)
    measured = moved is not None
    if moved is None:
        if isinstance(selected, No):
            return None
        unit = state.engine.table.units.airflow
        moved = given("airflow_selected", selected, unit, source=f"{where}, by its marks")
        if unit != "cfm":
            moved = arithmetic_duct.in_unit(moved, "cfm", name="airflow_selected_cfm")
    k = arithmetic_duct.duct_k(renamed(static, "static"), moved)
    figure = arithmetic_duct.duct_airflow(k, end, name="greatest_airflow")
    return Bound(end="high", figure=figure, origin="static", way=way, limit=end, name=where, measured=measured)


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
