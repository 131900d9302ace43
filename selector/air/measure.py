"""Measured airflow: methods, their bands, how readings combine, and what may be said of one.

Bands are common practice, no source: rise 7 % (4 % for 2 F in 50, 5 % for the input, 2 % for the factor) where the heat
was measured and 15 % on the plate's heat, electric 4 %, hood 5 % at best, flow plate and traverse 7 %, a vane or a hot
wire held to a grille 10 % (our choice).
A figure shown by the board's lamp or the thermostat is what was asked for, not a measurement: it has no band and is not
in the list.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Literal

from selector.air.number import N, Number, positive, square_root
from selector.value import Struct, replace


class Method(Struct, frozen=True, kw_only=True):
    """A way to measure airflow: the name a person types, its band in percent of the reading, its words."""

    name: str
    band_percent: Fraction
    words: str


RISE = Method(name="rise", band_percent=Fraction(7), words="heat input and temperature rise")
ELECTRIC = Method(
    name="electric", band_percent=Fraction(4), words="volts, amps and rise over the electric heater, compressor off"
)
HOOD = Method(name="hood", band_percent=Fraction(5), words="flow hood, all registers added")
PLATE = Method(name="flow plate", band_percent=Fraction(7), words="flow plate in the filter's place")
TRAVERSE = Method(name="traverse", band_percent=Fraction(7), words="duct traverse, mean of equal areas")
VANE = Method(name="vane", band_percent=Fraction(10), words="vane over a grille")
HOT_WIRE = Method(name="hot wire", band_percent=Fraction(10), words="hot wire over a grille")
METHODS: tuple[Method, ...] = (RISE, ELECTRIC, HOOD, PLATE, TRAVERSE, VANE, HOT_WIRE)
PLATE_HEAT_PERCENT = Fraction(15)
"""The rise method where the heat is the plate's: it can be off by 10 to 20 % (common practice, no source)."""

Shows = Literal["actual", "standard", "uncorrected"]
"""What a meter shows: the volume that moves, standard air, or a figure from pressure at sea level's density (then
standard = reading x sqrt(density ratio))."""
USUALLY_SHOWS: dict[str, Shows] = {
    "hood": "uncorrected",
    "flow plate": "uncorrected",
    "traverse": "uncorrected",
    "vane": "actual",
    "hot wire": "standard",
}
"""What is assumed where nobody says what the meter shows (common practice, no source)."""


class Measured(Struct, frozen=True, kw_only=True):
    """An airflow read one way: the reading and its band in percent of it."""

    airflow_cfm: Fraction
    band_percent: Fraction
    method: str

    @property
    def low_cfm(self) -> Fraction:
        """Lower end of the band."""
        return self.airflow_cfm * (1 - self.band_percent / 100)

    @property
    def high_cfm(self) -> Fraction:
        """Upper end of the band."""
        return self.airflow_cfm * (1 + self.band_percent / 100)


class Disagreement(Struct, frozen=True, kw_only=True):
    """Two readings further apart than `bands_cfm` allows: a measurement is wrong, no verdict."""

    one: Measured
    other: Measured
    apart_cfm: Fraction
    bands_cfm: Fraction


def band_cfm(airflow_cfm: N, band_percent: N) -> N:
    """Half the width of a band, cfm.

    >>> band_cfm(Fraction(1000), Fraction(7))
    Fraction(70, 1)
    """
    return airflow_cfm * band_percent / 100


def summed_band_percent(*parts_percent: N) -> N:
    """The band of a figure computed from several independent ones: root of the sum of squares (products and quotients;
    GUM 5.1.6).

    >>> round(summed_band_percent(4.0, 5.0, 2.0), 1)
    6.7
    """
    return square_root(sum((part * part for part in parts_percent), start=0 * parts_percent[0]))


def rise_band_percent(rise_f: N, input_percent: N, factor_percent: N, probes_f: N) -> N:
    """The band of the rise method, percent, at another rise than 50 F: probes off by `probes_f` over the rise, the
    input, the factor.

    Usual: input 5 % (unclocked), factor 2 %, probes 2 F over the two.

    >>> round(rise_band_percent(50.0, 5.0, 2.0, 2.0), 1), round(rise_band_percent(20.0, 5.0, 2.0, 2.0), 1)
    (6.7, 11.4)
    """
    positive("rise", rise_f, "F")
    return summed_band_percent(100 * probes_f / rise_f, input_percent, factor_percent)


