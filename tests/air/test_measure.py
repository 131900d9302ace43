"""Bands, readings that agree or don't, and what may be said of them. Bands are common practice, no source."""

from __future__ import annotations

import math
from fractions import Fraction
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from selector.air.measure import (
    METHODS,
    Disagreement,
    Measured,
    against_selected,
    band_cfm,
    combined,
    disagreement,
    rise_band_percent,
    standing,
    summed_band_percent,
)

F = Fraction


def read(airflow_cfm: int, band_percent: int, method: str = "rise") -> Measured:
    """A reading."""
    return Measured(airflow_cfm=F(airflow_cfm), band_percent=F(band_percent), method=method)


def test_bands_of_the_methods() -> None:
    # common practice, no source: rise 7 % on a clocked heat, electric 4 %, hood 5 % at best, flow plate 7 %; traverse,
    # vane and hot wire are our choice
    assert {method.name: method.band_percent for method in METHODS} == {
        "rise": 7,
        "electric": 4,
        "hood": 5,
        "flow plate": 7,
        "traverse": 7,
        "vane": 10,
        "hot wire": 10,
    }


def test_rise_band_from_its_parts() -> None:
    # 2 F in 50 = 4 %, input 5 %, factor 2 %: sqrt(16 + 25 + 4) = 6.7, said as 7
    assert summed_band_percent(4.0, 5.0, 2.0) == pytest.approx(math.sqrt(45), rel=1e-12)
    assert rise_band_percent(F(50), F(5), F(2), F(2)) == summed_band_percent(F(4), F(5), F(2))
    assert math.ceil(rise_band_percent(50.0, 5.0, 2.0, 2.0)) == 7
    # at a rise of 25 F the same probes count 8 %: sqrt(64 + 25 + 4) = 9.6
    assert rise_band_percent(25.0, 5.0, 2.0, 2.0) == pytest.approx(9.64, abs=0.005)


def test_apart_by_more_than_the_sum_of_bands() -> None:
    # 1,000 +- 70 and 1,127 +- 56.35: 127 apart, bands 126.35 -> no verdict; 1,126 +- 56.3: 126 apart, 126.3 -> agree
    assert band_cfm(F(1000), F(7)) == 70
    apart = disagreement((read(1000, 7), read(1127, 5, "hood")))
    assert apart is not None
    assert (apart.apart_cfm, apart.bands_cfm) == (F(127), F("126.35"))
    assert disagreement((read(1000, 7), read(1126, 5, "hood"))) is None


def test_the_worst_pair_is_named() -> None:
    apart = disagreement((read(1000, 4, "electric"), read(1200, 5, "hood"), read(1400, 5, "flow plate")))
    assert apart is not None
    assert {apart.one.method, apart.other.method} == {"electric", "flow plate"}
    assert isinstance(combined((read(1000, 4), read(1400, 5))), Disagreement)


def test_weighted_mean() -> None:
    # weights 1/4^2 and 1/7^2: (1,000/16 + 1,065/49) / (1/16 + 1/49) = 1,016.0; band 1/sqrt(1/16 + 1/49) = 3.47 %
    both = combined((read(1000, 4, "electric"), read(1065, 7, "rise")))
    assert isinstance(both, Measured)
    assert float(both.airflow_cfm) == pytest.approx(1016.0, abs=0.05)
    assert float(both.band_percent) == pytest.approx(3.473, abs=0.001)
    assert both.method == "electric and rise"


@settings(deadline=None)
@given(st.lists(st.tuples(st.integers(900, 1000), st.sampled_from([4, 5, 7])), min_size=1, max_size=4))
def test_a_combined_reading_lies_between_and_is_no_wider(pairs: list[tuple[int, int]]) -> None:
    readings = [read(airflow, band) for airflow, band in pairs]
    both = combined(readings)
    if isinstance(both, Disagreement):
        assert both.apart_cfm > both.bands_cfm
    else:
        assert min(airflow for airflow, _ in pairs) <= both.airflow_cfm <= max(airflow for airflow, _ in pairs)
        assert both.band_percent <= min(band for _, band in pairs)


# reading 1,000 with a band of 7 %: 930 to 1,070
@pytest.mark.parametrize(
    ("selected", "words"),
    [(1000, "as selected"), (930, "as selected"), (929, "high"), (1070, "as selected"), (1071, "low")],
)
def test_verdict_words_follow_the_band(selected: int, words: str) -> None:
    assert against_selected(read(1000, 7), F(selected)) == words


# reading 1,000 with a band of 5 %: 950 to 1,050
@pytest.mark.parametrize(
    ("least", "most", "words"),
    [
        (950, 1050, "inside"),
        (951, 1200, "likely inside"),
        (800, 1049, "likely inside"),
        (1001, 1200, "likely below"),
        (1050, 1200, "likely below"),
        (1051, 1200, "below"),
        (800, 999, "likely above"),
        (800, 949, "above"),
    ],
)
def test_standing_in_a_window(least: int, most: int, words: str) -> None:
    assert standing(read(1000, 5), F(least), F(most)) == words


def test_refusals() -> None:
    with pytest.raises(ValueError, match="reversed"):
        standing(read(1000, 5), F(1200), F(800))
    with pytest.raises(ValueError, match="no reading"):
        combined(())
    with pytest.raises(ValueError, match="band must be above 0"):
        combined((read(1000, 0),))


def test_two_of_one_method_agree_inside_one_band() -> None:
    # 1,070 - 1,000 = 70, 7 % of 1,070 is 74.9; 1,080 - 1,000 = 80, of 1,080 75.6
    assert disagreement((read(1000, 7), read(1070, 7))) is None
    apart = disagreement((read(1000, 7), read(1080, 7)))
    assert apart is not None
    assert (apart.apart_cfm, apart.bands_cfm) == (F(80), F("75.6"))
    # by another method each has its own band: 70 + 54 is more than 80
    assert disagreement((read(1000, 7), read(1080, 5, "hood"))) is None


def test_the_pair_that_is_furthest_apart_is_found_among_many() -> None:
    """By pairs, as it is defined: of each two, how far apart they are beyond the sum of their bands; of several alike
    the first."""
    some = [read(900 + 37 * n % 211, 3 + n % 4, f"meter {n}") for n in range(40)]
    gaps = {
        (i, j): abs(a.airflow_cfm - b.airflow_cfm) - (a.high_cfm - a.airflow_cfm) - (b.high_cfm - b.airflow_cfm)
        for (i, a), (j, b) in combinations(enumerate(some), 2)
    }
    first = max(gaps, key=lambda pair: gaps[pair])
    apart = disagreement(some)
    assert gaps[first] > 0
    assert apart is not None
    assert (apart.one, apart.other) == (some[first[0]], some[first[1]])
    assert apart.apart_cfm - apart.bands_cfm == gaps[first]
    assert disagreement(()) is None
