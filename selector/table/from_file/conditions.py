"""Conditions: positions or values at which something holds, as a map (`when:`) or as a text (`only:`, notes)."""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from selector.table.from_file.builder import Builder
from selector.table.from_file.figures import BadFigure, figure
from selector.table.from_file.keys import DECLARED, key_names, words_of
from selector.table.from_file.rows import figure_help, plain_number
from selector.table.kinds.parts import position_in
from selector.table.model.table import ABSENT, CALL, NOT, Condition, runs_on
from selector.table.text.nodes import Scalar
from selector.table.text.report import listed
from selector.table.text.words import Item, Names, match_names

_BOUND = re.compile(r"(up to|at most|below|under|at least|from|above|over) (.+)", re.IGNORECASE)
_BETWEEN = re.compile(r"(.+?) to (.+)", re.IGNORECASE)
_LOW = ("at least", "from", "above", "over")
_OPEN = ("below", "under", "above", "over")
RANGE_HELP = "type up to 0.5, at least 0.2, above 0.5, below 0.2, or 0.2 to 0.5"


def conditions_of(b: Builder, node: Any) -> tuple[Condition, ...]:
    """The conditions of a `when:`."""
    out = [
        condition_of(b, name, Item(name, place.line, place.column), b.words(inner), inner)
        for name, (place, inner) in (node or {}).items()
    ]
    return tuple(c for c in out if c is not None)


def conditions_in(b: Builder, text: str, place: Item) -> tuple[Condition, ...]:
    """The conditions of a text, `static pressure up to 0.5, large filter yes`: a name and its values, commas between
    two conditions; words of the page in parentheses end it. `place` is where the text begins."""
    out: list[Condition] = []
    names = key_names(b, CALL)
    at = 0
    text = text.partition("(")[0].rstrip()
    for piece in text.split(","):
        column = place.column + at + len(piece) - len(piece.lstrip())
        at += len(piece) + 1
        words = piece.split()
        length = next(
            (n for n in range(min(names.longest, len(words)), 0, -1) if names.find(" ".join(words[:n])) is not None), 0
        )
        if not length:
            shown = " ".join(words) or "nothing"
            b.report.at(
                Item(shown, place.line, column),
                "condition-without-name",
                f"`{shown}` begins with no selector or fact of this file",
                "type only and a name with its values, such as only static pressure up to 0.5; words of the page"
                " without a condition stand without only, or in parentheses behind it",
            )
            continue
        items = [Item(w, place.line, column) for w in words[length:]]
        found = condition_of(b, " ".join(words[:length]), Item(piece.strip(), place.line, column), items, None)
        out += [found] if found is not None else []
    return tuple(out)


def condition_of(b: Builder, name: str, place: Item, items: list[Item], node: Any) -> Condition | None:
    """One condition: the name and the words of its values."""
    names = key_names(b, CALL)
    found = names.find(name)
    if found is None:
        b.unknown_name(
            place, name, "a selector or fact of this file", names.names, DECLARED, "declare it under board: or facts:"
        )
        return None
    part = next((p for p in b.parts if p.name == found), None)
    if part is None and found in b.selectors:
        first = b.parts[b.selectors[found].parts[0]].name
        b.report.at(
            place, "whole-bank", f"`{found}` has several parts; a condition needs one", f"name one, for example {first}"
        )
        return None
    if not items:
        b.report.at(place, "condition-without-values", f"`{found}` stands without its values", "type them behind it")
        return None
    if runs_on(found, b.facts) and part is None:
        return _along(b, found, place, items)
    known = part.marks if part is not None else b.call_names.names if found == CALL else words_of(b, found)
    if part is not None and part.absent:
        known = {**part.marks, part.absent: ABSENT}
    if not known:
        return Condition(name=found, words=tuple(i.text for i in items), line=place.line)
    but = items[0].text.casefold() == NOT and Names(known).find(NOT) is None
    matched = match_names(items[1:] if but else items, Names(known))
    shown = part.positions if part is not None else known
    for item in matched.unknown:
        if item.text.casefold() == "to" and (each := _between(items, list(known))):
            ends = " ".join(i.text for i in items)
            message = f"`{ends}` is not read as a range of {found}"
            b.report.at(item, "unknown-position" if part is not None else "unknown-value", message, f"type {each}")
            continue
        code, what = ("unknown-position", "position") if part is not None else ("unknown-value", "value")
        b.unknown(item, item.text, code, f"a {what} of {found}", known, f"known here: {listed(shown)}")
    if matched.ambiguous:
        b.report.at(node or place, "two-readings", "these words can be read in two ways", "put commas between them")
    if part is None:
        said = [m for m, _ in matched.found]
        return Condition(
            name=found, words=tuple(w for w in known if w not in said) if but else tuple(said), line=place.line
        )
    at = known if isinstance(known, Mapping) else part.marks
    allowed = frozenset(i for i in (position_in(at, m) for m, _ in matched.found) if i is not None)
    if but:
        allowed = frozenset((*range(len(part.positions)), *([ABSENT] if part.absent else []))) - allowed
    return Condition(name=found, part=part.index, allowed=allowed, line=place.line)


def _between(items: list[Item], known: list[str]) -> str:
    """The words from one end to the other of `1 to 6`, in the order they are known; "" where that is no range."""
    words = [i.text for i in items]
    if len(words) != 3 or words[0] not in known or words[2] not in known:
        return ""
    return " ".join(known[known.index(words[0]) : known.index(words[2]) + 1])


def _along(b: Builder, name: str, place: Item, items: list[Item]) -> Condition | None:
    """A condition on a fact that runs on: figures, or a range with one end or both."""
    if all(plain_number(i.text) is not None for i in items):
        return Condition(name=name, words=tuple(i.text for i in items), line=place.line)
    text = " ".join(i.text for i in items)
    units = {b.units.pressure.casefold(): Fraction(1)} if name == "static pressure" else {"%": Fraction(1)}
    try:
        if m := _BOUND.fullmatch(text):
            word, end = m[1].casefold(), figure(m[2], units)
            low, high = (end, None) if word in _LOW else (None, end)
            return Condition(name=name, low=low, high=high, open_end=word in _OPEN, words=(text,), line=place.line)
        if m := _BETWEEN.fullmatch(text):
            start, end = figure(m[1], units), figure(m[2], units)
            if start <= end:
                return Condition(name=name, low=start, high=end, words=(text,), line=place.line)
            b.report.at(items[0], "bad-range", f"the range `{text}` is reversed", f"type {m[2]} to {m[1]}")
            return None
    except BadFigure:
        pass
    for item in items:
        if plain_number(item.text) is None:
            remedy = figure_help(item.text) if "," in item.text else RANGE_HELP
            b.report.at(item, "value-not-a-figure", f"`{item.text}` is not a figure for {name}", remedy)
    return None


def text_place(node: Scalar) -> Item:
    """Where a plain text begins."""
    return Item(node.text, node.line, node.column + (1 if node.style == "quoted" else 0))
