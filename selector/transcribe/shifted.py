"""A column or a row typed one place off."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import log

from selector.table.rows import TO_TYPE
from selector.transcribe.cells import Scene
from selector.transcribe.evidence import order_cost
from selector.transcribe.finding import Correction, Edit, Finding
from selector.transcribe.moved import SHARES, made, with_values
from selector.transcribe.panel import Panel
from selector.transcribe.structures import foretell


@dataclass(frozen=True, slots=True)
class _Line:
    """A column or a row of cells: what it is called, its cells, their texts (empty where no figure is printed)."""

    name: str
    column: bool
    cells: tuple[int, ...]
    texts: tuple[str, ...]


def shifted_figures(scene: Scene, badness: dict[int, float], prior: float) -> Iterator[Finding]:
    """A column whose figures fit one row further up or down; a row whose figures fit one column further left or right."""
    panel = scene.panel
    if panel.height < 3 or len(panel.cells) > 400:
        return
    whole: float | None = None
    for line in _lines(panel, badness):
        for ahead in (True, False):
            for order, told in _orders(scene, line, ahead):
                values = list(scene.sheet.values)
                for n, m in zip(line.cells, order, strict=True):
                    values[n] = None if m is None else scene.sheet.values[line.cells[m]]
                if values == scene.sheet.values:
                    continue
                if whole is None:
                    _, whole = foretell(scene.sheet, frozenset(), [])
                _, after = foretell(with_values(scene.sheet, values), frozenset(), [])
                gain = 0.8 * (after - whole) + told + order_cost(panel, values) - order_cost(panel, scene.sheet.values)
                yield _finding(panel, line, order, ahead, prior + log(SHARES["shifted"] * len(line.cells)) + gain - _less(panel, line))


def _less(panel: Panel, line: _Line) -> float:
    """How much rarer such a slip is than a column shifted beside others: rows are seldom shifted, a lone column tells little of itself."""
    return 7.0 if not line.column else 4.0 if panel.width == 1 else 0.0


def _lines(panel: Panel, badness: dict[int, float]) -> Iterator[_Line]:
    """Columns and rows in which something is odd: figures that stand out, one repeated at an end, an end without a figure."""
    width, height = panel.width, panel.height
    for c in range(width):
        cells = tuple(range(c, height * width, width))
        texts = _texts(panel, cells)
        odd = texts[0] in ("", texts[1]) or texts[-1] in ("", texts[-2])
        if sum(1 for t in texts if t) >= 3 and (odd or sum(min(badness.get(n, 0.0), 12.0) for n in cells) > 4):
            yield _Line(f"column {panel.head_words(c)}".strip(), True, cells, texts)
    for r in range(height):
        cells = tuple(range(r * width, (r + 1) * width))
        texts = _texts(panel, cells)
        if sum(1 for t in texts if t) >= 3 and sum(min(badness.get(n, 0.0), 12.0) for n in cells) > 4:
            yield _Line(f"row {panel.row_words(r)}", False, cells, texts)


def _texts(panel: Panel, cells: tuple[int, ...]) -> tuple[str, ...]:
    return tuple("" if f is None else f.typed for f in (panel.cells[n] for n in cells))


def _orders(scene: Scene, line: _Line, ahead: bool) -> Iterator[tuple[list[int | None], float]]:
    """(for each cell which cell's figure belongs there, None where it is lost; how much the end of the line tells of it, a log)."""
    last = len(line.cells) - 1
    texts = line.texts
    moved: list[int | None] = [*range(1, last + 1), None] if ahead else [None, *range(last)]
    end, beside = (0, 1) if ahead else (last, last - 1)
    if all(texts):
        yield [end if m is None else m for m in moved], 0.0
    elif not texts[end] and all(texts[i] for i in range(last + 1) if i != end):
        blanks = sum(1 for c in scene.panel.cells if c is None)
        yield moved, -log((blanks - 1 + 0.3) / (len(scene.panel.cells) + 1)) - 1.0
        return
    flat = not line.column and bool(scene.sheet.axis)
    if texts[end] and texts[end] == texts[beside] and not flat:
        value = scene.sheet.values[line.cells[end]]
        at = line.cells[end] % scene.panel.width
        told = _repeats_tell(scene.panel, by_column=line.column)
        if value in (scene.sheet.high[at], scene.sheet.low[at]):
            told = min(told, 3.0) if scene.sheet.values.count(value) < 4 else 0.0
        yield moved, told


def _finding(panel: Panel, line: _Line, order: list[int | None], ahead: bool, odds: float) -> Finding:
    blanks = dict(panel.blanks)
    edits: list[Edit] = []
    changed: list[int] = []
    for n, m in zip(line.cells, order, strict=True):
        figure = panel.cells[n]
        place = figure.place if figure is not None else blanks.get(n)
        to = (line.texts[m] or "-") if m is not None else TO_TYPE
        if place is not None and to != (figure.typed if figure is not None else "-"):
            edits.append(Edit(place=place, to=to))
            if figure is not None:
                changed.append(n)
    which = ("up" if ahead else "down") if line.column else ("to the left" if ahead else "to the right")
    what = "column" if line.column else "row"
    return made(
        panel,
        "shifted-figures",
        f"{panel.chart.name}, {line.name}",
        f"the figures of this {what} would follow the others one place further {which}",
        [*changed, *(n for n in line.cells if n not in changed and panel.cells[n] is not None)],
        Correction(words=" ".join(TO_TYPE if m is None else line.texts[m] or "-" for m in order), edits=tuple(edits), share=0.9),
        odds,
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
