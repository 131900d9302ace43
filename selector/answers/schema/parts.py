"""Pieces that the published shapes of answers are put together from."""

from __future__ import annotations

from typing import Any

from selector.table.model.table import NOES

NUMBER = {"type": "number"}
MAYBE = {"type": ["number", "null"]}
COUNT = {"type": "integer"}
TEXT = {"type": "string"}
MAYBE_TEXT = {"type": ["string", "null"]}
SURE = {"type": "boolean"}
FLAG = {"type": ["boolean", "null"]}
VERSION = {"const": 1}
SETTING = {
    "type": "object",
    "additionalProperties": TEXT,
    "description": "Printed mark of every switch and selector; ? where it can't be read.",
}


def record(description: str = "", **fields: Any) -> dict[str, Any]:
    """An object with these keys and no others, all of them needed."""
    out: dict[str, Any] = {
        "type": "object",
        "properties": fields,
        "required": list(fields),
        "additionalProperties": False,
    }
    return {**out, "description": description} if description else out


def items(shape: Any) -> dict[str, Any]:
    """A list of one shape."""
    return {"type": "array", "items": shape}


def blanks(**fields: Any) -> dict[str, Any]:
    """Fields whose names have blanks: `off_delay` stands for `off delay`."""
    return {k.replace("doesnt", "doesn't").replace("_", " "): v for k, v in fields.items()}


def optional(shape: dict[str, Any], *names: str) -> dict[str, Any]:
    """The shape with keys that may be left out."""
    return {**shape, "required": [name for name in shape["required"] if name not in names]}


def or_null(shape: Any) -> dict[str, Any]:
    """The shape, or null."""
    return {"anyOf": [shape, {"type": "null"}]}


SAID = items(TEXT)
NO = record("No figure: which of the noes, and why.", no={"enum": list(NOES)}, why=TEXT)
