"""The charts: their keys, heads, quantities and rows."""

from __future__ import annotations

import re
from collections.abc import Sequence
from fractions import Fraction
from math import prod
from typing import Any

from selector.table.from_file.builder import HEAT_FACTOR, Builder, indent_of, static_of, text_of
from selector.table.from_file.cells import CellReader, has_comma
from selector.table.from_file.conditions import conditions_in, text_place
from selector.table.from_file.keys import DECLARED, head_of, key_names, key_of, learned, name_list
from selector.table.from_file.rows import Column, RowReader, plain_number
from selector.table.from_file.second_units import SECOND_UNITS, Beside, agree, beside_of, column_steps, set_apart
from selector.table.kinds.parts import with_positions
from selector.table.model.coverage import TooManyDashes, overlapping
from selector.table.model.quantities import OWN_AIRFLOW, QUANTITIES, TOLD
from selector.table.model.table import ANY, Chart, Footnote, Key, Row
from selector.table.text.nodes import Scalar
from selector.table.text.shapes import Fields
from selector.table.text.words import Item, Names
from selector.value import replace


def build_charts(b: Builder, charts: dict[str, tuple[Scalar, Fields]]) -> None:
    """Reads `charts:` into the builder."""
    absent: set[int] = set()
    taken = {name: entry for name, entry in charts.items() if b.declare(name, entry[0])}
    labels = [
        name
        for name, (_, fields) in taken.items()
        if "gives" in fields and "label" in (i.text for i in b.words(fields.get("gives")))
    ]
    for name in (*labels, *(name for name in taken if name not in labels)):  # others may be read by what these tell
        key, fields = taken[name]
        chart = _chart(b, name, key, fields, key_names(b, OWN_AIRFLOW), absent)
        if chart is not None:
            b.charts[name] = chart
    made = {name: chart for name, chart in b.charts.items() if chart.made}
    b.charts = {name: b.charts[name] for name in taken if name in b.charts} | made
    for index in absent:
        part = b.parts[index]
        b.parts[index] = with_positions(part, (*part.positions, part.absent))
    if absent:
        b.charts = {n: replace(c, keys=_widened(b, c.keys), heads=_widened(b, c.heads)) for n, c in b.charts.items()}


MOST_CELLS = 4_000
"""How many figures a row may have at most."""


def _widened(b: Builder, keys: tuple[Key, ...]) -> tuple[Key, ...]:
    return tuple(replace(k, values=b.parts[k.part].positions) if k.kind == "part" else k for k in keys)


