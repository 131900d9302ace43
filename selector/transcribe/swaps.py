"""Slips that move several figures at once: two that changed places, rows or columns swapped, a column typed one row off, a row in another unit."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations
from math import exp, log

from selector.table.model import Table
from selector.transcribe.cells import Scene, weigh
from selector.transcribe.evidence import order_cost, tons_at
from selector.transcribe.finding import Correction, Edit, Finding, finding_id
from selector.transcribe.misread import converted
from selector.transcribe.panel import Figure, Panel, numbers_of
from selector.transcribe.robust import log_t, median
from selector.transcribe.structures import Foretold, Sheet, foretell

SHARES: dict[str, float] = {"pair": 0.12, "rows": 0.1, "columns": 0.1, "shifted": 0.12, "unit": 0.04}
"""How often each comes beside one slip of a single figure (tuned on tables of our own; no source)."""
_CLOSE = 8
"""How many cells or rows that stand out are paired with others."""


def moved_figures(table: Table, scene: Scene, scenes: Sequence[Scene], badness: dict[int, float], prior: float) -> Iterator[Finding]:
    """Every such finding of a panel, however unlikely. `badness` is for each cell how much better the foretold figure would fit."""
    yield from _pairs(scene, badness, prior)
    yield from _columns(table, scene, scenes, prior)
    yield from _rows(scene, prior)
    yield from _shifted(scene, badness, prior)


def _figure(panel: Panel, n: int) -> Figure:
    figure = panel.cells[n]
    assert figure is not None
    return figure


def _exchange(panel: Panel, pairs: Sequence[tuple[int, int]]) -> tuple[Edit, ...]:
    edits: list[Edit] = []
    for a, b in pairs:
        x, y = panel.cells[a], panel.cells[b]
        if x is not None and y is not None:
            edits += [Edit(place=x.place, to=y.typed), Edit(place=y.place, to=x.typed)]
    return tuple(edits)


def _made(panel: Panel, code: str, where: str, why: str, cells: Sequence[int], correction: Correction, odds: float) -> Finding:
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


# -- two figures ------------------------------------------------------------------------------------------------------------------------------


def _pairs(scene: Scene, badness: dict[int, float], prior: float) -> Iterator[Finding]:
    """Two neighbours in a row or a column that would each fit better in the other's place."""
    panel, width = scene.panel, scene.panel.width
    odd = sorted((n for n in badness if badness[n] > 2), key=lambda n: -badness[n])[:_CLOSE]
    seen: set[tuple[int, int]] = set()
    for n in odd:
        r, c = divmod(n, width)
        near = [r * width + k for k in range(width) if k != c] + [x * width + c for x in (r - 1, r + 1) if 0 <= x < panel.height and width > 1]
        for m in near:
            pair = (min(n, m), max(n, m))
            if panel.cells[m] is None or pair in seen or badness.get(m, 0.0) + badness[n] < 5:
                continue
            seen.add(pair)
            a, b = _figure(panel, pair[0]), _figure(panel, pair[1])
            if a.typed == b.typed:
                continue
            gain = _together(scene, pair, b.typed, a.typed) - _together(scene, pair, a.typed, b.typed)
            beside = n // width == m // width
            code = "swapped-figures"
            if beside and _stage_pair(panel, pair):
                code = "stage-order"
            where = f"{panel.where(pair[0])} and {panel.head_words(pair[1] % width) if beside else panel.row_words(pair[1] // width)}"
            yield _made(
                panel,
                code,
                where,
                f"{a.typed} and {b.typed} would each follow the figures around them in the other's place",
                pair,
                Correction(words=f"{b.typed} and {a.typed}", edits=_exchange(panel, [pair]), share=0.9),
                prior + log(SHARES["pair"]) + gain,
            )


