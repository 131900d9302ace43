"""Moves: which selector, from which position to which; what a person is told to set."""

from __future__ import annotations

from collections.abc import Sequence

from selector.answers.words.fold import width_of
from selector.answers.words.listing import counted, listed
from selector.job.board.move import Move
from selector.solve.board.marks import mark, marks_of
from selector.table.model.table import Setting, Table

_NOUNS = {"switches": "switch", "taps": "lead", "menu": "entry"}
"""What one part of a kind of selector is called, where that isn't the kind's own name."""


def move_text(table: Table, move: Move) -> str:
    """`SW1-3 OFF -> ON`; `SW1-5 unreadable: set it OFF` for one that couldn't be made out, `not given` for one that
    nobody told."""
    name, to = table.parts[move.part].name, mark(table, move.part, move.to)
    if move.was is None:
        return f"{name} {'unreadable' if move.unread else 'not given'}: set it {to}"
    return f"{name} {mark(table, move.part, move.was)} -> {to}"


def moved_parts(before: Setting, after: Setting) -> tuple[int, ...]:
    """Parts whose position is known before and after, and differs."""
    return tuple(
        i for i, (a, b) in enumerate(zip(before, after, strict=True)) if a is not None and b is not None and a != b
    )


def set_text(table: Table, before: Setting, after: Setting, parts: Sequence[int] | None = None) -> str:
    """What is to be set, one sentence without its stop.

    `Set SW1-2: ON -> OFF`; `Set SW1-1, SW1-4 and SW1-6: OFF -> ON`; `Set 2 switches: SW1-3 OFF -> ON, SW1-4 ON -> OFF`;
    `Change nothing` where nothing moves.
    """
    moved = moved_parts(before, after) if parts is None else tuple(parts)
    if not moved:
        return "Change nothing"
    ways = {f"{mark(table, i, before[i])} -> {mark(table, i, after[i])}" for i in moved}
    if len(ways) == 1 and len(moved) <= 6:
        return f"Set {listed(table.parts[i].name for i in moved)}: {next(iter(ways))}"
    each = ", ".join(f"{table.parts[i].name} {mark(table, i, before[i])} -> {mark(table, i, after[i])}" for i in moved)
    return f"Set {counted(len(moved), noun_of(table, moved))}: {each}"


def noun_of(table: Table, parts: Sequence[int]) -> str:
    """`switch`, `jumper`, `lead`; `selector` where they are of several kinds."""
    kinds = {table.selectors[table.parts[i].selector].kind for i in parts}
    kind = next(iter(kinds)) if len(kinds) == 1 else "selector"
    return _NOUNS.get(kind, kind)


def board_rows(
    table: Table, before: Setting, after: Setting, *, first: str = "factory", second: str = "set", columns: int = 80
) -> list[str]:
    """Every selector before and after, as it would be typed beside the row it ends in, `^^` under what moves.

    A bank too wide for the terminal goes on below, so many switches at a time.
    """
    out: list[str] = []
    lead = max(len(first), len(second), *(len(s.name) for s in table.selectors.values())) + 2
    for selector in table.selectors.values():
        parts = [table.parts[i] for i in selector.parts]
        labels = [p.name[len(selector.name) + 1 :] if len(parts) > 1 else "" for p in parts]
        was = [mark(table, p.index, before[p.index]) for p in parts]
        now = [mark(table, p.index, after[p.index]) for p in parts]
        if len(parts) == 1:
            shown = f"{was[0]} -> {now[0]}" if was != now and before[parts[0].index] is not None else now[0]
            out.append(f"{selector.name:<{lead}}{shown}")
            continue
        pointed = ["^^" if was[i] != now[i] else "" for i in range(len(parts))]
        changed = any(pointed)
        rows = [(selector.name, labels), *([(first, was)] if changed else []), (second if changed else "", now)]
        rows += [("", pointed)] if changed else []
        cells = [max(width_of(texts[i]) for _, texts in rows) for i in range(len(parts))]
        for start, end in _bands(cells, columns - lead):
            lines = [
                (f"{name:<{lead}}" + " ".join(f"{texts[i]:<{cells[i]}}" for i in range(start, end))).rstrip()
                for name, texts in rows
            ]
            out += [line for line in lines if line]
        typed = marks_of(after, table, selector.parts)
        at = len(out) - (2 if changed and out[-1].lstrip().startswith("^") else 1)
        beside = f"{out[at]}     type as {typed}"
        if width_of(beside) <= columns:
            out[at] = beside
        else:
            out.append(f"{'':<{lead}}type as {typed}")
    return out


def _bands(widths: Sequence[int], room: int) -> list[tuple[int, int]]:
    """Runs of columns that fit the room."""
    out: list[tuple[int, int]] = []
    start, used = 0, 0
    for i, width in enumerate(widths):
        if i > start and used + 1 + width > room:
            out.append((start, i))
            start, used = i, width
        else:
            used += width + (1 if i > start else 0)
    return [*out, (start, len(widths))]
