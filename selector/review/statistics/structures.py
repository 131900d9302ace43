"""What the other figures of a panel say a figure ought to be, by several ways a chart can hang together.

A structure is fitted with some cells left out and foretells them; how well it foretells the cells that stayed says how
far to trust it.
Densities are those of the log of a figure, so that structures in logs and in plain figures compare.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from math import exp

from selector.review.statistics.effects import level_of_columns, lines_in_the_level, sums_of_effects
from selector.review.statistics.guess import Foretold, Guess
from selector.review.statistics.sheet import FigureSheet
from selector.review.statistics.smooth import along_rows

_TRUST = 0.6
"""How much a structure's record counts when it is weighed against the others."""


_DELIVERED = 0.25


_OUT_OF_LINE = 0.02


_HOPELESS = 40.0
"""A structure this much worse than the best on all cells isn't asked again when a few are left out."""


def foretell(sheet: FigureSheet, left_out: frozenset[int], targets: Sequence[int]) -> tuple[dict[int, Foretold], float]:
    """What the structures say of the target cells when `left_out` are not looked at, and the score of the best
    structure on the cells that stayed."""
    if sheet.active is None and left_out:
        scores = {at: made[0] for at, made in _ask(sheet, frozenset(), ())}
        most = max(scores.values())
        sheet.active = frozenset(at for at, score in scores.items() if score > most - _HOPELESS)
    found = [made for _, made in _ask(sheet, left_out, targets)]
    top = max(score for score, _ in found)
    weights = [exp(_TRUST * (score - top)) for score, _ in found]
    out: dict[int, Foretold] = {}
    for n in targets:
        guesses = [(w, guesses[n]) for w, (_, guesses) in zip(weights, found, strict=True) if n in guesses]
        total = sum(w for w, _ in guesses)
        if sheet.width == 1 and guesses:
            # a row may be out of line with the others, most often the first, as delivered
            level = max(guesses[0][0], total * (_OUT_OF_LINE if n else _DELIVERED))
            guesses[0] = (level, guesses[0][1])
            total = sum(w for w, _ in guesses)
        c = n % sheet.width
        out[n] = Foretold(
            tuple(
                Guess(w / total, g.middle, g.scale, g.logs, g.freedom, sheet.low[c], sheet.high[c])
                for w, g in guesses
                if w / total > 1e-9
            )
        )
    return out, top


def _ask(
    sheet: FigureSheet, left_out: frozenset[int], targets: Sequence[int]
) -> Iterator[tuple[int, tuple[float, dict[int, Guess]]]]:
    """Every structure by its number, with its score and its guesses; those found hopeless before are passed over,
    but never the plain level."""
    asked = sheet.active
    yield -1, level_of_columns(sheet, left_out, targets)
    for at, (design, extra) in enumerate(sheet.designs):
        if asked is None or at in asked:
            made = sums_of_effects(sheet, design, extra, left_out, targets)
            if made is not None:
                yield at, made
    if sheet.loose:
        return
    others: tuple[Callable[[], tuple[float, dict[int, Guess]] | None], ...] = (
        lambda: lines_in_the_level(sheet, left_out, targets),
        lambda: along_rows(sheet, left_out, targets, logs=False),
        lambda: along_rows(sheet, left_out, targets, logs=True),
    )
    for at, ask in enumerate(others, start=len(sheet.designs)):
        if asked is None or at in asked:
            made = ask()
            if made is not None:
                yield at, made