def _together(scene: Scene, pair: tuple[int, int], first: str, second: str) -> float:
    """Log of how likely two figures stand in two cells: the first by itself, the second given the first."""
    rounding = scene.rounding(pair)
    told, _ = foretell(scene.sheet, frozenset(pair), pair[:1])
    out = weigh(scene, told[pair[0]], rounding, pair[0], first)
    values = list(scene.sheet.values)
    values[pair[0]] = float(first) * _figure(scene.panel, pair[0]).factor
    given = _like(scene.sheet, values)
    given.active = scene.sheet.active
    told, _ = foretell(given, frozenset(pair[1:]), pair[1:])
    return out + weigh(scene, told[pair[1]], rounding, pair[1], second)


def _stage_pair(panel: Panel, pair: tuple[int, int]) -> bool:
    """True where two heads differ in the stage alone."""
    a, b = (panel.heads[n % panel.width] for n in pair)
    differing = [key.name for key, x, y in zip(panel.chart.heads, a, b, strict=True) if x != y]
    return differing == ["stage"]


# -- columns ----------------------------------------------------------------------------------------------------------------------------------


def _columns(table: Table, scene: Scene, scenes: Sequence[Scene], prior: float) -> Iterator[Finding]:
    """Two neighbouring columns whose order disagrees with the numbers above them or with the same columns of other charts."""
    panel, width = scene.panel, scene.panel.width
    if width < 2 or panel.quantity == "temperature rise":
        return
    values = panel.values()
    whole: float | None = None
    for a, b, key_at in _neighbours(panel):
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
        cells = [r * width + c for r in range(panel.height) for c in (a, b)]
        both = [(r * width + a, r * width + b) for r in range(panel.height)]
        edits = _exchange(panel, both) + (_exchange(scene.partner, both) if scene.partner is not None else ())
        yield _made(
            panel,
            "swapped-columns" if key.name != "stage" else "stage-order",
            f"{panel.chart.name}, {panel.head_words(a)} and {panel.head_words(b)}",
            f"the columns {panel.head_words(a)} and {panel.head_words(b)} would follow the other columns in each other's place",
            cells,
            Correction(words="the two columns in each other's place", edits=edits, share=0.9),
            prior + log(SHARES["columns"] * panel.height) + gain,
        )


def _neighbours(panel: Panel) -> Iterator[tuple[int, int, int]]:
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


def _with_columns_swapped(sheet: Sheet, a: int, b: int) -> Sheet:
    values = list(sheet.values)
    for r in range(sheet.height):
        values[r * sheet.width + a], values[r * sheet.width + b] = values[r * sheet.width + b], values[r * sheet.width + a]
    return _like(sheet, values)


def _like(sheet: Sheet, values: list[float | None]) -> Sheet:
    return Sheet(
        values=values,
        width=sheet.width,
        row_keys=sheet.row_keys,
        head_labels=sheet.head_labels,
        axis=sheet.axis,
        step=sheet.step,
        ordered_rows=sheet.ordered_rows,
        context=sheet.context,
        spread=sheet.spread,
    )


def _expected_steps(table: Table, scene: Scene, scenes: Sequence[Scene], a: int, b: int, key_at: int) -> Iterator[tuple[float, float]]:
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
        for x, y, at in _neighbours(other.panel):
            if other.panel.chart.heads[at].name == key.name and (other.panel.heads[x][at], other.panel.heads[y][at]) == (word_a, word_b):
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
        for x, y, at in _neighbours(panel):
            if at == key_at and (x, y) != (a, b):
                found = _step_between(panel.values(), panel.width, x, y)
                if found is not None:
                    rest.append(found)
        if len(rest) >= 2 and (all(s > 0 for s in rest) or all(s < 0 for s in rest)):
            yield median(rest), 0.25
        return
    yield median(steps), 0.13 if len(steps) > 1 else 0.16


# -- rows -------------------------------------------------------------------------------------------------------------------------------------


def _profile(panel: Panel) -> list[float | None]:
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


