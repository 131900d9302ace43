"""Texts as a person types them and as they stand in a file: a note in parentheses, figures, quotes where a value
needs them."""

from __future__ import annotations

import re
from collections.abc import Iterable

_NOTED = re.compile(r"(.*\S)\s*\(([^()]*)\)", re.DOTALL)


def noted(text: str) -> tuple[str, str]:
    """The text and the note that stands in parentheses at its end, "" where none does.

    >>> noted("M1 taps 1-5 (a lead that is not used is parked)")
    ('M1 taps 1-5', 'a lead that is not used is parked')
    """
    found = _NOTED.fullmatch(text.strip())
    return (found.group(1), " ".join(found.group(2).split())) if found else (text.strip(), "")


def figures_in(text: str) -> list[str]:
    """The figures of an answer, commas between thousands taken out."""
    return re.findall(r"\d+(?:\.\d+)?", text.replace(",", ""))


def odd_word(words: Iterable[str]) -> str:
    """The first word that a list of a table file can't hold as it is, "" where all can be held."""
    return next(
        (w for w in words if w.casefold() in ("-", "?", "_", "null") or re.search(r"[\[\]{},:#&*!|>%@`\"'~\\]", w)), ""
    )
