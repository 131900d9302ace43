"""Figures of a metric table in metric units, arithmetic included: `14,720 W / (1.2072 x 29 C) = 420.5 L/s`.

1.2072 W/(L/s K) is 1.08 Btu/(h cfm F).
A formula whose constants hold for other units only (an altitude in ft) stays in those, and what comes of it is turned
into the metric unit.
"""

from __future__ import annotations

import re
from fractions import Fraction

from selector.air.arithmetic_duct import in_unit
from selector.air.figure import Figure, Given, Worked, given, renamed
from selector.air.recompute import evaluate
from selector.table.model.table import Table
from selector.units import BTUH_PER_TON, convert, format_number, rise
from selector.value import replace

FACTOR_UNIT = "Btu/(h cfm F)"
_TEMPERATURE = re.compile(r".*(?:_air|_limit|_bulb|_return)(?:_taken)?")
_TIMES = {
    Fraction(1000): "1000 * ",
    Fraction(3600): "3600 * ",
    Fraction(18, 5): "3.6 * ",
    Fraction(1, 1000): "0.001 * ",
}
"""What stands between two metric units of one kind: m3/s and L/s, m3/s and m3/h."""
_PLACES = {"L/s": 1, "m3/h": 0, "kW": 2, "W": 0, "C": 1, "L/s/kW": 2, "m3/h/kW": 1}
_NAMES = {
    "tons": "capacity",
    "running tons": "running capacity",
    "cfm per ton": "airflow per kW",
    "per ton": "airflow per kW",
    "airflow per ton": "airflow per kW",
    "least per ton": "least per kW",
    "most per ton": "most per kW",
}
_PER_TON = re.compile(r"(\d[\d,]*(?:\.\d+)?) cfm/ton\b")

_CFM = re.compile(r"(\d[\d,]*(?:\.\d+)?) cfm\b(?!/)")


def is_metric(table: Table) -> bool:
    """True for a table that is printed in L/s or m3/h, and C."""
    return table.units.airflow != "cfm" and table.units.temperature == "C"


def with_celsius(table: Table) -> Table:
    """A table in L/s or m3/h that has no temperature of its own, with C: the rises worked out for it are then shown
    so."""
    quantities = [
        *(g for c in table.charts.values() for g in c.gives),
        *(s.op for c in table.calls.values() for s in c.airflow),
    ]
    quantities += [w.quantity for c in table.calls.values() for w in c.windows]
    if (
        table.units.airflow == "cfm"
        or "temperature rise" in quantities
        or {"temperature rise", "outlet limit"} & set(table.ratings)
    ):
        return table
    return replace(table, units=replace(table.units, temperature="C"))


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


def in_table_words(text: str, table: Table) -> str:
    """A text with the airflows, and those per ton, in it in the table's units."""
    if not is_metric(table):
        return text
    text = _PER_TON.sub(lambda m: per_ton(Fraction(m[1].replace(",", "")), table), text)
    return _CFM.sub(
        lambda m: (
            f"{format_number(convert(Fraction(m[1].replace(',', '')), 'cfm', table.units.airflow), 1)}"
            f" {table.units.airflow}"
        ),
        text,
    )


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
            degrees = convert(one.value, "F", "C") if _TEMPERATURE.fullmatch(one.name) else rise(one.value, "F", "C")
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
        if unit == one.unit:
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
        difference = one.unit == "F" and not _TEMPERATURE.fullmatch(one.name)
        return replace(
            in_unit(renamed(one, f"{one.name}_first"), unit, difference=difference, name=one.name),
            places=places,
            note=one.note,
        )


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
