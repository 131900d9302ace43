"""Single figures that don't agree with what everything around them foretells."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import exp, log

from selector.review.figures.evidence import SPREAD, Penalty, order_down, order_of, per_ton_of, sense_of, together
from selector.review.figures.finding import Correction, Edit, Finding, finding_id
from selector.review.figures.misread import OTHER, UNIT_FACTORS, WORDS, candidates, converted
from selector.review.figures.panel import FigurePanel, PanelFigure
from selector.review.figures.rises import Rises
from selector.review.statistics.guess import Foretold
from selector.review.statistics.rounding import Rounding, rounding_of
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
LOOSE = ("seconds", "share", "reduction")
"""Quantities whose figures follow no pattern: times and shares are what they are."""
_MOST_CELLS = 60
"""Panels with more cells are looked at closely only where a figure stands out."""
_PLAINLY_OFF, _FEW = 4.0, 4
"""How much less likely than the foretold figure a cell is that is plainly off (a log), and how many of a block of
rows are looked at."""


class Scene(Struct):
    """A panel ready to be looked at. `penalty` is what each figure must agree with; `within_row` leaves out the
    order of columns."""

    panel: FigurePanel
    sheet: FigureSheet
    penalty: Penalty
    within_row: Penalty
    units: dict[str, float]
    others: tuple[float, ...] = ()
    partner: FigurePanel | None = None
    rises: Rises | None = None

    def rounding(self, without: Iterable[int] = ()) -> Rounding:
        """The step of the panel's figures as typed, some left out; figures of other charts help out where there are
        few."""
        skip = frozenset(without)
        own = [abs(float(c.typed)) for n, c in enumerate(self.panel.cells) if c is not None and n not in skip]
        return rounding_of([*own, *self.others[: max(0, 8 - len(own))]])


def scenes_of(table: Table, panels: Sequence[FigurePanel]) -> list[Scene]:
    """Every panel of figures that are more than nothing, with what else it must agree with."""
    out: list[Scene] = []
    for panel in panels:
        if panel.quantity not in POSITIVE:
            continue
        penalties = [sense_of(table, panel), per_ton_of(table, panel), order_down(panel)]
        partner, rises = _partner(panel, panels), None
        if partner is not None:
            air, rise = (panel, partner) if panel.quantity == "airflow" else (partner, panel)
            rises = Rises(table, air, rise)
            penalties.append(rises.penalty(of_rise=panel is rise))
        same = [p for p in panels if p.quantity == panel.quantity and p is not panel]
        context = [
            p
            for p in same
            if p.width > 1
            and [k.name for k in p.chart.heads] == [k.name for k in panel.chart.heads]
            and p.heads == panel.heads
        ]
        rows = [p.values()[r * p.width : (r + 1) * p.width] for p in context for r in range(p.height)]
        axis_key = panel.chart.heads[-1] if panel.chart.heads else None
        axis = [float(v) for v in axis_key.numbers] if axis_key is not None and axis_key.continuous else []
        sheet = FigureSheet(
            values=panel.values(),
            width=panel.width,
            row_keys=panel.keys,
            head_labels=panel.heads,
            axis=axis,
            step=1.0,
            ordered_rows=panel.width == 1,
            loose=panel.quantity in LOOSE,
            context=rows[:24],
            spread=SPREAD.get(panel.quantity, 0.3),
        )
        scene = Scene(
            panel=panel,
            sheet=sheet,
            penalty=together([*penalties, order_of(panel)]),
            within_row=together(penalties),
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


def weigh(scene: Scene, told: Foretold, rounding: Rounding, cell: int, typed: str) -> float:
    """Log of how likely a figure is in a cell, rounding and all else considered."""
    figure = scene.panel.cells[cell]
    assert figure is not None
    number = float(typed)
    value = number * figure.factor
    if value <= 0:
        return -80.0
    return told.log_density(value) - log(abs(number)) + rounding.log_mass(abs(number)) + scene.penalty(cell, value)


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
    stands = weigh(scene, told, rounding, cell, figure.typed)
    options: list[tuple[float, str, str]] = []
    for one in candidates(figure.typed, scene.units, percent=panel.quantity in ("share", "reduction")):
        if one.kind != "unit":
            options.append((one.log_chance + weigh(scene, told, rounding, cell, one.typed), one.typed, one.kind))
            continue
        for k in (0, -1, 1):
            typed = _text(rounding.nearest(float(one.typed)) + k * rounding.step)
            if typed != figure.typed and float(typed) > 0:
                chance = one.log_chance + converted(
                    float(figure.typed), float(typed), float(figure.typed) / float(one.typed)
                )
                options.append((chance + weigh(scene, told, rounding, cell, typed), typed, one.kind))
    near = _text(rounding.nearest(told.best.figure / figure.factor))
    other = log(OTHER) - log(4.6 * max(abs(float(figure.typed)), 0.3 * float(near)))
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
    again = _again(panel, cell)
    return Finding(
        code="odd-figure",
        where=where,
        why=_why(figure.typed, near, rounding)
        + (f", and stands beside it again on line {again.place.line}" if again is not None else ""),
        places=(figure.place,) if again is None else (figure.place, again.place),
        corrections=tuple(corrections),
        log_odds=odds,
        id=finding_id("odd-figure", where, [figure.typed]),
    )


def _again(panel: FigurePanel, cell: int) -> PanelFigure | None:
    """The same figure above or below: perhaps one line was typed twice."""
    figure = panel.cells[cell]
    for other in (cell - panel.width, cell + panel.width):
        if 0 <= other < len(panel.cells):
            beside = panel.cells[other]
            if beside is not None and figure is not None and beside.typed == figure.typed:
                return beside
    return None


def _why(typed: str, near: str, rounding: Rounding) -> str:
    value = abs(float(typed))
    if not rounding.fits(value) and rounding.steps[0][2] < 0.2 and abs(value - float(near)) <= 1.5 * rounding.step:
        return f"{typed} is no multiple of {_text(rounding.step)} as the figures around it are"
    return f"{typed} is out of line with its neighbors, which point to about {near}"


def _text(value: float) -> str:
    return f"{value:.6g}" if value < 1e6 else f"{value:.0f}"
