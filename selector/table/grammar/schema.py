"""The published schema of a table file: JSON Schema 2020-12, made from the grammar.

Every selector of a text accepts string, number and boolean, because editors take `060` for a number and `on` for true.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping as Map
from typing import Any

from selector.table.grammar.patterns import PARTLY
from selector.table.grammar.step_shapes import WHEN, StepRecord, Steps
from selector.table.grammar.table_file import CALL, CHART, FACT, TABLE
from selector.table.kinds import KINDS
from selector.table.kinds.switches import MEMBER
from selector.table.source import source_from_text
from selector.table.text.located import locate
from selector.table.text.nodes import Mapping, Node, Scalar
from selector.table.text.shapes import Nested, Shape, Text, Words

DIALECT = "https://json-schema.org/draft/2020-12/schema"
IDENTIFIER = "urn:selector:table:1"

UNSEEN = (
    "acts-twice",
    "airflow-in-heat",
    "all-not-used",
    "bad-capacity",
    "bad-efficiency",
    "bad-figure",
    "bad-lead",
    "bad-model",
    "bad-position",
    "bad-ramp",
    "bad-stage",
    "bad-terminal",
    "bad-value",
    "blank-column",
    "circle",
    "condition-without-name",
    "condition-without-values",
    "copy-of-nothing",
    "dash-for-none",
    "doubled-head",
    "doubled-lead",
    "doubled-mark",
    "doubled-name",
    "factory-length",
    "figure-without-quantity",
    "footnote-at-figure",
    "free-plug",
    "free-tons",
    "heads-not-rising",
    "heat-in-airflow",
    "heat-without-rating",
    "limit-of-every-call",
    "low-per-ton",
    "mark-like-a-figure",
    "mark-of-two-positions",
    "marks-as-figures",
    "missing-rows",
    "model-without-column",
    "name-taken",
    "no-effect",
    "no-first-unit",
    "no-heat",
    "no-lead",
    "no-rating",
    "no-rows",
    "no-start",
    "no-table",
    "note-alone",
    "note-not-last",
    "note-without-text",
    "number-too-long",
    "overlapping-rows",
    "position-not-a-figure",
    "purpose-not-said",
    "reduction-over-100",
    "reserved-name",
    "rise-of-0",
    "row-too-long",
    "row-too-short",
    "rows-need-bar",
    "share-over-100",
    "share-too-large",
    "sign-apart",
    "static-unit",
    "together-disagrees",
    "together-with-itself",
    "too-many-calls",
    "too-many-columns",
    "too-many-dashes",
    "too-many-problems",
    "too-many-selectors",
    "too-many-stages",
    "trim-under-100",
    "two-heats",
    "two-leads-on-one-tap",
    "two-positions",
    "two-readings",
    "two-starts",
    "two-units-differ",
    "unknown-call",
    "unknown-head",
    "unknown-lead",
    "unknown-model",
    "unknown-model-or-stage",
    "unknown-position",
    "unknown-ramp",
    "unknown-stage",
    "unknown-switch",
    "unknown-value",
    "unused-chart",
    "unused-fact",
    "unused-lead",
    "unused-selector",
    "value-not-a-figure",
    "values-or-range",
    "whole-bank",
    "whose-lead",
    "wrong-quantity",
    "wrong-unit",
)
"""Codes of what no schema can say of a table: whatever links one part of the file to another, or reads words within a
text."""
BEYOND = tuple(sorted((*UNSEEN, *PARTLY)))
"""A file that the schema accepts is refused for these alone; all others the schema refuses too."""

SHAPES: dict[str, Shape] = {
    "text": Text(),
    "words": Words(),
    "by-stage": Nested(Text(), 1),
    "by-model": Nested(Words(), 1),
    "by-model-and-stage": Nested(Text(), 2),
    "when": WHEN,
    "step": StepRecord(),
    "steps": Steps(),
    "fact": FACT,
    **{f"selector-{kind.name}": kind.record for kind in KINDS.values()},
    "selector-switch": MEMBER,
    "chart": CHART,
    "call": CALL,
}
"""Shapes that stand under `$defs` by name, smaller ones first."""


def table_schema() -> dict[str, Any]:
    """The schema as plain values."""
    definitions: dict[str, Any] = {}
    known: dict[str, str] = {}
    for name, shape in SHAPES.items():
        short = shortened(shape.schema(), known, whole=True)
        definitions[name] = short
        known[_core(short)] = name
    top = shortened(TABLE.schema(), known, whole=True)
    return {"$schema": DIALECT, "$id": IDENTIFIER, "title": "Selector table", **top, "$defs": definitions}


def table_schema_text() -> str:
    """The schema as the text of `schemas/table.json`."""
    return json.dumps(table_schema(), indent=2, ensure_ascii=False) + "\n"


def shortened(schema: Map[str, Any], known: Map[str, str], *, whole: bool = False) -> dict[str, Any]:
    """The schema with what has a name replaced by a reference to it, and its examples as values."""
    out: dict[str, Any] = {}
    for key, value in schema.items():
        if key == "examples":
            out[key] = [_value(text) for text in value]
        elif key == "description":
            out[key] = _description(value, schema.get("examples", ()))
        elif key == "properties":
            out[key] = {name: shortened(inner, known) for name, inner in value.items()}
        elif key in ("allOf", "anyOf"):
            out[key] = [shortened(inner, known) for inner in value]
        elif isinstance(value, dict):
            out[key] = shortened(value, known)
        else:
            out[key] = value
    name = known.get(_core(out))
    if name is None or whole:
        return out
    return {"$ref": f"#/$defs/{name}", **{k: v for k, v in out.items() if k in ("description", "examples")}}


def _core(schema: Map[str, Any]) -> str:
    """What a schema demands, without what it tells."""
    return json.dumps({k: v for k, v in schema.items() if k not in ("description", "examples")}, sort_keys=True)


def _description(help: str, examples: list[str]) -> str:
    if not examples:
        return help
    text = examples[0]
    return f"{help} Example:{text}" if text.startswith("\n") else f"{help} Example: {text}"


def _value(text: str) -> Any:
    """An example as it is typed, as the value an editor makes of it; texts stay as typed."""
    return _plain(locate(source_from_text(f"example: {text}\n")).items[0][1])


def _plain(node: Node) -> Any:
    if isinstance(node, Scalar):
        number = re.fullmatch(r"(?:0|[1-9]\d{0,8})(\.\d{0,3}[1-9])?", node.text)
        return node.text if number is None else float(node.text) if number[1] else int(node.text)
    if isinstance(node, Mapping):
        return {key.text: _plain(value) for key, value in node.items}
    return [_plain(value) for value in node.items]
