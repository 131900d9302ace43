"""Figures of a plan as people read them: airflows in the table's unit (and the trade's where that differs),
temperatures likewise."""

from __future__ import annotations

from fractions import Fraction

from selector.air.figure import Figure, Worked, arithmetic, chain, written
from selector.job.house.metric import in_table_units
from selector.table.model.table import Table
from selector.units import convert, format_number, rise


def airflow(cfm: Fraction, table: Table) -> str:
    """`1,198 cfm`, or `565.4 L/s` where the table is printed so."""
    unit = table.units.airflow
    return f"{format_number(convert(cfm, 'cfm', unit), 1 if unit == 'L/s' else 0)} {unit}"


def difference(degrees_f: Fraction, table: Table, places: int = 1) -> str:
    """A rise or split: `45 F`, `46.5 F`, or `25 C`."""
    unit = table.units.temperature
    return f"{format_number(rise(degrees_f, 'F', unit), places).removesuffix('.0')} {unit}"


def temperature(degrees_f: Fraction, table: Table, places: int = 0) -> str:
    """A temperature: `115 F`, or `46 C`."""
    unit = table.units.temperature
    return f"{format_number(convert(degrees_f, 'F', unit), places)} {unit}"


def shown_arithmetic(figure: Figure, table: Table) -> str:
    """`3 tons x 350 cfm/ton = 1,050 cfm`, in the units of a metric table; a leaf is its figure alone."""
    own = in_table_units(figure, table)
    out = written(own)
    if isinstance(own, Worked) and arithmetic(own) != out:
        out = f"{arithmetic(own)} = {out}"
    if own.unit == "cfm" and table.units.airflow != "cfm":
        out += f" = {airflow(own.value, table)}"
    return out


def whole_arithmetic(figure: Figure, table: Table) -> tuple[str, ...]:
    """The arithmetic of a figure and of the worked figures it rests on, inputs first, each once, renamings left out."""
    lines: dict[str, None] = {}
    for one in chain(in_table_units(figure, table)):
        if isinstance(one, Worked) and arithmetic(one) != written(one):
            lines[f"{arithmetic(one)} = {written(one)}"] = None
    return tuple(lines)
