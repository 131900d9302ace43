"""Statistics that a few wrong figures can't pull away: median, spread, Student's t, and a sum of effects fitted with
bounded influence."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from math import lgamma, log, log1p, pi, sqrt

from selector.value import Struct

MAD_TO_SIGMA = 1.482602218505602
"""1 / the 75 % point of the normal distribution: makes the median absolute deviation an estimate of sigma."""


def median(values: Sequence[float]) -> float:
    """The middle value, the mean of the two middle ones where their number is even. ValueError for none."""
    ordered = sorted(values)
    n = len(ordered)
    if not n:
        raise ValueError("no values")
    return ordered[n // 2] if n % 2 else (ordered[n // 2 - 1] + ordered[n // 2]) / 2


def spread(values: Sequence[float]) -> float:
    """The median absolute deviation from the median, scaled to sigma of a normal distribution."""
    middle = median(values)
    return MAD_TO_SIGMA * median([abs(v - middle) for v in values])


@cache
def _t_constant(freedom: float) -> float:
    return lgamma((freedom + 1) / 2) - lgamma(freedom / 2) - log(freedom * pi) / 2


def log_t(deviation: float, scale: float, freedom: float) -> float:
    """Natural log of the density of Student's t with this scale and these degrees of freedom."""
    ratio = deviation / scale
    return _t_constant(freedom) - log(scale) - (freedom + 1) / 2 * log1p(ratio * ratio / freedom)


class Design(Struct, frozen=True):
    """Which effects act on each cell: `labels[f][n]` is the effect of factor f that acts on cell n, `levels[f]` how
    many effects f has."""

    labels: tuple[tuple[int, ...], ...]
    levels: tuple[int, ...]


class Fit(Struct, frozen=True):
    """A sum of one effect a factor fitted to cells.

    `fitted` holds a value for every cell, left-out ones too; `scale` is sigma of the rest; `freedom` the cells less the
    effects;
    `leverage[n]` about how far cell n pulls its own fitted value (0 for one that was left out); `extra[n]` the variance
    of an effect that
    nothing else tells about.
    """

    fitted: tuple[float, ...]
    scale: float
    freedom: int
    leverage: tuple[float, ...]
    extra: tuple[float, ...]
    effects: tuple[tuple[float, ...], ...]


def fit_effects(
    values: Sequence[float | None],
    design: Design,
    *,
    prior_scale: float,
    prior_weight: float = 3.0,
    freedom: float = 4.0,
    high: Sequence[bool] = (),
    low: Sequence[bool] = (),
    sweeps: int = 14,
    start: Fit | None = None,
) -> Fit:
    """Effects by iterated weights of Student's t, started from medians; None is left out.

    `high[n]` marks a cell that may stand for any greater value (a clipped figure), `low[n]` for any smaller one: such a
    cell doesn't pull when
    the fit lies beyond it. `prior_scale` counts like `prior_weight` cells of that sigma, so that a few cells don't
    claim to be exact. `start` is
    a fit of nearly the same cells to begin from.
    """
    n = len(values)
    used = [i for i in range(n) if values[i] is not None]
    left = [0.0 if v is None else v for v in values]
    effects = [[0.0] * count for count in design.levels]
    present = [[0] * count for count in design.levels]
    for labels, counts in zip(design.labels, present, strict=True):
        for i in used:
            counts[labels[i]] += 1
    freedoms = len(used) - sum(sum(1 for c in counts if c) for counts in present) + len(design.levels) - 1
    if start is not None:
        effects = [list(e) for e in start.effects]
        for labels, found in zip(design.labels, effects, strict=True):
            for i in used:
                left[i] -= found[labels[i]]
    for _ in range(0 if start is not None else 3):
        for labels, found in zip(design.labels, effects, strict=True):
            groups: list[list[float]] = [[] for _ in found]
            for i in used:
                groups[labels[i]].append(left[i])
            for at, group in enumerate(groups):
                if group:
                    shift = median(group)
                    found[at] += shift
                    for i in used:
                        if labels[i] == at:
                            left[i] -= shift
    bounded_high = [i for i in used if high and high[i]]
    bounded_low = [i for i in used if low and low[i]]
    floor = prior_weight * prior_scale * prior_scale
    variance = floor + sum(r * r for r in (left[i] for i in used)) * 0.5
    variance /= prior_weight + max(freedoms, 0)
    robust = MAD_TO_SIGMA * median([abs(left[i]) for i in used]) if used else prior_scale
    variance = (
        min(
            variance, (prior_weight * prior_scale**2 + max(freedoms, 1) * robust**2) / (prior_weight + max(freedoms, 1))
        )
        or prior_scale**2
    )
    if start is not None:
        variance = start.scale**2
    weight = [0.0] * n
    for _ in range(sweeps):
        total = 0.0
        for i in used:
            r = left[i]
            weight[i] = (freedom + 1) / (freedom + r * r / variance)
        for i in bounded_high:
            if left[i] < 0:
                weight[i] = 0.02
        for i in bounded_low:
            if left[i] > 0:
                weight[i] = 0.02
        for i in used:
            total += weight[i] * left[i] * left[i]
        new = (floor + total) / (prior_weight + max(freedoms, 0))
        moved = abs(new - variance) / variance
        variance = new
        for labels, found in zip(design.labels, effects, strict=True):
            sums = [0.0] * len(found)
            weights = [0.0] * len(found)
            for i in used:
                at = labels[i]
                weights[at] += weight[i]
                sums[at] += weight[i] * left[i]
            for at, w in enumerate(weights):
                if w:
                    sums[at] /= w
                    found[at] += sums[at]
            for i in used:
                left[i] -= sums[labels[i]]
        if moved < 1e-3:
            break
    fitted, leverage, extra = [0.0] * n, [0.0] * n, [0.0] * n
    for labels, found, counts in zip(design.labels, effects, present, strict=True):
        known = [e for e, c in zip(found, counts, strict=True) if c]
        middle = sum(known) / len(known) if known else 0.0
        wide = sum((e - middle) ** 2 for e in known) / max(1, len(known) - 1) if len(known) > 1 else 0.04
        for i in range(n):
            at = labels[i]
            if counts[at]:
                fitted[i] += found[at]
                leverage[i] += 1 / counts[at]
            else:
                fitted[i] += middle
                extra[i] += wide * 1.5
    total_cells = max(1, len(used))
    shared = (len(design.levels) - 1) / total_cells
    for i in range(n):
        leverage[i] = leverage[i] - shared
    return Fit(
        tuple(fitted), sqrt(variance), max(freedoms, 0), tuple(leverage), tuple(extra), tuple(tuple(e) for e in effects)
    )
