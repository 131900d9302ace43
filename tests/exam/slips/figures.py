"""Figures as manuals print them: measured, rounded, now and then with a kink."""

from __future__ import annotations

import itertools
import random
from collections.abc import Sequence

SIZES = ((1.5, "18"), (2.0, "24"), (2.5, "30"), (3.0, "36"), (3.5, "42"), (4.0, "48"), (5.0, "60"))
INPUTS = (40, 45, 60, 70, 80, 90, 100, 110, 115, 120)


def near(figure: float, step: int) -> int:
    """The nearest whole multiple of `step`, halves up."""
    return int(figure / step + 0.5) * step


def noisy(rng: random.Random, figure: float, spread: float) -> float:
    """The figure with a relative error of about `spread`, never beyond 2.2 times it."""
    return figure * (1 + max(-2.2, min(2.2, rng.gauss(0, 1))) * spread)


def ladder(rng: random.Random, low: float, high: float, count: int, step: int = 10, noise: float = 0.008) -> list[int]:
    """`count` rising figures from about `low` to about `high`, spacings uneven as in measured charts."""
    gaps = [rng.uniform(0.65, 1.35) for _ in range(count - 1)]
    whole, sum_ = sum(gaps) or 1.0, 0.0
    figures: list[int] = []
    for gap in [0.0, *gaps]:
        sum_ += gap
        figure = near(noisy(rng, low + (high - low) * sum_ / whole, noise), step)
        figures.append(max(figure, figures[-1] + step) if figures else figure)
    return figures


def grid(rng: random.Random, shape: Sequence[float], tops: Sequence[float], step: int, noise: float) -> list[list[int]]:
    """Rows follow `shape`, columns `tops`; each cell measured on its own, now and then a kinked row or cell."""
    bends = {(i, j): 1.0 for i in range(len(shape)) for j in range(len(tops))}
    if noise >= 0.006 and rng.random() < 0.3:
        row, bend = rng.randrange(len(shape)), rng.choice((0.975, 0.98, 1.02, 1.025))
        bends |= {(row, j): bend for j in range(len(tops))}
    if noise >= 0.006 and rng.random() < 0.2:
        bends[rng.choice(list(bends))] = rng.choice((0.965, 0.975, 1.025, 1.035))
    return [
        [near(noisy(rng, part * top * bends[i, j], noise), step) for j, top in enumerate(tops)]
        for i, part in enumerate(shape)
    ]


def shape(rng: random.Random, count: int, low: float = 0.55) -> list[float]:
    """`count` rising parts of the whole, from `low` to 1, uneven."""
    return [figure / 1000 for figure in ladder(rng, low * 1000, 1000, count, 1, 0.004)]


def curve(
    rng: random.Random, free: float, statics: Sequence[float], reach: float, power: float, step: int, noise: float
) -> list[int]:
    """Airflow falling with static: free x (1 - (static / reach) ** power) ** 0.5."""
    figures: list[int] = []
    for static in statics:
        left = max(0.05, 1 - (static / reach) ** power) ** 0.5
        figure = near(noisy(rng, free * left, noise), step)
        figures.append(min(figure, figures[-1] - step) if figures else figure)
    return figures


def combos(count: int, first_fast: bool = True) -> list[tuple[str, ...]]:
    """All settings of `count` switches as 0 and 1, all off first."""
    turns = list(itertools.product("01", repeat=count))
    return [turn[::-1] for turn in turns] if first_fast else turns


def texts(figures: Sequence[float]) -> list[str]:
    """Figures as typed."""
    return [str(figure) for figure in figures]


def sizes(rng: random.Random, count: int) -> tuple[list[float], list[str]]:
    """`count` sizes, smallest first: tons and model names."""
    picked = sorted(rng.sample(SIZES, count))
    form = rng.choice(("{}", "0{}", "A{}", "{}H", "T{}"))
    return [tons for tons, _ in picked], [form.format(name) for _, name in picked]


def inputs(rng: random.Random, count: int) -> tuple[list[int], list[str]]:
    """`count` furnace sizes, smallest first: input in Btu/h and model names."""
    picked = sorted(rng.sample(INPUTS, count))
    while any(b - a < 10 for a, b in itertools.pairwise(picked)):
        picked = sorted(rng.sample(INPUTS, count))
    form = rng.choice(("{:03d}", "K{:03d}", "{}M", "S{}"))
    return [1000 * size for size in picked], [form.format(size) for size in picked]


def rise(heat: float, airflow: float) -> float:
    """Temperature rise, F, from delivered heat in Btu/h and airflow in cfm."""
    return heat / (1.08 * airflow)
