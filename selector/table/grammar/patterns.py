"""What a JSON Schema can see of the words inside a text: patterns of what the reader refuses for certain.

All hold for texts alone (a number that an editor made of a text has lost its sign), in the part of regular expressions
that Python and ECMAScript share.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from selector.table.model.quantities import QUANTITIES, STEPS
from selector.table.text.refusing import refusing

PARTLY = (
    "bad-count",
    "bad-range",
    "bad-rounding",
    "decimal-comma",
    "doubled-model",
    "doubled-position",
    "doubled-quantity",
    "doubled-stage",
    "doubled-terminal",
    "doubled-value",
    "empty-cell",
    "letter-for-digit",
    "not-a-figure",
    "not-above-0",
    "note-not-closed",
    "percent-as-fraction",
    "signed-airflow",
    "signed-airflow-per-ton",
    "signed-heat-input",
    "signed-heater-power",
    "signed-least-airflow",
    "signed-most-airflow",
    "signed-nozzle-rate",
    "signed-reduction",
    "signed-seconds",
    "signed-share",
    "signed-speed",
    "signed-temperature-rise",
    "signed-tons",
    "signed-watts",
    "still-to-type",
    "thousands-comma",
    "too-few-positions",
    "too-few-values",
    "unknown-name",
    "unsigned-offset",
    "unsigned-trim",
    "use-needs-a-name",
)
"""Codes of which the schema sees the plain cases."""


_LINE = r"(^|\n)(?![ \t]*#)"
"""The start of a line that is no comment."""
_LAST = r"[ \t]*(\(|;|\n|$)"
"""What follows the last cell of a row: its note, another row, the line's end."""
_COPIES = r"(?![^\n;]*(^|[ \t])([Aa][Ss])[ \t])"
_BEFORE = rf"{_LINE}{_COPIES}[^(\n;]*[ \t]"
"""All of a row before its last cell, where it is not that of a row that copies another."""

ROWS = refusing(
    rf"{_LINE}([^(\n]*[ \t|])?_([ \t|]|\n|$)",
    rf"{_LINE}(?![^\n]*---)[^(\n]*\|[ \t]+\|",
    rf"{_LINE}[^(\n]*\([^)\n]*(\n|$)",
    rf"{_LINE}[^(\n]*\)",
)
"""A word still to type, an empty cell, a note without its other parenthesis."""
_NUMBERS = (
    rf"{_BEFORE}[+-]?\d+(,\d+)+(\.\d+)?( %)?{_LAST}",
    rf"{_BEFORE}\d+/\d+{_LAST}",
    rf"{_BEFORE}[+-]?(\d+[OoIl]\d*|[OoIl]+\d+){_LAST}",
)
"""A comma in the last figure of a row, two figures for one, a letter for a digit."""


def by_quantity() -> list[dict[str, Any]]:
    """The conditions of a chart that gives one quantity alone: what the last figure of a row can't be."""
    figures = {q.name: q for q in QUANTITIES.values() if q.content == "number"}
    told = {
        _NUMBERS: list(figures),
        (rf"{_BEFORE}(?!0+(\.0*)? ?(%|[ \t(;\n]|$))\d+(\.\d+)? %{_LAST}",): [n for n, q in figures.items() if q.signed],
        (rf"{_BEFORE}[+-]\d+(\.\d+)?( %)?{_LAST}",): [n for n, q in figures.items() if q.signed is False],
        (rf"{_BEFORE}[+-]?0?\.\d*[1-9]\d*{_LAST}",): [n for n, q in figures.items() if q.unit == "percent"],
    }
    return [
        {
            "if": {"properties": {"gives": {"enum": names}}, "required": ["gives"]},
            "then": {"properties": {"rows": refusing(*patterns)}},
        }
        for patterns, names in told.items()
    ]


def of_step(word: str) -> Mapping[str, Any]:
    """What the figure behind a step's word can't be."""
    step = STEPS.get(word)
    if word == "use":
        return {"not": {"type": "number"}}
    if word.startswith("round"):
        return {"exclusiveMinimum": 0}
    quantity = QUANTITIES.get(word)
    if step is None or quantity is None:
        return {}
    if quantity.signed:
        return refusing(r"^\s*(?!0+(\.0*)?\s*%?\s*$)\d+(\.\d+)?\s*\S*$")
    return refusing(r"^\s*[+-]\d+(\.\d+)?\s*\S*$") if quantity.signed is False else {}


def snippet(*rows: str) -> dict[str, Any]:
    """What an editor inserts for a text below a bar, in place of an example: with the bar, and its rows further
    right."""
    return {"defaultSnippets": [{"body": "|" + "".join(f"\n  {row}" for row in rows)}]}


def any_case(word: str) -> str:
    """A pattern for a word in capitals or small letters, any blanks between its parts."""
    return "".join(rf"[{c.lower()}{c.upper()}]" if c.isalpha() else r"\s+" if c == " " else re.escape(c) for c in word)


_QUANTITY = "|".join(any_case(name) for name in sorted(QUANTITIES, key=len, reverse=True))
_GIVEN = rf"({_QUANTITY})(\s+[iI][nN]\s+[A-Za-z0-9/.]+(\s+[wW]\.[cC]\.)?)?"
GIVES = {"anyOf": [{"enum": list(QUANTITIES)}, {"pattern": rf"^[\s,]*{_GIVEN}([\s,]+{_GIVEN})*[\s,]*$"}]}
"""One quantity or several; editors offer each."""
