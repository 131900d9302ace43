"""The marks that nobody typed and that count as what is installed, or as delivered: said wherever they are used."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from selector.solve.board.marks import mark
from selector.solve.engine.engine import Engine
from selector.solve.search.space import declared_position
from selector.table.model.table import Setting


def marks_by_source(engine: Engine, setting: Setting, parts: Iterable[int]) -> Mapping[str, tuple[str, ...]]:
    """`factory setting` and `as installed`, each with its marks: `J1 2`; empty where all was typed."""
    said: dict[str, tuple[str, ...]] = {}
    for i in parts:
        part = engine.table.parts[i]
        told = part.declares and declared_position(engine, part, part.declares) is not None
        source = "as installed" if told else "factory setting"
        said[source] = (*said.get(source, ()), f"{part.name} {mark(engine.table, i, setting[i])}")
    return said


def assumed_marks(engine: Engine, setting: Setting, parts: Iterable[int]) -> tuple[str, ...]:
    """`factory setting: J1 2, LK1 whole`, `as installed: J4 15`; empty where all was typed."""
    found = marks_by_source(engine, setting, parts)
    return tuple(f"{source}: {', '.join(words)}" for source, words in found.items())
