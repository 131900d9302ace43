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
        airflow, band = _together(charted, [flow.band for flow in flows], plain)
    low, high = arithmetic_duct.band_ends(airflow, band)
    return MovedAir(way=way, airflow=airflow, band=band, low=low, high=high, measured=together)


def as_charted(flow: Flow, way: Way, air: HouseAir) -> Figure:
    """The airflow as the chart counts it: heat methods give mass, a hood or flow plate volume."""
    if flow.basis == "standard":
        return air.charted(flow.airflow, way, "airflow_as_charted")
    return air.charted_for_volume(flow.airflow, way, "airflow_as_charted")


def _together(
    charted: Sequence[Figure], bands: Sequence[Figure], plain: Sequence[measure.Measured]
) -> tuple[Figure, Figure]:
    """How `measure.combined` comes to the airflow and its band: readings that share their heat or meter first, those
    among themselves by their mean and the least band."""
    merged: list[tuple[Figure, Figure]] = []
    for places in measure.kinds([one.method for one in plain]).values():
        flows, shares = [charted[i] for i in places], [bands[i] for i in places]
        if len(places) == 1:
            merged.append((flows[0], shares[0]))
            continue
        mean, _ = _mean(flows, shares)
        numbered = _numbered(shares, "band")
        names = ", ".join(share.name for share in numbered)
        least = min(share.value for share in shares)
        merged.append((mean, Worked(name="band", value=least, unit="", expression=f"min({names})", inputs=numbered)))
    return merged[0] if len(merged) == 1 else _mean([a for a, _ in merged], [b for _, b in merged])


def _numbered(figures: Sequence[Figure], name: str) -> tuple[Figure, ...]:
    return tuple(renamed(one, f"{name}_{n}") for n, one in enumerate(figures, 1))


def _mean(charted: Sequence[Figure], bands: Sequence[Figure]) -> tuple[Figure, Figure]:
    """The mean weighted by 1/band^2 and its band (GUM, independent readings)."""
    flows, shares = _numbered(charted, "airflow"), _numbered(bands, "band")
    weights = " + ".join(f"1 / {share.name}^2" for share in shares)
    sums = " + ".join(f"{flow.name} / {share.name}^2" for flow, share in zip(flows, shares, strict=True))
    each = [1 / (share.value * share.value) for share in shares]
    total = sum(each, start=Fraction(0))
    airflow = Worked(
        name="measured_airflow",
        value=sum((w * flow.value for w, flow in zip(each, flows, strict=True)), start=Fraction(0)) / total,
        unit="cfm",
        expression=f"({sums}) / ({weights})",
        inputs=(*flows, *shares),
    )
    band = Worked(
        name="band", value=square_root(1 / total), unit="", expression=f"sqrt(1 / ({weights}))", inputs=shares
    )
    return airflow, band
