"""Notes: what a page says beside its figures, never a fault."""

from __future__ import annotations

from collections.abc import Iterable

from selector.answers.words.listing import listed
from selector.judge.judgement import Note


def note_text(note: str) -> str:
    """`Note: filter and coil not stated.`"""
    return f"Note: {note}"


def note_lines(notes: Iterable[str]) -> list[str]:
    """Every note once, in the order given."""
    return [note_text(note) for note in dict.fromkeys(notes)]


def page_notes(notes: Iterable[Note]) -> list[str]:
    """`trims: not with a heat pump`: notes of the page with what they belong to; that of the unit alone. What several
    charts say alike is said once, with the names of all."""
    by_text: dict[tuple[bool, str], dict[str, None]] = {}
    for note in notes:
        text = note.text
        if note.of == "copied row":
            text = f"this row behaves as {text or 'another'}; it is never proposed"
        by_text.setdefault((note.of == "unit", text), {})[note.name] = None
    return [text if of_unit else f"{listed(names)}: {text}" for (of_unit, text), names in by_text.items()]
