"""Slips that move several figures at once."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from selector.review.figures.finding import Finding
from selector.review.suspects.cells import Scene
from selector.review.suspects.shifted import shifted_figures
from selector.review.suspects.swapped_columns import swapped_columns
from selector.review.suspects.swapped_pairs import swapped_pairs
from selector.review.suspects.swapped_rows import swapped_rows
from selector.table.model.table import Table


def moved_figures(
    table: Table, scene: Scene, scenes: Sequence[Scene], badness: dict[int, float], prior: float
) -> Iterator[Finding]:
    """Every such finding of a panel, however unlikely. `badness` is for each cell how much better the foretold
    figure would fit."""
    yield from swapped_pairs(scene, badness, prior)
    yield from swapped_columns(table, scene, scenes, prior)
    yield from swapped_rows(scene, scenes, prior)
    yield from shifted_figures(scene, badness, prior)
