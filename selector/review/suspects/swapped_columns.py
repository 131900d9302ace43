"""Two columns typed in each other's place: against the numbers above them, the other charts, the rating plate."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import log

from selector.review.figures.evidence import order_cost, tons_at
from selector.review.figures.finding import Correction, Finding
from selector.review.figures.panel import FigurePanel, numbers_of
from selector.review.statistics.robust import log_t, median
from selector.review.statistics.sheet import FigureSheet
from selector.review.statistics.structures import foretell
from selector.review.suspects.cells import Scene
from selector.review.suspects.moved import SHARES, exchange, made, with_values
from selector.table.model.table import Table


def swapped_columns(table: Table, scene: Scene, scenes: Sequence[Scene], prior: float) -> Iterator[Finding]:
    """Two neighbouring columns whose order disagrees with the numbers above them or with the same columns of other
    charts."""
    panel, width = scene.panel, scene.panel.width
    if width < 2 or panel.quantity == "temperature rise":
        return
    values = panel.values()
    whole: float | None = None
    together: dict[tuple[int, str, str], list[tuple[int, int, float]]] = {}
    for a, b, key_at in neighbours(panel):
        step = _step_between(values, width, a, b)
        if step is None:
            continue
        key = panel.chart.heads[key_at]
        gain = 0.0
        if key.continuous and len(scene.sheet.axis) >= 3:
            if whole is None:
                _, whole = foretell(scene.sheet, frozenset(), [])
            _, other = foretell(_with_columns_swapped(scene.sheet, a, b), frozenset(), [])
            gain = 0.7 * (other - whole)
            swapped = _with_columns_swapped(scene.sheet, a, b)
            gain += order_cost(panel, swapped.values) - order_cost(panel, values)
        elif key.name == "stage" and panel.quantity == "airflow":
            gain = 7.0 if step < -0.02 else -9.0
        else:
            for expected, scale in _expected_steps(table, scene, scenes, a, b, key_at):
                gain += log_t(-step - expected, scale, 8) - log_t(step - expected, scale, 8)
                if abs(expected) > 0.08:
                    gain += 2.5 if step * expected < 0 else -2.5
        if scene.rises is not None and scene.rises.shared and key.name == "model":
            gain += scene.rises.gain_of_exchange(a, b)
        gain = max(-40.0, min(40.0, gain))
        together.setdefault((key_at, panel.heads[a][key_at], panel.heads[b][key_at]), []).append((a, b, gain))
        cells = [r * width + c for r in range(panel.height) for c in (a, b)]
        both = [(r * width + a, r * width + b) for r in range(panel.height)]
        edits = exchange(panel, both) + (exchange(scene.partner, both) if scene.partner is not None else ())
        yield made(
            panel,
            "swapped-columns" if key.name != "stage" else "stage-order",
            f"{panel.chart.name}, {panel.head_words(a)} and {panel.head_words(b)}",
            f"the columns {panel.head_words(a)} and {panel.head_words(b)} would follow the other columns in each"
            " other's place",
            cells,
            Correction(words="the two columns in each other's place", edits=edits, share=0.9),
            prior + log(SHARES["columns"] * panel.height) + gain,
        )

    for (_, left, right), pairs in together.items():
        if len(pairs) < 2 or panel.quantity != "airflow":
            continue
        # the pairs tell the same thing over again: together they count for little more than the least of them
        gain = min(g for _, _, g in pairs) + 1.0
        every = [(r * width + a, r * width + b) for a, b, _ in pairs for r in range(panel.height)]
        yield made(
            panel,
            "swapped-columns",
            f"{panel.chart.name}, all columns of {left} and of {right}",
            f"the columns of {left} and of {right} would follow the other columns in each other's place",
            [n for pair in every for n in pair],
            Correction(words="the columns in each other's place", edits=exchange(panel, every), share=0.9),
            prior + log(SHARES["columns"] * panel.height * len(pairs)) + gain,
        )


def neighbours(panel: FigurePanel) -> Iterator[tuple[int, int, int]]:
    """Pairs of columns next to each other under one head, and which head differs."""
    for a in range(panel.width):
        for b in range(a + 1, panel.width):
            differing = [i for i, (x, y) in enumerate(zip(panel.heads[a], panel.heads[b], strict=True)) if x != y]
            if len(differing) == 1:
                key = panel.chart.heads[differing[0]]
                if key.values.index(panel.heads[b][differing[0]]) - key.values.index(panel.heads[a][differing[0]]) == 1:
                    yield a, b, differing[0]


def _step_between(values: Sequence[float | None], width: int, a: int, b: int) -> float | None:
    """The median log of b over a."""
    ratios = []
    for r in range(len(values) // width):
        x, y = values[r * width + a], values[r * width + b]
        if x and y:
            ratios.append(log(y / x))
    return median(ratios) if ratios else None


def _with_columns_swapped(sheet: FigureSheet, a: int, b: int) -> FigureSheet:
    values = list(sheet.values)
    for r in range(sheet.height):
        values[r * sheet.width + a], values[r * sheet.width + b] = (
            values[r * sheet.width + b],
            values[r * sheet.width + a],
        )
    return with_values(sheet, values)


def _expected_steps(
    table: Table, scene: Scene, scenes: Sequence[Scene], a: int, b: int, key_at: int
) -> Iterator[tuple[float, float]]:
    """(log of column b over column a that something else tells, sigma)."""
    panel = scene.panel
    key = panel.chart.heads[key_at]
    word_a, word_b = panel.heads[a][key_at], panel.heads[b][key_at]
    steps: list[float] = []
    for other in scenes:
        if (
            other is scene
            or other.panel.quantity not in ("airflow", "least airflow", "most airflow")
            or panel.quantity not in ("airflow", "least airflow")
        ):
            continue
        if other.panel.chart.name == panel.chart.name:
            continue
        for x, y, at in neighbours(other.panel):
            if other.panel.chart.heads[at].name == key.name and (
                other.panel.heads[x][at],
                other.panel.heads[y][at],
            ) == (word_a, word_b):
                found = _step_between(other.panel.values(), other.panel.width, x, y)
                if found is not None:
                    steps.append(found)
    numbers = numbers_of(key)
    if numbers is not None and (key.name == "model" or tons_at(table, panel, a) is not None):
        low, high = numbers[key.values.index(word_a)], numbers[key.values.index(word_b)]
        if low > 0 and high > 0:
            steps.append(0.75 * log(high / low))
    if not steps:
        rest = []
        for x, y, at in neighbours(panel):
            if at == key_at and (x, y) != (a, b):
                found = _step_between(panel.values(), panel.width, x, y)
                if found is not None:
                    rest.append(found)
        if len(rest) >= 2 and (all(s > 0 for s in rest) or all(s < 0 for s in rest)):
            yield median(rest), 0.25
        return
    yield median(steps), 0.13 if len(steps) > 1 else 0.16
