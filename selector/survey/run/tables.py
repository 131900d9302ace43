"""The tables that records may name: those of the library, and files and folders named beside it. A name in a record is
never a path."""

from __future__ import annotations

import os
from collections.abc import Sequence
from hashlib import blake2b

from selector.problems import Problem, Refused, close_match
from selector.review.folder import tables_in
from selector.table.library.library import listed, load, table_name
from selector.table.model.table import Table


class KnownTables:
    """Loads tables by name; `marks` tells the content of each that was loaded."""

    def __init__(self, more: Sequence[str] = ()) -> None:
        """`more`: table files and folders, which come before those of the library."""
        self.marks: dict[str, str] = {}
        self._paths = {name: tuple(paths) for name, paths in listed().items()}
        own: dict[str, list[str]] = {}
        for path in tables_in(more):
            own.setdefault(table_name(path), []).append(path)
        self._paths |= {name: tuple(paths) for name, paths in own.items()}
        self._folded = {name.casefold(): name for name in self._paths}

    def load(self, name: str) -> Table:
        """The table of a name, case ignored. Raises Refused where there is none, two, or one with mistakes."""
        known = self._folded.get(name.casefold())
        if known is None:
            near = close_match(name, self._paths)
            raise _refused(f"there is no table `{name}`", f"did you mean `{near}`?" if near else "")
        paths = self._paths[known]
        if len(paths) > 1:
            raise _refused(f"two tables are called {known}", "name one of them with --tables")
        try:
            table, _ = load(paths[0])
        except Refused as refused:
            message = f"{paths[0]} has {len(refused.problems)} mistakes"
            raise _refused(message, f"selector check {paths[0]}") from refused
        self.marks[name] = self.mark(name)
        return table

    def mark(self, name: str) -> str:
        """A mark of a table's content; empty where there is none."""
        known = self._folded.get(name.casefold())
        path = self._paths[known][0] if known is not None else ""
        if not os.path.isfile(path):
            return ""
        with open(path, "rb") as file:
            return blake2b(file.read(), digest_size=16).hexdigest()


def _refused(message: str, help: str) -> Refused:
    return Refused([Problem(file="records", line=0, column=0, code="no-such-table", message=message, help=help)])
