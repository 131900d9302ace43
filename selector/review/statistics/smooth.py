"""Structures that run on evenly: from row to row, and along static pressure or another number at the top."""

from __future__ import annotations

from collections.abc import Sequence
from math import log, sqrt

from selector.review.statistics.effects import kept_cells, score_of
from selector.review.statistics.guess import FREEDOM, Guess
from selector.review.statistics.robust import log_t, median
from selector.review.statistics.sheet import FigureSheet


def along_rows(
    sheet: FigureSheet, left_out: frozenset[int], targets: Sequence[int], *, logs: bool
) -> tuple[float, dict[int, Guess]] | None:
    """A single column runs on evenly from row to row."""
    if sheet.width != 1 or sheet.height < 5 or not sheet.ordered_rows:
        return None
    kept = kept_cells(sheet, left_out)
    z = {i: (log(sheet.values[i] or 1.0) if logs else sheet.values[i] or 0.0) for i in kept}
    rows = sorted(z)
    if len(rows) < 4:
        return None
    return _smooth(
        sheet,
        [(rows, [float(r) for r in rows], z)],
        targets,
        dict.fromkeys(targets, 0),
        {n: float(n) for n in targets},
        logs,
    )


def along_axis(
    sheet: FigureSheet, left_out: frozenset[int], targets: Sequence[int]
) -> tuple[float, dict[int, Guess]] | None:
    """Figures run on along static pressure or another number at the top."""
    if len(sheet.axis) < 3:
        return None
    m = len(sheet.axis)
    values = {i: sheet.values[i] or 0.0 for i in kept_cells(sheet, left_out)}
    series: list[tuple[list[int], list[float], dict[int, float]]] = []
    home: dict[int, int] = {}
    at: dict[int, float] = {}
    for start in range(0, sheet.height * sheet.width, m):
        line = {start + j: x for j, x in enumerate(sheet.axis)}
        at |= line
        home |= dict.fromkeys(line, len(series))
        cells = [n for n in line if n in values]
        series.append((cells, [line[n] for n in cells], {n: values[n] for n in cells}))
    return _smooth(sheet, series, targets, home, at, logs=False)


def _smooth(
    sheet: FigureSheet,
    series: Sequence[tuple[list[int], list[float], dict[int, float]]],
    targets: Sequence[int],
    home: dict[int, int],
    at: dict[int, float],
    logs: bool,
) -> tuple[float, dict[int, Guess]] | None:
    """Each cell foretold by the straight line through its two neighbours (or the nearest two), with one sigma for
    all."""
    deviations: list[tuple[int, float, float]] = []
    for cells, xs, z in series:
        for k, n in enumerate(cells):
            made = _from_neighbours(cells, xs, z, xs[k], skip=k)
            if made is not None:
                deviations.append((n, z[n] - made[0], sqrt(made[1])))
    if len(deviations) < 3:
        return None
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
    told = {n for n, _, _ in deviations}
    for cells, _, z in series:
        for n in cells:
            if n not in told:
                score += (
                    log_t(0.0, sheet.spread, FREEDOM) - 1.0
                    if logs
                    else log_t(0.0, sheet.spread * abs(z[n]) + 1, FREEDOM) + log(abs(z[n]) + 1) - 1.0
                )
    guesses = {}
    for n in targets:
        cells, xs, z = series[home[n]]
        made = _from_neighbours(cells, xs, z, at[n], skip=cells.index(n) if n in cells else -1)
        if made is not None:
            guesses[n] = Guess(1.0, made[0], scale * sqrt(made[1]), logs)
    return score, guesses


def _from_neighbours(
    cells: list[int], xs: list[float], z: dict[int, float], x: float, skip: int
) -> tuple[float, float] | None:
    """The value at x on the straight line through the nearest cells on both sides (or the two nearest), and the
    variance in cells' variances."""
    known = [(xs[k], z[cells[k]]) for k in range(len(cells)) if k != skip]
    if len(known) < 2:
        return None
    left = [p for p in known if p[0] < x]
    right = [p for p in known if p[0] > x]
    if left and right:
        (x1, y1), (x2, y2) = left[-1], right[0]
    elif left:
        if len(left) < 2:
            return None
        (x1, y1), (x2, y2) = left[-2], left[-1]
    else:
        if len(right) < 2:
            return None
        (x1, y1), (x2, y2) = right[0], right[1]
    share = (x - x1) / (x2 - x1)
    return y1 + (y2 - y1) * share, 1 + (1 - share) ** 2 + share**2
