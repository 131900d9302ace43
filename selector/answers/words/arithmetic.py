"""Figures and their arithmetic as people read them, in the table's units:
`14,720 W / (1.2072 x 29 C) = 420 L/s`.

1.2072 W/(L/s K) is 1.08 Btu/(h cfm F).
A formula whose constants hold for other units only (an altitude in ft) stays in those, and what comes of it is turned
into the metric unit.
"""

from __future__ import annotations

import re
from fractions import Fraction

from selector.air.arithmetic_duct import in_unit
from selector.air.expression import evaluate
from selector.air.figure import Figure, Given, Worked, arithmetic, chain, given, renamed, written
from selector.table.model.in_units import is_metric
from selector.table.model.table import Table
from selector.units import BTUH_PER_TON, convert, format_number, rise
from selector.value import replace

FACTOR_UNIT = "Btu/(h cfm F)"
_TIMES = {
    Fraction(1000): "1000 * ",
    Fraction(3600): "3600 * ",
    Fraction(18, 5): "3.6 * ",
    Fraction(1, 1000): "0.001 * ",
}
"""What stands between two metric units of one kind: m3/s and L/s, m3/s and m3/h."""
_PLACES = {"L/s": 0, "m3/h": 0, "kW": 2, "W": 0, "C": 1, "L/s/kW": 2, "m3/h/kW": 1}
_NAMES = {
    "tons": "capacity",
    "running tons": "running capacity",
    "cfm per ton": "airflow per kW",
    "per ton": "airflow per kW",
    "airflow per ton": "airflow per kW",
    "least per ton": "least per kW",
    "most per ton": "most per kW",
}


def airflow(cfm: Fraction, table: Table) -> str:
    """`1,198 cfm`, or `565 L/s` where the table is printed so."""
    unit = table.units.airflow
    return f"{format_number(convert(cfm, 'cfm', unit), 3 if unit == 'm3/s' else 0)} {unit}"


def difference(degrees_f: Fraction, table: Table, places: int = 1) -> str:
    """A rise or split: `45 F`, `46.5 F`, or `25 C`."""
    unit = table.units.temperature
    return f"{format_number(rise(degrees_f, 'F', unit), places).removesuffix('.0')} {unit}"


def worked_difference(degrees_f: Fraction, table: Table) -> str:
    """A rise or split that was worked out, to a tenth: `50.0 F`."""
    unit = table.units.temperature
    return f"{format_number(rise(degrees_f, 'F', unit), 1)} {unit}"


def temperature(degrees_f: Fraction, table: Table, places: int = 0) -> str:
    """A temperature: `115 F`, or `46 C`."""
    unit = table.units.temperature
    return f"{format_number(convert(degrees_f, 'F', unit), places)} {unit}"


def as_typed(figure: Figure) -> str:
    """A given figure as typed; where that was another unit, beside what it is: `0.40 in. w.c. (typed 100 Pa)`."""
    typed = figure.typed if isinstance(figure, Given) else ""
    if re.fullmatch(rf".*[\d ]{re.escape(figure.unit)}", typed):
        return typed if "." in typed else written(figure)
    return f"{written(figure)} (typed {typed})" if typed else written(figure)


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


def in_table_units(figure: Figure, table: Table) -> Figure:
    """The figure with all it rests on in the units of a metric table; of another table, as it is."""
    return _Metric(table.units.airflow).figure(figure) if is_metric(table) else figure


def per_ton(cfm_per_ton: Fraction, table: Table) -> str:
    """`359 cfm/ton`, or `48.2 L/s/kW`."""
    if not is_metric(table):
        return f"{format_number(cfm_per_ton, 0)} cfm/ton"
    unit = f"{table.units.airflow}/kW"
    return f"{format_number(convert(cfm_per_ton, 'cfm/ton', unit), 1)} {unit}"


def in_table_name(name: str, table: Table) -> str:
    """A figure's name in words; what is per ton elsewhere is per kW here."""
    words = name.replace("_", " ")
    return _NAMES.get(words, words) if is_metric(table) else words


