"""Several figures that stand a row too high or too low: two rows in each other's place, a column one place off.

The panel as typed and the panel put right are held beside each other by how well each hangs together.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations
from math import exp, lgamma, log

from selector.review.figures.evidence import LOOSE
from selector.review.figures.finding import Correction, Edit, Finding, finding_id
from selector.review.figures.panel import FigurePanel
from selector.review.statistics.structures import foretell
from selector.review.suspects.single_figures import Scene, likeliest
from selector.table.from_file.rows import TO_TYPE

SHARES: dict[str, float] = {"rows": 0.16, "shifted": 0.08}
"""How often each comes beside one slip of a single figure (tuned on tables of our own; no source)."""
_TRUST = 0.6
"""How much of a better score counts: a structure's record counts every figure it foretells again and again."""
_TWICE = 2.0
"""What a figure that comes two times running tells where one would, as a log (tuned on tables of our own)."""
_ORDERED = 0.75
"""How many pages print their rows in order (common practice, no source)."""
_FACTORY_FIRST = {False: 0.5, True: 0.1}
"""How many print them in order below the factory setting: charts of several switches, and those of one selector that
is no switch (common practice, no source)."""


def moved_figures(scene: Scene, prior: float) -> Iterator[Finding]:
    """Every such finding of a panel, however unlikely; `prior` is the log odds of a slip of one figure."""
    panel = scene.panel
    if not 3 <= panel.height <= 80:
        return
    prior += log(sum(1 for c in panel.cells if c is not None))
    sorted_now = _in_order(panel.values(), panel.width)
    one_selector = len({key.name.rpartition("-")[0] or key.name for key in panel.chart.keys}) == 1
    loose = panel.quantity in LOOSE
    for first, second in [] if sorted_now else combinations(range(panel.height), 2):
        least = 4 if second == first + 1 else 99 if loose or first == 0 else 7
        ordered = one_selector and panel.height >= least and _puts_in_order(panel, first, second)
        held = any(panel.cells[n] for pair in _pairs(panel.width, first, second) for n in pair)
        if held and (ordered or (second == first + 1 and not loose)):
            yield _exchanged(scene, first, second, prior, ordered=ordered)
    for column in range(panel.width if panel.height > 3 and panel.quantity not in LOOSE else 0):
        for lost, cells in _shifts(panel, column):
            yield _shifted(scene, column, lost, cells, prior)


def _score(scene: Scene, changes: dict[int, float | None], without: Sequence[int] = ()) -> float:
    """How well the panel hangs together with these figures in it, those `without` not looked at."""
    values = list(scene.sheet.values)
    for n, value in changes.items():
        values[n] = value
    sheet = scene.sheet.with_values(values) if changes else scene.sheet
    return foretell(sheet, frozenset(without), ())[1]


def _pairs(width: int, first: int, second: int) -> list[tuple[int, int]]:
    return [(first * width + c, second * width + c) for c in range(width)]


def _puts_in_order(panel: FigurePanel, first: int, second: int) -> bool:
    """True where every column rises, or falls, from row to row with these two exchanged."""
    values = panel.values()
    right = list(values)
    for a, b in _pairs(panel.width, first, second):
        right[a], right[b] = values[b], values[a]
    return _in_order(right, panel.width)


def _order_tells(panel: FigurePanel, first: int) -> float:
    """Log of how much likelier rows that two exchanged put in order are so by a slip than as printed."""
    ways = exp(lgamma(min(panel.height, 8) + 1))
    factory_first = _FACTORY_FIRST[len(panel.chart.keys) == 1] / panel.height if first == 0 else 0.0
    return log(_ORDERED) - log((1 - _ORDERED) / ways + factory_first)


