"""Many tables, one after another in a stable order, with how far it has got."""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Sequence

from selector.problems import Problem, Refused
from selector.review.review import Review, review
from selector.table.library.index import kept_of
from selector.table.library.library import ENDINGS, load
from selector.table.model.table import Table
from selector.value import Struct, replace


class Checked(Struct, frozen=True, kw_only=True):
    """One table of many: `refused` where it can't be read. `problems` hold remarks too."""

    path: str
    refused: bool
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
    paths: Sequence[str], *, kept: bool = True, told: Callable[[int, int], None] | None = None
) -> list[Checked]:
    """Each table read and reviewed, in the order given; a table that can't be read doesn't stop the others. What is
    known of a file's content is taken from the index of reviews (`kept` False: read anew); `told` hears how many of
    those that had to be read are done."""
    known = kept_of(paths, "reviews", Checked, checked, kept=kept, told=told)
    return [
        replace(one, path=path, problems=tuple(replace(p, file=path) for p in one.problems))
        for path in paths
        for one in [known[path] if path in known else checked(path)]
    ]


def checked(path: str) -> Checked:
    """One table read and reviewed now."""
    return checked_table(path)[0]


def checked_table(path: str) -> tuple[Checked, Table | None]:
    """The same with the table, None where it was refused."""
    try:
        table, remarks = load(path)
    except Refused as refused:
        return Checked(path=path, refused=True, problems=refused.problems, review=Review(findings=())), None
    return Checked(path=path, refused=False, problems=remarks, review=review(table)), table
