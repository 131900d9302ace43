"""Tables that were read before, without reading YAML again.

Each is kept with the text it was made of and the signs of the program that made it, and counts for these alone: a table
is never older than its file.
"""

from __future__ import annotations

import os
from contextlib import suppress
from functools import cache
from zlib import crc32

from selector.problems import Problem
from selector.table.library.cache import cache_folder, in_use, keep, read_kept
from selector.table.library.program import reader_signs
from selector.table.model.as_json import plain_of, value_of
from selector.table.model.table import Table
from selector.table.source import lines_of, read_bytes
from selector.value import Struct, json_of, of_json, replace

_FOLDER = "built"
_MOST = 20_000
"""Tables kept at most; where there are more, the older half goes."""


class _Kept(Struct, frozen=True, kw_only=True):
    """A table as it was made: of this text, by a program with these signs. `remarks` without their file."""

    signs: str
    text: str
    table: dict[str, object]
    remarks: tuple[Problem, ...]


def table_of_file(path: str, name: str) -> tuple[Table, tuple[Problem, ...]]:
    """The checked table of a file and its remarks. Raises Refused with every problem."""
    if path == "-" or not in_use():
        return _read(path, name)
    data = read_bytes(path)
    at = f"{name}-{crc32(os.path.abspath(path).encode('utf-8', 'surrogateescape')):08x}.json"
    known = _known(at, data, path, name)
    if known is None:
        known = _read(path, name, data)
        _keep(at, data, *known)
    return known


def _read(path: str, name: str, data: bytes | None = None) -> tuple[Table, tuple[Problem, ...]]:
    from selector.table.from_file.build import build_table
    from selector.table.source import read_source, source_from_bytes

    table, report = build_table(read_source(path) if data is None else source_from_bytes(data, path), name)
    return table, tuple(sorted(report.problems))


def _known(at: str, data: bytes, path: str, name: str) -> tuple[Table, tuple[Problem, ...]] | None:
    """What is kept, None where it is of another text or program, or can't be understood."""
    found = read_kept(_FOLDER, at)
    if found is None:
        return None
    try:
        kept = of_json(found, _Kept)
        if kept.signs != reader_signs() or kept.text != (text := data.decode()):
            return None
        table = value_of({**kept.table, "file": path, "name": name, "lines": None})
        assert isinstance(table, Table)
    except (ValueError, KeyError, TypeError, IndexError, ArithmeticError, AssertionError, RecursionError):
        return None
    return replace(table, lines=lines_of(text)), tuple(replace(p, file=path) for p in kept.remarks)


def _keep(at: str, data: bytes, table: Table, remarks: tuple[Problem, ...]) -> None:
    _make_room()
    said = plain_of(replace(table, file="", name="", lines=()))
    remarks = tuple(replace(p, file="") for p in remarks)
    keep(json_of(_Kept(signs=reader_signs(), text=data.decode(), table=said, remarks=remarks)), _FOLDER, at)


@cache
def _make_room() -> None:
    """Once for each run that keeps a table: of too many that are kept, the older half goes."""
    folder = os.path.join(cache_folder(), _FOLDER)
    with suppress(OSError):
        names = os.listdir(folder)
        if len(names) > _MOST:
            age = {name: os.stat(os.path.join(folder, name)).st_mtime_ns for name in names}
            for name in sorted(names, key=age.__getitem__)[: len(names) // 2]:
                os.unlink(os.path.join(folder, name))
