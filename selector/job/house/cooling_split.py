"""The cooling split to expect, from the capacity that runs and the entering air: the one place for it."""

from __future__ import annotations

from selector.air import arithmetic, arithmetic_fan
from selector.air.density import STANDARD_PRESSURE_PSIA
from selector.air.figure import Figure, Worked, given
from selector.job.file.model import Job
from selector.job.house.fact_figures import share, typed
from selector.units import BTUH_PER_TON


def local_pressure(job: Job) -> Figure:
    """Pressure of the air of the house, psia; sea level where no altitude was typed."""
    altitude = job.site.altitude
    if altitude is None or not altitude.value:
        return given("pressure", STANDARD_PRESSURE_PSIA, "psia", source="sea level")
    return arithmetic.pressure(typed("altitude", altitude, job))


def capacity_of(tons: Figure) -> Worked:
    """What so many tons take out of the air, nominal, Btu/h."""
    per_ton = given("btuh_per_ton", BTUH_PER_TON, "Btu/h/ton", bare=True, source="1 ton")
    return Worked(
        name="capacity",
        value=tons.value * BTUH_PER_TON,
        unit="Btu/h",
        expression=f"{tons.name} * btuh_per_ton",
        inputs=(tons, per_ton),
        note="nominal",
    )


def split_by_share(job: Job, capacity: Figure, standard: Figure) -> Figure | None:
    """The split by the sensible share that was typed, at a standard airflow (cfm); None without one."""
    part = job.outdoor.sensible_share if job.outdoor is not None else None
    if part is None:
        return None
    return arithmetic_fan.split_from_share(capacity, share("sensible_share", part, job), standard)


def split_by_wet_bulb(job: Job, capacity: Figure, standard: Figure, dry: Figure, wet: Figure) -> Figure:
    """The split by the entering air. ValueError where there is no such air, or it can't give up so much."""
    return arithmetic_fan.expected_split(dry, wet, capacity, standard, local_pressure(job))
