"""Two figures that changed places, in a row or in a column."""

from __future__ import annotations

from collections.abc import Iterator
from math import log

from selector.review.figures.finding import Correction, Finding
from selector.review.figures.panel import FigurePanel
from selector.review.statistics.structures import foretell
from selector.review.suspects.cells import Scene, weigh
from selector.review.suspects.moved import SHARES, exchange, figure_at, made, with_values

_CLOSE = 8
"""How many cells or rows that stand out are paired with others."""


def swapped_pairs(scene: Scene, badness: dict[int, float], prior: float) -> Iterator[Finding]:
    """Two neighbours in a row or a column that would each fit better in the other's place."""
    panel, width = scene.panel, scene.panel.width
    odd = sorted((n for n in badness if badness[n] > 2), key=lambda n: -badness[n])[:_CLOSE]
    seen: set[tuple[int, int]] = set()
    for n in odd:
        r, c = divmod(n, width)
        near = [r * width + k for k in range(width) if k != c] + [
            x * width + c for x in (r - 1, r + 1) if 0 <= x < panel.height and width > 1
        ]
        for m in near:
            pair = (min(n, m), max(n, m))
            if panel.cells[m] is None or pair in seen or badness.get(m, 0.0) + badness[n] < 5:
                continue
            seen.add(pair)
            a, b = figure_at(panel, pair[0]), figure_at(panel, pair[1])
            if abs(a.value - b.value) < 0.02 * max(a.value, b.value):
                continue
            gain = _together(scene, pair, b.typed, a.typed) - _together(scene, pair, a.typed, b.typed)
            beside = n // width == m // width
            code = "swapped-figures"
            if beside and _stage_pair(panel, pair):
                code = "stage-order"
            where = (
                f"{panel.where(pair[0])} and"
                f" {panel.head_words(pair[1] % width) if beside else panel.row_words(pair[1] // width)}"
            )
            yield made(
                panel,
                code,
                where,
                f"{a.typed} and {b.typed} would each follow the figures around them in the other's place",
                pair,
                Correction(words=f"{b.typed} and {a.typed}", edits=exchange(panel, [pair]), share=0.9),
                prior + log(SHARES["pair"]) + gain,
            )


def _together(scene: Scene, pair: tuple[int, int], first: str, second: str) -> float:
    """Log of how likely two figures stand in two cells: the first by itself, the second given the first."""
    rounding = scene.rounding(pair)
    told, _ = foretell(scene.sheet, frozenset(pair), pair[:1])
    out = weigh(scene, told[pair[0]], rounding, pair[0], first)
    values = list(scene.sheet.values)
    values[pair[0]] = float(first) * figure_at(scene.panel, pair[0]).factor
    given = with_values(scene.sheet, values)
    given.active = scene.sheet.active
    told, _ = foretell(given, frozenset(pair[1:]), pair[1:])
    return out + weigh(scene, told[pair[1]], rounding, pair[1], second)


def _stage_pair(panel: FigurePanel, pair: tuple[int, int]) -> bool:
    """True where two heads differ in the stage alone."""
    a, b = (panel.heads[n % panel.width] for n in pair)
    differing = [key.name for key, x, y in zip(panel.chart.heads, a, b, strict=True) if x != y]
    return differing == ["stage"]
