"""What `list` says: the tables there are."""

from __future__ import annotations

from typing import Literal

from selector.answers.parts import VERSION
from selector.answers.words.fold import Block, Rows
from selector.answers.words.listing import counted
from selector.problems import Refused
from selector.table.library.library import listed, load, personal_folder
from selector.value import Published


class TableEntry(Published, frozen=True, kw_only=True):
    """One table file; `problems` counts what keeps it from being read (then the title is empty)."""

    name: str
    title: str
    maker: str
    models: tuple[str, ...]
    path: str
    problems: int


class TablesAnswer(Published, frozen=True, kw_only=True):
    """Answer of selector list: the tables in your own folder and those shipped."""

    version: Literal[2]
    folder: str
    tables: tuple[TableEntry, ...]


def tables_answer() -> TablesAnswer:
    """Every table that is found by name."""
    entries = (_entry(name, path) for name, paths in listed().items() for path in paths)
    return TablesAnswer(version=VERSION, folder=personal_folder(), tables=tuple(entries))


def _entry(name: str, path: str) -> TableEntry:
    try:
        table, _ = load(path)
    except Refused as refused:
        return TableEntry(name=name, title="", maker="", models=(), path=path, problems=len(refused.problems))
    unit = table.unit
    return TableEntry(name=name, title=unit.title, maker=unit.maker, models=unit.models, path=path, problems=0)


def lines(answer: TablesAnswer) -> list[Block]:
    """The answer for people."""
    good = [(t.name, t.maker, t.title, " ".join(t.models)) for t in answer.tables if not t.problems]
    bad = [
        f"{t.name}: {counted(t.problems, 'problem')}. Type selector check {t.path}" for t in answer.tables if t.problems
    ]
    return [Rows(cells=(("table", "maker", "unit", "models"), *good), headed=True), *bad]
