"""A selector that tells the board other equipment than is installed, or that the page says to leave elsewhere."""

from __future__ import annotations

from selector.solve.board.facts import number_in
from selector.solve.board.marks import mark
from selector.solve.search.declared import DeclaredDifference
from selector.table.model.figure_units import unit_of_quantity
from selector.table.model.table import Part, Setting, Table


def unit_of_fact(table: Table, part: str, name: str) -> str:
    """The unit of a fact that a part declares, "" where it has none."""
    fact, selector = table.facts.get(name), table.selectors.get(part)
    gives = (fact.gives if fact is not None else "") or (selector.gives if selector is not None else "")
    return unit_of_quantity(gives or ("tons" if name == "outdoor tons" else name), table.units)


def contradiction_text(table: Table, d: DeclaredDifference) -> str:
    """`J4 is set for 15 kW; 10 kW installed`."""
    unit = unit_of_fact(table, d.selector, d.fact)
    if d.fact == "model":
        return f"{d.selector} is set for model {d.board}; the plate says {d.known}"
    board, known = (f"{text} {unit}" if unit and number_in(text) is not None else text for text in (d.board, d.known))
    return f"{d.selector} is set for {'' if unit else f'{d.fact} '}{board}; {known} installed"


def not_left_texts(table: Table, setting: Setting) -> list[str]:
    """`SW1-3 is OFF; the manual says to leave it ON`: every selector that the page says to leave elsewhere."""

    def said(part: Part) -> str:
        return f"{part.name} is {mark(table, part.index, setting[part.index])}; the manual says to leave it"

    return [
        f"{said(part)} {mark(table, part.index, part.leave_at)}"
        for part in table.parts
        if part.leave_at is not None and setting[part.index] not in (None, part.leave_at)
    ]