class _Metric:
    """Figures turned into one unit of airflow, kW and C; each once."""

    def __init__(self, airflow: str) -> None:
        self.airflow = airflow
        self.done: dict[Figure, Figure] = {}

    def figure(self, one: Figure) -> Figure:
        found = self.done.get(one)
        if found is None:
            found = self.done[one] = self._given(one) if isinstance(one, Given) else self._worked(one)
        return found

    def _held(self, one: Figure) -> tuple[Fraction, str]:
        """Value and unit of a figure here."""
        if one.unit == "F":
            degrees = (convert if one.kind == "temperature" else rise)(one.value, "F", "C")
            return degrees, "C"
        if one.unit == "tons":
            return convert(one.value * BTUH_PER_TON, "Btu/h", "kW"), "kW"
        if one.unit == FACTOR_UNIT:
            watts = 1000 * convert(one.value, "Btu/h", "kW")
            return watts / (convert(1, "cfm", self.airflow) * rise(1, "F", "C")), f"W/({self.airflow} K)"
        to = {"cfm": self.airflow, "Btu/h": "kW", "cfm/ton": f"{self.airflow}/kW"}.get(one.unit)
        return (one.value, one.unit) if to is None else (convert(one.value, one.unit, to), to)

    def _given(self, one: Given) -> Given:
        value, unit = self._held(one)
        if unit == one.unit and (one.shown or (value * 1000).denominator == 1 or unit not in _PLACES):
            return one
        places = 4 if one.unit == FACTOR_UNIT else _PLACES.get(unit, 1)
        exact = (value * 1000).denominator == 1
        shown = "" if exact else format_number(value, places) + ("" if one.bare else f" {unit}")
        return replace(one, value=value, unit=unit, shown=shown)

    def _worked(self, one: Worked) -> Figure:
        value, unit = self._held(one)
        inputs = tuple(self.figure(deeper) for deeper in one.inputs)
        if one.inputs[-1].name == "unit_factor" and inputs[0].unit == unit:
            return renamed(inputs[0], one.name)
        if "btuh_per_kw" in (deeper.name for deeper in inputs):
            inputs = tuple(deeper for deeper in inputs if deeper.name != "btuh_per_kw")
            one = replace(one, expression=one.expression.replace(" * btuh_per_kw", ""), inputs=inputs)
        if any(deeper.unit == FACTOR_UNIT for deeper in one.inputs):
            inputs = tuple(_watts(deeper) if deeper.unit == "kW" else deeper for deeper in inputs)
            if unit == "kW":
                value, unit = 1000 * value, "W"
        got = evaluate(one.expression, {deeper.name: deeper.value for deeper in inputs})
        places = 4 if one.unit == FACTOR_UNIT else _PLACES.get(unit, one.places) if unit != one.unit else one.places
        ratio = value / got if got else Fraction(1)
        if _near(ratio, Fraction(1)):
            return replace(one, value=value, unit=unit, inputs=inputs, places=places)
        times = next((words for factor, words in _TIMES.items() if _near(ratio, factor)), "")
        if times:
            return replace(
                one, value=value, unit=unit, expression=f"{times}({one.expression})", inputs=inputs, places=places
            )
        if unit == one.unit or one.unit in ("tons", FACTOR_UNIT):
            return one
        return replace(in_unit(renamed(one, f"{one.name}_first"), unit, name=one.name), places=places, note=one.note)


def _watts(kilowatts: Figure) -> Worked:
    """The heat in W, as the factor takes it."""
    thousand = given("thousand", 1000, "W/kW", bare=True, source="W in a kW")
    inputs = (renamed(kilowatts, f"{kilowatts.name}_kw"), thousand)
    return Worked(
        name=kilowatts.name,
        value=1000 * kilowatts.value,
        unit="W",
        expression=f"{kilowatts.name}_kw * thousand",
        inputs=inputs,
        places=0,
    )


def _near(one: Fraction, other: Fraction) -> bool:
    return abs(one - other) <= abs(other) / 10**9
