"""The airflow delivered in one call and stage, as the chart counts it: one reading, or several that agree, combined."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from selector.air import arithmetic_duct, measure
from selector.air.figure import Figure, Worked, renamed
from selector.air.number import square_root
from selector.job.house.air import HouseAir, Way
from selector.job.readings.measurement import Flow
from selector.value import Struct


class MovedAir(Struct, frozen=True, kw_only=True):
    """Under one way to read the chart: airflow and band (a share) with their inputs, both ends, and the same as a
    plain reading."""

    way: Way
    airflow: Figure
    band: Figure
    low: Figure
    high: Figure
    measured: measure.Measured


class Apart(Struct, frozen=True, kw_only=True):
    """Two readings that contradict each other, each with its figure, and by how much beyond their bands."""

    one: Flow
    other: Flow
    apart_cfm: Fraction
    bands_cfm: Fraction


def moved_air(flows: Sequence[Flow], way: Way, air: HouseAir) -> MovedAir | Apart:
    """What the readings of one state say together, or the two that contradict. No reading: ValueError."""
    charted = [as_charted(flow, way, air) for flow in flows]
    plain = [
        measure.Measured(airflow_cfm=airflow.value, band_percent=100 * flow.band.value, method=flow.method)
        for airflow, flow in zip(charted, flows, strict=True)
    ]
    together = measure.combined(plain)
    if isinstance(together, measure.Disagreement):
        one, other = (
            next(f for f, p in zip(flows, plain, strict=True) if p is wanted)
            for wanted in (together.one, together.other)
        )
        return Apart(one=one, other=other, apart_cfm=together.apart_cfm, bands_cfm=together.bands_cfm)
    if len(flows) == 1:
        airflow, band = charted[0], flows[0].band
    else:
        airflow, band = _mean(charted, [flow.band for flow in flows], together)
    low, high = arithmetic_duct.band_ends(airflow, band)
    return MovedAir(way=way, airflow=airflow, band=band, low=low, high=high, measured=together)


def as_charted(flow: Flow, way: Way, air: HouseAir) -> Figure:
    """The airflow as the chart counts it: heat methods give mass, a hood or flow plate volume."""
    if flow.basis == "standard":
        return air.charted(flow.airflow, way, "airflow_as_charted")
    return air.charted_for_volume(flow.airflow, way, "airflow_as_charted")


def _mean(charted: Sequence[Figure], bands: Sequence[Figure], together: measure.Measured) -> tuple[Figure, Figure]:
    """The mean weighted by 1/band^2 and its band (GUM, independent readings)."""
    flows = tuple(renamed(one, f"airflow_{n}") for n, one in enumerate(charted, 1))
    shares = tuple(renamed(one, f"band_{n}") for n, one in enumerate(bands, 1))
    weights = " + ".join(f"1 / {share.name}^2" for share in shares)
    sums = " + ".join(f"{flow.name} / {share.name}^2" for flow, share in zip(flows, shares, strict=True))
    airflow = Worked(
        name="measured_airflow",
        value=together.airflow_cfm,
        unit="cfm",
        expression=f"({sums}) / ({weights})",
        inputs=(*flows, *shares),
    )
    total = sum((1 / (share.value * share.value) for share in shares), start=Fraction(0))
    band = Worked(
        name="band", value=square_root(1 / total), unit="", expression=f"sqrt(1 / ({weights}))", inputs=shares
    )
    return airflow, band
