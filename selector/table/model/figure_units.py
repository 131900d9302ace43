"""The unit that a bare figure of a table is in: of a quantity's cells, of a head along the top, of a rating."""

from __future__ import annotations

from selector.table.model.quantities import OWN_AIRFLOW, QUANTITIES, RATINGS
from selector.table.model.table import Table, Units

_FIXED = {
    "tons": "tons",
    "power": "kW",
    "oil rate": "gph",
    "watts": "W",
    "speed": "rpm",
    "voltage": "V",
    "oil pressure": "psi",
    "heat per gallon": "Btu/gal",
}


def unit_of_quantity(name: str, units: Units) -> str:
    """The unit of a quantity's figures in a table's units; empty where its cells carry their own (% and s) or have
    none."""
    if name == "static pressure":
        return units.pressure
    known = QUANTITIES.get(name)
    return "" if known is None else _unit(known.unit, units)


def unit_of_head(name: str, table: Table) -> str:
    """The unit of what stands along the top: a static pressure, a firing rate, a fact with a quantity."""
    own = {"static pressure": table.units.pressure, "firing rate": "%", OWN_AIRFLOW: table.units.airflow}
    if name in own:
        return own[name]
    fact = table.facts.get(name)
    return unit_of_quantity(fact.gives, table.units) if fact is not None else ""


def unit_of_rating(name: str, units: Units) -> str:
    """The unit of a rating."""
    kind = RATINGS[name][0] if name in RATINGS else ""
    return "%" if kind == "percent" else _unit({"range": "temperature difference"}.get(kind, kind), units)


def _unit(kind: str, units: Units) -> str:
    own = {
        "airflow": units.airflow,
        "airflow per ton": f"{units.airflow} per ton",
        "temperature difference": units.temperature,
        "temperature": units.temperature,
        "heat": units.heat,
        "pressure": units.pressure,
    }
    return own.get(kind) or _FIXED.get(kind, "")
