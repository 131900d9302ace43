"""What a name in `set:` or `across:` stands for, and how its marks are read."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Any

from selector.problems import close_match
from selector.table.builder import Builder
from selector.table.located import Scalar
from selector.table.model import Key, Part
from selector.table.quantities import BUILT_IN_FACTS, CONTINUOUS_FACTS
from selector.table.rows import Column
from selector.table.words import Item, Names, match_names


def key_of(b: Builder, name: str, item: Item, values: Sequence[Item] | None) -> tuple[Key, Column] | None:
    """What a name in `set` or `across` stands for, with the column that reads its marks."""
    part = next((p for p in b.parts if p.name == name), None)
    selector = b.selectors.get(name)
    if part is None and selector is not None and selector.exclusive:
        taps = b.parts[selector.parts[0]]
        return Key(name=name, kind="taps", values=taps.positions), _column(name, taps.marks, taps)
    if part is not None:
        return Key(name=name, kind="part", part=part.index, values=part.positions), _column(name, part.marks, part)
    if selector is not None:
        b.report.at(
            item, "whole-bank", f"`{name}` is a bank of {len(selector.parts)} switches", f"name the switches the chart reads: {name}-1 {name}-2"
        )
        return None
    known: tuple[str, ...] = ()
    fact = b.facts.get(name)
    if fact is not None:
        known = fact.values
    elif name == "model":
        known = b.models
    elif name == "stage":
        known = b.stage_names.names
    continuous = name in CONTINUOUS_FACTS or (fact is not None and fact.low is not None)
    if values is not None and (continuous or not known):
        known = tuple(v.text for v in values)
    marks: dict[str, int] = {}
    for i, v in enumerate(known):
        marks[v] = i
        marks.setdefault(v.casefold(), i)
    column = Column(
        name=name,
        marks=marks,
        words=max((len(v.split()) for v in known), default=1),
        open=not known,
        single=bool(known) and all(len(v) == 1 for v in known),
    )
    return Key(name=name, kind="fact", values=known, numbers=numbers_of(known) if continuous and known else ()), column


def numbers_of(words: Sequence[str]) -> tuple[Fraction, ...]:
    """The words as numbers, nothing where one of them is none."""
    out = []
    for w in words:
        try:
            out.append(Fraction(w.split()[0].rstrip("%")))
        except (ValueError, ZeroDivisionError):
            return ()
    return tuple(out)


def _column(name: str, part_marks: Any, part: Part) -> Column:
    marks = dict(part_marks)
    absent = None
    if part.absent:
        absent = len(part.positions)
        marks.setdefault(part.absent, absent)
    return Column(
        name=name,
        marks=marks,
        words=max(len(m.split()) for m in marks),
        single=all(len(p) == 1 for p in part.positions)
        or all(any(len(m) == 1 and i == at for m, i in part.marks.items()) for at in range(len(part.positions))),
        absent=absent,
    )


def key_names(b: Builder) -> Names:
    """The names that may stand in `set:`, `across:` and `when:`."""
    return Names([p.name for p in b.parts] + list(b.selectors) + list(b.facts) + list(BUILT_IN_FACTS))


def name_list(b: Builder, node: Any, names: Names, what: str) -> list[tuple[str, Item]]:
    """The declared names in a list, each where it stands; what isn't one is reported."""
    matched = match_names(b.words(node), names)
    for item in matched.unknown:
        if b.spoilt(item.text):
            continue
        near = close_match(item.text, names.names)
        b.report.at(
            item,
            "unknown-name",
            f"`{item.text}` is not {what} of this file",
            f"did you mean `{near}`?" if near else f"known: {' '.join(names.names[:12])}",
        )
    if matched.ambiguous:
        b.report.at(node, "two-readings", "these words can be read as names in two ways", "put commas between the names")
    return list(matched.found)


def head_of(b: Builder, head: str, place: Scalar, node: Any, names: Names) -> Key | None:
    """One entry of `across:` as a key; None after a problem."""
    found = names.find(head)
    if found is None and b.spoilt(head):
        return None
    if found is None:
        near = close_match(head, names.names)
        b.report.at(
            place,
            "unknown-name",
            f"`{head}` is not a selector or fact of this file",
            f"did you mean `{near}`?" if near else "declare it under board: or facts:",
        )
        return None
    items = b.words(node)
    made = key_of(b, found, Item(head, place.line, place.column), items)
    if made is None:
        return None
    key, column = made
    if key.kind == "fact" and key.continuous:
        if list(key.numbers) != sorted(set(key.numbers)):
            b.report.at(node, "heads-not-rising", f"the heads of {found} must rise from left to right", "type the columns in rising order")
            return None
        return key
    matched = match_names(items, Names(list(column.marks) or [i.text for i in items]))
    order: list[int] = []
    for item in matched.unknown:
        near = close_match(item.text, list(column.marks))
        b.report.at(
            item,
            "unknown-head",
            f"`{item.text}` is not a {'position' if key.part >= 0 else 'value'} of {found}",
            f"did you mean `{near}`?" if near else f"known: {' '.join(key.values)}",
        )
    for text, item in matched.found:
        at = column.find(text)
        if at is None or at < 0:
            continue
        if at in order:
            b.report.at(item, "doubled-head", f"the head `{text}` stands twice", "take one out")
        order.append(at)
    if key.kind == "part":
        return replace(key, values=tuple(key.values[i] for i in order), order=tuple(order))
    values = tuple((key.values or tuple(column.learned))[i] for i in order)
    return replace(key, values=values)
