"""A column or a row typed one place off."""

from __future__ import annotations

from collections.abc import Iterator
from math import log

from selector.table.rows import TO_TYPE
from selector.transcribe.cells import Scene
from selector.transcribe.evidence import order_cost
from selector.transcribe.finding import Correction, Edit, Finding
from selector.transcribe.moved import SHARES, figure_at, made, with_values
from selector.transcribe.panel import Panel
from selector.transcribe.structures import foretell


def shifted_figures(scene: Scene, badness: dict[int, float], prior: float) -> Iterator[Finding]:
    """A column whose figures fit one row further up or down; a row whose figures fit one column further left or right."""
    panel, width, height = scene.panel, scene.panel.width, scene.panel.height
    if width < 2 or height < 3 or len(panel.cells) > 400:
        return
    whole: float | None = None
    lines: list[tuple[str, list[int]]] = []
    for c in range(width):
        cells = list(range(c, height * width, width))
        texts = [f.typed for f in (panel.cells[n] for n in cells) if f is not None]
        repeats = len(texts) > 2 and (texts[0] == texts[1] or texts[-1] == texts[-2])
        if sum(min(badness.get(n, 0.0), 12.0) for n in cells) > (-99 if repeats else 4):
            lines.append((f"column {panel.head_words(c)}", cells))
    for r in range(height):
        cells = list(range(r * width, (r + 1) * width))
        if width > 2 and sum(min(badness.get(n, 0.0), 12.0) for n in cells) > 4:
            lines.append((f"row {panel.row_words(r)}", cells))
    for name, cells in lines:
        present = [n for n in cells if panel.cells[n] is not None]
        if len(present) < 3:
            continue
        texts = [figure_at(panel, n).typed for n in present]
        last = len(present) - 1
        for ahead in (True, False):
            moved: list[int | None] = [*range(1, last + 1), None] if ahead else [None, *range(last)]
            tries: list[list[int | None]] = [[(0 if ahead else last) if m is None else m for m in moved]]
            end = present[0 if ahead else last]
            clip = (scene.sheet.high[end % width], scene.sheet.low[end % width])
            flat = name.startswith("row") and bool(scene.sheet.axis)
            if texts[0 if ahead else last] == texts[1 if ahead else last - 1] and not flat:
                tries.append(moved)
            for order in tries:
                values = list(scene.sheet.values)
                for n, m in zip(present, order, strict=True):
                    values[n] = None if m is None else scene.sheet.values[present[m]]
                if values == scene.sheet.values:
                    continue
                if whole is None:
                    _, whole = foretell(scene.sheet, frozenset(), [])
                _, after = foretell(with_values(scene.sheet, values), frozenset(), [])
                gain = 0.8 * (after - whole)
                if None in order:
                    told = _repeats_tell(panel, by_column=name.startswith("column"))
                    repeated = figure_at(panel, end).value
                    gain += told if repeated not in clip else min(told, 3.0) if values.count(repeated) < 3 else 0.0
                gain += order_cost(panel, values) - order_cost(panel, scene.sheet.values)
                if not name.startswith("column"):
                    gain -= 7.0
                edits = tuple(
                    Edit(place=figure_at(panel, n).place, to=TO_TYPE if m is None else texts[m])
                    for n, m in zip(present, order, strict=True)
                    if m is None or texts[m] != figure_at(panel, n).typed
                )
                which = (
                    "up"
                    if ahead and name.startswith("column")
                    else "down"
                    if name.startswith("column")
                    else "to the left"
                    if ahead
                    else "to the right"
                )
                yield made(
                    panel,
                    "shifted-figures",
                    f"{panel.chart.name}, {name}",
                    f"the figures of this {name.split()[0]} would follow the others one place further {which}",
                    present,
                    Correction(
                        words=" ".join(TO_TYPE if m is None else texts[m] for m in order),
                        edits=edits,
                        share=0.9,
                    ),
                    prior + log(SHARES["shifted"] * len(present)) + gain,
                )


def _repeats_tell(panel: Panel, *, by_column: bool) -> float:
    """How much a figure that repeats the one beside it says: little where the panel has many of those anyhow."""
    width = panel.width
    alike = count = 0
    for n, figure in enumerate(panel.cells):
        m = n + width if by_column else n + 1
        if figure is None or m >= len(panel.cells) or (not by_column and m % width == 0):
            continue
        other = panel.cells[m]
        if other is not None:
            count += 1
            alike += other.typed == figure.typed
    return -log((max(0, alike - 1) + 0.3) / (count + 1))
