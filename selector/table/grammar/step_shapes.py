"""What may stand in the steps of a call: the words of a step, and the conditions under which it counts."""

from __future__ import annotations

from collections.abc import Mapping as Map
from typing import Any

from selector.problems import close_match
from selector.table.grammar.patterns import of_step
from selector.table.model.quantities import STEPS
from selector.table.text.nodes import Mapping, Node, Scalar, Sequence
from selector.table.text.shapes import (
    SCALAR,
    SCALAR_TYPES,
    FileReport,
    MapOf,
    Nested,
    Shape,
    Text,
    Words,
    described,
    no_list,
    unknown_key,
)
from selector.value import Struct

STEP_KEYS = ("use", *STEPS)
_STEP_HELP = {
    "use": ("A chart, selector, fact or rating by name.", "trims"),
    **{w.name: (f"{w.help[0].upper()}{w.help[1:]}.", w.example) for w in STEPS.values()},
}


def by_stage(help: str, example: str, more: Map[str, Any] | None = None) -> Nested:
    """One text, or one for each stage."""
    return Nested(Text(more=more or {}), 1, help, example)


class StepRecord(Struct, frozen=True):
    """One step as a map: one action and perhaps a `when`."""

    help: str = ""

    def schema(self) -> dict[str, Any]:
        properties = {k: Nested(Text(more=of_step(k)), 2, *_STEP_HELP[k]).schema() for k in STEP_KEYS}
        properties["when"] = WHEN.schema()
        properties["by"] = BY.schema()
        return {
            **SCALAR,
            "type": [*SCALAR_TYPES, "object"],
            "properties": properties,
            "additionalProperties": False,
            "minProperties": 1,
            "maxProperties": 3,
            "if": {"minProperties": 3},
            "then": {"required": ["when", "by", "use"]},
            "else": {
                "if": {"minProperties": 2},
                "then": {"anyOf": [{"required": ["when"]}, {"required": ["by", "use"]}]},
                "else": {"not": {"anyOf": [{"required": ["when"]}, {"required": ["by"]}]}},
            },
        }

    def read(self, node: Node, name: str, report: FileReport) -> Any:
        if not isinstance(node, Mapping):
            return no_list(node, name, report)
        out: dict[str, Any] = {}
        words = [key.text for key, _ in node.items]
        if words and not any(close_match(word, (*STEP_KEYS, "when", "by"), alike=0.75) for word in words):
            entries = ", ".join(f"{k.text}: {v.text if isinstance(v, Scalar) else '..'}" for k, v in node.items)
            message = f"`{words[0]}` is no step"
            help = f"what differs by stage or model stands behind its step: type {{use: {{{entries}}}}}"
            report.at(node.items[0][0], "unknown-key", message, help)
            return None
        known = True
        for key, value in node.items:
            word = key.text
            if word == "when":
                cleaned = WHEN.read(value, "when", report)
            elif word == "by":
                cleaned = BY.read(value, "by", report)
            elif word in STEP_KEYS:
                cleaned = Nested(Text(), 2).read(value, word, report)
            else:
                unknown_key(key, f"a step of {name}", (*STEP_KEYS, "when", "by"), report, {})
                known = False
                continue
            if cleaned is not None:
                out[word] = (key, cleaned)
        if not known:
            return None
        actions = [k for k in out if k not in ("when", "by")]
        if len(actions) != 1 or len(node.items) > 3 or ("by" in out and actions != ["use"]):
            keys = [key for key, _ in node.items]
            report.at(
                keys[0] if keys else node,
                "one-step-a-map",
                "a `when` stands alone: it needs the step it belongs to"
                if not actions
                else "two steps stand together in one entry",
                "type {use: NAME, when: {LK1: cut}}"
                if not actions
                else "give each step an entry of its own, separated by a comma or on lines with a dash",
            )
            return None
        return out


WHEN: Shape = MapOf(
    Words("Positions or values; any one of them will do.", "cut"),
    "When the step or call counts; all the names must agree.",
    "{LK1: cut}",
)


BY: Shape = Text("The chart of letters that the chart goes by in this step.", "heater letter")


class Steps(Struct, frozen=True):
    """One step or a list of steps; read as a list of scalars and step records."""

    help: str = ""
    example: str = ""

    def schema(self) -> dict[str, Any]:
        one = StepRecord().schema()
        return described({**one, "type": [*one["type"], "array"], "items": one, "minItems": 1}, self.help, self.example)

    def read(self, node: Node, name: str, report: FileReport) -> Any:
        nodes = node.items if isinstance(node, Sequence) else [node]
        if not nodes:
            report.at(node, "nothing-typed", f"the list after `{name}:` is empty", "type the steps in their order")
            return None
        out = []
        for n in nodes:
            if isinstance(n, Sequence):
                report.at(
                    n,
                    "list-expected",
                    f"`{name}` is a list of steps; this is a list within the list",
                    "take the inner brackets out",
                )
                continue
            cleaned = StepRecord().read(n, name, report)
            if cleaned is not None:
                out.append((n, cleaned))
        return out
