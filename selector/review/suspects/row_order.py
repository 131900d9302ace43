"""Two rows whose exchange puts all rows of a chart back in order, and how far chance would do that in a chart that
has no order."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations, pairwise
from math import factorial, log

from selector.review.figures.panel import FigurePanel
from selector.value import Struct

_LEAST_STEP = 0.04
"""Two rows closer than this (a log) say nothing of their order."""
_FIVE_ROWS = -1.2
"""Log odds of a swap that puts five rows back in order, before anything else is known (tuned on tables of our own)."""
_MOST_GAIN = 3.0
"""Charts without order aren't shuffled at random: more than this chance isn't taken to tell."""
_FIRST_ROW = 1.5
"""How much less a swap of the first row tells: it is often the row as delivered, out of line with the others."""
_ALONG_STATIC = 1.5
"""How much more often charts along static pressure are in order: their rows are the speeds of a motor (common
practice, no source)."""


class BackInOrder(Struct, frozen=True):
    """The two rows, and the log odds that they changed places."""

    rows: tuple[int, int]
    log_odds: float


def back_in_order(
    panel: FigurePanel, levels: Sequence[float | None], in_order: int, not_in_order: int
) -> BackInOrder | None:
    """The one pair of rows whose exchange makes the levels rise (or fall) all along; None where none or several do, or
    too little tells.

    `in_order` and `not_in_order` are how many of the other charts are so.
    """
    others = log((in_order + 1.2) / (not_in_order + 0.8) / 1.5)
    static = any(k.name == "static pressure" for k in panel.chart.heads)
    found = _down_the_page(levels)
    chance = 0.0
    if found is not None:
        rows, count = found
        if count < 5 and not static:
            return None
        chance = count * (count - 1) / 2 / factorial(count)
    else:
        grid = _in_two_ways(panel, levels)
        if grid is None:
            return None
        rows, chance = grid
    odds = _FIVE_ROWS + min(_MOST_GAIN, log(0.0833 / chance)) + others
    return BackInOrder(rows, odds + (_ALONG_STATIC if static else 0.0 if rows[0] else -_FIRST_ROW))


def is_in_order(levels: Sequence[float | None]) -> bool:
    """Whether the levels rise or fall from row to row, the first row apart."""
    known = [v for v in levels if v is not None]
    return any(
        all(y > x for x, y in pairwise(rows)) or all(y < x for x, y in pairwise(rows)) for rows in (known, known[1:])
    )


def _down_the_page(levels: Sequence[float | None]) -> tuple[tuple[int, int], int] | None:
    """(the pair, how many rows are in order with it) where the rows run on from the first to the last, or from the
    second on."""
    for first in (0, 1):
        rows = [(r, v) for r, v in enumerate(levels) if v is not None and r >= first]
        if len(rows) < 4 + first or len(rows) < len(levels) - first:
            return None
        for sign in (1.0, -1.0):
            values = [sign * v for _, v in rows]
            falls = [i for i, (a, b) in enumerate(pairwise(values)) if b < a]
            if not falls:
                return None
            if len(falls) > 2:
                continue
            a, b = falls[0], falls[-1] + 1
            values[a], values[b] = values[b], values[a]
            if all(y > x for x, y in pairwise(values)) and abs(log(abs(values[a] / values[b]))) > _LEAST_STEP:
                return (rows[a][0], rows[b][0]), len(rows)
    return None


def _in_two_ways(panel: FigurePanel, levels: Sequence[float | None]) -> tuple[tuple[int, int], float] | None:
    """(the pair, the chance) where two selectors make a full grid of rows that runs on along each of them."""
    count = len(levels)
    keys = [k for k in range(len(panel.chart.keys)) if len({row[k] for row in panel.keys}) > 1]
    if (
        len(keys) != 2
        or not 8 <= count <= 40
        or any(v is None for v in levels)
        or any(row[k] < 0 for row in panel.keys for k in keys)
    ):
        return None
    at = {(row[keys[0]], row[keys[1]]): r for r, row in enumerate(panel.keys)}
    one, two = sorted({a for a, _ in at}), sorted({b for _, b in at})
    if len(at) != count or len(one) * len(two) != count:
        return None
    steps = [
        [(at[a, b], at[c, b]) for b in two for a, c in pairwise(one)],
        [(at[a, b], at[a, c]) for a in one for b, c in pairwise(two)],
    ]
    values = [v or 0.0 for v in levels]
    if _wrong(steps, values) == 0:
        return None
    pairs = list(_pairs(steps, values))
    if len(pairs) != 1 or abs(log(values[pairs[0][0]] / values[pairs[0][1]])) <= _LEAST_STEP:
        return None
    return pairs[0], min(1.0, 4 * ways_to_rise(len(one), len(two)) * count * (count - 1) / 2 / factorial(count))


def _pairs(steps: Sequence[Sequence[tuple[int, int]]], values: list[float]) -> Iterator[tuple[int, int]]:
    for a, b in combinations(range(len(values)), 2):
        changed = list(values)
        changed[a], changed[b] = changed[b], changed[a]
        if _wrong(steps, changed) == 0:
            yield a, b


def _wrong(steps: Sequence[Sequence[tuple[int, int]]], values: Sequence[float]) -> int:
    """How many steps go against the others along the same selector."""
    out = 0
    for along in steps:
        up = sum(1 for a, b in along if values[b] > values[a])
        down = sum(1 for a, b in along if values[b] < values[a])
        out += len(along) - max(up, down)
    return out


def ways_to_rise(rows: int, columns: int) -> int:
    """How many ways numbers can stand in a grid and rise along both sides (the hook length formula)."""
    hooks = 1
    for i in range(rows):
        for j in range(columns):
            hooks *= rows - i + columns - j - 1
    return factorial(rows * columns) // hooks
