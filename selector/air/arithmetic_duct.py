"""Ducts, readings of a charted airflow, bands and units with their arithmetic: see `arithmetic.py`."""

from __future__ import annotations

from fractions import Fraction

from selector.air import duct, measure, motor
from selector.air.arithmetic import product, quotient
from selector.air.figure import Figure, Worked, given
from selector.units import UnitOfMeasure, convert, difference_unit, unit_named


def external_static(return_static: Figure, supply_static: Figure, name: str = "external_static") -> Worked:
    """External static from the two readings (one unit for both)."""
    value = duct.external_static(return_static.value, supply_static.value)
    expression = f"abs({return_static.name}) + abs({supply_static.name})"
    return Worked(
        name=name, value=value, unit=return_static.unit, expression=expression, inputs=(return_static, supply_static)
    )


def duct_k(static: Figure, airflow: Figure, name: str = "duct_k") -> Worked:
    """k of the duct curve through a measured point."""
    value = duct.duct_k(static.value, airflow.value)
    expression = f"{static.name} / ({airflow.name} * {airflow.name})"
    return Worked(
        name=name,
        value=value,
        unit=f"{static.unit}/({airflow.unit})2",
        expression=expression,
        inputs=(static, airflow),
        places=9,
    )


def duct_static(k: Figure, airflow: Figure, unit: str = "in. w.c.", name: str = "static") -> Worked:
    """Static on the duct curve at an airflow."""
    value = duct.static_at(k.value, airflow.value)
    return Worked(
        name=name, value=value, unit=unit, expression=f"{k.name} * {airflow.name} * {airflow.name}", inputs=(k, airflow)
    )


def duct_airflow(k: Figure, static: Figure, unit: str = "cfm", name: str = "airflow") -> Worked:
    """Airflow on the duct curve at a static."""
    value = duct.airflow_at(k.value, static.value)
    return Worked(name=name, value=value, unit=unit, expression=f"sqrt({static.name} / {k.name})", inputs=(k, static))


def crossing_airflow(
    k: Figure, low_static: Figure, low_airflow: Figure, high_static: Figure, high_airflow: Figure, name: str = "airflow"
) -> Worked | None:
    """Airflow where the duct curve crosses the straight stretch between two charted points; None where it doesn't (not
    strictly between them).

    The four figures are the points of `Crossing.between`. Only a stretch on which airflow does not rise with static;
    else ValueError.
    """
    if high_airflow.value > low_airflow.value:
        raise ValueError("airflow rises with static on this stretch")
    points = ((low_static.value, low_airflow.value), (high_static.value, high_airflow.value))
    met = [one for one in duct.crossings(points, k.value) if one.between[0] != one.between[1]]
    if not met:
        return None
    rise = high_static.value - low_static.value
    slope = Worked(
        name="slope",
        value=(high_airflow.value - low_airflow.value) / rise,
        unit=f"{low_airflow.unit}/{low_static.unit}",
        expression=f"({high_airflow.name} - {low_airflow.name}) / ({high_static.name} - {low_static.name})",
        inputs=(high_airflow, low_airflow, high_static, low_static),
    )
    start = Worked(
        name="airflow_at_no_static",
        value=low_airflow.value - slope.value * low_static.value,
        unit=low_airflow.unit,
        expression=f"{low_airflow.name} - slope * {low_static.name}",
        inputs=(low_airflow, slope, low_static),
    )
    expression = f"2 * {start.name} / (1 + sqrt(1 - 4 * {start.name} * slope * {k.name}))"
    return Worked(
        name=name, value=met[0].airflow, unit=low_airflow.unit, expression=expression, inputs=(start, slope, k)
    )


def face_velocity(airflow_cfm: Figure, area_ft2: Figure, name: str = "face_velocity") -> Worked:
    """Velocity at a face."""
    return quotient(name, duct.face_velocity_fpm(airflow_cfm.value, area_ft2.value), "fpm", airflow_cfm, area_ft2)


def airflow_at_face(area_ft2: Figure, velocity_fpm: Figure, name: str = "airflow_ceiling") -> Worked:
    """The airflow that a face lets through at a velocity."""
    return product(name, duct.airflow_at_face_cfm(area_ft2.value, velocity_fpm.value), "cfm", area_ft2, velocity_fpm)


