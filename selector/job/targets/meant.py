"""Which calls are meant to run in this house: what a person wants or not is said by the job, not by a call's name.

Common practice, no source: dehumidify, auxiliary heat, a heat pump and a constant fan run only where the equipment, the
wiring and the wish are there. One that doesn't run here is no fault and nothing is moved for it.
"""

from __future__ import annotations

from collections.abc import Sequence

from selector.job.file.model import Job
from selector.job.house.heating import dual_fuel, has_heat_pump_here, kind_of
from selector.job.targets.aims import StageAim
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import Board
from selector.solve.search.space import baseline_of, declared_position
from selector.table.model.table import No, Setting


def standing(engine: Engine, found: Setting | None) -> Setting:
    """The board as found, else as delivered, with every selector that tells it what is installed on what is known to be
    there."""
    out = list(baseline_of(engine, found))
    for fact, part in engine.declarers.items():
        there = declared_position(engine, part, fact)
        if there is not None:
            out[part.index] = there
    return tuple(out)


def meant(job: Job, engine: Engine, aims: Sequence[StageAim], at: Setting) -> tuple[StageAim, ...]:
    """The aims that count: those that the person typed, and derived ones of calls that are wanted here or run anyway.

    `at`: the board as it stands, with what is installed.
    """
    board = Board(engine, at)

    def runs(one: StageAim) -> bool:
        airflow = board.airflow(engine.asked(engine.table.calls[one.call], one.stage))
        return not (isinstance(airflow, No) and airflow.kind == "does_not_run")

    return tuple(
        one for one in aims if one.aim.counts and (one.aim.typed or wanted(job, one) or _open(job, one, runs(one)))
    )


def wanted(job: Job, one: StageAim) -> bool:
    """True where the job says that this call runs here."""
    heat, outdoor = job.heat, job.outdoor
    if one.role == "cooling":
        return outdoor is not None and (outdoor.capacity is not None or outdoor.sensible_load is not None)
    if one.role == "heat":
        return one.heat is not None and one.heat.value > 0 and heat is not None
    if one.role == "heat pump":
        return has_heat_pump_here(heat)
    if one.role == "heat pump + auxiliary":
        return heat is not None and bool(heat.auxiliary)
    return one.role == "fan"


def _open(job: Job, one: StageAim, runs: bool) -> bool:
    """True for a call that the job doesn't speak of and that runs as the board stands."""
    told = kind_of(job.heat)
    if one.role == "heat pump" and dual_fuel(job.heat):
        return runs
    return runs and not (one.role in ("heat pump", "heat pump + auxiliary") and told in ("gas", "oil", "hydronic"))
