"""Rooms and the folders inside them import only from below, and each third-party library stands behind one place."""

from __future__ import annotations

import ast
import re
from collections import Counter, defaultdict
from functools import cache
from pathlib import Path

PACKAGE = Path(__file__).parent.parent / "selector"
ROOMS = [
    {"value"},
    {"units", "problems"},
    {"problem_lines", "amount", "text_table"},
    {"table"},
    {"air"},
    {"solve"},
    {"judge"},
    {"job"},
    {"transcribe", "review"},
    {"draw"},
    {"answers"},
    {"pocket", "card", "survey"},
    {"published"},
    {"functions", "cli"},
    {"__main__"},
]
"""From the lowest; rooms in one set don't import each other. The package's own face, `selector`, imports nothing."""
LIBRARIES = {
    "yaml": "table.text",
    "psychrolib": "air",
    "click": "cli",
    "tabulate": "cli",
    "msgspec": "value",
    "reportlab": "card",
    "segno": "card",
    "openpyxl": "transcribe.cells",
    "pyarrow": "survey.columns",
    "duckdb": "survey.duck",
    "pyspark": "survey.spark",
}
"""The folder (or module) that a library stands in; those below it count too. No other third-party library is
imported."""
NO_NAMES = """
against eased beside standing taken_in objections narrowed settled leaves kept pieces known spoken_rest sound single
asked metric misc utils helpers
"""
"""Prepositions, participles and in-jokes: no module is called so."""
OWN = re.compile(r"selector(\.|$)")


@cache
def files() -> dict[str, Path]:
    """module without `selector.` -> its file."""
    named = {".".join(p.relative_to(PACKAGE).with_suffix("").parts): p for p in sorted(PACKAGE.rglob("*.py"))}
    return {name.removesuffix(".__init__"): path for name, path in named.items() if name != "__init__"}


@cache
def nodes() -> dict[str, tuple[ast.AST, ...]]:
    """module -> every node of its source that the tests below ask about; read once."""
    wanted = (ast.Import, ast.ImportFrom, ast.Constant, ast.Call)
    return {
        module: tuple(n for n in ast.walk(ast.parse(path.read_text(encoding="utf-8"))) if isinstance(n, wanted))
        for module, path in files().items()
    }


@cache
def imports() -> list[tuple[str, str]]:
    """(module, what it imports) for every import in the package: inside functions, for type checkers, and of modules
    named as text (`import_module`) too."""
    out: list[tuple[str, str]] = []
    there = files()
    for module in there:
        for node in nodes()[module]:
            if isinstance(node, ast.Import):
                out.extend((module, alias.name) for alias in node.names)
            elif isinstance(node, ast.Constant) and isinstance(node.value, str) and OWN.match(node.value):
                named = node.value.removeprefix("selector.")
                out.extend((module, f"selector.{n}") for n in (named, named.rpartition(".")[0]) if n in there)
            elif isinstance(node, ast.ImportFrom) and node.module:
                assert node.level == 0, f"{module} imports relatively"
                inner = node.module.removeprefix("selector").removeprefix(".")
                for alias in node.names:
                    full = f"{inner}.{alias.name}".removeprefix(".")
                    out.append(
                        (module, f"selector.{full}" if OWN.match(node.module) and full in there else node.module)
                    )
    return out


def own_arrows() -> list[tuple[str, str]]:
    """(module, module) within the package, the package's own face left out."""
    return [(a, b.removeprefix("selector.")) for a, b in imports() if b.startswith("selector.")]


def folder(module: str) -> str:
    """`table.text` of table.text.words; the module itself where it lies at the top, of the package or of the command
    line."""
    if module == "cli.main":
        return module
    path = files().get(module)
    inside = module if path is not None and path.name == "__init__.py" else module.rpartition(".")[0]
    return inside or module


def height(module: str) -> int:
    """The floor of a module's room."""
    room = module.partition(".")[0]
    return next(i for i, rooms in enumerate(ROOMS) if room in rooms)


def circles_of(below: dict[str, set[str]]) -> dict[str, list[str]]:
    """What is left once everything that stands on firm ground is taken away, floor by floor."""
    done: set[str] = set()
    while free := {f for f in below if f not in done and all(g in done or g not in below for g in below[f])}:
        done |= free
    return {f: sorted(below[f] - done) for f in below if f not in done}


def test_every_room_is_known() -> None:
    assert {name.partition(".")[0] for name in files()} == set().union(*ROOMS)


def test_rooms_import_from_below() -> None:
    arrows = own_arrows()
    assert len(arrows) > 1000
    wrong = [
        f"{a} imports {b}" for a, b in arrows if a.partition(".")[0] != b.partition(".")[0] and height(b) >= height(a)
    ]
    assert not wrong


def test_folders_stand_on_each_other_without_a_circle() -> None:
    below: dict[str, set[str]] = defaultdict(set)
    for a, b in own_arrows():
        if folder(a) != folder(b):
            below[folder(a)].add(folder(b))
    assert not circles_of(below)


def test_modules_import_each_other_in_no_circle() -> None:
    below: dict[str, set[str]] = defaultdict(set)
    for a, b in own_arrows():
        below[a].add(b)
    assert not circles_of(below)


def test_a_module_s_name_says_what_is_in_it() -> None:
    never = set(NO_NAMES.split())
    assert not [name for name in files() if never & set(name.split("."))]


def test_each_library_stands_in_one_place() -> None:
    wrong = []
    for module, name in imports():
        top = name.partition(".")[0]
        place = LIBRARIES.get(top)
        if place is not None and module != place and not module.startswith(place + "."):
            wrong.append(f"{module} imports {name}")
    assert not wrong


def test_a_folder_is_seen_at_a_glance() -> None:
    """About fifteen files; folders of like things (commands, kinds, checks, slips) may hold more."""
    held = Counter(p.parent for p in files().values() if p.name != "__init__.py")
    alike = {"commands", "kinds", "checks", "slips"}
    assert not {str(d.relative_to(PACKAGE)): n for d, n in held.items() if n > 16 and d.name not in alike}


def test_a_public_type_has_one_name() -> None:
    homes: dict[str, list[str]] = defaultdict(list)
    for module, path in files().items():
        for name in re.findall(r"^class ([A-Za-z]\w*)", path.read_text(encoding="utf-8"), re.MULTILINE):
            homes[name].append(module)
    assert len(homes) > 500
    assert not {name: where for name, where in homes.items() if len(where) > 1}


def test_nothing_below_the_command_line_prints() -> None:
    wrong = []
    for module in files():
        if module.startswith("cli"):
            continue
        for node in nodes()[module]:
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in ("print", "input"):
                wrong.append(f"{module}:{node.lineno}")
    assert not wrong


def test_lines_of_scripts_and_styles_are_short() -> None:
    """At most 120 characters; ruff holds the lines of Python."""
    scripts = [p for p in PACKAGE.rglob("*") if p.suffix in (".js", ".css")]
    assert scripts
    assert not [
        f"{p.name}:{n}"
        for p in scripts
        for n, line in enumerate(p.read_text(encoding="utf-8").splitlines(), 1)
        if len(line) > 120
    ]
