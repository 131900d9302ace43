"""Notes: what a page says beside its figures, never a fault."""

from __future__ import annotations

from collections.abc import Iterable


def note_text(note: str) -> str:
    """`Note: filter and coil not stated.`"""
    return f"Note: {note}"


def note_lines(notes: Iterable[str]) -> list[str]:
    """Every note once, in the order given."""
    return [note_text(note) for note in dict.fromkeys(notes)]