def disagreement(readings: Sequence[Measured]) -> Disagreement | None:
    """The two readings furthest apart beyond the sum of their bands, or None where every pair agrees. Two of one method
    share most of what may be off: they agree inside one band (our choice, no source).

    >>> one = Measured(airflow_cfm=Fraction(1000), band_percent=Fraction(7), method="rise")
    >>> other = Measured(airflow_cfm=Fraction(1150), band_percent=Fraction(5), method="hood")
    >>> found = disagreement((one, other))
    >>> (found.apart_cfm, found.bands_cfm) if found else None
    (Fraction(150, 1), Fraction(255, 2))
    """
    found = [_apart(min(some, key=_air), max(some, key=_air)) for some in _by_method(readings) if len(some) > 1]
    lows, highs = [one.low_cfm for one in readings], [one.high_cfm for one in readings]
    # the gap between two bands is the one's lower end less the other's upper end
    if readings and max(lows) > min(highs):
        one, other = (readings[i] for i in sorted((lows.index(max(lows)), highs.index(min(highs)))))
        found.append(_apart(one, other))
    apart = [one for one in found if one.apart_cfm > one.bands_cfm]
    return max(apart, key=lambda one: one.apart_cfm - one.bands_cfm, default=None)


def _apart(one: Measured, other: Measured) -> Disagreement:
    each = [band_cfm(of.airflow_cfm, of.band_percent) for of in (one, other)]
    bands = max(each) if one.method == other.method else sum(each, start=Fraction(0))
    return Disagreement(one=one, other=other, apart_cfm=abs(one.airflow_cfm - other.airflow_cfm), bands_cfm=bands)


def _by_method(readings: Sequence[Measured]) -> list[list[Measured]]:
    methods: dict[str, list[Measured]] = {}
    for one in readings:
        methods.setdefault(one.method, []).append(one)
    return list(methods.values())


def _air(one: Measured) -> Fraction:
    return one.airflow_cfm


def kinds(methods: Sequence[str]) -> dict[str, list[int]]:
    """Readings, by their places, that share what may be off: the same heat or the same meter. They say no more
    together than the best of them.

    >>> kinds(["gas rise", "hood", "electric rise"])
    {'rise': [0, 2], 'hood': [1]}
    """
    out: dict[str, list[int]] = {}
    for place, method in enumerate(methods):
        out.setdefault("rise" if method.endswith("rise") else method, []).append(place)
    return out


def combined(readings: Sequence[Measured]) -> Measured | Disagreement:
    """One airflow from readings of the same state: mean weighted by 1/band^2, band 1/sqrt(sum of 1/band^2), of those
    that share their heat or meter the least band; or the disagreement.

    Weights in percent, as the bands are. GUM (JCGM 100), independent readings. No reading at all: ValueError.

    >>> one = Measured(airflow_cfm=Fraction(1000), band_percent=Fraction(4), method="electric")
    >>> other = Measured(airflow_cfm=Fraction(1040), band_percent=Fraction(4), method="hood")
    >>> both = combined((one, other))
    >>> both.airflow_cfm if isinstance(both, Measured) else None
    Fraction(1020, 1)
    """
    if not readings:
        raise ValueError("no reading")
    apart = disagreement(readings)
    if apart is not None:
        return apart
    for reading in readings:
        positive("band", reading.band_percent, "%")
    names = [reading.method for reading in readings]
    alike = [[readings[i] for i in places] for places in kinds(names).values()]
    merged = [replace(_mean(some), band_percent=min(one.band_percent for one in some)) for some in alike]
    return replace(_mean(merged), method=" and ".join(dict.fromkeys(names)))


def _mean(readings: Sequence[Measured]) -> Measured:
    """The weighted mean of independent readings and its band; one reading as it is."""
    if len(readings) == 1:
        return readings[0]
    weights = [1 / (reading.band_percent * reading.band_percent) for reading in readings]
    total = sum(weights, start=Fraction(0))
    products = (weight * reading.airflow_cfm for weight, reading in zip(weights, readings, strict=True))
    return Measured(
        airflow_cfm=sum(products, start=Fraction(0)) / total,
        band_percent=square_root(1 / total),
        method=readings[0].method,
    )


Against = Literal["as selected", "low", "high"]
Standing = Literal["inside", "likely inside", "likely below", "likely above", "below", "above"]


def against_selected(measured: Measured, selected_cfm: Number) -> Against:
    """`low` or `high` only where the selected airflow lies outside the reading's band, else `as selected`.

    >>> against_selected(Measured(airflow_cfm=Fraction(1000), band_percent=Fraction(7), method="rise"), Fraction(1060))
    'as selected'
    """
    if selected_cfm > measured.high_cfm:
        return "low"
    return "high" if selected_cfm < measured.low_cfm else "as selected"


def standing(measured: Measured, least_cfm: Number, most_cfm: Number) -> Standing:
    """Where a reading stands in a window: plain `inside`, `below`, `above` where the whole band does, `likely ..` by
    the reading itself else.

    >>> standing(Measured(airflow_cfm=Fraction(1000), band_percent=Fraction(5), method="hood"), Fraction(960),
    ... Fraction(1200))
    'likely inside'
    """
    if least_cfm > most_cfm:
        raise ValueError("the window's ends are reversed")
    if measured.low_cfm >= least_cfm and measured.high_cfm <= most_cfm:
        return "inside"
    if measured.high_cfm < least_cfm:
        return "below"
    if measured.low_cfm > most_cfm:
        return "above"
    if measured.airflow_cfm < least_cfm:
        return "likely below"
    return "likely above" if measured.airflow_cfm > most_cfm else "likely inside"
