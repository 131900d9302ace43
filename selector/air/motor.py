"""What a charted airflow means away from sea level: it depends on the motor, or on what the table says.

`ratio` is the density of the air over standard (see `density.density_ratio`). Standard cfm counts mass (0.075 lb each),
actual cfm volume:
standard = actual x ratio. Common practice, no source, for what each motor does; it holds until the motor's limit.
"""

from __future__ import annotations

from typing import Generic, Literal

from selector.air.number import N, positive, square_root
from selector.value import Struct

Motor = Literal["constant airflow", "constant torque", "fixed speed"]
Means = Literal["standard air", "actual"]
Way = Literal["mass held", "torque held", "volume held", "sea level"]


class AirflowMeaning(Struct, Generic[N], frozen=True, kw_only=True):
    """One reading of a charted airflow: what the blower keeps to, and both airflows at the site."""

    way: Way
    standard_cfm: N
    actual_cfm: N


def standard_cfm(actual_cfm: N, ratio: N) -> N:
    """Standard cfm (mass) of an actual airflow: actual x ratio.

    >>> standard_cfm(1000.0, 0.832)
    832.0
    """
    positive("density ratio", ratio)
    return actual_cfm * ratio


def actual_cfm(standard_cfm: N, ratio: N) -> N:
    """Actual cfm (volume) of a standard airflow: standard / ratio. At 5,000 ft 20 % more.

    >>> actual_cfm(832.0, 0.832)
    1000.0
    """
    positive("density ratio", ratio)
    return standard_cfm / ratio


def constant_airflow(charted_cfm: N, ratio: N) -> AirflowMeaning[N]:
    """A constant-airflow motor holds the charted airflow as standard cfm: volume rises as 1/ratio.

    >>> constant_airflow(832.0, 0.832).actual_cfm
    1000.0
    """
    return AirflowMeaning(way="mass held", standard_cfm=charted_cfm, actual_cfm=actual_cfm(charted_cfm, ratio))


def constant_torque(charted_cfm: N, ratio: N) -> AirflowMeaning[N]:
    """A constant-torque motor moves about 1/sqrt(ratio) of the charted volume.

    >>> constant_torque(1000.0, 0.81).standard_cfm
    900.0
    """
    positive("density ratio", ratio)
    root = square_root(ratio)
    return AirflowMeaning(way="torque held", standard_cfm=charted_cfm * root, actual_cfm=charted_cfm / root)


def fixed_speed(charted_cfm: N, ratio: N) -> AirflowMeaning[N]:
    """A motor at a fixed speed moves the charted volume whatever the density.

    >>> fixed_speed(1000.0, 0.832).standard_cfm
    832.0
    """
    return AirflowMeaning(way="volume held", standard_cfm=standard_cfm(charted_cfm, ratio), actual_cfm=charted_cfm)


def readings(
    charted_cfm: N, ratio: N, *, motor: Motor | None = None, means: Means | None = None
) -> tuple[AirflowMeaning[N], ...]:
    """How to read a charted airflow: one reading where the table says what it means or which motor it is, else two
    (standard and actual).

    What the table says the airflow means goes before the motor. At ratio 1 all readings agree, and one is returned.

    >>> [round(r.actual_cfm) for r in readings(1000.0, 0.832)]
    [1202, 1000]
    """
    if ratio == 1:
        return (AirflowMeaning(way="sea level", standard_cfm=charted_cfm, actual_cfm=charted_cfm),)
    if means == "standard air":
        return (constant_airflow(charted_cfm, ratio),)
    if means == "actual":
        return (fixed_speed(charted_cfm, ratio),)
    if motor == "constant airflow":
        return (constant_airflow(charted_cfm, ratio),)
    if motor == "constant torque":
        return (constant_torque(charted_cfm, ratio),)
    if motor == "fixed speed":
        return (fixed_speed(charted_cfm, ratio),)
    return constant_airflow(charted_cfm, ratio), fixed_speed(charted_cfm, ratio)


def too_much_percent(ratio: N) -> N:
    """How much too much air moves, percent, where a target is corrected for altitude on top of a motor that corrects
    itself: 100 (1/ratio - 1).

    >>> round(too_much_percent(0.832))
    20
    """
    positive("density ratio", ratio)
    return 100 / ratio - 100
