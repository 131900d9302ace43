"""Trims and offsets: a sign that makes two positions alike, a trim larger than charts have."""

from __future__ import annotations

from collections.abc import Iterator
from math import exp, log

from selector.review.figures.finding import Correction, Edit, Finding, finding_id
from selector.review.figures.panel import FigurePanel
from selector.review.figures.possible_slips import WORDS, candidates
from selector.review.statistics.rounding import fits
from selector.table.model.quantities import QUANTITIES

SIGNED = tuple(q.name for q in QUANTITIES.values() if q.signed)


def signs(panel: FigurePanel, prior: float) -> Iterator[Finding]:
    """Every figure of a panel of trims or offsets as a finding, however unlikely; two that are alike as one finding
    of both."""
    few = panel.width == 1 and panel.height <= 4
    told: set[int] = set()
    for n, figure in enumerate(panel.cells):
        if figure is None or not figure.value or n in told:
            continue
        alike = [
            k
            for k, c in enumerate(panel.cells)
            if c is not None and k > n and k % panel.width == n % panel.width and c.value == figure.value
        ]
        pair = [n, *alike[:1]] if few else [n]
        # pages print the greater airflow first: of two alike the second of a plus and the first of a minus is the
        # likelier slip
        suspects = list(reversed(pair)) if figure.value > 0 else pair
        told.update(suspects)
        yield _finding(panel, suspects, prior, few)


def _finding(panel: FigurePanel, suspects: list[int], prior: float, few: bool) -> Finding:
    odds: list[float] = []
    corrections: list[Correction] = []
    places = []
    for rank, n in enumerate(suspects):
        figure = panel.cells[n]
        assert figure is not None
        places.append(figure.place)
        column = [
            c.typed
            for k, c in enumerate(panel.cells)
            if c is not None and k != n and k % panel.width == n % panel.width
        ]
        stands = _weigh(panel.quantity, figure.typed, column, few)
        options = sorted(
            (
                (c.log_chance + _weigh(panel.quantity, c.typed, column, few), c.typed, c.kind)
                for c in candidates(figure.typed, signed=True)
            ),
            key=lambda o: (-o[0], o[1]),
        )
        top = options[0][0]
        total = top + log(sum(exp(o[0] - top) for o in options))
        odds.append(total - stands)
        for weight, typed, kind in options[: 3 if rank == 0 else 1]:
            if exp(weight - total) > 0.05:
                at = f" at {panel.row_words(n)}" if len(suspects) > 1 else ""
                edit = Edit(place=figure.place, to=typed)
                corrections.append(
                    Correction(
                        words=f"{typed}{at} ({WORDS[kind]})", edits=(edit,), share=exp(weight - total) / len(suspects)
                    )
                )
    first = panel.cells[suspects[0]]
    assert first is not None
    typed = first.typed
    where = panel.where(suspects[0])
    if len(suspects) > 1:
        where += f" and {panel.row_words(suspects[1])}"
    return Finding(
        code="odd-trim",
        where=where,
        why=_why(panel, typed, len(suspects) > 1),
        places=tuple(places),
        corrections=tuple(corrections),
        log_odds=prior + log(sum(exp(o - max(odds)) for o in odds)) + max(odds),
        id=finding_id("odd-trim", where, [typed]),
    )


def _why(panel: FigurePanel, typed: str, alike: bool) -> str:
    if alike:
        return f"two positions would both give {typed}{' %' if panel.quantity == 'trim' else ''}"
    if abs(float(typed)) > 20 and panel.quantity == "trim":
        return f"{typed} is more than a trim commonly is"
    return f"{typed} is unlike the figures around it"


def _weigh(quantity: str, typed: str, others: list[str], few: bool) -> float:
    """Log of how likely this trim or offset stands beside the others; with few positions no two give the same."""
    value = float(typed)
    if not value:
        return -8.0
    alike = sum(1 for t in others if float(t) == value)
    if quantity == "offset":
        sizes = [abs(float(t)) for t in others if float(t)]
        middle = sorted(sizes)[len(sizes) // 2] if sizes else 100.0
        return -abs(log(abs(value) / middle)) * 1.2 - 5.0 * alike
    size = abs(value)
    mirrored = any(float(t) == -value for t in others)
    return (
        (-size / 12 if size <= 20 else -20 / 12 - (size - 20) / 4)
        + (0.0 if fits(size, 1.0) else -4.0)
        + (0.7 if mirrored else 0.0)
        - (6.0 if few else 2.0) * alike
    )
