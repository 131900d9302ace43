"""Figures as people read them, the head of a table, and other small words of answers."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from selector.table.model.table import Table
from selector.units import format_number


def figure(value: Fraction, places: int = 1) -> str:
    """A figure with thousands commas, rounded half away from zero; no needless .0."""
    text = format_number(value, places)
    return text[:-2] if places == 1 and text.endswith(".0") else text


def percent(share: Fraction, places: int = 1) -> str:
    """A share as percent."""
    return f"{figure(share * 100, places)} %"


def head(table: Table, model: str | None) -> str:
    """`Corvane two-stage gas furnace, model 080 (manual K-14, pages 23-24)`."""
    text = table.unit.named
    if model:
        text += f", model {model}"
    pages = table.unit.pages
    source = [
        f"manual {table.unit.manual}" if table.unit.manual else "",
        f"page{'s' if '-' in pages or ' ' in pages else ''} {pages}" if pages else "",
    ]
    given = ", ".join(s for s in source if s)
    return f"{text} ({given})" if given else text


def number(value: Fraction | None) -> float | None:
    """A figure for JSON."""
    return None if value is None else float(value)


def counted(count: int, noun: str) -> str:
    """`1 row`, `2 rows`."""
    return f"{count:,} {noun}{'' if count == 1 else 's'}"


def indented(lines: Sequence[str], by: int = 2) -> list[str]:
    """Lines moved right."""
    return [" " * by + line if line else "" for line in lines]
