"""A column or a row typed one place off, from its start or from some figure on."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import exp, log

from selector.review.figures.evidence import order_cost
from selector.review.figures.finding import Correction, Edit, Finding
from selector.review.figures.panel import FigurePanel
from selector.review.statistics.robust import median
from selector.review.statistics.structures import foretell
from selector.review.suspects.cells import Scene, likeliest
from selector.review.suspects.moved import SHARES, made, with_values
from selector.table.build.rows import TO_TYPE
from selector.value import Struct

_RATE_AT_AN_END = 0.08
"""How often the greatest or least figure of a column is repeated on a page where nothing else repeats (tuned on
tables of our own)."""
_MOST_STARTS = 2
"""So many places at which a line may begin to be off are looked at closely."""
_TRUST, _TRUST_ALONE = 0.8, 0.5
"""How much of what the other figures tell is taken: less for a lone column, which chance puts in some pattern
sooner."""
_BLANK_BESIDE, _BLANK_ALONE = 0.03, 0.004
"""Least share of lines beside others that end in a blank, as the smallest or greatest model may; share of rows of a
lone column that hold no figure
but a blank: a row that says nothing is seldom printed (tuned on tables of our own)."""

_ROUND, _ROUND_ALONE = -1.5, -7.0
"""Logs of how often the figure that fell off one end stands at the other, in a column beside others and in a lone one,
which often begins with the
row as delivered out of line with the others."""


class _Line(Struct, frozen=True):
    """A column or a row of cells: what it is called, its cells, their texts (empty where no figure is printed)."""

    name: str
    column: bool
    cells: tuple[int, ...]
    texts: tuple[str, ...]


class _Move(Struct, frozen=True):
    """How a line may have been meant: for each cell which cell's figure belongs there, None where it is lost.

    `ahead` when the figures belong further up (or left); `extra` is the cell whose figure is taken for a repeat; `told`
    what the typed line says
    for the slip besides its figures, as a log.
    """

    order: tuple[int | None, ...]
    ahead: bool
    extra: int | None
    told: float


def shifted_figures(scene: Scene, badness: dict[int, float], prior: float) -> Iterator[Finding]:
    """A column whose figures fit one row further up or down; a row whose figures fit one column further left or
    right; wholly or from a place on."""
    panel = scene.panel
    if panel.height < 3 or len(panel.cells) > 400:
        return
    values = scene.sheet.values
    scores: dict[int | None, tuple[float, float]] = {}
    for line in _lines(panel, badness):
        level = _level(scene, line)
        for move in _moves(scene, line, level):
            meant = list(values)
            for n, m in zip(line.cells, move.order, strict=True):
                meant[n] = None if m is None else values[line.cells[m]]
            if meant == values or (panel.width > 1 and not _nearer(scene, line, move, level)):
                continue
            extra = None if move.extra is None else line.cells[move.extra]
            if extra not in scores:
                scores[extra] = _as_typed(scene, extra)
            before, alone = scores[extra]
            _, after = foretell(with_values(scene.sheet, meant), frozenset(), [])
            gain = (
                (_TRUST if panel.width > 1 else _TRUST_ALONE) * (after - before)
                + move.told
                + order_cost(panel, meant)
                - order_cost(panel, values)
            )
            if extra is not None:
                rate = _rate_of_repeats(scene, line, move.extra or 0)
                gain -= log((1 - rate) * alone + rate)
            both = scene.partner is not None and _moves_too(scene.partner, line, move)
            if not both:
                gain += sum(
                    _worth(scene, n, v) - _worth(scene, n, values[n])
                    for n, v in zip(line.cells, (meant[n] for n in line.cells), strict=True)
                )
            yield _finding(
                scene,
                line,
                move,
                meant,
                both,
                prior + log(SHARES["shifted"] * len(line.cells)) + gain - _less(panel, line),
            )


def _worth(scene: Scene, cell: int, value: float | None) -> float:
    return 0.0 if value is None else max(-8.0, scene.within_row(cell, value))


def _as_typed(scene: Scene, extra: int | None) -> tuple[float, float]:
    """(score of the figures as they stand, the chance of the one that is taken for a repeat, which the score leaves
    out)."""
    if extra is None:
        return foretell(with_values(scene.sheet, list(scene.sheet.values)), frozenset(), [])[1], 0.0
    value = scene.sheet.values[extra] or 1.0
    without = with_values(scene.sheet, [None if n == extra else v for n, v in enumerate(scene.sheet.values)])
    told, score = foretell(without, frozenset(), [extra])
    return score, min(1.0, exp(told[extra].log_density(value)) * scene.sheet.step / value)


def _less(panel: FigurePanel, line: _Line) -> float:
    """How much rarer such a slip is than a column shifted beside others: rows are seldom shifted, a lone column
    tells little of itself."""
    if panel.width == 1:
        return 1.0 if all(line.texts) else 0.0
    return 0.0 if line.column else 4.0


def _lines(panel: FigurePanel, badness: dict[int, float]) -> Iterator[_Line]:
    """Columns and rows in which something is odd: figures that stand out, one repeated, an end without a figure."""
    width, height = panel.width, panel.height
    lines = [
        (True, f"column {panel.head_words(c)}".strip(), tuple(range(c, height * width, width))) for c in range(width)
    ]
    if width > 2:
        lines += [(False, f"row {panel.row_words(r)}", tuple(range(r * width, (r + 1) * width))) for r in range(height)]
    for column, name, line in lines:
        cells = _between_words(panel, line)
        texts = _texts(panel, cells)
        if len(texts) < 3 or sum(1 for t in texts if t) < min(3, len(texts) - 1):
            continue
        if _marked(texts) or sum(min(badness.get(n, 0.0), 12.0) for n in cells) > 4:
            yield _Line(name, column, cells, texts)


def _between_words(panel: FigurePanel, line: tuple[int, ...]) -> tuple[int, ...]:
    """The cells of a line without the words at its ends, such as `none`; no cells where a word stands among the
    figures."""
    blanks = dict(panel.blanks)
    free = [panel.cells[n] is not None or n in blanks for n in line]
    if not any(free):
        return ()
    first, last = free.index(True), len(free) - 1 - free[::-1].index(True)
    return line[first : last + 1] if all(free[first : last + 1]) else ()


def _marked(texts: tuple[str, ...]) -> bool:
    """An end without a figure, or a figure repeated."""
    return not texts[0] or not texts[-1] or any(a == b for a, b in pairwise(texts))


def _texts(panel: FigurePanel, cells: tuple[int, ...]) -> tuple[str, ...]:
    return tuple("" if f is None else f.typed for f in (panel.cells[n] for n in cells))


def _moves(scene: Scene, line: _Line, level: list[float]) -> Iterator[_Move]:
    """Every way the line may have been meant that its texts leave open: a blank end, a figure repeated or one left
    over must tell of it."""
    texts, last = line.texts, len(line.cells) - 1
    full = [i for i, t in enumerate(texts) if t]
    up: tuple[int | None, ...] = (*range(1, last + 1), None)
    down: tuple[int | None, ...] = (None, *range(last))
    if len(full) == last + 1:
        told = _ROUND if scene.panel.width > 1 else _ROUND_ALONE
        yield _Move((*range(1, last + 1), 0), True, None, told)
        yield _Move((last, *range(last)), False, None, told)
    partly = -log(last)
    blanks = sum(1 for c in scene.panel.cells if c is None)
    rate = (
        _BLANK_ALONE
        if scene.panel.width == 1
        else max(_BLANK_BESIDE, (blanks - 1 + 0.3) / (len(scene.panel.cells) + 1))
    )
    if full == list(range(1, last + 1)):
        yield _Move(up, True, None, -log(rate) - 1.0)
    if full == list(range(last)):
        yield _Move(down, False, None, -log(rate) - 1.0)
        for start in _starts(scene, line, level):
            yield _Move(_from(start, last), False, None, -log(rate) - 2.0)
    if len(full) < last + 1:
        return
    for i in range(last):
        if texts[i] != texts[i + 1] or (i and texts[i - 1] == texts[i]) or _clipped(scene, line.cells[i]):
            continue
        # typed twice: what follows belongs one place back
        yield _Move((*range(i + 1), *range(i + 2, last + 1), None), True, i + 1, -1.0 if i == 0 else partly)
        if i == last - 1:
            # left out: what follows moved up, and the end was filled with the figure above it
            yield _Move(down, False, last, -1.0)
            for start in _starts(scene, line, level):
                yield _Move(_from(start, last), False, last, -1.0 + partly)
    for start in _starts(scene, line, level):
        yield _Move(
            (*range(start), last, *range(start, last)),
            False,
            None,
            (_ROUND if scene.panel.width > 1 else _ROUND_ALONE) + partly,
        )


def _from(start: int, last: int) -> tuple[int | None, ...]:
    """The order in which the figure `start` was left out and the rest moved up."""
    return (*range(start), None, *range(start, last))


def _starts(scene: Scene, line: _Line, level: list[float]) -> list[int]:
    """Where a figure of the line is likeliest to have been left out, the rest moved up: by the steps that the other
    lines make there."""
    last = len(line.cells) - 1
    if last < 3:
        return []
    costs = [
        (_stray(scene, line, [*range(start), None, *range(start, last)], level), start) for start in range(1, last)
    ]
    return [start for _, start in sorted(costs)[:_MOST_STARTS]]


def _level(scene: Scene, line: _Line) -> list[float]:
    """What the other lines are at each cell of the line, as logs; even steps where there are no others."""
    width, values = scene.panel.width, scene.sheet.values
    at = line.cells[0] % width if line.column else line.cells[0] // width
    out: list[float] = []
    for cell in line.cells:
        r, c = divmod(cell, width)
        beside = (
            [r * width + k for k in range(width) if k != at]
            if line.column
            else [k * width + c for k in range(scene.panel.height) if k != at]
        )
        logs = [log(v) for v in (values[n] for n in beside) if v is not None and v > 0]
        out.append(median(logs) if logs else r * 0.05)
    return out


def _stray(scene: Scene, line: _Line, order: Sequence[int | None], level: list[float]) -> float:
    """How far the line's figures, put in this order, stray from running along with the other lines: bounded
    deviations of logs."""
    off = []
    for m, here in zip(order, level, strict=True):
        value = None if m is None else scene.sheet.values[line.cells[m]]
        if value is not None and value > 0:
            off.append(log(value) - here)
    middle = median(off) if off else 0.0
    return sum(min(abs(d - middle), 0.3) for d in off)


def _nearer(scene: Scene, line: _Line, move: _Move, level: list[float]) -> bool:
    """Whether the line runs along with the others better after the move: a quick look before the close one."""
    typed = [None if i == move.extra else i for i in range(len(line.cells))]
    return _stray(scene, line, move.order, level) < _stray(scene, line, typed, level)


def _moves_too(partner: FigurePanel, line: _Line, move: _Move) -> bool:
    """Whether the figures printed beside those of the line show the same mark: the same repeat, the same blank end."""
    texts = _texts(partner, line.cells)
    if move.extra is not None:
        return bool(texts[move.extra]) and texts[move.extra] == texts[move.extra - 1]
    return [bool(t) for t in texts] == [bool(t) for t in line.texts] and not all(texts)


def _finding(scene: Scene, line: _Line, move: _Move, meant: list[float | None], both: bool, odds: float) -> Finding:
    panel = scene.panel
    lost = [n for n, m in zip(line.cells, move.order, strict=True) if m is None]
    likely: dict[int, str] = {}
    if lost and odds > -6:
        told, _ = foretell(with_values(scene.sheet, meant), frozenset(), lost)
        rounding = scene.rounding(lost)
        likely = {n: f"{likeliest(told[n], rounding):.6g}" for n in lost if n in told}
    edits, changed = _edits(panel, line, move, likely)
    if both and scene.partner is not None:
        edits += _edits(scene.partner, line, move, {})[0]
    which = ("up" if move.ahead else "down") if line.column else ("to the left" if move.ahead else "to the right")
    what = "column" if line.column else "row"
    first = next((i for i, m in enumerate(move.order) if m != i), 0)
    part = f"from {line.texts[first] or '-'} on " if first else ""
    texts = [
        likely.get(n, TO_TYPE) if m is None else line.texts[m] or "-"
        for n, m in zip(line.cells, move.order, strict=True)
    ]
    words = " ".join(texts) + "".join(f" ({likely[n]} is lost: look at the page)" for n in lost if n in likely)
    return made(
        panel,
        "shifted-figures",
        f"{panel.chart.name}, {line.name}",
        f"the figures of this {what} {part}would follow the others one place further {which}",
        [*changed, *(n for n in line.cells if n not in changed and panel.cells[n] is not None)],
        Correction(words=words, edits=tuple(edits), share=0.9),
        odds,
    )


def _edits(panel: FigurePanel, line: _Line, move: _Move, likely: dict[int, str]) -> tuple[list[Edit], list[int]]:
    """The texts to be replaced, and the cells whose figures change; a lost figure by the likely one, or by the sign
    that it is to be typed."""
    blanks = dict(panel.blanks)
    texts = _texts(panel, line.cells)
    edits: list[Edit] = []
    changed: list[int] = []
    for n, m in zip(line.cells, move.order, strict=True):
        figure = panel.cells[n]
        place = figure.place if figure is not None else blanks.get(n)
        to = (texts[m] or "-") if m is not None else likely.get(n, TO_TYPE)
        if place is not None and to != (figure.typed if figure is not None else "-"):
            edits.append(Edit(place=place, to=to))
            if figure is not None:
                changed.append(n)
    return edits, changed


def _rate_of_repeats(scene: Scene, line: _Line, at: int) -> float:
    """How often a figure of this panel repeats the one beside it: more at its greatest or least figure, where pages
    are clipped."""
    panel, width = scene.panel, scene.panel.width
    alike = count = 0
    for n, figure in enumerate(panel.cells):
        m = n + width if line.column else n + 1
        if figure is None or m >= len(panel.cells) or (not line.column and m % width == 0):
            continue
        other = panel.cells[m]
        if other is not None:
            count += 1
            alike += other.typed == figure.typed
    rate = (max(0, alike - 1) + 0.3) / (count + 1)
    cell = line.cells[at]
    if scene.sheet.values[cell] in (scene.sheet.high[cell % width], scene.sheet.low[cell % width]):
        rate = max(rate, _RATE_AT_AN_END)
    return min(rate, 0.9)


def _clipped(scene: Scene, cell: int) -> bool:
    """Whether a figure is the greatest or least one that the page clips others to: then a repeat tells nothing."""
    value = scene.sheet.values[cell]
    at = cell % scene.panel.width
    return value in (scene.sheet.high[at], scene.sheet.low[at]) and scene.sheet.values.count(value) > 2
