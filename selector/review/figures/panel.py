"""The figures of one quantity of a chart as rows and columns of numbers, each with its place: what the review of
slips works on."""

from __future__ import annotations

import re
from fractions import Fraction
from itertools import product

from selector.review.figures.places import FigurePlace, cell_places, row_place
from selector.table.model.quantities import QUANTITIES
from selector.table.model.table import ANY, CellWord, Chart, Table
from selector.value import Struct, replace

_NUMBER = re.compile(r"[+-]?(?:\d+(?:\.\d*)?|\.\d+)")


class PanelFigure(Struct, frozen=True, kw_only=True):
    """One typed figure. `typed` is the number as text, `value` the number, `factor` what one of it is worth in the
    chart's unit."""

    typed: str
    value: float
    factor: float
    place: FigurePlace


class FigurePanel(Struct, frozen=True, kw_only=True):
    """Figures of one quantity. Cell n stands in row n // width and column n % width; None where no figure is printed.

    `keys[r]` are the positions of row r, `heads[c]` the words above column c, `row_index[r]` its row in the chart;
    `blanks` are the places of cells in which no figure is printed.
    """

    chart: Chart
    quantity: str
    width: int
    cells: tuple[PanelFigure | None, ...]
    keys: tuple[tuple[int, ...], ...]
    heads: tuple[tuple[str, ...], ...]
    row_index: tuple[int, ...]
    row_places: tuple[FigurePlace, ...]
    blanks: tuple[tuple[int, FigurePlace], ...] = ()

    @property
    def height(self) -> int:
        """How many rows have figures."""
        return len(self.keys)

    def values(self) -> list[float | None]:
        """The numbers, None where there is none."""
        return [None if c is None else c.value for c in self.cells]

    def blocks(self, rows: int) -> tuple[FigurePanel, ...]:
        """The same figures as panels of so many rows at most, from the top."""
        out: list[FigurePanel] = []
        for start in range(0, self.height, rows):
            end = min(start + rows, self.height)
            low, high = start * self.width, end * self.width
            out.append(
                replace(
                    self,
                    cells=self.cells[low:high],
                    keys=self.keys[start:end],
                    row_index=self.row_index[start:end],
                    row_places=self.row_places[start:end],
                    blanks=tuple((n - low, place) for n, place in self.blanks if low <= n < high),
                )
            )
        return tuple(out)

    def row_words(self, row: int) -> str:
        """The positions of a row as printed: `OFF ON OFF`."""
        words = ["-" if p == ANY else key.values[p] for key, p in zip(self.chart.keys, self.keys[row], strict=True)]
        return " ".join(words)

    def head_words(self, column: int) -> str:
        """The words above a column: `080`; empty where the chart has no heads."""
        return " ".join(self.heads[column])

    def where(self, cell: int) -> str:
        """A cell in words: `cooling airflow, OFF ON OFF, 080`."""
        row, column = divmod(cell, self.width)
        pieces = [self.chart.name, self.row_words(row), self.head_words(column)]
        if len(self.chart.gives) > 1:
            pieces.append(self.quantity)
        return ", ".join(p for p in pieces if p)


def panels_of(table: Table) -> tuple[FigurePanel, ...]:
    """A panel for each number-giving quantity of each chart, in file order; charts without figures have none."""
    return tuple(panel for chart in table.printed_charts for panel in _panels(table, chart))


def _panels(table: Table, chart: Chart) -> list[FigurePanel]:
    places = cell_places(table, chart)
    columns: list[tuple[str, ...]] = [()]
    for head in chart.heads:
        columns = [(*c, v) for c, v in product(columns, head.values)]
    count = len(chart.gives)
    width = len(columns)
    kept = [
        i for i, row in enumerate(chart.rows) if len(row.cells) == width * count and len(places[i]) == width * count
    ]
    out: list[FigurePanel] = []
    for q, quantity in enumerate(chart.gives):
        if QUANTITIES[quantity].content == "word":
            continue
        cells: list[PanelFigure | None] = []
        blanks: list[tuple[int, FigurePlace]] = []
        for i in kept:
            row = chart.rows[i]
            for c in range(width):
                n = c * count + q
                value = row.cells[n]
                if value is CellWord.BLANK:
                    blanks.append((len(cells), places[i][n]))
                cells.append(_figure(value, places[i][n]) if isinstance(value, Fraction) else None)
        if any(cells):
            out.append(
                FigurePanel(
                    chart=chart,
                    quantity=quantity,
                    width=width,
                    cells=tuple(cells),
                    keys=tuple(chart.rows[i].positions for i in kept),
                    heads=tuple(columns),
                    row_index=tuple(kept),
                    row_places=tuple(row_place(table, chart.rows[i]) for i in kept),
                    blanks=tuple(blanks),
                )
            )
    return out


def _figure(value: Fraction, place: FigurePlace) -> PanelFigure | None:
    found = _NUMBER.match(place.text)
    if found is None:
        return None
    typed = found.group()
    number = float(typed)
    factor = float(value) / number if number else 1.0
    return PanelFigure(typed=typed, value=float(value), factor=factor, place=replace(place, text=typed))
