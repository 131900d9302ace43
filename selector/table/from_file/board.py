"""The facts, the selectors of the board, and the ramps."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from selector.table.from_file.builder import HEAT_FACTOR, Builder, range_of, text_of
from selector.table.from_file.conditions import conditions_of
from selector.table.from_file.figures import BadFigure, figure, ramp_steps
from selector.table.from_file.implausible import fault
from selector.table.from_file.keys import with_calls
from selector.table.from_file.made_charts import ramp_by_selectors
from selector.table.kinds import KINDS
from selector.table.kinds.parts import positions_of
from selector.table.kinds.switches import member
from selector.table.model.quantities import JOB_WORDS, QUANTITIES
from selector.table.model.table import Fact, Part, Ramp, RampStep
from selector.table.text.nodes import Scalar
from selector.table.text.report import listed
from selector.table.text.shapes import Fields
from selector.table.text.words import Item, Names, match_names
from selector.value import replace

MOST_PARTS = 300


def build_facts(b: Builder, facts: dict[str, tuple[Scalar, Fields]]) -> None:
    """Reads `facts:` into the builder."""
    for name, (key, fields) in facts.items():
        if not b.declare(name, key):
            continue
        if name.casefold() in JOB_WORDS:
            message = f"`{name}` is a word of every job, so what is told of it wouldn't reach this fact"
            instead = "return openings" if name.casefold() == "return air" else f"printed {name}"
            b.report.at(key, "reserved-name", message, f"type another name, for example {instead}")
        values: tuple[str, ...] = ()
        low, high = None, None
        if ("values" in fields.keys) == ("range" in fields.keys):
            remedy = "type the values the page prints, or the range it covers"
            b.report.at(key, "values-or-range", f"the fact `{name}` needs either values: or range:", remedy)
        if "values" in fields:
            values = positions_of(fields.get("values"), name, b.report, "value") or ()
        if "range" in fields:
            found = range_of(b, fields.get("range"), {"%": Fraction(1)}, below_0=True)
            low, high = found if found else (None, None)
        numbers = _figures(b, values, fields, name) if values else ()
        b.facts[name] = Fact(
            name=name, gives=text_of(fields, "gives"), values=values, numbers=numbers, low=low, high=high, line=key.line
        )


def _figures(b: Builder, positions: Sequence[str], fields: Fields, name: str) -> tuple[Fraction | None, ...]:
    """The positions (or values) as figures where the entry `gives` a quantity that is one."""
    gives = fields.get("gives")
    if gives is None or QUANTITIES[gives.text].content == "word":
        return ()
    quantity = QUANTITIES[gives.text]
    default = HEAT_FACTOR[b.units.heat] if quantity.unit == "heat" else Fraction(1)
    out: list[Fraction | None] = []
    for p in positions:
        if p.casefold() == "none":
            out.append(None)
            continue
        try:
            value = figure(p, b.unit_table.get(quantity.unit, {}), default)
        except BadFigure:
            selector = "positions" in fields or "kind" in fields
            remedy = (
                f"take gives: out, and make a chart with set: {name}"
                if selector
                else "type the values as plain figures"
            )
            b.report.at(
                gives, "position-not-a-figure", f"{name} gives {gives.text}, but `{p}` is not a figure of it", remedy
            )
            return ()
        signed = f"+{p}" if quantity.signed and p[:1].isdigit() and any(q.startswith("-") for q in positions) else p
        wrong = fault(quantity, value, signed, percent="%" in p)
        if wrong is not None:
            b.report.at(fields.keys["positions" if "positions" in fields else "values"], *wrong)
            return ()
        out.append(value)
    return tuple(out)


def build_board(b: Builder, board: dict[str, tuple[Scalar, Fields]]) -> None:
    """Reads `board:` into the builder: selectors and their parts."""
    for name, (key, fields) in board.items():
        if fields.get("kind").text == "switch":
            _member(b, name, key, fields)
            continue
        if not b.declare(name, key):
            continue
        kind = KINDS[fields.get("kind").text]
        by_model = [fields.get(k) for k in ("factory", "positions") if k in fields]
        for model, (place, _) in (entry for node in by_model if isinstance(node, dict) for entry in node.items()):
            if model not in b.models:
                b.unknown(
                    place,
                    model,
                    "unknown-model",
                    "a model of this file",
                    b.models,
                    "" if b.models else "list the models under unit:, as models:",
                )
        built = kind.build(name, fields, b.report, len(b.parts))
        if built is None:
            continue
        selector, parts = built
        if selector.gives:
            parts = tuple(replace(p, values=_figures(b, p.positions, fields, name)) for p in parts)
        for part in parts:
            if part.name != name and part.name.casefold() in b.taken:
                message = f"the name `{part.name}` is listed twice"
                b.report.at(key, "name-taken", message, "give one of them another name")
            b.taken.setdefault(part.name.casefold(), Item(part.name, key.line, key.column))
        if len(b.parts) + len(parts) > MOST_PARTS:
            message = f"the selectors up to `{name}` have more than {MOST_PARTS} parts; no board has as many"
            b.report.at(key, "too-many-selectors", message, "put each unit into a file of its own")
            return
        b.selectors[name] = replace(selector, line=key.line)
        b.parts.extend(parts)
        _told_words(b, parts[0], fields)
    _may_share(b, board)


def _may_share(b: Builder, board: dict[str, tuple[Scalar, Fields]]) -> None:
    """Reads which leads may stand on one tap."""
    for name, (_, fields) in board.items():
        node = fields.get("may share") if fields.get("kind").text == "taps" and "may share" in fields else None
        if node is None or name not in b.selectors:
            continue
        selector = b.selectors[name]
        leads = {b.parts[i].name[len(name) + 1 :]: i for i in selector.parts}
        entries = [(node, None)] if not isinstance(node, dict) else list(node.values())
        found = []
        for place, inner in entries:
            matched = match_names(b.words(place), Names(leads))
            for item in matched.unknown:
                b.unknown(item, item.text, "unknown-lead", f"a lead of {name}", leads)
            conditions = conditions_of(b, inner) if isinstance(inner, dict) else ()
            found.append((frozenset(leads[n] for n, _ in matched.found), conditions))
        b.selectors[name] = replace(selector, may_share=tuple(found))


def _member(b: Builder, name: str, key: Scalar, fields: Fields) -> None:
    """A switch of a bank that has an entry of its own."""
    switches = [p for p in b.parts if b.selectors[p.selector].kind == "switches"]
    part = next((p for p in switches if p.name.casefold() == name.casefold()), None)
    if part is None:
        if not b.lost(name, ("board",)):
            known = [p.name for p in switches]
            b.unknown(
                key,
                name,
                "unknown-switch",
                "a switch of a bank above",
                known,
                "list the bank above it; a slide or switch of its own is kind: dial with its positions",
            )
        return
    b.parts[part.index] = member(part, fields, b.models, b.report)
    _told_words(b, b.parts[part.index], fields)


def _told_words(b: Builder, part: Part, fields: Fields) -> None:
    """unknown-value: a position says of its fact what the fact can't be."""
    fact = b.facts.get(part.declares)
    known = b.models if part.declares == "model" else fact.values if fact is not None else ()
    for _, node in (fields.get("says") or {}).values() if known and "says" in fields else ():
        if node.text.casefold() not in (v.casefold() for v in known):
            b.unknown(node, node.text, "unknown-value", f"a value of {part.declares}", known, f"type {listed(known)}")


def build_ramps(b: Builder, ramps: dict[str, tuple[Scalar, Scalar]]) -> None:
    """Reads `ramps:` into the builder."""
    for name, (key, node) in ramps.items():
        if not b.declare(name, key):
            continue
        steps: tuple[RampStep, ...] = ()
        try:
            if ramp_by_selectors(b, name, key, node):
                continue
            steps = ramp_steps(node.text)
        except BadFigure as wrong:
            b.report.at(node, "bad-ramp", str(wrong), f"for example {wrong.instead}")
        b.ramps[name] = Ramp(name=name, steps=with_calls(b, node, steps), line=key.line)
