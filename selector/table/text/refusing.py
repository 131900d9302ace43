"""What a list of words or a count can't be, as keywords of JSON Schema: patterns that hold for texts alone, in what
Python and ECMAScript share of regular expressions."""

from __future__ import annotations

from typing import Any


def refusing(*patterns: str) -> dict[str, Any]:
    """The keywords that refuse a text which holds one of the patterns."""
    one = [{"type": "string", "pattern": p} for p in patterns]
    return {"not": one[0] if len(one) == 1 else {"anyOf": one}}


TWICE = refusing(r"^(?![^\n]*(,| step ))(.*\s)?(?!([Tt][Oo]|step)\s)(\S+)\s(.*\s)?\4(\s.*)?$")
"""One word twice in a list without commas."""
ONE_WORD = r"^\s*[^\s,]+\s*$"
TWO_OR_MORE = refusing(TWICE["not"]["pattern"], ONE_WORD)
"""Positions or values: two at least, none twice."""
COUNT = {**refusing(r"^(?!\s*(0?[1-9]|1[0-6])\s*$)"), "minimum": 1, "maximum": 16}
"""A whole number from 1 to 16."""
