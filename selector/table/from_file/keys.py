"""What a name in `set:`, `across:` or of a call stands for, and how its marks are read."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction
from typing import Any

from selector.table.from_file.builder import Builder
from selector.table.from_file.rows import Column, figure_help, plain_number
from selector.table.model.quantities import BUILT_IN_FACTS
from selector.table.model.table import CallValue, Chart, Key, Part, RampStep, runs_on
from selector.table.text.nodes import Scalar
from selector.table.text.report import listed
from selector.table.text.words import Item, Names, match_names
from selector.value import replace

DECLARED = ("board", "facts")
"""Keys of the file under which names for `set:`, `across:` and `when:` are declared."""


def key_of(b: Builder, name: str, item: Item) -> tuple[Key, Column] | None:
    """What a name in `set:` stands for, with the column that reads its marks; None after a problem."""
    part = next((p for p in b.parts if p.name == name), None)
    if part is not None:
        return Key(name=name, kind="part", part=part.index, values=part.positions), _column(name, part.marks, part)
    selector = b.selectors.get(name)
    if selector is not None and selector.exclusive:
        taps = b.parts[selector.parts[0]]
        return Key(name=name, kind="taps", values=taps.positions), _column(name, taps.marks, taps)
    if selector is not None:
        remedy = f"name the switches the chart reads, for example {name}-1 {name}-2"
        b.report.at(item, "whole-bank", f"`{name}` is a bank of {len(selector.parts)} switches", remedy)
        return None
    known = () if runs_on(name, b.facts) else words_of(b, name)
    if name in b.charts:
        return Key(name=name, kind="chart", values=known), _fact_column(name, known, continuous=False)
    return Key(name=name, kind="fact", values=known), _fact_column(name, known, continuous=runs_on(name, b.facts))


def words_of(b: Builder, name: str) -> tuple[str, ...]:
    """The words a fact can be, nothing where the file doesn't say."""
    fact = b.facts.get(name)
    if fact is not None:
        return fact.values
    if name in b.charts:
        return labels_of(b.charts[name])
    if name in ("model", "stage"):
        return b.models if name == "model" else b.stage_names.names
    return next((p.says or p.positions for p in b.parts if p.declares == name), ())


def leads_on(chart: Chart) -> bool:
    """True for a chart that gives a label, which other charts and conditions may go by."""
    return "label" in chart.gives


def labels_of(chart: Chart) -> tuple[str, ...]:
    """The labels of a chart, in the order of its rows."""
    at = chart.gives.index("label")
    cells = (row.cells[i] for row in chart.rows for i in range(at, len(row.cells), len(chart.gives)))
    return tuple(dict.fromkeys(cell for cell in cells if isinstance(cell, str)))


def _fact_column(name: str, known: Sequence[str], *, continuous: bool) -> Column:
    marks: dict[str, int] = {}
    for i, v in enumerate(known):
        marks[v] = i
        marks.setdefault(v.casefold(), i)
    return Column(
        name=name,
        marks=marks,
        words=max((len(v.split()) for v in known), default=1),
        open=not known,
        continuous=continuous,
        single=bool(known) and all(len(v) == 1 for v in known),
    )


def learned(key: Key, column: Column) -> Key:
    """The key with the values that its column has met in the rows."""
    if not column.open:
        return key
    numbers = tuple(n for n in map(plain_number, column.learned) if n is not None) if column.continuous else ()
    return replace(key, values=tuple(column.learned), numbers=numbers)


def _column(name: str, part_marks: Mapping[str, int], part: Part) -> Column:
    marks = dict(part_marks)
    absent = None
    if part.absent:
        absent = len(part.positions)
        marks.setdefault(part.absent, absent)
    one_character = {at for mark, at in part_marks.items() if len(mark) == 1}
    return Column(
        name=name,
        marks=marks,
        words=max(len(m.split()) for m in marks),
        single=len(one_character) == len(part.positions),
        absent=absent,
    )


def key_names(b: Builder, *more: str) -> Names:
    """The names that may stand in `set:`, `across:` and `when:`."""
    declared = [p.declares for p in b.parts if p.declares]
    led = [name for name, chart in b.charts.items() if leads_on(chart)]
    every = [*(p.name for p in b.parts), *b.selectors, *b.facts, *declared, *led, *BUILT_IN_FACTS, *more]
    return Names(dict.fromkeys(every))


