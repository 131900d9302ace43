"""What of a board can hurt somebody: a rise or supply air over the plate, a heater under its least airflow, a board
that is set for a smaller heater or nozzle than is there."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from selector.solve.board.facts import number_in
from selector.solve.engine.engine import Engine
from selector.solve.engine.limit import JudgedLimit
from selector.solve.search.declared import DeclaredDifference, declared_otherwise
from selector.table.model.quantities import HEAT_INPUT
from selector.table.model.roles import by_heater
from selector.table.model.table import Table


def dangerous(table: Table, judged: JudgedLimit) -> bool:
    """True for a broken limit that calls for stopping before every other word."""
    if judged.ok is not False:
        return False
    if judged.limit.of_heat or judged.limit.quantity == HEAT_INPUT:
        return judged.beyond > 0
    chart = table.charts.get(judged.limit.source)
    return judged.limit.quantity == "airflow" and judged.beyond < 0 and chart is not None and by_heater(table, chart)


SMALLER = {"heater power": ("smaller heater", "kW"), "nozzle rate": ("smaller nozzle", "gph")}


def set_for_less(table: Table, one: DeclaredDifference) -> tuple[str, str] | None:
    """The danger of a selector that is set for less heat than is installed, and the unit; None where nobody is hurt."""
    told, there = number_in(one.board), number_in(one.known)
    if there is None or (told is not None and told >= there):
        return None
    return smaller(table, one.selector, one.fact)


def may_be_set_for_less(engine: Engine, unread: Iterable[int]) -> Iterator[tuple[str, str, DeclaredDifference]]:
    """Of selectors that can't be read, those that may be set for less heat than is installed: the danger, its unit and
    the first such position."""
    for fact, part in engine.declarers.items():
        if part.index not in unread:
            continue
        for at in range(len(part.positions)):
            setting = tuple(at if i == part.index else None for i in range(len(engine.table.parts)))
            found = next((one for one in declared_otherwise(engine, setting) if one.fact == fact), None)
            what = None if found is None else set_for_less(engine.table, found)
            if found is not None and what is not None:
                yield what[0].replace("smaller", "unread"), what[1], found
                break


def smaller(table: Table, part: str, name: str) -> tuple[str, str] | None:
    """The danger of a part that declares less of a fact than is installed, and its unit; None where nobody is hurt."""
    fact, selector = table.facts.get(name), table.selectors.get(part.partition("-")[0])
    gives = (fact.gives if fact is not None else "", selector.gives if selector is not None else "")
    found = next((SMALLER[one] for one in gives if one in SMALLER), None)
    return found or (SMALLER["heater power"] if "heater" in name else None)
