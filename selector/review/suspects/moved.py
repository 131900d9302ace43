"""What the findings of several figures share: how often each kind comes, edits that exchange figures, a sheet with
other numbers."""

from __future__ import annotations

from collections.abc import Sequence

from selector.review.figures.finding import Correction, Edit, Finding, finding_id
from selector.review.figures.panel import FigurePanel, PanelFigure
from selector.review.statistics.sheet import FigureSheet

SHARES: dict[str, float] = {"pair": 0.12, "rows": 0.1, "columns": 0.1, "shifted": 0.12, "unit": 0.04}
"""How often each comes beside one slip of a single figure (tuned on tables of our own; no source)."""


def figure_at(panel: FigurePanel, n: int) -> PanelFigure:
    figure = panel.cells[n]
    assert figure is not None
    return figure


def exchange(panel: FigurePanel, pairs: Sequence[tuple[int, int]]) -> tuple[Edit, ...]:
    """Edits that put the texts of each pair of cells in each other's place, blanks too."""
    blanks = dict(panel.blanks)
    edits: list[Edit] = []
    for a, b in pairs:
        (x, here), (y, there) = (
            ("-", blanks.get(n)) if (f := panel.cells[n]) is None else (f.typed, f.place) for n in (a, b)
        )
        if here is not None and there is not None and x != y:
            edits += [Edit(place=here, to=y), Edit(place=there, to=x)]
    return tuple(edits)


def made(
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


def with_values(sheet: FigureSheet, values: list[float | None]) -> FigureSheet:
    return FigureSheet(
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