def _exchanged(scene: Scene, above: int, below: int, prior: float, *, ordered: bool) -> Finding:
    panel, width = scene.panel, scene.panel.width
    pairs = _pairs(width, above, below)
    values = panel.values()
    changes = {n: values[m] for a, b in pairs for n, m in ((a, b), (b, a)) if values[n] and values[m]}
    told, _ = foretell(scene.sheet, frozenset(n for pair in pairs for n in pair), list(changes))
    # the figures of a row tell the same over again
    gain = sum(told[n].log_density(v) - told[n].log_density(values[n] or v) for n, v in changes.items() if v) / width
    gain = gain if changes else -99.0
    if ordered:
        gain = _order_tells(panel, above) + min(gain, 0.0)
    panels = [panel] if scene.partner is None else [panel, scene.partner]
    edits = tuple(e for p in panels for e in _texts(p, {n: m for a, b in pairs for n, m in ((a, b), (b, a))}))
    first, second = panel.row_words(above), panel.row_words(below)
    return _finding(
        panel,
        "swapped-rows",
        f"{panel.chart.name}, {first} and {second}",
        f"the rows {first} and {second} would follow the other rows in each other's place",
        [n for pair in pairs for n in pair],
        Correction(words="the two rows in each other's place", edits=edits, share=0.9),
        prior + log(SHARES["rows"] / (panel.height - 1)) + gain,
    )


def _in_order(values: Sequence[float | None], width: int) -> bool:
    """True where every column rises, or falls, from row to row; figures may be level."""
    columns = ([v for v in values[c::width] if v is not None] for c in range(width))
    return all(column in (sorted(column), sorted(column, reverse=True)) for column in columns)


def _shifts(panel: FigurePanel, column: int) -> Iterator[tuple[int, dict[int, int]]]:
    """(the cell whose figure is lost, for each other cell whose figure belongs there) where a figure comes two times
    running: from
    there on one row too low, or up to the end one row too high."""
    cells = range(column, len(panel.cells), panel.width)
    texts = ["" if (c := panel.cells[n]) is None else c.typed for n in cells]
    last = len(texts) - 1
    for r in range(last - 1):
        if texts[r] and texts[r] == texts[r + 1] and texts.count(texts[r]) == 2:
            yield cells[last], {cells[k]: cells[k + 1] for k in range(r + 1, last)}
    if texts[last] and texts[last - 1] == texts[last] and texts.count(texts[last]) == 2:
        for r in range(last - 1):
            yield cells[r], {cells[k]: cells[k - 1] for k in range(r + 1, last)}


def _shifted(scene: Scene, column: int, lost: int, cells: dict[int, int], prior: float) -> Finding:
    panel, values = scene.panel, scene.panel.values()
    changes: dict[int, float | None] = {n: values[m] for n, m in cells.items()} | {lost: None}
    gain = _TRUST * (_score(scene, changes) - _score(scene, {}, [lost])) + _TWICE
    right = scene.sheet.with_values([changes.get(n, v) for n, v in enumerate(values)])
    told, _ = foretell(right, frozenset([lost]), [lost])
    rounding = scene.rounding([lost])
    figure = panel.cells[lost]
    about = likeliest(told[lost], rounding)
    edits = [*_texts(panel, cells), *([Edit(place=figure.place, to=f"{about:.6g}")] if figure is not None else [])]
    head = panel.head_words(column)
    where = f"{panel.chart.name}, column {head}" if head else panel.chart.name
    where += f" from {panel.row_words(min(lost, *cells) // panel.width)} on"
    changed = sorted([lost, *cells])
    return _finding(
        panel,
        "shifted-figures",
        where,
        "this figure comes two times running, and those after it would fit one row further",
        changed,
        Correction(words="the figures one row further", edits=tuple(edits), share=0.9),
        prior + log(SHARES["shifted"] / (2 * panel.width * (panel.height - 2))) + gain,
    )


def _texts(panel: FigurePanel, cells: dict[int, int]) -> tuple[Edit, ...]:
    """Edits that put into each cell the text of another, blanks too."""
    blanks = dict(panel.blanks)
    edits: list[Edit] = []
    for n, m in cells.items():
        here, there = panel.cells[n], panel.cells[m]
        place = here.place if here is not None else blanks.get(n)
        to = there.typed if there is not None else "-" if m in blanks else TO_TYPE
        if place is not None and place.text != to:
            edits.append(Edit(place=place, to=to))
    return tuple(edits)


def _finding(
    panel: FigurePanel, code: str, where: str, why: str, cells: Sequence[int], correction: Correction, odds: float
) -> Finding:
    figures = [f for f in (panel.cells[n] for n in cells) if f is not None]
    return Finding(
        code=code,
        where=where,
        why=why,
        places=tuple(f.place for f in figures),
        corrections=(correction,),
        log_odds=odds,
        id=finding_id(code, where, [f.typed for f in figures]),
    )
