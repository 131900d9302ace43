"""The robust statistics of the review, held against scipy, statsmodels and numpy on the same rows."""

from __future__ import annotations

import math
import random

import numpy as np
import pytest
import scipy.stats
import statsmodels.api as sm
from hypothesis import given
from hypothesis import strategies as st

from selector.review.statistics.robust import MAD_TO_SIGMA, Design, fit_effects, log_t, median, spread

NUMBERS = st.lists(st.floats(-1e6, 1e6), min_size=1, max_size=40)


@given(NUMBERS)
def test_median_is_numpys(values: list[float]) -> None:
    assert median(values) == pytest.approx(float(np.median(values)), abs=1e-9)


@given(NUMBERS)
def test_spread_is_the_scaled_median_absolute_deviation_of_scipy(values: list[float]) -> None:
    assert spread(values) == pytest.approx(
        float(scipy.stats.median_abs_deviation(values, scale="normal")), rel=1e-6, abs=1e-6
    )


def test_scale_of_the_spread_is_that_of_the_normal_distribution() -> None:
    assert pytest.approx(1 / scipy.stats.norm.ppf(0.75), rel=1e-12) == MAD_TO_SIGMA


def test_median_of_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="no values"):
        median([])


@given(st.floats(-50, 50), st.floats(0.01, 20), st.sampled_from([1, 3, 4, 7, 12, 30]))
def test_students_t_is_scipys(deviation: float, scale: float, freedom: int) -> None:
    assert log_t(deviation, scale, freedom) == pytest.approx(
        float(scipy.stats.t.logpdf(deviation, freedom, scale=scale)), rel=1e-9, abs=1e-9
    )


def two_way(rows: int, columns: int, seed: int, noise: float) -> tuple[list[float], Design, np.ndarray]:
    """A sum of row and column effects with noise, and its matrix of indicators."""
    rnd = random.Random(seed)
    r, c = [rnd.uniform(5, 8) for _ in range(rows)], [rnd.uniform(-0.5, 0.5) for _ in range(columns)]
    values = [r[i] + c[j] + rnd.gauss(0, noise) for i in range(rows) for j in range(columns)]
    labels = (
        tuple(i for i in range(rows) for _ in range(columns)),
        tuple(j for _ in range(rows) for j in range(columns)),
    )
    matrix = np.zeros((rows * columns, rows + columns - 1))
    for n in range(rows * columns):
        matrix[n, labels[0][n]] = 1
        if labels[1][n]:
            matrix[n, rows + labels[1][n] - 1] = 1
    return values, Design(labels, (rows, columns)), matrix


@pytest.mark.parametrize("seed", range(6))
def test_without_outliers_and_with_many_degrees_the_fit_is_least_squares(seed: int) -> None:
    values, design, matrix = two_way(7, 4, seed, 0.02)
    fit = fit_effects(list(values), design, prior_scale=1e-9, prior_weight=1e-9, freedom=1e9, sweeps=200)
    expected = matrix @ np.linalg.lstsq(matrix, np.array(values), rcond=None)[0]
    assert list(fit.fitted) == pytest.approx(list(expected), abs=1e-4)
    assert fit.freedom == 28 - 10


@pytest.mark.parametrize("seed", range(8))
def test_with_an_outlier_the_fit_agrees_with_a_robust_regression_of_statsmodels(seed: int) -> None:
    values, design, matrix = two_way(8, 4, seed, 0.01)
    at = random.Random(seed + 100).randrange(32)
    values[at] += 0.7
    fit = fit_effects(list(values), design, prior_scale=0.01)
    robust = sm.RLM(np.array(values), matrix, M=sm.robust.norms.TukeyBiweight()).fit()
    # two bounded estimates of one sum: they may differ by a fraction of the noise (sigma 0.01), the outlier by 70 of it
    assert list(fit.fitted) == pytest.approx(list(matrix @ robust.params), abs=0.012)
    least = matrix @ np.linalg.lstsq(matrix, np.array(values), rcond=None)[0]
    assert abs(least[at] - fit.fitted[at]) > 0.15


def test_the_cell_that_is_left_out_is_foretold_from_the_others() -> None:
    values: list[float | None] = [1.0, 2.0, 3.0, 11.0, None, 13.0, 21.0, 22.0, 23.0]
    design = Design(((0, 0, 0, 1, 1, 1, 2, 2, 2), (0, 1, 2, 0, 1, 2, 0, 1, 2)), (3, 3))
    fit = fit_effects(values, design, prior_scale=0.01)
    assert fit.fitted[4] == pytest.approx(12.0, abs=1e-3)


def test_a_clipped_cell_doesnt_pull_the_others_down() -> None:
    rows, columns = [0.0, 0.1, 0.2, 0.3, 0.4], [0.0, 0.25, 0.5]
    values = [min(r + c, 0.7) for r in rows for c in columns]
    high = [math.isclose(v, 0.7) for v in values]
    labels = tuple(i for i in range(5) for _ in range(3)), tuple(j for _ in range(5) for j in range(3))
    fit = fit_effects(list(values), Design(labels, (5, 3)), prior_scale=0.01, high=high, sweeps=60)
    assert fit.fitted[14] == pytest.approx(0.9, abs=0.05)
