"""What each call of a table is for, told by its terminals, its heat and its name: names of calls are free."""

from __future__ import annotations

from typing import Literal

from selector.table.model.quantities import HEATS
from selector.table.model.table import Call, Chart, Named, Table

Role = Literal["cooling", "dehumidify", "heat pump", "heat pump + auxiliary", "heat", "fan"]
Burns = Literal["heater power", "nozzle rate", "heat input", "rated", ""]
COMPRESSOR: frozenset[Role] = frozenset({"cooling", "dehumidify", "heat pump", "heat pump + auxiliary"})
"""Roles in which the outdoor unit runs."""
_NAMED: tuple[tuple[str, Role], ...] = (
    ("dehumid", "dehumidify"),
    ("auxiliary", "heat pump + auxiliary"),
    ("heat pump", "heat pump"),
    ("cool", "cooling"),
    ("heat", "heat"),
    ("fan", "fan"),
)


def named(call: Call) -> Role | None:
    """What its name says that a call is for, None where it says nothing."""
    folded = call.name.casefold()
    return next((role for word, role in _NAMED if word in folded), None)


def terminals_of(call: Call) -> frozenset[str]:
    """Every terminal of every stage, in capitals."""
    return frozenset(t.upper() for words in call.terminals.values() for t in words)


def roles(table: Table) -> dict[str, Role]:
    """The role of every call. Y without O is heating where another call has Y and O (the outdoor unit is a heat
    pump), else cooling."""
    reverses = any("O" in terminals_of(call) and _compressor(call) for call in table.calls.values())
    return {name: _role(call, reverses) for name, call in table.calls.items()}


def has_heat_pump_call(table: Table) -> bool:
    """True where a call runs a heat pump in heating."""
    return not {"heat pump", "heat pump + auxiliary"}.isdisjoint(roles(table).values())


def has_burner(table: Table) -> bool:
    """True where the table speaks of a burner: an input, an efficiency or a nozzle."""
    given = {g for chart in table.charts.values() for g in chart.gives} | {s.gives for s in table.selectors.values()}
    return bool((given | set(table.ratings)) & {"heat input", "nozzle rate", "efficiency", "heat per gallon"})


def _compressor(call: Call) -> bool:
    return any(t.startswith("Y") for t in terminals_of(call))


def _role(call: Call, reverses: bool) -> Role:
    if call.purpose:
        return "heat" if call.purpose == "heating" else call.purpose  # type: ignore[return-value]
    names = terminals_of(call)
    if "DH" in names:
        return "dehumidify"
    heats = any(t.startswith("W") or t == "E" for t in names)
    if _compressor(call):
        if heats:
            return "heat pump + auxiliary"
        return "heat pump" if reverses and "O" not in names else "cooling"
    if heats or call.heat:
        return "heat"
    if names:
        return "fan"
    return named(call) or ("heat" if call.heats else "fan")


def by_heater(table: Table, chart: Chart) -> bool:
    """True where a chart is set by the heater or burner that is there."""
    for key in (*chart.keys, *chart.heads):
        part = table.parts[key.part] if key.kind == "part" else None
        name = part.selector if part is not None else key.name
        selector = table.selectors.get(name)
        fact = table.facts.get(part.declares if part is not None else name)
        gives = (selector.gives if selector is not None else "", fact.gives if fact is not None else "", name)
        if any(g in HEATS for g in gives):
            return True
    return False


def burns(table: Table, call: Call) -> Burns:
    """What the table works the call's heat out from; empty where it says nothing of it."""
    for step in call.heat:
        for atom in step.by_stage.values():
            if step.op in HEATS:
                return _burnt(step.op)
            if isinstance(atom, Named):
                for gives in _gives(table, atom):
                    if gives in HEATS:
                        return _burnt(gives)
    rated = call.heats and not call.heat and bool({"heat input", "heat output"} & set(table.ratings))
    return "rated" if rated else ""


def _burnt(heat: str) -> Burns:
    """A heat output is a burner's too."""
    return "heat input" if heat == "heat output" else heat  # type: ignore[return-value]


def _gives(table: Table, atom: Named) -> tuple[str, ...]:
    if atom.kind == "chart":
        return table.charts[atom.name].gives
    if atom.kind == "fact":
        return (table.facts[atom.name].gives,)
    if atom.kind == "part":
        return (table.selectors[table.parts[atom.part].selector].gives,)
    return (atom.name,)
