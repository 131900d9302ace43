"""Structures that are sums of effects: a level, rows and columns, positions and columns, a straight line in the
level of the rows."""

from __future__ import annotations

from collections.abc import Sequence
from math import log, sqrt

from selector.review.statistics.guess import FREEDOM, Guess
from selector.review.statistics.robust import Design, Fit, fit_effects, log_t, median
from selector.review.statistics.sheet import FigureSheet


def kept_cells(sheet: FigureSheet, left_out: frozenset[int]) -> list[int]:
    return [i for i, v in enumerate(sheet.values) if v is not None and v > 0 and i not in left_out]


def score_of(sheet: FigureSheet, n: int, deviation: float, scale: float, logs: bool) -> float:
    """Log density of a cell foretold from the others; a clipped one can't be far off."""
    value = sheet.values[n]
    assert value is not None
    c = n % sheet.width
    if (value == sheet.high[c] and deviation < 0) or (value == sheet.low[c] and deviation > 0):
        deviation = 0.0
    return log_t(deviation, scale, FREEDOM) + (0.0 if logs else log(value))


def level_of_columns(
    sheet: FigureSheet, left_out: frozenset[int], targets: Sequence[int]
) -> tuple[float, dict[int, Guess]]:
    """Figures of a column lie about one level."""
    kept = kept_cells(sheet, left_out)
    logs = {i: log(sheet.values[i] or 1.0) for i in kept}
    columns: list[list[float]] = [[] for _ in range(sheet.width)]
    for i, z in logs.items():
        columns[i % sheet.width].append(z)
    all_logs = list(logs.values())
    overall = median(all_logs) if all_logs else log(1000.0)
    between = _sigma(all_logs, overall, sheet.spread * 1.5, 3)
    level = [median(c) if c else overall for c in columns]
    within = _sigma([z - level[i % sheet.width] for i, z in logs.items()], 0.0, sheet.spread, 3 - sheet.width)
    score = sum(
        log_t((z - level[i % sheet.width]) * _unbias(len(columns[i % sheet.width])), within * 1.1, FREEDOM)
        for i, z in logs.items()
    )
    guesses = {}
    for n in targets:
        have = len(columns[n % sheet.width])
        scale = within * sqrt(1 + 1 / have) if have else between
        guesses[n] = Guess(1.0, level[n % sheet.width], scale, True)
    return score, guesses


def _unbias(count: int) -> float:
    return count / (count - 1) if count > 1 else 1.0


def _sigma(values: Sequence[float], middle: float, prior: float, less: int) -> float:
    squares = sum((v - middle) ** 2 for v in values)
    return sqrt((3 * prior * prior + squares) / (3 + max(0, len(values) + less - 3)))


def sums_of_effects(
    sheet: FigureSheet,
    design: Design,
    extra: Sequence[float | None],
    left_out: frozenset[int],
    targets: Sequence[int],
) -> tuple[float, dict[int, Guess]] | None:
    values: list[float | None] = []
    for i, v in enumerate(sheet.values):
        values.append(None if v is None or v <= 0 or i in left_out else log(v))
    own = len(values)
    values += [None if v is None or v <= 0 else log(v) for v in extra]
    numbers = [v for v in sheet.values if v is not None and v > 0]
    if len(numbers) - len(left_out) < 3:
        return None
    size = median(numbers)
    prior = max(sheet.grain, 0.35 * sheet.step / size)
    high = [v is not None and v == sheet.high[i % sheet.width] for i, v in enumerate(sheet.values)] + [False] * (
        len(values) - own
    )
    low = [v is not None and v == sheet.low[i % sheet.width] for i, v in enumerate(sheet.values)] + [False] * (
        len(values) - own
    )
    start = sheet.starts.get(id(design))
    fit = fit_effects(values, design, prior_scale=prior, high=high, low=low, start=start, sweeps=6 if start else 20)
    if start is None and not left_out:
        sheet.starts[id(design)] = fit
    if fit.freedom < 1:
        return None
    scales = _column_scales(values[:own], fit, sheet.width)
    score = 0.0
    for i in range(own):
        z = values[i]
        if z is not None:
            pull = min(fit.leverage[i], 0.8)
            score += score_of(
                sheet, i, (z - fit.fitted[i]) / (1 - pull), scales[i % sheet.width] / sqrt(1 - pull), True
            )
    guesses = {}
    for n in targets:
        loose = 0.0
        if sheet.width > 1 and _clipped_row(sheet, n):
            loose = 0.06
        scale = sqrt(scales[n % sheet.width] ** 2 * (1 + max(0.0, fit.leverage[n])) + fit.extra[n] + loose)
        guesses[n] = Guess(1.0, fit.fitted[n], scale, True)
    return score, guesses