def standard_airflow(actual_cfm: Figure, ratio: Figure, name: str = "standard_airflow") -> Worked:
    """Standard cfm of an actual airflow."""
    return product(name, motor.standard_cfm(actual_cfm.value, ratio.value), "cfm", actual_cfm, ratio)


def actual_airflow(standard_cfm: Figure, ratio: Figure, name: str = "actual_airflow") -> Worked:
    """Actual cfm of a standard airflow."""
    return quotient(name, motor.actual_cfm(standard_cfm.value, ratio.value), "cfm", standard_cfm, ratio)


def readings(
    charted_cfm: Figure, ratio: Figure, *, motor_kind: motor.Motor | None = None, means: motor.Means | None = None
) -> tuple[tuple[Worked, Worked], ...]:
    """(standard, actual) airflow of a charted one, for each way to read it (`motor.readings`); the way stands in the
    notes."""
    pairs = []
    for reading in motor.readings(charted_cfm.value, ratio.value, motor=motor_kind, means=means):
        standard, actual = _EXPRESSIONS[reading.way]
        pairs.append(
            (
                _reading("standard_airflow", reading.standard_cfm, standard, charted_cfm, ratio, reading.way),
                _reading("actual_airflow", reading.actual_cfm, actual, charted_cfm, ratio, reading.way),
            )
        )
    return tuple(pairs)


_EXPRESSIONS: dict[motor.Way, tuple[str, str]] = {
    "mass held": ("{charted}", "{charted} / {ratio}"),
    "torque held": ("{charted} * sqrt({ratio})", "{charted} / sqrt({ratio})"),
    "volume held": ("{charted} * {ratio}", "{charted}"),
    "sea level": ("{charted}", "{charted}"),
}


def _reading(name: str, value: Fraction, expression: str, charted: Figure, ratio: Figure, way: motor.Way) -> Worked:
    """One airflow of a reading, with only the inputs its expression uses."""
    inputs = (charted, ratio) if "ratio" in expression else (charted,)
    return Worked(
        name=name,
        value=value,
        unit="cfm",
        expression=expression.format(charted=charted.name, ratio=ratio.name),
        inputs=inputs,
        note=way,
    )


def band_ends(airflow_cfm: Figure, band: Figure) -> tuple[Worked, Worked]:
    """Lower and upper end of a reading's band (a share: see `percent`)."""
    read = measure.Measured(airflow_cfm=airflow_cfm.value, band_percent=100 * band.value, method="")
    inputs = (airflow_cfm, band)
    return (
        Worked(
            name="lower_end",
            value=read.low_cfm,
            unit="cfm",
            expression=f"{airflow_cfm.name} * (1 - {band.name})",
            inputs=inputs,
        ),
        Worked(
            name="upper_end",
            value=read.high_cfm,
            unit="cfm",
            expression=f"{airflow_cfm.name} * (1 + {band.name})",
            inputs=inputs,
        ),
    )


def in_unit(figure: Figure, unit: UnitOfMeasure | str, *, name: str | None = None) -> Worked:
    """The figure in another unit of its kind; a rise or split has no 32."""
    to = unit_named(unit) if isinstance(unit, str) else unit
    source = unit_named(figure.unit)
    if source.kind.startswith("temperature") and figure.kind != "temperature":
        to, source = difference_unit(to), difference_unit(source)
    value = convert(figure.value, source, to)
    inputs: list[Figure] = [figure]
    scaled = figure.name
    if source.offset or to.offset:
        shift = (source.offset - to.offset) / source.factor
        inputs.append(given("shift", abs(shift), bare=True, source="between the zeros of the two scales"))
        scaled = f"({figure.name} {'+' if shift > 0 else '-'} shift)"
    inputs.append(
        given("unit_factor", source.factor / to.factor, f"{to.name}/{source.name}", bare=True, source="NIST SP 811")
    )
    return Worked(
        name=name or f"{figure.name}_converted",
        value=value,
        unit=to.name,
        expression=f"{scaled} * unit_factor",
        inputs=tuple(inputs),
        kind=figure.kind,
    )
