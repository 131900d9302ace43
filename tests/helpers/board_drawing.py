"""A whole board as one SVG, for tests of drawings."""

from __future__ import annotations

from selector.draw.parts.draw import describe
from selector.draw.parts.layout import board_figure
from selector.draw.parts.svg import figure_svg
from selector.table.model.table import Setting, Table


def board_svg(
    table: Table, setting: Setting, before: Setting | None = None, turned: int = 0, *, width: float = 360
) -> str:
    """The board on a sheet of `width`."""
    return figure_svg(board_figure(describe(table, setting, before, turned), width))
