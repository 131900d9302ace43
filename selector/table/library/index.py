"""What is known of each table of a library without reading it again: an index in a person's cache folder.

It is keyed by the content of the files and by the program, holds nothing but JSON, and may be deleted at any time. A
file whose size, times and number are those that were seen is not opened; one that was written just before the index was
is looked at again, since its time may stay the same.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Sequence
from concurrent.futures import ProcessPoolExecutor
from contextlib import suppress
from hashlib import blake2b
from time import time_ns
from typing import Any, Generic, TypeVar

from selector.problems import Problem, Refused
from selector.table.library.cache import in_use, keep, read_kept
from selector.table.library.known_tables import table_of_file
from selector.table.library.library import table_name
from selector.table.library.program import program_mark
from selector.table.model.table import Table
from selector.value import Struct, json_of, of_json, replace

_Known = TypeVar("_Known")
_TABLES = "tables"
_JUST_NOW_NS = 2_000_000_000
_MANY = 100
"""From so many tables on both cores read them."""


class TableSummary(Struct, frozen=True, kw_only=True):
    """One table file: what it is, how much is in it, every problem and remark (their `file` is empty). `names`: those
    that marks may be typed behind (`Table.mark_names`)."""

    title: str = ""
    maker: str = ""
    models: tuple[str, ...] = ()
    marks: tuple[str, ...] = ()
    names: tuple[str, ...] = ()
    selectors: int = 0
    charts: int = 0
    figures: int = 0
    calls: int = 0
    problems: tuple[Problem, ...] = ()

    @property
    def refused(self) -> bool:
        """True where the table can't be read."""
        return any(p.severity == "problem" for p in self.problems)

    def problems_of(self, path: str) -> tuple[Problem, ...]:
        """The problems, with the file they are in."""
        return tuple(replace(p, file=path) for p in self.problems)

    def has(self, words: Iterable[str]) -> bool:
        """True where each word stands in the maker, the title, a model or a mark (selectors, part numbers); case is
        ignored."""
        said = " ".join((self.maker, self.title, *self.models, *self.marks)).casefold()
        return all(word.casefold() in said for word in words)


class _Seen(Struct, frozen=True, array_like=True):
    """A file as it was: size, times in ns, its number, the mark of its content."""

    size: int
    changed: int
    moved: int
    number: int
    content: str


class _Index(Struct, Generic[_Known], frozen=True, kw_only=True):
    """The file of an index."""

    program: str
    written: int
    files: dict[str, _Seen]
    known: dict[str, _Known]


def summaries(
    paths: Sequence[str],
    *,
    kept: bool = True,
    told: Callable[[int, int], None] | None = None,
    tables: bool = False,
) -> dict[str, TableSummary]:
    """The summary of every file that can be opened. `kept` False: without the index. `told` hears how many of those
    that had to be read are done. `tables`: a table that has to be read is kept too, for who takes many of them next."""
    make = _summary_and_table if tables and kept else summary_of
    return kept_of(paths, _TABLES, TableSummary, make, kept=kept, told=told)


def kept_of(
    paths: Sequence[str],
    name: str,
    shape: type[_Known],
    make: Callable[[str], _Known],
    *,
    kept: bool = True,
    told: Callable[[int, int], None] | None = None,
) -> dict[str, _Known]:
    """What `make` makes of every file that can be opened, out of the index of this name as far as it is there; it
    follows from the content alone, and is a value of the `shape`, which JSON can hold. `kept`, `told`: as in
    `summaries`."""
    kept = kept and in_use()
    index = _read(name, shape) if kept else None
    known = dict(index.known) if index is not None else {}
    seen: dict[str, _Seen] = {}
    whole: dict[str, str] = {}
    missing: dict[str, str] = {}
    folders: dict[str, str] = {}
    for path in paths:
        with suppress(OSError):
            folder, file = os.path.split(path)
            if folder not in folders:
                folders[folder] = os.path.abspath(folder)
            whole[path] = os.path.join(folders[folder], file)
            seen[path] = one = _seen(whole[path], index)
            if one.content not in known:
                missing.setdefault(one.content, path)
    for n, (content, made) in enumerate(zip(missing, _made(list(missing.values()), make), strict=True), 1):
        known[content] = made
        if told is not None:
            told(n, len(missing))
    files = {whole[path]: one for path, one in seen.items()}
    if kept and (missing or index is None or any(index.files.get(path) is not one for path, one in files.items())):
        _write(name, index, files, known)
    return {path: known[one.content] for path, one in seen.items()}


