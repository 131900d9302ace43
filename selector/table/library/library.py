"""Where tables are: any path, a personal folder, and those shipped with the program."""

from __future__ import annotations

import os
import sys
from contextvars import ContextVar

from selector.problems import Problem, Refused, close_match
from selector.table.model.table import Table

ENDINGS = (".yaml", ".yml")


def personal_folder() -> str:
    """The folder of a person's own tables: SELECTOR_TABLES where it is set, else the platform's data folder."""
    named = os.environ.get("SELECTOR_TABLES")
    if named:
        return os.path.expanduser(named)
    home = os.path.expanduser("~")
    if sys.platform == "win32":
        return os.path.join(os.environ.get("APPDATA", home), "selector", "tables")
    if sys.platform == "darwin":
        return os.path.join(home, "Library", "Application Support", "selector", "tables")
    return os.path.join(os.environ.get("XDG_DATA_HOME", os.path.join(home, ".local", "share")), "selector", "tables")


def shipped_folder(what: str = "tables") -> str:
    """The folder of the files shipped with the program (`tables` or `schemas`): inside the package, or beside it in
    a checkout."""
    here = os.path.dirname(os.path.dirname(os.path.dirname(os.path.abspath(__file__))))
    inside = os.path.join(here, what)
    return inside if os.path.isdir(inside) else os.path.join(os.path.dirname(here), what)


def _zipped(what: str) -> dict[str, str]:
    """name -> text of shipped files when the program runs from a zip."""
    from importlib.resources import files

    out: dict[str, str] = {}
    for base in (files("selector") / what, files("selector") / ".." / what):
        if base.is_dir():
            for entry in base.iterdir():
                if entry.name.endswith((*ENDINGS, ".json", ".md")):
                    out[entry.name] = entry.read_text(encoding="utf-8")
            break
    return out


def shipped_names(what: str) -> list[str]:
    """The names of the shipped tables or schemas, without their endings."""
    folder = shipped_folder(what)
    files = os.listdir(folder) if os.path.isdir(folder) else list(_zipped(what))
    return sorted({os.path.splitext(n)[0] for n in files if n.endswith((*ENDINGS, ".json"))})


def shipped_text(what: str, name: str) -> str | None:
    """The text of a shipped file, None if there is none of that name."""
    path = os.path.join(shipped_folder(what), name)
    if os.path.isfile(path):
        with open(path, encoding="utf-8") as f:
            return f.read()
    return None if os.path.isdir(shipped_folder(what)) else _zipped(what).get(name)


def table_name(path: str) -> str:
    """The name of a table: its file's name without the ending."""
    base = os.path.basename(path)
    return base[:-5] if base.endswith(".yaml") else base[:-4] if base.endswith(".yml") else base


def listed() -> dict[str, list[str]]:
    """Name -> paths of the tables in the personal folder, folders in it too, and of those shipped; more than one path
    where a name is used twice."""
    out: dict[str, list[str]] = {}
    for top in (personal_folder(), shipped_folder()):
        for folder, inner, entries in os.walk(top):
            inner[:] = sorted(name for name in inner if not name.startswith("."))
            for entry in sorted(entries):
                if entry.endswith(ENDINGS):
                    out.setdefault(table_name(entry), []).append(os.path.join(folder, entry))
    if not os.path.isdir(shipped_folder()):
        for entry in sorted(_zipped("tables")):
            if entry.endswith(ENDINGS):
                out.setdefault(table_name(entry), []).append(entry)
    return out


def path_of(name: str) -> str:
    """The path a name or path stands for. Raises Refused for a name that no table or two tables have."""
    if name == "-" or os.sep in name or "/" in name or name.endswith(ENDINGS) or os.path.exists(name):
        return name
    tables = listed()
    paths = tables.get(name) or next((p for n, p in tables.items() if n.casefold() == name.casefold()), None)
    if paths is None:
        near = close_match(name, list(tables))
        raise Refused(
            [
                Problem(
                    file=name,
                    line=0,
                    column=0,
                    code="no-such-table",
                    message=f"there is no table called {name}",
                    help=f"did you mean {near}?"
                    if near
                    else "selector list shows the tables; or give the path of a file",
                )
            ]
        )
    if len(paths) > 1:
        raise Refused(
            [
                Problem(
                    file=name,
                    line=0,
                    column=0,
                    code="two-tables-of-one-name",
                    message=f"two tables are called {name}: {paths[0]} and {paths[1]}",
                    help="give the path of the one you mean",
                )
            ]
        )
    return paths[0]


ASKED_UNITS: ContextVar[str] = ContextVar("asked_units", default="")
"""The units that answers were asked for in (`--units`): tables are read in them. Empty: as they are printed."""


def load(name: str) -> tuple[Table, tuple[Problem, ...]]:
    """The checked table of a name or path, with its remarks, in the units asked for. Raises Refused with every
    problem."""
    path = path_of(name)
    if not os.path.exists(path) and not os.path.isdir(shipped_folder()) and path in (zipped := _zipped("tables")):
        from selector.table.from_file.build import build_table
        from selector.table.source import source_from_text

        table, report = build_table(source_from_text(zipped[path], path), table_name(path))
        remarks = tuple(sorted(report.problems))
    else:
        from selector.table.library.known_tables import table_of_file

        table, remarks = table_of_file(path, table_name(path))
    units = ASKED_UNITS.get()
    if units:
        from selector.table.model.in_units import in_units, units_named

        table = in_units(table, units_named(units, table.units))
    return table, remarks