def name_list(
    b: Builder, node: Any, names: Names, what: str, keys: Iterable[str] = ()
) -> list[tuple[str, Item]] | None:
    """The declared names in a list, each where it stands; None where one isn't a name, which is reported but for
    names that weren't built."""
    matched = match_names(b.words(node), names)
    for item in matched.unknown[:MOST_UNKNOWN]:
        b.unknown_name(item, item.text, what, names.names, keys)
    if matched.ambiguous:
        b.report.at(
            node, "two-readings", "these words can be read as names in two ways", "put commas between the names"
        )
    return None if matched.unknown or matched.ambiguous else list(matched.found)


MOST_UNKNOWN = 20
"""How many unknown names of one list are told."""


def head_of(b: Builder, head: str, place: Scalar, node: Any, names: Names, absent: set[int]) -> Key | None:
    """One entry of `across:` as a key; None after a problem. A part read off its pins is added to `absent`."""
    found = names.find(head)
    if found is None:
        b.unknown_name(
            place, head, "a selector or fact of this file", names.names, DECLARED, "declare it under board: or facts:"
        )
        return None
    made = key_of(b, found, Item(head, place.line, place.column))
    if made is None:
        return None
    key, column = made
    items = b.words(node)
    if column.continuous:
        return _rising(b, key, node, items)
    if column.open:
        words = tuple(dict.fromkeys(i.text for i in items))
        column = _fact_column(found, words, continuous=False)
        key = replace(key, values=words)
    matched = match_names(items, Names(column.marks))
    order: list[int] = []
    for item in matched.unknown[:MOST_UNKNOWN]:
        what = f"a {'value' if key.kind == 'fact' else 'position'} of {found}"
        b.unknown(item, item.text, "unknown-head", what, column.marks, f"known here: {listed(key.values)}")
    for text, item in matched.found:
        at = column.find(text)
        if at is None or at < 0:
            continue
        if at in order:
            b.report.at(item, "doubled-head", f"the head `{text}` is listed twice", "Delete one.")
        order.append(at)
    if matched.ambiguous:
        b.report.at(
            node, "two-readings", "these words can be read as heads in two ways", "put commas between the heads"
        )
    if column.absent_used:
        absent.add(key.part)
    every = (*key.values, b.parts[key.part].absent) if key.kind == "part" else key.values
    return replace(
        key, values=tuple(every[i] for i in order), order=tuple(order) if key.kind in ("part", "taps") else ()
    )


def _rising(b: Builder, key: Key, node: Any, items: Sequence[Item]) -> Key | None:
    """Heads along a fact that runs on."""
    numbers: list[Fraction] = []
    for item in items:
        number = plain_number(item.text)
        if number is None:
            message = f"`{item.text}` is not a figure for {key.name}"
            b.report.at(item, "value-not-a-figure", message, figure_help(item.text))
            return None
        numbers.append(number)
    if numbers != sorted(set(numbers)):
        b.report.at(
            node,
            "heads-not-rising",
            f"the heads of {key.name} must rise from left to right",
            "type the columns in rising order",
        )
        return None
    return replace(key, values=tuple(i.text for i in items), numbers=tuple(numbers))


def call_value(b: Builder, node: Scalar, text: str) -> CallValue | None:
    """The call, and perhaps its stage, that a text names; None after a problem."""
    name = b.call_names.find(text)
    if name is not None:
        return CallValue(call=name)
    words = text.split()
    for cut in range(len(words) - 1, 0, -1):
        name, stage = b.call_names.find(" ".join(words[:cut])), b.stage_names.find(" ".join(words[cut:]))
        if name is not None and stage is not None:
            return CallValue(call=name, stage=stage)
    what = "a call of this file, nor a call and its stage"
    b.unknown(node, text, "unknown-call", what, b.call_names.names)
    return None


def with_calls(b: Builder, node: Scalar, steps: tuple[RampStep, ...]) -> tuple[RampStep, ...]:
    """The steps of a ramp with the calls, and perhaps their stages, that they name."""
    calls = [call_value(b, node, s.call.call) if s.call is not None else None for s in steps]
    return tuple(replace(s, call=call) for s, call in zip(steps, calls, strict=True))
