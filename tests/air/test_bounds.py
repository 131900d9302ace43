"""Every bound that a docstring states: its end still counts, the first figure beyond it doesn't. Bounds from the
docstrings; what the formulas give at them is held elsewhere."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

import pytest

from selector.air import cooling, density, derate, duct, heat, measure, moist
from selector.air.measure import Measured

F = Fraction


def split_at(humidity: float) -> object:
    return cooling.expected_split(
        entering_dry_bulb_f=80,
        entering_wet_bulb_f=62,
        total_btuh=24_000,
        standard_cfm=1200,
        pressure_psia=14.696,
        leaving_relative_humidity_percent=humidity,
    )


BOUNDS: list[tuple[str, Callable[[float], object], float, float]] = [
    # what, of one figure; the end that counts, the first that doesn't
    ("lowest share", lambda x: derate.input_share(derate.MAKER, 0, x), 0.4, 0.399),
    ("whole share", lambda x: derate.input_share(derate.MAKER, 0, x), 1, 1.001),
    ("lowest house", lambda x: derate.input_share(derate.NONE, x), -1500, -1501),
    ("highest house", lambda x: derate.input_share(derate.NONE, x), 17_000, 17_001),
    ("lowest pressure", density.pressure_psia, -1500, -1501),
    ("highest pressure", density.pressure_psia, 17_000, 17_001),
    ("coldest air", lambda x: moist.humidity_ratio_from_relative_humidity(x, 50, 14.7), 0, -0.1),
    ("hottest air", lambda x: moist.humidity_ratio_from_relative_humidity(x, 50, 14.7), 200, 200.1),
    ("thinnest air", lambda x: moist.humidity_ratio_from_relative_humidity(70, 50, x), 5, 4.99),
    ("thickest air", lambda x: moist.humidity_ratio_from_relative_humidity(70, 50, x), 16, 16.01),
    ("driest air", lambda x: moist.humidity_ratio_from_relative_humidity(70, x, 14.7), 0, -0.1),
    ("dampest air", lambda x: moist.humidity_ratio_from_relative_humidity(70, x, 14.7), 100, 100.1),
    ("wet bulb at dry bulb", lambda x: moist.humidity_ratio_from_wet_bulb(70, x, 14.7), 70, 70.1),
    ("least efficiency", lambda x: heat.delivered_from_input_btuh(80_000.0, x), 0.5, 0.499),
    ("most efficiency", lambda x: heat.delivered_from_input_btuh(F(80_000), F(x).limit_denominator(1000)), 1.1, 1.101),
    ("no latent load", lambda x: cooling.sensible_heat_ratio(36_000.0, x), 0, -1),
    ("all sensible", cooling.supply_difference_f, 1, 1.001),
    ("some sensible", cooling.supply_difference_f, 0.001, 0),
    ("all sensible, split", lambda x: cooling.split_from_share_f(36_000.0, x, 1200.0), 1, 1.001),
    ("some sensible, split", lambda x: cooling.split_from_share_f(36_000.0, x, 1200.0), 0.001, 0),
    ("coil air at its driest", split_at, 50, 49.9),
    ("coil air saturated", split_at, 100, 100.1),
    ("no static", lambda x: duct.airflow_at(1.0, x), 0, -0.1),
]


@pytest.mark.parametrize(("of", "end", "beyond"), [case[1:] for case in BOUNDS], ids=[case[0] for case in BOUNDS])
def test_the_end_counts_and_what_lies_beyond_is_refused(
    of: Callable[[float], object], end: float, beyond: float
) -> None:
    assert of(end) is not None
    with pytest.raises(ValueError, match=r".{9}"):
        of(beyond)


def test_where_a_derate_begins() -> None:
    """The rule from 2,000 ft (common practice, no source) takes 4 % a thousand feet above it and nothing at it."""
    assert derate.input_share(derate.FROM_2000_FT, 2000) == 1
    assert derate.input_share(derate.FROM_2000_FT, 2250) == F(99, 100)


def test_where_the_supply_difference_changes() -> None:
    """21 F below 0.80, 19 F from 0.80 to 0.85, 17 F above (as the docstring has it, from memory)."""
    shares = (F(799, 1000), F(80, 100), F(85, 100), F(851, 1000))
    assert [cooling.supply_difference_f(share) for share in shares] == [21, 19, 19, 17]


def test_a_reading_whose_band_just_reaches() -> None:
    """1,000 cfm with a band of 7 % reaches from 930 to 1,070; two readings of 100 and 120 with 10 % and 10 / 1.2 % meet
    at 110."""
    one = Measured(airflow_cfm=F(1000), band_percent=F(7), method="rise")
    assert [measure.against_selected(one, F(x)) for x in (929, 930, 1070, 1071)] == [
        "high",
        *["as selected"] * 2,
        "low",
    ]
    assert [measure.standing(one, F(a), F(b)) for a, b in ((930, 1070), (931, 1070), (930, 1069), (1000, 1000))] == [
        "inside",
        *["likely inside"] * 3,
    ]
    assert [measure.standing(one, F(a), F(b)) for a, b in ((1070, 2000), (1071, 2000), (500, 930), (500, 929))] == [
        "likely below",
        "below",
        "likely above",
        "above",
    ]
    low = Measured(airflow_cfm=F(100), band_percent=F(10), method="hood")
    high = Measured(airflow_cfm=F(120), band_percent=F(100, 12), method="rise")
    assert measure.disagreement((low, high)) is None
    beyond = Measured(airflow_cfm=F(121), band_percent=F(1000, 121), method="rise")
    found = measure.disagreement((low, beyond))
    assert found is not None
    assert (found.apart_cfm, found.bands_cfm) == (F(21), F(20))


def test_curves_that_touch_at_a_printed_point() -> None:
    """0.5 at 1,000 is k = 0.5 / 1,000,000; the printed curve ends there, and one that begins there meets it too."""
    k = F(1, 2_000_000)
    for points in ([(F("0.3"), F(1100)), (F("0.5"), F(1000))], [(F("0.5"), F(1000)), (F("0.8"), F(900))]):
        assert [(one.airflow, one.static) for one in duct.crossings(points, k)] == [(F(1000), F("0.5"))]
    with pytest.raises(ValueError, match="rising static"):
        duct.crossings([(F("0.5"), F(1000)), (F("0.5"), F(900))], k)
