"""What of a slip can be seen without the page. A slip is findable where it changes an airflow of some call by more than
5 % and stands out.

It stands out where at least one of these holds (all from the clean sheet and what was typed, never from a detector):

- pattern: some changed airflow, tons, airflow per ton or rise lies off the clean chart's smooth model by more than 3 of
the standard deviations the
  clean chart's own figures have about it (never under 1 %). The model of logarithms: row plus column, where the chart
  has at least two of each and
  3 degrees of freedom are left; with one column, a parabola in the row's place, from five rows up. Least squares,
  nothing robust: a clipped
  column or an odd model counts as irregularity. Exchanges of whole rows or columns are left to `order`, since row and
  column levels are free here.
- order: lines exchanged as wholes, whose mean levels rose or fell all the way in the clean chart and don't any more:
rows from five up (three where
  they are declared sizes, such as heaters), columns of models, static pressures, stages or tons from two up; repeats
  count as neither.
- stages: a lower stage moves more than a higher one beside it by over 5 %, and not so before.
- rise: an airflow and the rise printed beside it part by more than 1 F, and not so before.
- sense: a share not in 20-100, a trim beyond 25, a reduction beyond 40, an airflow per ton not in 250-500 (also where
tons are known),
  tons not in halves or not in 1-6, an offset over 400, a rise asked for out of 20-80 F, an airflow not in 100-3500 cfm.
- repeat: two rows of a chart of trims, offsets, shares, tons or airflows per ton say the same, and no two did before.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import isnan, log

import numpy as np
import numpy.typing as npt

from tests.helpers.slip_exam_clean import CFM_IN_LPS
from tests.helpers.slip_exam_kinds import Changes, rises_match
from tests.helpers.slip_exam_sheet import Cell, Chart, Sheet, greatest_change

LEAST_CHANGE = 0.05
DEVIATIONS = 3.0
LEAST_DEVIATION = 0.01
SMOOTH = ("airflow", "least airflow", "tons", "airflow per ton", "temperature rise")
APART = ("trim", "offset", "share", "tons", "airflow per ton", "reduction")
Levels = npt.NDArray[np.float64]


@dataclass(frozen=True, kw_only=True, slots=True)
class Judged:
    """`change` of the airflow changed most, as a share of it; `reasons` the ways in which the slip stands out."""

    change: float
    reasons: tuple[str, ...]

    @property
    def changes_airflow(self) -> bool:
        """By more than 5 %."""
        return self.change > LEAST_CHANGE

    @property
    def findable(self) -> bool:
        """Changes an airflow and exceeds the table's own irregularity."""
        return self.changes_airflow and bool(self.reasons)


def judge(sheet: Sheet, kind: str, changes: Changes) -> Judged:
    """How a slip sits with the table's own irregularity."""
    slipped = sheet.with_figures(changes)
    whole = kind in ("swapped rows", "swapped columns") and len({c[1:] for c in changes}) > 1
    reasons = {
        "pattern": not (whole and sheet_columns(sheet, changes) > 1) and _off_pattern(sheet, slipped, changes),
        "order": whole and _order_broken(sheet, slipped, changes, kind),
        "stages": _stages_crossed(slipped, changes) and not _stages_crossed(sheet, changes),
        "rise": _rise_parts(slipped, changes) and not _rise_parts(sheet, changes),
        "sense": any(_senseless(slipped, c) and not _senseless(sheet, c) for c in changes),
        "repeat": any(_repeats(slipped, name) and not _repeats(sheet, name) for name in {c[0] for c in changes}),
    }
    return Judged(
        change=greatest_change(sheet, slipped), reasons=tuple(name for name, holds in reasons.items() if holds)
    )


def sheet_columns(sheet: Sheet, changes: Changes) -> int:
    """Columns of the chart that a slip is in; 0 for a step of a call."""
    name = next(iter(changes))[0]
    return 0 if name.startswith("call ") else len(sheet.chart(name).heads_flat)


def logs(sheet: Sheet, chart: Chart, quantity: int) -> Levels:
    """Logarithms of the figures of one quantity, rows down, heads across; not a number where none is printed."""
    n = len(chart.gives)
    values = [
        [sheet.number((chart.name, r, h * n + quantity)) for h in range(len(chart.heads_flat))] for r in chart.printed()
    ]
    return np.array([[log(x) if x > 0 else float("nan") for x in row] for row in values])