def _chart(b: Builder, name: str, key: Scalar, fields: Fields, names: Names, absent: set[int]) -> Chart | None:
    """The chart; None after a problem of its own, or of a name it needs."""
    before = len(b.report.problems)
    keys: list[tuple[Key, Column]] = []
    heads: list[Key] = []
    whole = "rows" in fields and "gives" in fields and all(k in fields for k in ("set", "across") if k in fields.keys)
    if "set" in fields:
        found = name_list(b, fields.get("set"), names, "a selector or fact of this file", DECLARED)
        made = [key_of(b, n, item) for n, item in found or ()]
        keys = [m for m in made if m is not None]
        whole = whole and found is not None and len(keys) == len(made)
    for head, (place, node) in (fields.get("across") or {}).items():
        again = beside_of(b, head)
        if again is not None:
            _second_heads(b, again, heads, place, node)
            continue
        top = head_of(b, head, place, node, names, absent)
        whole = whole and top is not None
        heads += [top] if top is not None else []
    every, besides = _gives(b, name, fields)
    gives = [g for g in every if g in QUANTITIES]
    names_used = [k.name for k, _ in keys] + [h.name for h in heads]
    if len(set(names_used)) != len(names_used):
        b.report.at(
            key,
            "doubled-name",
            f"the chart `{name}` names one selector or fact twice",
            "take one out of set: or across:",
        )
    if OWN_AIRFLOW in names_used and not set(gives) <= set(TOLD):
        message = f"`{name}` is read at a call's own airflow and gives {', '.join(gives)}"
        b.report.at(fields.keys["gives"], "wrong-quantity", message, "such a chart gives watts or speed")
    count = prod(len(h.values) for h in heads)
    if count * len(every) > MOST_CELLS:
        message = f"each row of `{name}` would have {count * len(every)} figures; no page has more than {MOST_CELLS}"
        b.report.at(fields.keys["across"], "too-many-columns", message, "take heads out of across:")
    if not whole or not gives or _failed(b, before):
        _commas(b, fields.get("rows"))
        return None
    ramps = tuple(n for n, r in b.ramps.items() if not r.of)
    cells = CellReader(
        name,
        every,
        count,
        {**b.unit_table, **{x.name: {x.unit.casefold(): Fraction(1)} for x in besides}},
        HEAT_FACTOR[b.units.heat],
        ramps,
        b.report,
        b.unfinished,
        {x.name: x.quantity for x in besides},
        set_by_menu=tuple({r.of for r in b.ramps.values() if r.of}),
    )
    notes = _footnotes(b, fields)
    rows = RowReader([c for _, c in keys], cells, b.report, tuple(n.mark for n in notes)).read(fields.get("rows"))
    rows = rows if _failed(b, before) else _with_repeated(b, rows)
    if _failed(b, before):
        return None
    rows = set_apart(b, rows, every, besides) if besides else rows
    absent.update(k.part for k, column in keys if column.absent_used)
    _no_two_answers(b, name, fields, [k for k, _ in keys], rows)
    return Chart(
        name=name,
        keys=tuple(learned(k, column) for k, column in keys),
        heads=tuple(heads),
        gives=tuple(gives),
        rows=tuple(rows),
        page=text_of(fields, "page"),
        holds_up_to=static_of(b, fields),
        conditions=text_of(fields, "conditions"),
        only=conditions_in(b, text_of(fields, "only"), text_place(fields.get("only"))) if "only" in fields else (),
        notes=notes,
        note=text_of(fields, "note"),
        line=key.line,
    )


def _commas(b: Builder, node: Any) -> None:
    """The commas among the rows of a chart that can't be read for another reason."""
    block = isinstance(node, Scalar) and node.style in ("literal", "folded")
    for number in range(node.line + 1, node.end_line + 1) if block else ():
        line = b.source.lines[number - 1]
        for m in re.finditer(r"\S+", line.partition("(")[0]) if line.lstrip()[:1] != "#" else ():
            has_comma(Item(m[0], number, m.start() + 1), b.report)


def _footnotes(b: Builder, fields: Fields) -> tuple[Footnote, ...]:
    """The footnotes of a chart: a mark on each line of `notes:`, then its text; `only` begins a condition."""
    node = fields.get("notes")
    if not isinstance(node, Scalar):
        return ()
    out: dict[str, Footnote] = {}
    lines = b.source.lines
    block = node.style in ("literal", "folded")
    for number in range(node.line + 1, node.end_line + 1) if block else (node.line,):
        text = lines[number - 1] if block else node.text
        if not text.strip() or text.lstrip().startswith("# "):
            continue
        begins = 0 if block else node.column - 1 + (node.style == "quoted")
        start = begins + len(text) - len(text.lstrip())
        mark, _, said = text.strip().partition(" ")
        mark = mark.strip("()").rstrip(".:)") or mark
        said = said.strip()
        place = Item(text.strip(), number, start + 1)
        if not said:
            b.report.at(place, "note-without-text", f"the mark `{mark}` has no text", "type what its footnote says")
        elif mark in out:
            b.report.at(place, "doubled-mark", f"the mark `{mark}` is listed twice under notes:", "take one out")
        elif any(c.isdigit() for c in mark) and mark.isascii() and not re.fullmatch(r"\[\w+\]", mark):
            b.report.at(
                place,
                "mark-like-a-figure",
                f"the mark `{mark}` can't be told from a figure",
                "type a letter in its place, here and at the figures, as 950 (a)",
            )
            out[mark] = Footnote(mark=mark, text=said, line=number)
        else:
            out[mark] = _footnote(b, mark, said, Item(said, number, start + 1 + text.strip().index(said)))
    return tuple(out.values())


