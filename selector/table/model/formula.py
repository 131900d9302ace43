"""A call as a formula in words, and a chart as a grid: what a person holds beside the page."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from itertools import product
from types import MappingProxyType

from selector.table.model.quantities import QUANTITIES
from selector.table.model.table import ANY, Atom, Call, CallValue, Chart, Condition, Row, Table
from selector.units import plain

Names = Mapping[str, str]


def number(value: Fraction) -> str:
    """A figure as short as it is exact, else to six places."""
    try:
        return plain(value)
    except ValueError:
        return f"{float(value):g}"


def _unit(table: Table, op: str) -> str:
    kind = QUANTITIES[op].unit if op in QUANTITIES else "airflow"
    return {
        "percent": " %",
        "airflow": f" {table.units.airflow}",
        "temperature difference": f" {table.units.temperature}",
        "tons": " tons",
        "airflow per ton": f" {table.units.airflow} per ton",
    }.get(kind, "")


def _name(table: Table, atom: Atom, op: str, names: Names) -> str:
    if isinstance(atom, Fraction):
        sign = "+" if op in ("trim", "offset") and atom > 0 else ""
        return f"{sign}{number(atom)}{_unit(table, op)}"
    if isinstance(atom, CallValue):
        return f"call {names.get(atom.call, atom.call)} {atom.stage}".strip()
    return names.get(atom.name, atom.name)


def _acts(table: Table, atom: Atom, op: str) -> list[str]:
    """The operations `use: NAME` stands for."""
    if op != "use" or isinstance(atom, (Fraction, CallValue)):
        return [op]
    if atom.kind == "chart":
        gives = table.charts[atom.name].gives
        return [
            g for g in gives if QUANTITIES[g].role != "note" and not (g == "temperature rise" and "airflow" in gives)
        ]
    if atom.kind == "part":
        return [table.selectors[table.parts[atom.part].selector].gives]
    if atom.kind == "fact":
        return [table.facts[atom.name].gives]
    return [atom.name]


def _when(table: Table, conditions: tuple[Condition, ...], names: Names) -> str:
    words = []
    for c in conditions:
        values = [table.parts[c.part].positions[i] for i in sorted(c.allowed)] if c.part >= 0 else list(c.words)
        words.append(f"{names.get(c.name, c.name)} is {' or '.join(values)}")
    return f" (when {' and '.join(words)})" if words else ""


_AFTER = {
    "trim": "x (1 + {})",
    "share": "x {}",
    "reduction": "x (1 - {})",
    "offset": "+ {}",
    "at least": "at least {}",
    "least airflow": "at least {}",
    "at most": "at most {}",
    "most airflow": "at most {}",
    "round": "rounded to {}",
    "round up": "rounded up to {}",
    "round down": "rounded down to {}",
}


def formula(table: Table, call: Call, stage: str, names: Names = MappingProxyType({})) -> str:
    """`cooling airflow, then x (1 + adjustment), then x 66 %, then at least 400 cfm`: each step acts on all that stands
    before it.

    What stands in `names` is told by other names: those of a table that is held against this one.
    """
    out: list[str] = []
    for step in call.airflow:
        atom = step.value(stage)
        if atom is None:
            continue
        for op in _acts(table, atom, step.op):
            out.append(_joined(_step(table, atom, op, names), bool(out), op, _when(table, step.when, names)))
    return "".join(out) + _when(table, call.when, names)


def _step(table: Table, atom: Atom, op: str, names: Names) -> str:
    if op == "temperature rise":
        return f"delivered heat / (sensible factor x {_name(table, atom, op, names)})"
    if op == "offset" and isinstance(atom, Fraction):
        return f"{'+' if atom >= 0 else '-'} {number(abs(atom))}{_unit(table, op)}"
    if op == "trim" and isinstance(atom, Fraction):
        return f"x (1 {'+' if atom >= 0 else '-'} {number(abs(atom))} %)"
    return _AFTER.get(op, "{}").format(_name(table, atom, op, names))


def _joined(text: str, later: bool, op: str, when: str) -> str:
    if not later:
        return text + when
    if op == "airflow per ton":
        return f" x {text}{when}"
    return f"{', then ' if op in _AFTER else ', or '}{text}{when}"


def heads_of(chart: Chart) -> list[list[str]]:
    """The lines of heads above the figures, outermost first; the quantities last where a head has several."""
    columns: list[tuple[str, ...]] = [()]
    for head in chart.heads:
        columns = [(*c, v) for c, v in product(columns, head.values)]
    wide = [(*c, q) for c in columns for q in chart.gives] if len(chart.gives) > 1 or not chart.heads else columns
    return [[c[i] for c in wide] for i in range(len(wide[0]))] if wide else []


def row_words(chart: Chart, row: Row) -> list[str]:
    """A row as printed: its positions and its cells as they were typed (one word for a row without figures)."""
    marks = ["-" if p == ANY else key.values[p] for key, p in zip(chart.keys, row.positions, strict=True)]
    if row.word:
        return [*marks, row.word]
    if row.like:
        return [
            *marks,
            "as " + " ".join("-" if p == ANY else key.values[p] for key, p in zip(chart.keys, row.like, strict=True)),
        ]
    return [*marks, *row.typed]
