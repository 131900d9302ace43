"""Columns of a chart that hold the same figures throughout: a page often prints one column for two models, so neither
is evidence for the other."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import groupby

from selector.review.figures.finding import Correction, Edit, Finding
from selector.review.figures.panel import FigurePanel
from selector.review.figures.places import FigurePlace
from selector.value import replace

Twins = Mapping[FigurePlace, tuple[tuple[FigurePlace, str], ...]]
"""For a figure the places of its twins, each with the words above its column."""


def without_twins(panels: Sequence[FigurePanel]) -> tuple[list[FigurePanel], Twins]:
    """The panels with each column that equals one left of it, in every quantity of its chart, taken out; and where the
    figures taken out stand."""
    out: list[FigurePanel] = []
    twins: dict[FigurePlace, tuple[tuple[FigurePlace, str], ...]] = {}
    for _, group in groupby(panels, key=lambda p: p.chart.name):
        together = list(group)
        first: dict[tuple[object, ...], int] = {}
        stands_for: list[int] = []
        for c in range(together[0].width):
            typed = tuple(None if cell is None else cell.typed for p in together for cell in p.cells[c :: p.width])
            stands_for.append(first.setdefault(typed, c) if _tells(typed) else c)
        kept = [c for c, own in enumerate(stands_for) if c == own]
        for panel in together:
            for c, own in enumerate(stands_for):
                for row in range(panel.height if c != own else 0):
                    here, twin = panel.cells[row * panel.width + own], panel.cells[row * panel.width + c]
                    if here is not None and twin is not None:
                        twins[here.place] = (*twins.get(here.place, ()), (twin.place, panel.head_words(c)))
            out.append(_columns(panel, kept))
    return out, twins


def _tells(typed: Sequence[str | None]) -> bool:
    """True for a column of several figures that aren't all one."""
    return len({t for t in typed if t is not None}) > 1


def _columns(panel: FigurePanel, kept: Sequence[int]) -> FigurePanel:
    if len(kept) == panel.width:
        return panel
    old = [r * panel.width + c for r in range(panel.height) for c in kept]
    blanks = dict(panel.blanks)
    return replace(
        panel,
        width=len(kept),
        cells=tuple(panel.cells[n] for n in old),
        heads=tuple(panel.heads[c] for c in kept),
        blanks=tuple((n, blanks[k]) for n, k in enumerate(old) if k in blanks),
    )


def with_twins(finding: Finding, twins: Twins) -> Finding:
    """A finding of one figure that stands in equal columns, told of all of them."""
    others = twins.get(finding.places[0], ()) if len(finding.places) == 1 else ()
    if not others:
        return finding
    corrections = tuple(_everywhere(c, [place for place, _ in others]) for c in finding.corrections)
    heads = " and ".join(head for _, head in others)
    return replace(
        finding,
        where=f"{finding.where} and {heads}",
        why=f"{finding.why}; it is typed alike below {heads}",
        places=(*finding.places, *(place for place, _ in others)),
        corrections=corrections,
    )


def _everywhere(correction: Correction, places: Sequence[FigurePlace]) -> Correction:
    edits = correction.edits
    if len(edits) != 1:
        return correction
    return replace(correction, edits=(*edits, *(Edit(place=place, to=edits[0].to) for place in places)))
