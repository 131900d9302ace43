"""The codes of problems that the reading of tables can tell, gathered from its source."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

TABLE = Path(__file__).parents[2] / "selector" / "table"
_CODE = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")
_PLACE = {"at": 1, "add": 2, "unknown": 2, "tell": 0}
"""Which argument of a call is the code."""
_LISTS = ("model", "stage", "terminal", "lead", "position", "value")
MADE = {
    "bad-{}": _LISTS,
    "doubled-{}": _LISTS,
    "too-few-{}s": ("position", "value"),
    "unsigned-{}": ("trim", "offset"),
    "signed-{}": (
        "airflow",
        "tons",
        "airflow-per-ton",
        "temperature-rise",
        "share",
        "reduction",
        "least-airflow",
        "most-airflow",
        "heat-input",
        "heater-power",
        "nozzle-rate",
        "seconds",
        "watts",
        "speed",
    ),
}
"""Codes that are put together: what stands in the braces."""


def codes() -> set[str]:
    """Every code of the modules that read the grammar, build the table and check it; those of slips, of files and of
    places are not among them."""
    out: set[str] = set()
    for path in sorted(TABLE.rglob("*.py")):
        if "slips" in path.parts or path.name in ("located.py", "source.py", "library.py"):
            continue
        for pattern in _codes_of(ast.parse(path.read_text(encoding="utf-8"))):
            out.update(pattern.replace("{}", word) for word in MADE[pattern]) if "{}" in pattern else out.add(pattern)
    return out


def _codes_of(tree: ast.Module) -> Iterator[str]:
    """Texts shaped like a code, where they are handed to a report, returned as a fault, or chosen between."""
    for node in ast.walk(tree):
        places: list[ast.expr] = []
        if isinstance(node, ast.Call):
            name = (
                node.func.attr
                if isinstance(node.func, ast.Attribute)
                else node.func.id
                if isinstance(node.func, ast.Name)
                else ""
            )
            at = _PLACE.get(name, len(node.args))
            places = [*node.args[at : at + 1], *(k.value for k in node.keywords if k.arg == "code")]
        elif isinstance(node, ast.Return) and isinstance(node.value, ast.Tuple):
            places = [e for e in node.value.elts[:1] if "-" in _text(e)]
        elif isinstance(node, ast.Assign) and isinstance(node.value, ast.IfExp):
            chosen = (node.value.body, node.value.orelse)
            places = [e for c in chosen if isinstance(c, ast.Tuple) for e in c.elts[:1] if "-" in _text(e)]
        for place in places:
            for inner in (place.body, place.orelse) if isinstance(place, ast.IfExp) else (place,):
                text = _text(inner)
                if _CODE.fullmatch(text.replace("{}", "x")):
                    yield text


def _text(node: ast.expr) -> str:
    """A text, with `{}` where something is put in."""
    if isinstance(node, ast.Constant):
        return str(node.value)
    if isinstance(node, ast.JoinedStr):
        return "".join(str(v.value) if isinstance(v, ast.Constant) else "{}" for v in node.values)
    return ""
