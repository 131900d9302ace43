"""The board as pictures: one neutral description, from which text, SVG, the card and the page are drawn."""

from __future__ import annotations

from selector.table.kinds import KINDS
from selector.table.model import Setting, Table
from selector.table.picture import TURNS, Picture


def describe(table: Table, setting: Setting, before: Setting | None = None, turned: int = 0) -> tuple[Picture, ...]:
    """Every selector of the board in the table's order. `turned` is 0, 90, 180 or 270 degrees clockwise; ValueError otherwise."""
    if turned not in TURNS:
        raise ValueError(f"a board can be turned 90, 180 or 270 degrees, not {turned}")
    return tuple(
        KINDS[selector.kind].picture(selector, [table.parts[i] for i in selector.parts], setting, before, turned)
        for selector in table.selectors.values()
    )
