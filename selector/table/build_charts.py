"""The charts: their keys, heads, quantities and rows."""

from __future__ import annotations

from dataclasses import replace

from selector.table.build_keys import head_of, key_names, key_of, name_list, numbers_of
from selector.table.builder import HEAT_FACTOR, Builder, indent_of, static_of, text_of
from selector.table.coverage import overlapping
from selector.table.located import Scalar
from selector.table.model import Chart, Key
from selector.table.parts import with_positions
from selector.table.quantities import CONTINUOUS_FACTS, QUANTITIES
from selector.table.rows import Column, RowReader
from selector.table.shapes import Fields
from selector.table.words import Names


def build_charts(b: Builder, charts: dict[str, tuple[Scalar, Fields]]) -> None:
    """Reads `charts:` into the builder."""
    names = Names(dict.fromkeys(key_names(b).names))
    absent: set[int] = set()
    for name, (key, fields) in charts.items():
        if b.declare(name, key):
            chart = _chart(b, name, key, fields, names, absent)
            if chart is not None:
                b.charts[name] = chart
    for index in absent:
        part = b.parts[index]
        b.parts[index] = with_positions(part, (*part.positions, part.absent))
    if absent:
        b.charts = {n: replace(c, keys=_widened(b, c.keys), heads=_widened(b, c.heads)) for n, c in b.charts.items()}


def _widened(b: Builder, keys: tuple[Key, ...]) -> tuple[Key, ...]:
    return tuple(replace(k, values=b.parts[k.part].positions) if k.kind == "part" else k for k in keys)


def _chart(b: Builder, name: str, key: Scalar, fields: Fields, names: Names, absent: set[int]) -> Chart | None:
    before = len(b.report.problems)
    keys: list[tuple[Key, Column]] = []
    if "set" in fields:
        for found, item in name_list(b, fields.get("set"), names, "a selector or fact"):
            made = key_of(b, found, item, None)
            if made is not None:
                keys.append(made)
    heads: list[Key] = []
    for head, (place, node) in (fields.get("across") or {}).items():
        made_head = head_of(b, head, place, node, names)
        if made_head is not None:
            heads.append(made_head)
    gives = [q for q, _ in name_list(b, fields.get("gives"), Names(QUANTITIES), "a quantity")] if "gives" in fields else []
    if len(set(gives)) != len(gives):
        b.report.at(fields.get("gives"), "doubled-quantity", "a quantity stands twice in gives:", "make two charts of it")
    names_used = [k.name for k, _ in keys] + [h.name for h in heads]
    if len(set(names_used)) != len(names_used):
        b.report.at(key, "doubled-name", f"the chart `{name}` names one selector or fact twice", "take one out of set: or across:")
    if any(p.severity == "problem" for p in b.report.problems[before:]) or not gives or "rows" not in fields:
        return None
    count = 1
    for h in heads:
        count *= len(h.values)
    reader = RowReader(name, [c for _, c in keys], gives, count, b.unit_table, frozenset(b.ramps), b.report)
    reader.heat_default = HEAT_FACTOR[b.units.heat]
    rows = reader.read(fields.get("rows"))
    if any(p.severity == "problem" for p in b.report.problems[before:]):
        return None
    made_keys = []
    for k, column in keys:
        if column.absent_used:
            absent.add(k.part)
        if column.open:
            continuous = k.name in CONTINUOUS_FACTS
            k = replace(k, values=tuple(column.learned), numbers=numbers_of(column.learned) if continuous else ())
        made_keys.append(k)
    for first, second in overlapping(rows):
        b.report.add(
            second.line,
            indent_of(b, second.line),
            "overlapping-rows",
            f"this row answers for settings that the row on line {first.line} answers for too",
            "each setting may be answered by one row: mend one of the two",
        )
    return Chart(
        name=name,
        keys=tuple(made_keys),
        heads=tuple(heads),
        gives=tuple(gives),
        rows=tuple(rows),
        page=text_of(fields, "page"),
        holds_up_to=static_of(b, fields),
        conditions=text_of(fields, "conditions"),
        note=text_of(fields, "note"),
        line=key.line,
    )
