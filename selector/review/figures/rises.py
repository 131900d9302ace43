"""The rise printed beside an airflow, held against delivered heat and the other rows."""

from __future__ import annotations

from fractions import Fraction
from math import exp, log, sqrt

from selector.air.density import SENSIBLE_FACTOR
from selector.review.figures.evidence import Penalty
from selector.review.figures.panel import FigurePanel
from selector.review.statistics.robust import log_t, median, spread
from selector.review.statistics.rounding import rounding_of
from selector.table.model.table import Table

_ROUNDED = 0.5
_BEYOND = 4.0
"""How much less likely a rise is that misses heat and airflow by more than a degree F, on a page where the others
don't (common practice)."""


class Rises:
    """The rise printed beside an airflow: their product is the delivered heat over the factor, the same in every row
    of a column."""

    def __init__(self, table: Table, air: FigurePanel, rise: FigurePanel) -> None:
        self.air, self.rise = air, rise
        self.products: list[float | None] = []
        plate = self.plate = _plate_products(table, air)
        for n, (a, r) in enumerate(zip(air.values(), rise.values(), strict=True)):
            base = plate[n % air.width]
            self.products.append(a * r / base if a and r else None)
        self.shared = all(p != 1.0 for p in plate)
        known = [(n % air.width, log(p)) for n, p in enumerate(self.products) if p is not None]
        middle = {c: median([z for k, z in known if self.shared or k == c]) for c in {k for k, _ in known}}
        self.count = len(known) - (1 if self.shared else len(middle))
        self.stray = spread([z - middle[c] for c, z in known]) if known else 0.0
        self.degree = 1.05 if table.units.temperature == "F" else 0.6
        self.step = rounding_of([abs(float(c.typed)) for c in air.cells if c is not None]).step
        near = [
            abs(exp(log(p) - middle[n % air.width]) - 1) * (rise.values()[n] or 0.0) <= self.degree
            for n, p in enumerate(self.products)
            if p
        ]
        self.agree = len(near) >= 4 and sum(near) >= 0.7 * len(near)

    def scale(self, air: float, rise: float) -> float:
        """Sigma of a product: a rise rounded to a degree, an airflow to its step, and how well the others agree; with
        few of them mostly the rounding."""
        own = _ROUNDED / max(1.0, rise) + 0.3 * self.step / max(1.0, air) + 0.003
        return sqrt((4 * own**2 + max(0, self.count) * self.stray**2) / (4 + max(0, self.count)))

    def expected(self, cell: int) -> float | None:
        """The median of the other products of the column (of all columns, where the rating plate makes them alike)."""
        width = self.air.width
        others = [
            p
            for n, p in enumerate(self.products)
            if p is not None and n != cell and (self.shared or n % width == cell % width)
        ]
        return median(others) if others else None

    def deviation(self, cell: int, air: float, rise: float) -> tuple[float, float] | None:
        """(relative deviation of the product, the rise it ought to be); None where nothing tells."""
        expected, product = self.expected(cell), self.products[cell]
        a, r = self.air.cells[cell], self.rise.cells[cell]
        if expected is None or product is None or a is None or r is None or air <= 0 or rise <= 0:
            return None
        base = a.value * r.value / product
        return log(air * rise / base / expected), expected * base / air

    def penalty(self, *, of_rise: bool) -> Penalty:
        """How badly an airflow fits the rise beside it, or a rise its airflow."""

        def penalty(cell: int, value: float) -> float:
            a, r = self.air.cells[cell], self.rise.cells[cell]
            if a is None or r is None:
                return 0.0
            found = self.deviation(cell, a.value if of_rise else value, value if of_rise else r.value)
            if found is None:
                return 0.0
            air, rise = (a.value, value) if of_rise else (value, r.value)
            scale = self.scale(air, rise)
            beyond = self.agree and abs(rise - found[1]) > self.degree + rise * self.step / (2 * max(1.0, air))
            return log_t(found[0], scale, 7) - log_t(0.0, scale, 7) - (_BEYOND if beyond else 0.0)

        return penalty


def _plate_products(table: Table, air: FigurePanel) -> list[float]:
    """Input x efficiency of each column's model and stage; 1 for all where the plate doesn't tell."""
    out: list[float] = []
    stage_names = {s for call in table.calls.values() for s in call.stages if s}
    for heads in air.heads:
        model = next((h for key, h in zip(air.chart.heads, heads, strict=True) if key.name == "model"), None)
        stage = next((h for h in heads if h in stage_names), "")
        heat = table.ratings.get("heat output") or table.ratings.get("heat input")
        efficiency = table.ratings.get("efficiency")
        value = heat.get(model, stage) if heat is not None else None
        share = efficiency.get(model, stage) if efficiency is not None else Fraction(1)
        if not isinstance(value, Fraction) or not isinstance(share, Fraction):
            return [1.0] * air.width
        out.append(float(value * share / SENSIBLE_FACTOR))
    return out
