"""What a person asks for, and how far an answer is from it."""

from __future__ import annotations

from fractions import Fraction
from typing import Literal

from selector.solve.engine.engine import Engine, Point
from selector.table.model.range import Range
from selector.value import Struct

Asked = Literal["airflow", "airflow per ton", "temperature rise", "share"]


class Target(Struct, frozen=True, kw_only=True):
    """An aim for one call and stage, in the table's units: `low` = `high` for a single figure. `of` is the call and
    stage a share is of."""

    call: str
    stage: str
    quantity: Asked
    low: Fraction
    high: Fraction
    weight: Fraction = Fraction(1)
    of: tuple[str, str] | None = None
    text: str = ""

    def deviation(self, got: Fraction) -> Fraction:
        """|got - aim| / aim, or the distance to the nearer end over that end."""
        return Range(self.low, self.high).deviation(got)


def got(
    engine: Engine, target: Target, airflow: Fraction, heat: Fraction | None, other: Fraction | None
) -> Fraction | None:
    """The quantity asked for, out of the airflow (heat in Btu/h, `other` the airflow a share is of); None where it
    can't be known."""
    if target.quantity == "airflow":
        return airflow
    if target.quantity == "airflow per ton":
        return engine.per_ton(engine.table.calls[target.call], target.stage, airflow)
    if target.quantity == "temperature rise":
        return engine.rise(heat, airflow)
    return None if not other else 100 * airflow / other


def point_of(engine: Engine, call: str, stage: str) -> Point:
    """The point a call and stage speak of."""
    return engine.asked(engine.table.calls[call], stage)
