"""Rows of figures in each other's place, or in another unit, judged by the level of whole rows."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations
from math import exp, log

from selector.review.figures.finding import Correction, Edit, Finding
from selector.review.figures.misread import converted
from selector.review.figures.panel import FigurePanel
from selector.review.statistics.guess import Foretold
from selector.review.statistics.robust import median
from selector.review.statistics.sheet import FigureSheet
from selector.review.statistics.structures import foretell
from selector.review.suspects.cells import Scene
from selector.review.suspects.moved import SHARES, exchange, figure_at, made
from selector.review.suspects.row_order import back_in_order, is_in_order

_CLOSE = 8
"""How many cells or rows that stand out are paired with others."""


def _profile(panel: FigurePanel) -> list[float | None]:
    """The level of each row, as a figure: its figures over the middle of their columns."""
    width, values = panel.width, panel.values()
    middles = []
    for c in range(width):
        column = [v for v in values[c::width] if v]
        middles.append(median([log(v) for v in column]) if column else 0.0)
    overall = median(middles)
    out: list[float | None] = []
    for r in range(panel.height):
        logs = [log(v) - middles[c] + overall for c, v in enumerate(values[r * width : (r + 1) * width]) if v and v > 0]
        out.append(exp(min(50.0, sum(logs) / len(logs))) if logs else None)
    return out


def swapped_rows(scene: Scene, scenes: Sequence[Scene], prior: float) -> Iterator[Finding]:
    """Rows of figures in each other's place, or in another unit, judged by the level of whole rows."""
    panel, width = scene.panel, scene.panel.width
    height = panel.height
    if height < 2 or height > 80:
        return
    profile = FigureSheet(
        values=_profile(panel),
        width=1,
        row_keys=panel.keys,
        step=scene.sheet.step,
        ordered_rows=True,
        spread=scene.sheet.spread,
    )
    present = [r for r in range(height) if profile.values[r] is not None]
    lone: dict[int, Foretold] = {}
    odd: dict[int, float] = {}
    for r in present:
        told, _ = foretell(profile, frozenset([r]), [r])
        lone[r] = told[r]
        odd[r] = told[r].log_density(told[r].best.figure) - told[r].log_density(profile.values[r] or 1.0)
    worst = sorted(present, key=lambda r: -odd[r])[: _CLOSE // 2 + 1]
    ordered = back_in_order(panel, profile.values, *_orders_of_others(scene, scenes))
    for a, b in combinations(present if height > 3 else [], 2):
        back = ordered is not None and (a, b) == ordered.rows
        if not back and ((a not in worst and b not in worst) or odd[a] + odd[b] < 3):
            continue
        x, y = profile.values[a] or 1.0, profile.values[b] or 1.0
        if abs(log(x / y)) < 0.02:
            continue
        told, _ = foretell(profile, frozenset((a, b)), [a, b])
        gain = told[a].log_density(y) + told[b].log_density(x) - told[a].log_density(x) - told[b].log_density(y)
        both = [(a * width + c, b * width + c) for c in range(width)]
        odds = prior + log(SHARES["rows"] * width) - (2.5 if a else 5.0) - log(max(1, abs(a - b))) + 0.8 * gain
        if ordered is not None and back and gain > -3:
            odds = max(odds, ordered.log_odds)
        edits = exchange(panel, both) + (exchange(scene.partner, both) if scene.partner is not None else ())
        yield made(
            panel,
            "swapped-rows",
            f"{panel.chart.name}, {panel.row_words(a)} and {panel.row_words(b)}",
            f"the rows {panel.row_words(a)} and {panel.row_words(b)} would follow the other rows in each other's place",
            [n for pair in both for n in pair],
            Correction(words="the two rows in each other's place", edits=edits, share=0.9),
            odds,
        )
    if width > 1 and scene.units:
        yield from _rows_in_other_units(scene, profile, lone, prior)


def _orders_of_others(scene: Scene, scenes: Sequence[Scene]) -> tuple[int, int]:
    """How many of the other airflow charts have their rows in order, and how many haven't."""
    others = [
        _profile(s.panel) for s in scenes if s is not scene and s.panel.quantity == "airflow" and s.panel.height >= 4
    ]
    ordered = sum(is_in_order(levels) for levels in others)
    return ordered, len(others) - ordered


def _rows_in_other_units(
    scene: Scene, profile: FigureSheet, lone: dict[int, Foretold], prior: float
) -> Iterator[Finding]:
    panel, width = scene.panel, scene.panel.width
    for r, told in lone.items():
        level = profile.values[r] or 1.0
        cells = [n for n in range(r * width, (r + 1) * width) if panel.cells[n] is not None]
        if len(cells) < 2:
            continue
        rounding = scene.rounding(cells)
        for unit, factor in scene.units.items():
            gain = told.log_density(level / factor) - told.log_density(level)
            edits = []
            for n in cells:
                figure = figure_at(panel, n)
                meant = rounding.nearest(float(figure.typed) / factor)
                if meant <= 0:
                    gain = -99.0
                    break
                gain += (
                    converted(float(figure.typed), meant, factor)
                    + rounding.log_mass(meant)
                    - rounding.log_mass(float(figure.typed))
                )
                gain += scene.within_row(n, meant * figure.factor) - scene.within_row(n, figure.value)
                edits.append(Edit(place=figure.place, to=f"{meant:.6g}"))
            if gain < 0:
                continue
            yield made(
                panel,
                "other-unit",
                f"{panel.chart.name}, {panel.row_words(r)}",
                f"the figures of this row look as if they were in {unit}",
                cells,
                Correction(
                    words="the figures of " + unit + " in the table's unit: " + " ".join(e.to for e in edits),
                    edits=tuple(edits),
                    share=0.8,
                ),
                prior + log(SHARES["unit"] * len(cells)) + gain,
            )
