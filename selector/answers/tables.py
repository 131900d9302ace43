"""What `list` says: the tables there are."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from typing import Literal

from selector.answers.parts import VERSION
from selector.answers.words.fold import Block, Rows
from selector.answers.words.listing import counted
from selector.problems import Refused
from selector.table.library.index import TableSummary, summaries, summary_of_table
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


def tables_answer(
    words: Sequence[str] = (), *, kept: bool = True, told: Callable[[int, int], None] | None = None
) -> TablesAnswer:
    """Every table that is found by name; `words`: those that have each of them in the name, maker, title, a model or a
    mark. `kept` False: without the index of the library; `told` hears how many tables are read."""
    paths = [(name, path) for name, found in listed().items() for path in found]
    known = summaries([path for _, path in paths if os.path.exists(path)], kept=kept, told=told)
    entries = (_entry(name, path, known.get(path) or _zipped(path), words) for name, path in paths)
    return TablesAnswer(version=VERSION, folder=personal_folder(), tables=tuple(e for e in entries if e is not None))


def _entry(name: str, path: str, summary: TableSummary, words: Sequence[str]) -> TableEntry | None:
    if not summary.has(word for word in words if word.casefold() not in name.casefold()):
        return None
    problems = sum(p.severity == "problem" for p in summary.problems)
    return TableEntry(
        name=name, title=summary.title, maker=summary.maker, models=summary.models, path=path, problems=problems
    )


def _zipped(path: str) -> TableSummary:
    """A table that isn't a file of its own, as when the program runs from a zip; one that can't be opened any more."""
    try:
        return summary_of_table(*load(path))
    except Refused as refused:
        return TableSummary(problems=refused.problems)


def lines(answer: TablesAnswer) -> list[Block]:
    """The answer for people."""
    good = [(t.name, t.maker, t.title, " ".join(t.models)) for t in answer.tables if not t.problems]
    bad = [
        f"{t.name}: {counted(t.problems, 'problem')}. Type selector check {t.path}" for t in answer.tables if t.problems
    ]
    return [Rows(cells=(("table", "maker", "unit", "models"), *good), headed=True), *bad]
