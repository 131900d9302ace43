"""Words with the signs of print."""

from __future__ import annotations

import re

_SIGNS = (
    (re.compile(r"(?<=\d) ([FC])\b"), " °\\1"),
    (re.compile(r"\+/-(?=\d)"), "±"),
    (re.compile(r"(?<![\w.)-])-(?=\d)"), "−"),
    (re.compile(r" -> "), " to "),
    (re.compile(r"(?<=\d) (?=[A-Za-z°])|(?<=\bmodel) "), "\u00a0"),
)


def typeset(text: str) -> str:
    """A text as it is printed; a figure stays with its unit, a switch with its mark.

    >>> typeset("rise over 65 F: SW1-6 ON -> OFF").replace("\u00a0", "_")
    'rise over 65_°F: SW1-6_ON to OFF'
    """
    for pattern, sign in _SIGNS:
        text = pattern.sub(sign, text)
    return text
