"""The structure that runs on evenly from row to row."""

from __future__ import annotations

from collections.abc import Sequence
from math import log, sqrt

from selector.review.statistics.effects import kept_cells, score_of
from selector.review.statistics.guess import Guess
from selector.review.statistics.robust import median
from selector.review.statistics.sheet import FigureSheet


def along_rows(
    sheet: FigureSheet, left_out: frozenset[int], targets: Sequence[int], *, logs: bool
) -> tuple[float, dict[int, Guess]] | None:
    """A single column runs on evenly from row to row: each cell foretold by the straight line through its two neighbors
    (or the nearest two), with one sigma for all."""
    if sheet.width != 1 or sheet.height < 5 or not sheet.ordered_rows:
        return None
    z = {n: (log(sheet.values[n] or 1.0) if logs else sheet.values[n] or 0.0) for n in kept_cells(sheet, left_out)}
    cells = sorted(z)
    if len(cells) < 4:
        return None
    deviations: list[tuple[int, float, float]] = []
    for n in cells:
        made = _from_neighbours(z, n)
        if made is not None:
            deviations.append((n, z[n] - made[0], sqrt(made[1])))
    sizes = [abs(d) / s for _, d, s in deviations]
    numbers = [v for v in sheet.values if v]
    prior = max(sheet.grain if logs else sheet.grain / 2, 0.35 * sheet.step / median(numbers))
    prior *= 1.0 if logs else median(numbers)
    variance = (1.5 * median(sizes)) ** 2 or prior * prior
    for _ in range(10):
        total = sum(5 / (4 + d * d / variance) * d * d for d in sizes)
        variance = (3 * prior * prior + total) / (3 + len(sizes))
    scale = sqrt(variance)
    score = sum(score_of(sheet, n, d, scale * s, logs) for n, d, s in deviations)
    guesses = {}
    for n in targets:
        made = _from_neighbours(z, n)
        if made is not None:
            guesses[n] = Guess(1.0, made[0], scale * sqrt(made[1]), logs)
    return score, guesses


def _from_neighbours(z: dict[int, float], n: int) -> tuple[float, float] | None:
    """The value in row n on the straight line through the nearest cells on both sides (or the two nearest), and the
    variance in cells' variances."""
    left = sorted(k for k in z if k < n)
    right = sorted(k for k in z if k > n)
    near = (left[-1], right[0]) if left and right else (*left[-2:], *right[:2])
    if len(near) < 2:
        return None
    first, last = near
    share = (n - first) / (last - first)
    return z[first] + (z[last] - z[first]) * share, 1 + (1 - share) ** 2 + share**2