def summary_of(path: str) -> TableSummary:
    """The summary of one file, read now."""
    from selector.table.from_file.build import build_table
    from selector.table.source import read_source

    try:
        table, report = build_table(read_source(path), table_name(path))
    except Refused as refused:
        return TableSummary(problems=_placeless(refused.problems))
    return summary_of_table(table, tuple(sorted(report.problems)))


def _summary_and_table(path: str) -> TableSummary:
    try:
        return summary_of_table(*table_of_file(path, table_name(path)))
    except Refused as refused:
        return TableSummary(problems=_placeless(refused.problems))


def summary_of_table(table: Table, remarks: tuple[Problem, ...]) -> TableSummary:
    """The summary of a table with its remarks."""
    unit = table.unit
    return TableSummary(
        title=unit.title,
        maker=unit.maker,
        models=unit.models,
        marks=(*table.selectors, *unit.applies_to.values(), unit.manual),
        names=table.mark_names,
        selectors=len(table.selectors),
        charts=len(table.printed_charts),
        figures=sum(len(row.cells) for chart in table.printed_charts for row in chart.rows),
        calls=len(table.calls),
        problems=_placeless(remarks),
    )


def _placeless(problems: Iterable[Problem]) -> tuple[Problem, ...]:
    return tuple(replace(p, file="") for p in problems)


def _made(paths: Sequence[str], make: Callable[[str], _Known]) -> Iterable[_Known]:
    """Each file read, by all cores where there are many."""
    if len(paths) < _MANY or (os.cpu_count() or 1) < 2:
        return map(make, paths)
    return _by_all_cores(paths, make)


def _by_all_cores(paths: Sequence[str], make: Callable[[str], _Known]) -> Iterable[_Known]:
    with ProcessPoolExecutor() as pool:
        yield from pool.map(make, paths, chunksize=16)


def _seen(path: str, index: _Index[Any] | None) -> _Seen:
    """A file as it is now; opened only where it isn't the one that was seen."""
    at = os.stat(path)
    now = (at.st_size, at.st_mtime_ns, at.st_ctime_ns, at.st_ino)
    before = index.files.get(path) if index is not None else None
    long_ago = index is not None and max(now[1], now[2]) < index.written - _JUST_NOW_NS
    if before is not None and long_ago and now == (before.size, before.changed, before.moved, before.number):
        return before
    with open(path, "rb") as file:
        content = blake2b(file.read(), digest_size=16).hexdigest()
    return _Seen(*now, content)


def _read(name: str, shape: type[_Known]) -> _Index[_Known] | None:
    """The index, None where there is none, it can't be understood, or another program wrote it."""
    found = read_kept(f"{name}.json")
    if found is None:
        return None
    try:
        index: _Index[_Known] = of_json(found, _Index[shape])  # type: ignore[valid-type]
    except ValueError:
        return None
    return index if index.program == program_mark() else None


def _write(name: str, index: _Index[_Known] | None, files: dict[str, _Seen], known: dict[str, _Known]) -> None:
    """The index anew."""
    older = {path: one for path, one in (index.files if index is not None else {}).items() if path not in files}
    every = {**{path: one for path, one in older.items() if os.path.exists(path)}, **files}
    used = {one.content for one in every.values()}
    new = _Index(
        program=program_mark(),
        written=time_ns(),
        files=every,
        known={content: summary for content, summary in known.items() if content in used},
    )
    keep(json_of(new), f"{name}.json")
