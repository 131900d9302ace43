"""Many tables, one after another in a stable order, with how far it has got."""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Iterator, Sequence

from selector.problems import Problem, Refused
from selector.review.review import Review, review
from selector.table.library.library import ENDINGS, load
from selector.table.model.table import Table
from selector.value import Struct


class Checked(Struct, frozen=True, kw_only=True):
    """One table of many: `done` of `count` with it. `table` is None where it was refused; `problems` hold remarks
    too."""

    path: str
    done: int
    count: int
    table: Table | None
    problems: tuple[Problem, ...]
    review: Review


def tables_in(paths: Sequence[str]) -> tuple[str, ...]:
    """The table files of files and folders (folders within them too), each once; numbers in names are ordered as
    numbers, so order never jumps."""
    found: dict[str, None] = {}
    for path in paths:
        if os.path.isdir(path):
            for folder, inner, files in os.walk(path):
                inner[:] = sorted((d for d in inner if not d.startswith(".")), key=natural)
                for name in sorted(files, key=natural):
                    if name.endswith(ENDINGS) and not name.startswith("."):
                        found.setdefault(os.path.join(folder, name))
        else:
            found.setdefault(path)
    return tuple(found)


def natural(name: str) -> tuple[tuple[int, int, str], ...]:
    """A key that puts `k-9` before `k-14`, capitals beside small letters, and never leaves two names level."""
    pieces = tuple(
        (0, int(p), "") if p.isdecimal() and p.isascii() else (1, 0, p.casefold())
        for p in re.split(r"(\d+)", name)
        if p
    )
    return (*pieces, (2, 0, name))


def check_each(
    paths: Sequence[str], read: Callable[[str], tuple[Table, tuple[Problem, ...]]] = load
) -> Iterator[Checked]:
    """Each table read and reviewed, in the order given; a table that can't be read doesn't stop the others."""
    for done, path in enumerate(paths, start=1):
        try:
            table, remarks = read(path)
        except Refused as refused:
            yield Checked(
                path=path,
                done=done,
                count=len(paths),
                table=None,
                problems=refused.problems,
                review=Review(findings=()),
            )
            continue
        yield Checked(path=path, done=done, count=len(paths), table=table, problems=remarks, review=review(table))
