"""Notes: what a page says beside its figures, never a fault."""

from __future__ import annotations

from collections.abc import Iterable

from selector.judge.judgement import Note


def note_text(note: str) -> str:
    """`Note: filter and coil not stated.`"""
    return f"Note: {note}"


def note_lines(notes: Iterable[str]) -> list[str]:
    """Every note once, in the order given."""
    return [note_text(note) for note in dict.fromkeys(notes)]


def page_note(note: Note) -> str:
    """`trims: not with a heat pump`: a note of the page with what it belongs to; that of the unit alone."""
    text = (
        f"this row behaves as {note.text or 'another'}; it is never proposed" if note.of == "copied row" else note.text
    )
    return text if note.of == "unit" else f"{note.name}: {text}"
