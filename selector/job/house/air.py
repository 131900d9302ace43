"""The air of the house: density at its altitude, and what a charted airflow means there, one way or two."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import cast

from selector.air import arithmetic, motor
from selector.air.figure import Figure, Given, Worked
from selector.air.number import square_root
from selector.job.file.model import Job
from selector.job.house.fact_figures import typed
from selector.table.model.table import Table
from selector.value import Struct

RATIO_STEP = Fraction(1, 1_000_000)
"""The density ratio is rounded to this step, so that it is one exact figure everywhere."""


class Way(Struct, frozen=True, kw_only=True):
    """One way to read a charted airflow: standard = charted x `carries`, actual = standard / density ratio. Its words:
    `answers/remarks/way_words.py`."""

    way: motor.Way
    carries: Fraction


class HouseAir(Struct, frozen=True, kw_only=True):
    """`ratio` is None at sea level, or where no altitude was typed (then `assumed`). One `Way`, or two where nothing
    says what is charted."""

    ratio: Figure | None
    ways: tuple[Way, ...]
    assumed: bool = False

    @property
    def carries(self) -> Fraction:
        """Standard air that a charted unit carries, by the first way."""
        return self.ways[0].carries

    def charted(self, standard: Figure, way: Way, name: str = "charted") -> Figure:
        """The charted airflow under which a standard airflow moves."""
        return self._turned(standard, 1 / way.carries, _FROM_STANDARD[way.way], name, way)

    def charted_for_volume(self, actual: Figure, way: Way, name: str = "charted") -> Figure:
        """The charted airflow under which a volume moves."""
        ratio = Fraction(1) if self.ratio is None else self.ratio.value
        return self._turned(actual, ratio / way.carries, _FROM_ACTUAL[way.way], name, way)

    def standard(self, charted: Figure, way: Way, name: str = "standard_airflow") -> Figure:
        """The standard airflow that a charted one carries."""
        return self._turned(charted, way.carries, _TO_STANDARD[way.way], name, way)

    def actual(self, charted: Figure, way: Way, name: str = "actual_airflow") -> Figure:
        """The volume that a charted airflow moves."""
        ratio = Fraction(1) if self.ratio is None else self.ratio.value
        return self._turned(charted, way.carries / ratio, _TO_ACTUAL[way.way], name, way)

    def _turned(self, figure: Figure, factor: Fraction, form: str, name: str, way: Way) -> Figure:
        if self.ratio is None or not form:
            return figure
        expression = form.format(q=figure.name, r=self.ratio.name)
        inputs = (figure, self.ratio) if "{r}" in form else (figure,)
        return Worked(
            name=name,
            value=figure.value * factor,
            unit=figure.unit,
            expression=expression,
            inputs=inputs,
            note=way.way,
        )


_FROM_STANDARD: Mapping[str, str] = {
    "torque held": "{q} / sqrt({r})",
    "volume held": "{q} / {r}",
    "mass held": "",
    "sea level": "",
}
_FROM_ACTUAL: Mapping[str, str] = {
    "torque held": "{q} * sqrt({r})",
    "mass held": "{q} * {r}",
    "volume held": "",
    "sea level": "",
}
_TO_STANDARD: Mapping[str, str] = {
    "torque held": "{q} * sqrt({r})",
    "volume held": "{q} * {r}",
    "mass held": "",
    "sea level": "",
}
_TO_ACTUAL: Mapping[str, str] = {
    "torque held": "{q} / sqrt({r})",
    "mass held": "{q} / {r}",
    "volume held": "",
    "sea level": "",
}


def house_air(job: Job, table: Table) -> HouseAir:
    """The air of a job: the ratio at its altitude, and the ways to read a charted airflow, from the table, else the
    job, else both."""
    altitude = job.site.altitude
    ratio = None if altitude is None or altitude.value == 0 else density_ratio(typed("altitude", altitude, job))
    kind = table.unit.motor or (job.motor.text if job.motor is not None else "")
    means = table.unit.airflow_means or (job.airflow_means.text if job.airflow_means is not None else "")
    value = Fraction(1) if ratio is None else ratio.value
    read = motor.readings(
        Fraction(1),
        value,
        motor=cast(motor.Motor, kind) if kind else None,
        means=cast(motor.Means, means) if means else None,
    )
    carries = {
        "sea level": Fraction(1),
        "mass held": Fraction(1),
        "volume held": value,
        "torque held": square_root(value),
    }
    ways = tuple(Way(way=one.way, carries=carries[one.way]) for one in read)
    return HouseAir(ratio=ratio, ways=ways, assumed=altitude is None)


def density_ratio(altitude: Given) -> Worked:
    """Density of 70 F air at the altitude against sea level, to six decimals."""
    at = arithmetic.pressure(altitude)
    exact = at.value / Fraction("14.696")
    steps = exact / RATIO_STEP
    value = RATIO_STEP * ((2 * steps.numerator + steps.denominator) // (2 * steps.denominator))
    note = "70 F air here against 70 F air at sea level"
    return Worked(
        name="density_ratio",
        value=value,
        unit="",
        expression="nearest(pressure / 14.696, 0.000001)",
        inputs=(at,),
        note=note,
    )
