"""Rooms import only from the rooms below them, and each third-party library stands in one room."""

from __future__ import annotations

import ast
from pathlib import Path

PACKAGE = Path(__file__).parent.parent / "selector"
ROOMS = ["problems", "table", "air", "solve", "job", "transcribe", "page", "card", "cli"]
"""From the lowest; page and card stand side by side."""
LIBRARIES: dict[str, set[str]] = {
    "yaml": {"table"},
    "psychrolib": {"air"},
    "click": {"cli"},
    "tabulate": {"cli"},
    "jsonschema": set(),
    "reportlab": {"card"},
    "segno": {"card"},
    "openpyxl": {"transcribe"},
}


def room_of(module: str) -> str:
    """`table` of selector.table.rows; problems for the modules at the top."""
    parts = module.split(".")
    name = parts[1] if len(parts) > 1 else ""
    return "problems" if name in ("problems", "problem_output", "value", "") else name


def imports() -> list[tuple[str, str, str]]:
    """(file, its room, imported module) for every import in the package, those inside functions too."""
    out: list[tuple[str, str, str]] = []
    for path in sorted(PACKAGE.rglob("*.py")):
        module = ".".join(path.relative_to(PACKAGE.parent).with_suffix("").parts)
        room = "cli" if module == "selector.__main__" else room_of(module)
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Import):
                out.extend((module, room, alias.name) for alias in node.names)
            elif isinstance(node, ast.ImportFrom) and node.module:
                assert node.level == 0, f"{module} imports relatively"
                out.append((module, room, node.module))
    return out


def test_every_room_is_known() -> None:
    rooms = {p.name for p in PACKAGE.iterdir() if p.is_dir() and p.name not in ("__pycache__", "tables", "schemas")}
    assert rooms <= set(ROOMS)


def test_imports_point_downwards() -> None:
    found = imports()
    assert len(found) > 100
    wrong = [
        f"{module} imports {name}" for module, room, name in found if name.startswith("selector.") and ROOMS.index(room_of(name)) > ROOMS.index(room)
    ]
    assert not wrong


def test_each_library_stands_in_one_room() -> None:
    wrong = [
        f"{module} imports {name}" for module, room, name in imports() if (top := name.partition(".")[0]) in LIBRARIES and room not in LIBRARIES[top]
    ]
    assert not wrong


def test_nothing_below_the_command_line_prints() -> None:
    wrong = []
    for path in sorted(PACKAGE.rglob("*.py")):
        if "cli" in path.relative_to(PACKAGE).parts:
            continue
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in ("print", "input"):
                wrong.append(f"{path.name}:{node.lineno}")
    assert not wrong
