"""What a figure that was read at one setting comes to at another, in the same ducts with the same heat: the airflow
goes with what the board is set for, the rise the other way round, static by the square.

A filter's medium goes between straight and square; where it is read together with ducts it has its usual share of them
(common practice, no source). Watts follow no such law closely enough to tell a change.
"""

from __future__ import annotations

from fractions import Fraction

from selector.job.readings.pressure_profile import SHARES
from selector.job.visits.measured_at import MeasuredFigure
from selector.value import replace

FILTER = "filter"
NO_LAW = ("watts", "input")


def at_setting(figure: MeasuredFigure, then: Fraction, now: Fraction) -> MeasuredFigure | None:
    """The figure to expect at the airflow set for now (cfm) where it was read at the one set for then, its band as wide
    as the laws leave it; None where no law holds."""
    if figure.name in NO_LAW or not then or not now:
        return None
    ratio = now / then
    if figure.name == "airflow":
        return replace(figure, value=figure.value * ratio, band=figure.band * ratio)
    if figure.name == "rise":
        return replace(figure, value=figure.value / ratio, band=figure.band / ratio)
    apart = figure.value * abs(ratio - ratio**2)
    if figure.name == FILTER:
        middle = figure.value * (ratio + ratio**2) / 2
        return replace(figure, value=middle, band=figure.band * ratio**2 + apart / 2)
    return replace(figure, value=figure.value * ratio**2, band=figure.band * ratio**2 + apart * SHARES["filter"])
