"""Structures that run on evenly: from row to row, and along static pressure or another number at the top."""

from __future__ import annotations

from collections.abc import Sequence
from math import log, sqrt

from selector.review.statistics.effects import LOG_SCALE, kept_cells, score_of
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
    sheet: FigureSheet, left_out: frozenset[int], targets: Sequence[int], *, curved: bool
) -> tuple[float, dict[int, Guess]] | None:
    """Figures run on along static pressure or another number at the top; `curved` takes out the bend that all rows
    share."""
    width = sheet.width
    if len(sheet.axis) < 3:
        return None
    m = len(sheet.axis)
    blocks = width // m
    kept = kept_cells(sheet, left_out)
    values = {i: sheet.values[i] or 0.0 for i in kept}
    bend = [0.0] * m
    if curved:
        lines: dict[int, list[float]] = {}
        for i in kept:
            j = i % m
            if 0 < j < m - 1 and i - 1 in values and i + 1 in values:
                share = (sheet.axis[j] - sheet.axis[j - 1]) / (sheet.axis[j + 1] - sheet.axis[j - 1])
                lines.setdefault(j, []).append(values[i] - values[i - 1] * (1 - share) - values[i + 1] * share)
        if not lines:
            return None
        # second differences per axis step, summed up twice: a curve that has each bend where the rows have it
        slope = 0.0
        for j in range(1, m - 1):
            left, right = sheet.axis[j] - sheet.axis[j - 1], sheet.axis[j + 1] - sheet.axis[j]
            hang = median(lines[j]) if j in lines else 0.0
            slope -= hang * (left + right) / (left * right)
            bend[j + 1] = bend[j] + slope * right
    series: list[tuple[list[int], list[float], dict[int, float]]] = []
    home: dict[int, int] = {}
    at: dict[int, float] = {}
    for r in range(sheet.height):
        for k in range(blocks):
            start = r * width + k * m
            cells = [start + j for j in range(m) if start + j in values]
            for j in range(m):
                home[start + j] = len(series)
                at[start + j] = sheet.axis[j]
            series.append(
                (cells, [sheet.axis[c - start] for c in cells], {c: values[c] - bend[c - start] for c in cells})
            )
    made = _smooth(sheet, series, targets, home, at, logs=False)
    if made is None or not curved:
        return made
    score, guesses = made
    return score, {n: Guess(g.weight, g.middle + bend[n % m], g.scale, g.logs) for n, g in guesses.items()}


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
    prior = 0.35 * sheet.step if not logs else max(LOG_SCALE, 0.35 * sheet.step / median(numbers))
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