def smooth(figures: Levels) -> tuple[Levels, float] | None:
    """The smooth model of a chart at every cell and the standard deviation about it; None where the chart is too
    small to have one."""
    rows, columns = figures.shape
    here = ~np.isnan(figures)
    if rows > 1 and columns > 1:
        design = np.zeros((rows * columns, rows + columns))
        for r in range(rows):
            for c in range(columns):
                design[r * columns + c, [r, rows + c]] = 1
        unknowns = rows + columns - 1
    elif columns == 1 and rows >= 5:
        place = np.linspace(-1, 1, rows)
        design = np.stack([np.ones(rows), place, place**2], axis=1)
        unknowns = 3
    else:
        return None
    used = here.ravel()
    free = int(used.sum()) - unknowns
    if free < (3 if columns > 1 else 2):
        return None
    flat = figures.ravel()
    solved = np.linalg.lstsq(design[used], flat[used], rcond=None)[0]
    model = design @ solved
    deviation = float(np.sqrt(((flat[used] - model[used]) ** 2).sum() / free))
    return model.reshape(rows, columns), max(deviation, LEAST_DEVIATION)


def _off_pattern(sheet: Sheet, slipped: Sheet, changes: Changes) -> bool:
    for name, r, c in changes:
        if name.startswith("call ") or sheet.chart(name).quantity(c) not in SMOOTH:
            continue
        chart = sheet.chart(name)
        fitted = smooth(logs(sheet, chart, c % len(chart.gives)))
        value = slipped.number((name, r, c))
        if fitted is not None and not isnan(value):
            model, deviation = fitted
            expected = float(model[chart.printed().index(r), c // len(chart.gives)])
            if value <= 0 or abs(log(value) - expected) > DEVIATIONS * deviation:
                return True
    return False


def _order_broken(sheet: Sheet, slipped: Sheet, changes: Changes, kind: str) -> bool:
    name = next(iter(changes))[0]
    chart = sheet.chart(name)
    if chart.gives[0] not in SMOOTH:
        return False
    if kind == "swapped rows":
        least = 3 if "heater" in chart.name else 5
        was, now = (np.nanmean(logs(s, chart, 0), axis=1) for s in (sheet, slipped))
        was, now = was[~np.isnan(was)], now[~np.isnan(now)]
        return len(was) >= least and _steady(was) and not _steady(now)
    size = [len(values) for _, values in chart.heads]
    return any(_head_order(logs(sheet, chart, 0), logs(slipped, chart, 0), size, axis) for axis in range(len(size)))


def _head_order(clean: Levels, slipped: Levels, size: Sequence[int], axis: int) -> bool:
    """Whether the levels along one head ran one way, and after the exchange run another."""

    def levels(figures: Levels) -> Levels:
        cube = figures.reshape(figures.shape[0], *size)
        return np.array([np.nanmean(np.take(cube, i, axis=axis + 1)) for i in range(size[axis])])

    was, now = levels(clean), levels(slipped)
    return _steady(was) and not (_steady(now) and (now[-1] > now[0]) == (was[-1] > was[0]))


def _steady(levels: Levels) -> bool:
    steps = np.diff(levels)
    return bool((steps > 0).all() or (steps < 0).all())


def _stages_crossed(sheet: Sheet, changes: Changes) -> bool:
    for name, r, c in changes:
        if name.startswith("call ") or sheet.quantity((name, r, c)) != "airflow":
            continue
        chart = sheet.chart(name)
        if "stage" not in chart.head(c):
            continue
        n, stages = len(chart.gives), len(chart.heads[-1][1])
        first = c // n - (c // n) % stages
        figures = [sheet.number((name, r, (first + k) * n)) for k in range(stages)]
        if any(low > high * 1.05 for low, high in pairwise(figures)):
            return True
    return False


def _rise_parts(sheet: Sheet, changes: Changes) -> bool:
    charts = [(sheet.chart(c[0]), c) for c in changes if not c[0].startswith("call ")]
    return any(len(chart.gives) == 2 and not rises_match(sheet, chart, cell) for chart, cell in charts)


def _senseless(sheet: Sheet, cell: Cell) -> bool:
    value, quantity = sheet.number(cell), sheet.quantity(cell)
    if isnan(value):
        return False
    metric = CFM_IN_LPS if sheet.airflow_unit == "L/s" else 1.0
    bounds: Mapping[str, tuple[float, float]] = {
        "share": (20, 100),
        "trim": (-25, 25),
        "reduction": (0, 40),
        "airflow per ton": (250, 500),
        "tons": (1, 6),
        "offset": (-400, 400),
        "temperature rise": (20 * sheet.degree, 80 * sheet.degree),
        "airflow": (100 * metric, 3500 * metric),
        "least airflow": (100 * metric, 3500 * metric),
    }
    low, high = bounds.get(quantity, (value, value))
    if not low <= value <= high or (quantity == "tons" and value * 2 % 1):
        return True
    if quantity == "airflow" and not cell[0].startswith("call "):
        tons = sheet.chart(cell[0]).head(cell[2]).get("outdoor tons")
        return tons is not None and not 250 <= value / float(tons) <= 500
    return False


def _repeats(sheet: Sheet, name: str) -> bool:
    if name.startswith("call ") or sheet.chart(name).gives[0] not in APART:
        return False
    chart = sheet.chart(name)
    values = [sheet.number((name, r, 0)) for r in chart.printed()]
    return len(set(values)) < len(values)
