"""Words with the signs of print."""

from __future__ import annotations

import re

_TYPE = (
    (re.compile(r"\+/?-(?=\d)"), "\u00b1"),
    (re.compile(r"\b(in|ft|m)2\b"), "\\1\u00b2"),
    (re.compile(r"\b(ft|m)3\b"), "\\1\u00b3"),
    (re.compile(r"(?<=[\w)%]) x (?=[\d(])"), " \u00d7 "),
    (re.compile(r"(?<![\w.)-])-(?=\d)"), "\u2212"),
    (re.compile(r"(?<=\d) - (?=\d)"), " \u2212 "),
    (re.compile(r"(?<=\d) ([FC])\b"), " \u00b0\\1"),
    (re.compile(r", ([FC])$"), ", \u00b0\\1"),
    (re.compile(r" -> "), " to "),
)


def typeset(text: str) -> str:
    """A text with the signs of print: \u00b1, \u00b2, \u00d7, \u2212, \u00b0.

    >>> typeset("720 in2, 3 tons x 350, -45 Pa, 56.3 F +-7 %: SW1-6 ON -> OFF")
    '720 in\u00b2, 3 tons \u00d7 350, \u221245 Pa, 56.3 \u00b0F \u00b17 %: SW1-6 ON to OFF'
    """
    for pattern, sign in _TYPE:
        text = pattern.sub(sign, text)
    return text
