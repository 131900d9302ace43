"""The review of slips: figures that are no hard error but may have been mistyped, the surest first."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from math import log

from selector.review.figures.finding import Correction, Finding
from selector.review.figures.panel import FigurePanel, PanelFigure, panels_of
from selector.review.figures.places import FigurePlace
from selector.review.figures.twins import with_twins, without_twins
from selector.review.suspects.moved import moved_figures
from selector.review.suspects.signs import SIGNED, signs
from selector.review.suspects.single_figures import POSITIVE, Scene, look_at, scenes_of, suspects
from selector.table.from_file.rows import TO_TYPE
from selector.table.model.table import Table
from selector.value import Struct, replace

SLIPS_A_TABLE = 0.5
"""Slips expected in a table before it is looked at (tuned; no source)."""
THRESHOLD = -2.6
"""Log odds from which a finding is told (tuned on invented pages for one or two false findings in ten clean tables)."""
_MOST_FINDINGS = 20
_LARGE, _ROWS_TOGETHER = 1500, 40
"""A table with more figures is looked at in blocks of so many rows, and for single figures only: it would take
minutes otherwise."""
_LESS = 2.0
"""How much less sure a finding is that another explains away."""
_CLOSE_CALL = 5.0
"""A finding that another explains away is told beside it where its log odds are less than this below."""


class Review(Struct, frozen=True, kw_only=True):
    """What a review found. `quiet` are findings that were checked against the page; `stale` are ids under `checked:`
    that nothing is found for."""

    findings: tuple[Finding, ...]
    quiet: tuple[Finding, ...] = ()
    stale: tuple[str, ...] = ()


def review(table: Table, threshold: float = THRESHOLD) -> Review:
    """Every finding of a table from the threshold up, ranked."""
    checked = table.checked
    found = find_slips(table, threshold, checked)
    told = tuple(f for f in found if f.id not in checked)
    quiet = tuple(f for f in found if f.id in checked)
    known = {f.id for f in found}
    return Review(findings=told, quiet=quiet, stale=tuple(i for i in checked if i not in known))


def find_slips(table: Table, threshold: float = THRESHOLD, accepted: Collection[str] = ()) -> list[Finding]:
    """Findings one after another: the surest is taken as put right before the next is looked for; those in
    `accepted` are taken as they stand."""
    panels, twins = without_twins(panels_of(table))
    count = sum(1 for p in panels for c in p.cells if c is not None)
    if not count:
        return []
    large = count > _LARGE
    if large:
        panels = [block for p in panels for block in p.blocks(_ROWS_TOGETHER)]
    prior = log(SLIPS_A_TABLE / count)
    found = [with_twins(f, twins) for f in _in_charts(table, panels, prior, threshold, accepted, large=large)]
    return sorted(found, key=lambda f: (-f.log_odds, f.places[0], f.code))


def _in_charts(
    table: Table, panels: list[FigurePanel], prior: float, threshold: float, accepted: Collection[str], *, large: bool
) -> list[Finding]:
    told: list[Finding] = []
    candidates: dict[int, list[Finding]] = {}
    taken: set[str] = set()
    settled: list[set[FigurePlace]] = []
    stale = set(range(len(panels)))
    while len(told) < _MOST_FINDINGS:
        scenes = {id(s.panel): s for s in scenes_of(table, panels)}
        for at in sorted(stale):
            candidates[at] = list(_findings(panels[at], scenes.get(id(panels[at])), prior, large=large))
        ranked = sorted(
            (
                (f, at)
                for at, found in candidates.items()
                for f in found
                if f.id not in taken and not any(done.intersection(f.places) for done in settled)
            ),
            key=lambda pair: (-pair[0].log_odds, pair[0].places[0], pair[0].code),
        )
        if not ranked or ranked[0][0].log_odds < threshold:
            break
        best, at = ranked[0]
        taken.add(best.id)
        told.append(best)
        if best.id in accepted:
            taken.update(
                f.id
                for found in candidates.values()
                for f in found
                if set(f.places) <= set(best.places) or set(best.places) <= set(f.places)
            )
            continue
        close = [
            f
            for f, where in ranked[1:]
            if where == at and f.log_odds > max(threshold, best.log_odds - _CLOSE_CALL) and f.id not in accepted
        ]
        panels = [
            _put_right(p, best) if p.chart.name == panels[at].chart.name and p.row_index == panels[at].row_index else p
            for p in panels
        ]
        settled.append(set(best.places))
        stale = (
            {at}
            if large
            else {
                i
                for i, p in enumerate(panels)
                if p.chart.name == panels[at].chart.name or p.quantity == panels[at].quantity
            }
        )
        for other in close[:2]:
            if other.log_odds - _LESS >= threshold and not _about_the_same(other, best):
                taken.add(other.id)
                told.append(
                    replace(other, log_odds=other.log_odds - _LESS, why=f"{other.why}; or else the one above is right")
                )
    return told


def _about_the_same(a: Finding, b: Finding) -> bool:
    return set(a.places) == set(b.places)


def _findings(panel: FigurePanel, scene: Scene | None, prior: float, *, large: bool) -> Iterator[Finding]:
    if panel.quantity in SIGNED:
        yield from signs(panel, prior)
        return
    if panel.quantity not in POSITIVE or scene is None:
        return
    for cell in suspects(scene, few=large):
        yield look_at(scene, cell, prior)
    if not large:
        yield from moved_figures(scene, prior)


def _put_right(panel: FigurePanel, finding: Finding) -> FigurePanel:
    """The panel with the finding's first correction made; figures that no correction names are taken out."""
    correction = finding.corrections[0] if finding.corrections else Correction(words="")
    edits: dict[FigurePlace, str] = {e.place: e.to for e in correction.edits}
    if not edits:
        edits = dict.fromkeys(finding.places[: 1 if finding.code == "odd-figure" else None], TO_TYPE)
    cells: list[PanelFigure | None] = []
    blanks = dict(panel.blanks)
    for n, figure in enumerate(panel.cells):
        place = figure.place if figure is not None else blanks.get(n)
        to = edits.get(place) if place is not None else None
        if figure is None and place is not None and to not in (None, TO_TYPE, "-"):
            figure = PanelFigure(typed=str(to), value=float(str(to)), factor=1.0, place=place)
        if figure is None or to is None:
            cells.append(figure)
        elif to in (TO_TYPE, "-"):
            cells.append(None)
        else:
            cells.append(replace(figure, typed=to, value=float(to) * figure.factor))
    return replace(panel, cells=tuple(cells))
