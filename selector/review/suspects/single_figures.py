"""Single figures that don't agree with what everything around them foretells."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import exp, log, log1p

from selector.review.figures.evidence import (
    GRAIN,
    LOOSE,
    SPREAD,
    Penalty,
    few_in_a_column,
    in_a_line,
    order_of,
    sense_of,
    together,
)
from selector.review.figures.finding import Correction, Edit, Finding, finding_id
from selector.review.figures.panel import FigurePanel, PanelFigure
from selector.review.figures.possible_slips import OTHER, SLIPS, UNIT_FACTORS, WORDS, candidates, converted
from selector.review.figures.rises import Rises
from selector.review.statistics.guess import Foretold
from selector.review.statistics.rounding import SHARE_STEPS, STEPS, Rounding, rounding_of
from selector.review.statistics.sheet import FigureSheet
from selector.review.statistics.structures import foretell
from selector.table.model.table import Table
from selector.value import Struct

POSITIVE = (
    "airflow",
    "least airflow",
    "most airflow",
    "airflow per ton",
    "tons",
    "temperature rise",
    "share",
    "reduction",
    "seconds",
    "watts",
    "speed",
)
_MOST_CELLS = 60
"""Panels with more cells are looked at closely only where a figure stands out."""
_TIES = 1e-4
"""How often a page has the figure beside a cell in it though nothing foretells that (tuned on tables of our own)."""
_IN_LINE = 2.0
"""An airflow that is no less likely than this beside the foretold one (a log) is in line."""
_PLAINLY_OFF, _FEW = 4.0, 4
"""How much less likely than the foretold figure a cell is that is plainly off (a log), and how many of a block of
rows are looked at."""


class Scene(Struct):
    """A panel ready to be looked at. `penalty` is what each figure must agree with, the product of airflow and rise
    apart, which `rises` tell."""

    panel: FigurePanel
    sheet: FigureSheet
    penalty: Penalty
    units: dict[str, float]
    others: tuple[float, ...] = ()
    partner: FigurePanel | None = None
    rises: Rises | None = None

    def rounding(self, without: Iterable[int] = ()) -> Rounding:
        """The step of the panel's figures as typed, some left out; figures of other charts help out where there are
        few."""
        skip = frozenset(without)
        own = [abs(float(c.typed)) for n, c in enumerate(self.panel.cells) if c is not None and n not in skip]
        steps = SHARE_STEPS if self.panel.quantity == "share" else STEPS
        return rounding_of([*own, *self.others[: max(0, 4 - len(own))]], steps)


def scenes_of(table: Table, panels: Sequence[FigurePanel]) -> list[Scene]:
    """Every panel of figures that are more than nothing, with what else it must agree with."""
    out: list[Scene] = []
    for panel in panels:
        if panel.quantity not in POSITIVE:
            continue
        penalties = [sense_of(table, panel), in_a_line(panel)]
        partner, rises = _partner(panel, panels), None
        if partner is not None:
            air, rise = (panel, partner) if panel.quantity == "airflow" else (partner, panel)
            rises = Rises(table, air, rise)
        same = [p for p in panels if p.quantity == panel.quantity and p is not panel]
        names = [k.name for k in panel.chart.keys]
        paired = [p for p in same if p.keys == panel.keys and [k.name for k in p.chart.keys] == names]
        sheet = FigureSheet(
            values=panel.values(),
            width=panel.width,
            row_keys=panel.keys,
            head_labels=panel.heads,
            step=1.0,
            ordered_rows=panel.width == 1,
            loose=panel.quantity in LOOSE,
            paired=[(p.width, p.values()) for p in paired[:2]],
            spread=SPREAD.get(panel.quantity, 0.3),
            grain=GRAIN.get(panel.quantity, 0.012),
        )
        scene = Scene(
            panel=panel,
            sheet=sheet,
            penalty=together([*penalties, order_of(panel)]),
            units=UNIT_FACTORS[table.units.airflow]
            if panel.quantity in ("airflow", "least airflow", "most airflow")
            else {},
            partner=partner,
            rises=rises,
            others=tuple(abs(float(c.typed)) for p in same for c in p.cells if c is not None)[:8],
        )
        sheet.step = scene.rounding().step
        out.append(scene)
    return out


def _partner(panel: FigurePanel, panels: Sequence[FigurePanel]) -> FigurePanel | None:
    wanted = {"airflow": "temperature rise", "temperature rise": "airflow"}.get(panel.quantity)
    return next(
        (
            p
            for p in panels
            if p.chart.name == panel.chart.name and p.quantity == wanted and p.row_index == panel.row_index
        ),
        None,
    )


def suspects(scene: Scene, *, few: bool) -> list[int]:
    """Cells worth a close look: all of a small panel, the farthest off in a large one, those plainly off where there
    must be `few`."""
    present = [n for n, c in enumerate(scene.panel.cells) if c is not None and c.value > 0]
    if len(present) <= _MOST_CELLS and not few:
        return present
    told, _ = foretell(scene.sheet, frozenset(), present)
    if few:
        off = {
            n: told[n].log_density(told[n].best.figure) - told[n].log_density(scene.sheet.values[n] or 1.0)
            for n in present
        }
        return sorted((n for n in present if off[n] > _PLAINLY_OFF), key=lambda n: -off[n])[:_FEW]
    rounding = scene.rounding()

    def likely(n: int) -> float:
        figure = scene.panel.cells[n]
        assert figure is not None
        return (
            told[n].log_density(figure.value)
            + rounding.log_mass(abs(float(figure.typed)))
            + scene.penalty(n, figure.value)
        )

    return sorted(present, key=likely)[: _MOST_CELLS // 2]


def _product(scene: Scene, told: Foretold, cell: int) -> Penalty:
    """How well a figure fits the rise or the airflow beside it: their product is about the same along a column. An
    airflow in line with its neighbors is not blamed for the rise beside it."""
    figure = scene.panel.cells[cell]
    if scene.rises is None or figure is None:
        return lambda _cell, _value: 0.0
    of_rise = scene.panel is scene.rises.rise
    best = told.log_density(told.best.figure)
    if not of_rise and told.log_density(figure.value) > best - _IN_LINE:
        return lambda _cell, _value: 0.0
    return scene.rises.penalty(of_rise=of_rise)


def weigh(scene: Scene, told: Foretold, rounding: Rounding, cell: int, typed: str, product: Penalty) -> float:
    """Log of how likely a figure is in a cell, rounding and all else considered."""
    figure = scene.panel.cells[cell]
    assert figure is not None
    number = float(typed)
    value = number * figure.factor
    if value <= 0:
        return -80.0
    fits = told.log_density(value) - log(abs(number)) + rounding.log_mass(abs(number))
    return fits + scene.penalty(cell, value) + product(cell, value)


def likeliest(told: Foretold, rounding: Rounding) -> float:
    """The figure that what is foretold and the rounding together make likeliest, of those near the best guess."""
    middle = rounding.nearest(told.best.figure)
    near = [v for k in range(-4, 5) if (v := middle + k * rounding.step) > 0]
    return max(near, key=lambda v: told.log_density(v) - log(v) + rounding.log_mass(v)) if near else middle


def look_at(scene: Scene, cell: int, prior: float) -> Finding:
    """The finding of one cell, however unlikely; `prior` is the log odds of a slip there before anything is looked
    at."""
    panel = scene.panel
    figure = panel.cells[cell]
    assert figure is not None
    foretold, _ = foretell(scene.sheet, frozenset([cell]), [cell])
    told = foretold[cell]
    rounding = scene.rounding([cell])
    product = _product(scene, told, cell)
    stands = weigh(scene, told, rounding, cell, figure.typed, product)
    options: list[tuple[float, str, str]] = []
    for one in candidates(figure.typed, scene.units, percent=panel.quantity in ("share", "reduction")):
        if one.kind != "unit":
            weight = one.log_chance + weigh(scene, told, rounding, cell, one.typed, product)
            options.append((weight, one.typed, one.kind))
            continue
        for k in (0, -1, 1):
            typed = _text(rounding.nearest(float(one.typed)) + k * rounding.step)
            if typed != figure.typed and float(typed) > 0:
                chance = one.log_chance + converted(
                    float(figure.typed), float(typed), float(figure.typed) / float(one.typed)
                )
                options.append((chance + weigh(scene, told, rounding, cell, typed, product), typed, one.kind))
    near = _text(rounding.nearest(told.best.figure / figure.factor))
    other = log(OTHER) - log(4.6 * max(abs(float(figure.typed)), 0.3 * float(near)))
    again = _again(panel, cell)
    if again:
        copied = log(SLIPS["copied"] * len(again) / 4)
        other = max(other, copied)
        ties = log(_TIES) + scene.penalty(cell, figure.value)
        stands = max(stands, ties) + log1p(exp(-abs(stands - ties)))
    options.sort(key=lambda o: (-o[0], o[1]))
    top = max(options[0][0] if options else -99.0, other)
    total = top + log(sum(exp(o[0] - top) for o in options) + exp(other - top))
    odds = prior + total - stands
    corrections: list[Correction] = []
    for weight, typed, kind in options[:4]:
        share = exp(weight - total)
        if share > 0.03 or not corrections:
            corrections.append(
                Correction(words=f"{typed} ({WORDS[kind]})", edits=(Edit(place=figure.place, to=typed),), share=share)
            )
    if exp(other - total) > 0.5 and near != figure.typed:
        corrections.insert(0, Correction(words=f"about {near}", share=exp(other - total)))
    where = panel.where(cell)
    return Finding(
        code="odd-figure",
        where=where,
        why=_why(figure.typed, near, rounding, _beside_rise(scene, cell, product))
        + (f", and stands again on line {again[0].place.line}" if again else ""),
        places=(figure.place, *(f.place for f in again[:1] if panel.width == 1)),
        corrections=tuple(corrections),
        log_odds=odds,
        id=finding_id("odd-figure", where, [figure.typed]),
    )


def _beside(panel: FigurePanel, cell: int) -> list[PanelFigure]:
    """The figures above and below, and up to two columns aside."""
    row, column = divmod(cell, panel.width)
    places = [(row - 1, column), (row + 1, column), *((row, column + k) for k in (-1, 1, -2, 2))]
    held = [panel.cells[r * panel.width + c] for r, c in places if 0 <= r < panel.height and 0 <= c < panel.width]
    return [figure for figure in held if figure is not None]


def _again(panel: FigurePanel, cell: int) -> list[PanelFigure]:
    """The same figure beside a cell: perhaps it was taken from there. One rise, share or time often stands for
    several models or positions."""
    alike = panel.quantity == "temperature rise" or (panel.quantity in LOOSE and not few_in_a_column(panel))
    figure = None if alike else panel.cells[cell]
    return [f for f in _beside(panel, cell) if figure is not None and f.typed == figure.typed]


def _beside_rise(scene: Scene, cell: int, product: Penalty) -> str:
    """How the product of airflow and rise stands out where that tells, "" where it doesn't."""
    figure = scene.panel.cells[cell]
    if scene.rises is None or figure is None or product(cell, figure.value) > -_IN_LINE:
        return ""
    air, rise = scene.rises.air.cells[cell], scene.rises.rise.cells[cell]
    found = scene.rises.deviation(cell, air.value, rise.value) if air is not None and rise is not None else None
    if found is None:
        return ""
    off = 100 * (exp(abs(found[0])) - 1)
    return f"airflow x rise is {off:.0f} % {'above' if found[0] > 0 else 'below'} that of the other rows"


def _why(typed: str, near: str, rounding: Rounding, product: str) -> str:
    value = abs(float(typed))
    if not rounding.fits(value) and rounding.steps[0][2] < 0.2 and abs(value - float(near)) <= 1.5 * rounding.step:
        return f"{typed} is no multiple of {_text(rounding.step)} as the figures around it are"
    if product:
        return f"{typed} is perhaps wrong: {product}"
    return f"{typed} is out of line with its neighbors, which point to about {near}"


def _text(value: float) -> str:
    return f"{value:.6g}" if value < 1e6 else f"{value:.0f}"