def _rows(scene: Scene, prior: float) -> Iterator[Finding]:
    """Rows of figures in each other's place, or in another unit, judged by the level of whole rows."""
    panel, width = scene.panel, scene.panel.width
    height = panel.height
    if height < 2 or height > 80:
        return
    profile = Sheet(values=_profile(panel), width=1, row_keys=panel.keys, step=scene.sheet.step, ordered_rows=True, spread=scene.sheet.spread)
    present = [r for r in range(height) if profile.values[r] is not None]
    lone: dict[int, Foretold] = {}
    odd: dict[int, float] = {}
    for r in present:
        told, _ = foretell(profile, frozenset([r]), [r])
        lone[r] = told[r]
        odd[r] = told[r].log_density(told[r].best.figure) - told[r].log_density(profile.values[r] or 1.0)
    worst = sorted(present, key=lambda r: -odd[r])[: _CLOSE // 2 + 1]
    for a, b in combinations(present if height > 3 else [], 2):
        if (a not in worst and b not in worst) or odd[a] + odd[b] < 3:
            continue
        x, y = profile.values[a] or 1.0, profile.values[b] or 1.0
        if abs(log(x / y)) < 0.02:
            continue
        told, _ = foretell(profile, frozenset((a, b)), [a, b])
        gain = told[a].log_density(y) + told[b].log_density(x) - told[a].log_density(x) - told[b].log_density(y)
        both = [(a * width + c, b * width + c) for c in range(width)]
        yield _made(
            panel,
            "swapped-rows",
            f"{panel.chart.name}, {panel.row_words(a)} and {panel.row_words(b)}",
            f"the rows {panel.row_words(a)} and {panel.row_words(b)} would follow the other rows in each other's place",
            [n for pair in both for n in pair],
            Correction(words="the two rows in each other's place", edits=_exchange(panel, both), share=0.9),
            prior + log(SHARES["rows"] * width) - (2.5 if a else 5.0) - log(max(1, abs(a - b))) + 0.8 * gain,
        )
    if width > 1 and scene.units:
        yield from _rows_in_other_units(scene, profile, lone, prior)


def _rows_in_other_units(scene: Scene, profile: Sheet, lone: dict[int, Foretold], prior: float) -> Iterator[Finding]:
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
                figure = _figure(panel, n)
                meant = rounding.nearest(float(figure.typed) / factor)
                if meant <= 0:
                    gain = -99.0
                    break
                gain += converted(float(figure.typed), meant, factor) + rounding.log_mass(meant) - rounding.log_mass(float(figure.typed))
                gain += scene.within_row(n, meant * figure.factor) - scene.within_row(n, figure.value)
                edits.append(Edit(place=figure.place, to=f"{meant:.6g}"))
            if gain < 0:
                continue
            yield _made(
                panel,
                "other-unit",
                f"{panel.chart.name}, {panel.row_words(r)}",
                f"the figures of this row look as if they were in {unit}",
                cells,
                Correction(words="the figures of " + unit + " in the table's unit: " + " ".join(e.to for e in edits), edits=tuple(edits), share=0.8),
                prior + log(SHARES["unit"] * len(cells)) + gain,
            )


# -- a column or a row typed one place off ----------------------------------------------------------------------------------------------------


def _shifted(scene: Scene, badness: dict[int, float], prior: float) -> Iterator[Finding]:
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
        texts = [_figure(panel, n).typed for n in present]
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
                _, after = foretell(_like(scene.sheet, values), frozenset(), [])
                gain = 0.8 * (after - whole)
                if None in order:
                    told = _repeats_tell(panel, by_column=name.startswith("column"))
                    repeated = _figure(panel, end).value
                    gain += told if repeated not in clip else min(told, 3.0) if values.count(repeated) < 3 else 0.0
                gain += order_cost(panel, values) - order_cost(panel, scene.sheet.values)
                if not name.startswith("column"):
                    gain -= 7.0
                edits = tuple(
                    Edit(place=_figure(panel, n).place, to="?" if m is None else texts[m])
                    for n, m in zip(present, order, strict=True)
                    if m is None or texts[m] != _figure(panel, n).typed
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
                yield _made(
                    panel,
                    "shifted-figures",
                    f"{panel.chart.name}, {name}",
                    f"the figures of this {name.split()[0]} would follow the others one place further {which}",
                    present,
                    Correction(
                        words=" ".join("?" if m is None else texts[m] for m in order),
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
