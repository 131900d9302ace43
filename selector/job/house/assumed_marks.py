"""The marks that nobody typed and that count as what is installed, or as delivered: said wherever they are used."""

from __future__ import annotations

from collections.abc import Iterable

from selector.solve.board.marks import mark
from selector.solve.engine.engine import Engine
from selector.solve.search.space import declared_position
from selector.table.model.table import Setting


def assumed_marks(engine: Engine, setting: Setting, parts: Iterable[int]) -> tuple[str, ...]:
    """`factory setting: J1 2, LK1 whole`, `as installed: J4 15`; empty where all was typed."""
    said: dict[str, list[str]] = {}
    for i in parts:
        part = engine.table.parts[i]
        told = part.declares and declared_position(engine, part, part.declares) is not None
        word = f"{part.name} {mark(engine.table, i, setting[i])}"
        said.setdefault("as installed" if told else "factory setting", []).append(word)
    return tuple(f"{source}: {', '.join(words)}" for source, words in said.items())
