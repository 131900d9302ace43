"""The facts, the selectors of the board, and the ramps."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from selector.table.builder import HEAT_FACTOR, Builder, range_of, text_of
from selector.table.figures import BadFigure, ramp_steps
from selector.table.kinds import KINDS
from selector.table.located import Scalar
from selector.table.model import Fact, Ramp
from selector.table.parts import positions_of
from selector.table.quantities import QUANTITIES
from selector.table.shapes import Fields
from selector.table.words import Item


def build_facts(b: Builder, facts: dict[str, tuple[Scalar, Fields]]) -> None:
    """Reads `facts:` into the builder."""
    for name, (key, fields) in facts.items():
        if not b.declare(name, key):
            continue
        values: tuple[str, ...] = ()
        low, high = None, None
        numbers: tuple[Fraction | None, ...] = ()
        if ("values" in fields) == ("range" in fields):
            b.report.at(
                key, "values-or-range", f"the fact `{name}` needs either values: or range:", "type the values the page prints, or the range it covers"
            )
        if "values" in fields:
            values = positions_of(fields.get("values"), name, b.report) or ()
        if "range" in fields:
            found = range_of(b, fields.get("range"), {"%": Fraction(1)})
            low, high = found if found else (None, None)
        gives = text_of(fields, "gives")
        if gives and values and QUANTITIES[gives].content == "number":
            try:
                numbers = tuple(None if v.casefold() == "none" else Fraction(v.split()[0]) for v in values)
            except ValueError:
                b.report.at(
                    fields.get("values"), "value-not-a-figure", f"`{name}` gives {gives}, so its values must be figures", "type plain numbers"
                )
        b.facts[name] = Fact(name=name, gives=gives, values=values, numbers=numbers, low=low, high=high, line=key.line)


def build_board(b: Builder, board: dict[str, tuple[Scalar, Fields]]) -> None:
    """Reads `board:` into the builder: selectors and their parts."""
    for name, (key, fields) in board.items():
        if not b.declare(name, key):
            continue
        kind = KINDS[fields.get("kind").text]
        for model in fields.get("factory") if isinstance(fields.get("factory"), dict) else ():
            if model not in b.models:
                place = fields.get("factory")[model][0]
                b.report.at(
                    place, "unknown-model", f"`{model}` is not a model of this file", f"models: {' '.join(b.models) or 'none; list them under unit:'}"
                )
        built = kind.build(name, fields, b.report, len(b.parts))
        if built is None:
            continue
        selector, parts = built
        if selector.gives == "heat input":
            parts = tuple(replace(p, values=tuple(None if v is None else v * HEAT_FACTOR[b.units.heat] for v in p.values)) for p in parts)
        for part in parts:
            if part.name != name and part.name.casefold() in b.taken:
                b.report.at(key, "name-taken", f"the name `{part.name}` stands twice", "give one of them another name")
            b.taken.setdefault(part.name.casefold(), Item(part.name, key.line, key.column))
        b.selectors[name] = selector
        b.parts.extend(parts)


def build_ramps(b: Builder, ramps: dict[str, tuple[Scalar, Scalar]]) -> None:
    """Reads `ramps:` into the builder."""
    for name, (key, node) in ramps.items():
        if not b.declare(name, key):
            continue
        try:
            b.ramps[name] = Ramp(name=name, steps=ramp_steps(node.text), line=key.line)
        except BadFigure as wrong:
            b.report.at(node, "bad-ramp", str(wrong), f"for example {wrong.instead}" if wrong.instead else "")
