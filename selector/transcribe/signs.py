"""Trims and offsets: a sign that makes two positions alike, a trim larger than charts have."""

from __future__ import annotations

from collections.abc import Iterator
from math import exp, log

from selector.transcribe.finding import Correction, Edit, Finding, finding_id
from selector.transcribe.misread import WORDS, candidates
from selector.transcribe.panel import Panel
from selector.transcribe.rounding import fits

SIGNED = ("trim", "offset")


def signs(panel: Panel, prior: float) -> Iterator[Finding]:
    """Every figure of a panel of trims or offsets as a finding, however unlikely."""
    for n, figure in enumerate(panel.cells):
        if figure is None or not figure.value:
            continue
        column = [c.typed for k, c in enumerate(panel.cells) if c is not None and k != n and k % panel.width == n % panel.width]
        stands = _weigh(panel.quantity, figure.typed, column)
        options = sorted(
            ((c.log_chance + _weigh(panel.quantity, c.typed, column), c.typed, c.kind) for c in candidates(figure.typed, signed=True)),
            key=lambda o: (-o[0], o[1]),
        )
        top = options[0][0]
        total = top + log(sum(exp(o[0] - top) for o in options))
        alike = [t for t in column if float(t) == float(figure.typed)]
        why = (
            f"two positions would both give {figure.typed} %"
            if alike and panel.quantity == "trim"
            else f"{figure.typed} is more than a trim commonly is"
            if abs(float(figure.typed)) > 20 and panel.quantity == "trim"
            else f"{figure.typed} is unlike the figures around it"
        )
        where = panel.where(n)
        yield Finding(
            code="odd-trim",
            where=where,
            why=why,
            places=(figure.place,),
            corrections=tuple(
                Correction(words=f"{typed} ({WORDS[kind]})", edits=(Edit(place=figure.place, to=typed),), share=exp(weight - total))
                for weight, typed, kind in options[:3]
                if exp(weight - total) > 0.05
            ),
            log_odds=prior + total - stands,
            id=finding_id("odd-trim", where, [figure.typed]),
        )


def _weigh(quantity: str, typed: str, others: list[str]) -> float:
    """Log of how likely this trim or offset stands beside the others."""
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
    return (-size / 12 if size <= 20 else -20 / 12 - (size - 20) / 4) + (0.0 if fits(size, 1.0) else -4.0) + (0.7 if mirrored else 0.0) - 6.0 * alike