def _footnote(b: Builder, mark: str, said: str, place: Item) -> Footnote:
    word, _, rest = said.partition(" ")
    if word.casefold() != "only":
        return Footnote(mark=mark, text=said, line=place.line)
    condition, _, words = rest.partition("(")
    only = conditions_in(b, condition, Item(condition, place.line, place.column + 5))
    text = words.rstrip(") ").strip() or f"only {' '.join(condition.split())}"
    return Footnote(mark=mark, text=text, only=only, line=place.line)


def _with_repeated(b: Builder, rows: list[Row]) -> list[Row]:
    """The rows, those that are the same as another with its figures."""
    by_positions = {row.positions: row for row in rows}
    out = []
    for row in rows:
        if row.same:
            at = [own if p == ANY else p for p, own in zip(row.same, row.positions, strict=True)]
            other = by_positions.get(tuple(at))
            if other is None or other.same or other.like:
                b.report.add(
                    row.line,
                    indent_of(b, row.line),
                    "copy-of-nothing",
                    "the row that this one is the same as isn't in this chart, or repeats another itself",
                    "type same as and the positions of a row with figures",
                )
            else:
                out.append(replace(row, cells=other.cells, typed=other.typed, word=other.word, marks=other.marks))
                continue
        out.append(row)
    return out


def _failed(b: Builder, before: int) -> bool:
    return any(p.severity == "problem" for p in b.report.problems[before:])


def _second_heads(b: Builder, again: Beside, heads: list[Key], place: Scalar, node: Any) -> None:
    """A second line of heads in another unit, held against the first."""
    first = next((h for h in heads if h.name == again.of and h.numbers), None)
    numbers = [n for n in (plain_number(i.text) for i in b.words(node)) if n is not None]
    if first is None or len(numbers) != len(first.numbers):
        many = f"the {len(first.numbers)} heads of {again.of}" if first is not None else f"{again.of} above it"
        b.report.at(place, "row-too-short", f"`{again.name}` needs a figure for each of {many}", "type as many")
        return
    steps = column_steps(first.numbers, numbers)
    for own, other in zip(first.numbers, numbers, strict=True):
        agree(b, again, own, other, Item(place.text, place.line, place.column), steps)


def _gives(b: Builder, name: str, fields: Fields) -> tuple[list[str], list[Beside]]:
    """The quantities of a chart, and those among them that are printed once more in another unit; nothing after a
    problem."""
    if "gives" not in fields:
        return [], []
    found = name_list(b, fields.get("gives"), Names([*QUANTITIES, *SECOND_UNITS]), "a quantity")
    gives = [q for q, _ in found or ()]
    besides = {q: x for q in gives if (x := beside_of(b, q)) is not None}
    for q, item in found or ():
        if q in besides and besides[q].of not in gives[: gives.index(q)]:
            message = f"`{q}` has no {besides[q].of} before it that it could be held against"
            b.report.at(item, "no-first-unit", message, f"type gives: {besides[q].of}, {q}")
            return [], []
    if len(set(gives)) != len(gives):
        b.report.at(
            fields.get("gives"),
            "doubled-quantity",
            f"a quantity is listed twice in gives: of `{name}`",
            "make two charts of it",
        )
        return [], []
    return gives, list(besides.values())


def _no_two_answers(b: Builder, name: str, fields: Fields, keys: Sequence[Key], rows: Sequence[Row]) -> None:
    """overlapping-rows: each setting is answered by one row."""
    try:
        found = overlapping(rows)
    except TooManyDashes:
        message = f"`{name}` has too many rows with - for any to tell whether two of them answer for one setting"
        b.report.at(
            fields.keys["rows"],
            "too-many-dashes",
            message,
            "type the positions out where they are -, or part the chart",
        )
        return
    for first, second in found:
        if "set" in fields:
            message = f"this row covers the same settings as line {first.line}"
            remedy = "One row a setting: fix one."
            if any(
                k.kind == "part" and "minus" in k.values and ANY in (first.positions[i], second.positions[i])
                for i, k in enumerate(keys)
            ):
                remedy = "A - among the positions means any; the position that is printed as - is typed minus."
        else:
            message, remedy = (
                f"`{name}` has no set:, so it can have one row only",
                "name the selectors of its rows under set:",
            )
        b.report.add(second.line, indent_of(b, second.line), "overlapping-rows", message, remedy)
