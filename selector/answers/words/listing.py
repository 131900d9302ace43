"""Counts and lists in a sentence."""

from __future__ import annotations

from collections.abc import Iterable

_PLURALS = {"switch": "switches", "entry": "entries"}


def counted(count: int, noun: str) -> str:
    """`1 row`, `2 rows`, `2 switches`."""
    return f"{count:,} {noun if count == 1 else _PLURALS.get(noun, noun + 's')}"


NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")


def in_words(count: int, noun: str) -> str:
    """`one switch`, `three switches`, `16 switches`."""
    number, _, rest = counted(count, noun).partition(" ")
    return f"{NUMBERS[count] if count < len(NUMBERS) else number} {rest}"


def listed(words: Iterable[str], last: str = "and") -> str:
    """`SW1-1, SW1-4 and SW1-6`.

    >>> listed(["060", "080", "110"], "or")
    '060, 080 or 110'
    """
    items = list(words)
    return f"{', '.join(items[:-1])} {last} {items[-1]}" if len(items) > 1 else "".join(items)


def ended(text: str) -> str:
    """A sentence with its full stop; a unit that ends in one has it already.

    >>> ended("maximum 0.8 in. w.c."), ended("maximum 200 Pa")
    ('maximum 0.8 in. w.c.', 'maximum 200 Pa.')
    """
    return text if text.endswith(".") else f"{text}."
