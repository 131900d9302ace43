"""A traverse and the drop of a part at another airflow with their arithmetic: see `traverse.py`, `pressure_drop.py`."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from selector.air.figure import Figure, Given, Worked, given, renamed
from selector.air.measured.pressure_drop import Point, by_chart, by_square
from selector.air.measured.traverse import PITOT_FPM, airflow_cfm, mean_fpm, velocity_fpm
from selector.air.number import square_root


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


def airflow_with_filter(
    external: Figure, drop: Figure, airflow: Figure, greatest: Figure, name: str = "greatest_airflow"
) -> Worked:
    """The airflow at which ducts, by the square, and a filter's medium, straight, come together to a static: what is
    left when a static that is over it has to come down (straight is then the most the medium keeps; common practice, no
    source). Raises ValueError where the filter takes all of it."""
    ducts = _without(external, drop)
    if ducts.value <= 0:
        raise ValueError("the filter's drop is all of the static")
    root = square_root(drop.value**2 + 4 * ducts.value * greatest.value)
    return Worked(
        name=name,
        value=2 * airflow.value * greatest.value / (drop.value + root),
        unit=airflow.unit,
        expression=(
            f"2 * {airflow.name} * {greatest.name}"
            f" / ({drop.name} + sqrt({drop.name}^2 + 4 * {ducts.name} * {greatest.name}))"
        ),
        inputs=(airflow, greatest, drop, ducts),
    )


def airflow_by_chart(
    external: Figure,
    drop: Figure,
    airflow: Figure,
    greatest: Figure,
    points: Sequence[Point],
    source: str,
    name: str = "greatest_airflow",
) -> Worked | None:
    """The same where the filter's own chart prints its drop: straight lines between its points, as much more as it
    takes now than printed. None where the chart doesn't reach there."""
    ducts = _without(external, drop)
    clean = by_chart(points, airflow.value)
    if ducts.value <= 0 or not clean:
        return None
    dirty = drop.value / clean
    square = Worked(
        name="ducts_per_square",
        value=ducts.value / airflow.value**2,
        unit="in. w.c./cfm2",
        expression=f"{ducts.name} / {airflow.name}^2",
        inputs=(ducts, airflow),
        places=9,
    )
    for (low_q, low_p), (high_q, high_p) in pairwise(points):
        slope = given("filter_slope", dirty * (high_p - low_p) / (high_q - low_q), "in. w.c./cfm", source=source)
        start = given("filter_start", dirty * low_p - slope.value * low_q, "in. w.c.", source=source)
        inside = slope.value**2 + 4 * square.value * (greatest.value - start.value)
        if inside < 0:
            continue
        found = (square_root(inside) - slope.value) / (2 * square.value)
        if low_q <= found <= high_q:
            expression = (
                f"(sqrt(filter_slope^2 + 4 * ducts_per_square * ({greatest.name} - filter_start)) - filter_slope)"
                " / (2 * ducts_per_square)"
            )
            inputs = (slope, square, greatest, start)
            return Worked(name=name, value=found, unit=airflow.unit, expression=expression, inputs=inputs)
    return None


def _without(external: Figure, drop: Figure) -> Worked:
    return Worked(
        name="without_the_filter",
        value=external.value - drop.value,
        unit=external.unit,
        expression=f"{external.name} - {drop.name}",
        inputs=(external, drop),
    )