def _clipped_row(sheet: FigureSheet, n: int) -> bool:
    """True where every other figure of the row is clipped: the row's level is known from below only."""
    start = n - n % sheet.width
    others = [(i, sheet.values[i]) for i in range(start, start + sheet.width) if i != n and sheet.values[i] is not None]
    return bool(others) and all(v == sheet.high[i % sheet.width] for i, v in others)


def _column_scales(values: Sequence[float | None], fit: Fit, width: int) -> list[float]:
    """Sigma of each column: that of the whole fit, more where a column strays more than the others (one odd model)."""
    out: list[float] = []
    for c in range(width):
        left = [v - fit.fitted[i] for i, v in enumerate(values) if v is not None and i % width == c]
        total = sum(min(r * r, 16 * fit.scale**2) for r in left)
        out.append(
            max(
                fit.scale,
                sqrt(
                    (4 * fit.scale**2 + total) / (4 + max(0.5, (len(left) - 1) * fit.freedom / (fit.freedom + width)))
                ),
            )
        )
    return out


def lines_in_the_level(
    sheet: FigureSheet, left_out: frozenset[int], targets: Sequence[int]
) -> tuple[float, dict[int, Guess]] | None:
    """Each column is a straight line in the rows' level: one odd model fits as well as the others."""
    height, width = sheet.height, sheet.width
    if height < 5 or width < 2:
        return None
    kept = set(kept_cells(sheet, left_out))
    z = {i: log(sheet.values[i] or 1.0) for i in kept}
    base: list[float] = []
    for c in range(width):
        column = [z[i] for i in range(c, height * width, width) if i in kept]
        if len(column) < 4:
            return None
        base.append(median(column))
    score = 0.0
    guesses: dict[int, Guess] = {}
    size = median([sheet.values[i] or 1.0 for i in kept])
    prior = max(sheet.grain, 0.35 * sheet.step / size)
    for c in range(width):
        xs: list[float | None] = []
        for r in range(height):
            others = [z[r * width + k] - base[k] for k in range(width) if k != c and r * width + k in kept]
            xs.append(median(others) if others else None)
        pairs = [(x, z[r * width + c], r) for r, x in enumerate(xs) if x is not None and r * width + c in kept]
        if len(pairs) < 4:
            return None
        a, b, scale, mean, squares = _line(pairs, prior)
        for x, y, r in pairs:
            n = r * width + c
            pull = min(0.8, 1 / len(pairs) + (x - mean) ** 2 / squares)
            score += score_of(sheet, n, (y - a - b * x) / (1 - pull), scale / sqrt(1 - pull), True)
        for n in targets:
            if n % width == c:
                at = xs[n // width]
                if at is not None and not _clipped_row(sheet, n):
                    guesses[n] = Guess(
                        1.0, a + b * at, scale * sqrt(1 + 1 / len(pairs) + (at - mean) ** 2 / squares), True
                    )
        for r in range(height):
            if xs[r] is None and r * width + c in kept:
                score += log_t(z[r * width + c] - base[c], sheet.spread, FREEDOM)
    return score, guesses


def _line(pairs: Sequence[tuple[float, float, int]], prior: float) -> tuple[float, float, float, float, float]:
    """Intercept, slope, sigma, mean of x, sum of squares of x, by weights of Student's t; the slope is drawn towards
    1."""
    weights = [1.0] * len(pairs)
    a, b, variance = 0.0, 1.0, 0.0
    mean = squares = 0.0
    for _ in range(8):
        total = sum(weights)
        mean = sum(w * x for w, (x, _, _) in zip(weights, pairs, strict=True)) / total
        middle = sum(w * y for w, (_, y, _) in zip(weights, pairs, strict=True)) / total
        squares = sum(w * (x - mean) ** 2 for w, (x, _, _) in zip(weights, pairs, strict=True)) + 1e-6
        stiff = (variance or prior * prior) / 0.09
        b = (sum(w * (x - mean) * (y - middle) for w, (x, y, _) in zip(weights, pairs, strict=True)) + stiff) / (
            squares + stiff
        )
        a = middle - b * mean
        left = [y - a - b * x for x, y, _ in pairs]
        if not variance:
            variance = prior * prior + (median([abs(r) for r in left]) * 1.5) ** 2
        weights = [5 / (4 + r * r / variance) for r in left]
        variance = (3 * prior * prior + sum(w * r * r for w, r in zip(weights, left, strict=True))) / (
            3 + len(pairs) - 2
        )
    return a, b, sqrt(variance), mean, squares
