"""A traverse and the drop of a part at another airflow with their arithmetic: see `traverse.py`, `pressure_drop.py`."""

from __future__ import annotations

from collections.abc import Sequence

from selector.air.figure import Figure, Given, Worked, given, renamed
from selector.air.measured.pressure_drop import by_square
from selector.air.measured.traverse import PITOT_FPM, airflow_cfm, mean_fpm, velocity_fpm


def traverse(velocities: Sequence[Figure], area_ft2: Figure, name: str = "traverse_airflow") -> Worked:
    """The airflow of a traverse with its arithmetic; each velocity is a figure in fpm."""
    points = tuple(renamed(one, f"velocity_{n}") for n, one in enumerate(velocities, 1))
    mean = Worked(
        name="mean_velocity",
        value=mean_fpm([one.value for one in points]),
        unit="fpm",
        expression=f"({' + '.join(one.name for one in points)}) / {len(points)}",
        inputs=points,
        places=0,
    )
    return Worked(
        name=name,
        value=airflow_cfm([one.value for one in points], area_ft2.value),
        unit="cfm",
        expression=f"{mean.name} * {area_ft2.name}",
        inputs=(mean, area_ft2),
        note=f"mean of {len(points)} equal areas",
    )


def velocity_of(pressure_inwc: Figure, name: str = "velocity") -> Worked:
    """A velocity from its velocity pressure, with its arithmetic."""
    pitot: Given = given("pitot", PITOT_FPM, bare=True, source="1,096.7 / sqrt(0.075 lb/ft3), rounded")
    return Worked(
        name=name,
        value=velocity_fpm(pressure_inwc.value),
        unit="fpm",
        expression=f"pitot * sqrt({pressure_inwc.name})",
        inputs=(pitot, pressure_inwc),
    )


def square_then(drop: Figure, airflow: Figure, then: Figure, name: str = "drop_then") -> Worked:
    """`by_square` with its arithmetic."""
    return Worked(
        name=name,
        value=by_square(drop.value, airflow.value, then.value),
        unit=drop.unit,
        expression=f"{drop.name} * ({then.name} / {airflow.name})^2",
        inputs=(drop, then, airflow),
    )


def medium_then(drop: Figure, airflow: Figure, then: Figure, name: str = "medium_then") -> tuple[Worked, Worked]:
    """Least and most drop of a filter's medium at another airflow, or of another face at the same one (then `then` is
    airflow x old face / new face): straight and by the square (common practice)."""
    straight = Worked(
        name=f"{name}_straight",
        value=drop.value * then.value / airflow.value,
        unit=drop.unit,
        expression=f"{drop.name} * {then.name} / {airflow.name}",
        inputs=(drop, then, airflow),
    )
    square = square_then(drop, airflow, then, f"{name}_square")
    return (straight, square) if straight.value <= square.value else (square, straight)
