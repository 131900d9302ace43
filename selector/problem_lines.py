"""Problems as text: for people, one line each, JSON, and SARIF 2.1.0. Pure functions from problems to a string."""

from __future__ import annotations

import json as _json
import unicodedata
from collections.abc import Callable, Iterable
from pathlib import PurePath
from textwrap import wrap
from urllib.parse import quote

from selector.problems import Problem
from selector.value import data_of, replace

_WIDEST = 120
"""Most characters of a source line that are shown to people."""

_SARIF_SCHEMA = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"


def people(problems: Iterable[Problem], columns: int = 0) -> str:
    """Each problem with its place, its source line, a caret under the place, and what to type instead; a blank line
    between two. Folded to so many columns (0: not at all); a source line stays whole."""
    return "\n".join(_for_people(problem, columns) for problem in sorted(problems))


def lines(problems: Iterable[Problem]) -> str:
    """`file:line:column: code: message`, one line a problem, as editors and compilers' tools read it."""
    return "".join(f"{_place(problem)}: {problem.code}: {_one_line(problem.message)}\n" for problem in sorted(problems))


def json(problems: Iterable[Problem]) -> str:
    """`{"version": 2, "problems": [...]}`; line and column count from 1, 0 means the whole file."""
    listed = [data_of(replace(problem, file=_printable(problem.file))) for problem in sorted(problems)]
    return _json.dumps({"version": 2, "problems": listed}, indent=2) + "\n"


def sarif(problems: Iterable[Problem]) -> str:
    """A SARIF 2.1.0 log with one run: a problem is an `error`, a remark a `note`; columns count Unicode code points."""
    ordered = sorted(problems)
    codes = sorted({problem.code for problem in ordered})
    rules = [{"id": code, "shortDescription": {"text": code.replace("-", " ").capitalize() + "."}} for code in codes]
    run = {
        "tool": {"driver": {"name": "selector", "rules": rules}},
        "columnKind": "unicodeCodePoints",
        "results": [_sarif_result(problem, codes.index(problem.code)) for problem in ordered],
    }
    return _json.dumps({"$schema": _SARIF_SCHEMA, "version": "2.1.0", "runs": [run]}, indent=2) + "\n"


FORMATS: dict[str, Callable[[Iterable[Problem]], str]] = {
    "people": people,
    "lines": lines,
    "json": json,
    "sarif": sarif,
}


def _for_people(problem: Problem, columns: int) -> str:
    word = "" if problem.severity == "problem" else f"{problem.severity}: "
    text = _folded(f"{_place(problem)}: {word}{_one_line(problem.message)}", columns)
    if problem.source and problem.line:
        text += [f"    {row}".rstrip() for row in _source_and_caret(problem)]
    if problem.help:
        rows = _printable(problem.help, keep="\n").split("\n")
        text += [line for row in rows for line in _folded(f"  {row}", columns)]
    return "\n".join(text) + "\n"


def _folded(text: str, columns: int) -> list[str]:
    """A line in lines of so many columns, the later ones indented by two blanks more; nothing is cut."""
    hang = " " * (len(text) - len(text.lstrip()) + 2)
    whole = len(text) <= columns or not columns
    return [text] if whole else wrap(text, columns, subsequent_indent=hang, break_long_words=False)


def _place(problem: Problem) -> str:
    """`file`, `file:line` or `file:line:column`, as far as it is known."""
    numbers = (
        (problem.line, problem.column) if problem.line and problem.column else (problem.line,) if problem.line else ()
    )
    return ":".join([_printable(problem.file), *map(str, numbers)])


def _source_and_caret(problem: Problem) -> tuple[str, ...]:
    """The source line, cut around the place if it is long, and the line of carets; tabs stay tabs in both, wide
    characters get two carets."""
    source = "".join(char if char == "\t" or char.isprintable() else "\ufffd" for char in problem.source)
    if not problem.column:
        return (source[:_WIDEST] + ("..." if len(source) > _WIDEST else ""),)
    at = problem.column - 1
    start = 0 if at < _WIDEST - 20 else at - _WIDEST // 2
    shown = source[start : start + _WIDEST]
    before, cut = shown[: at - start], "..." if start else ""
    pad = cut and "   "
    pad += "".join("\t" if char == "\t" else " " * _cells(char) for char in before) + " " * max(
        0, at - start - len(before)
    )
    carets = sum(_cells(char) for char in shown[at - start : at - start + problem.length])
    return cut + shown + ("..." if start + _WIDEST < len(source) else ""), pad + "^" * max(1, carets)


def _cells(char: str) -> int:
    """How many places of a terminal a character takes: 0, 1 or 2 (Unicode Standard Annex 11)."""
    if unicodedata.combining(char) or unicodedata.category(char) in ("Cf", "Me", "Mn"):
        return 0
    return 2 if unicodedata.east_asian_width(char) in "WF" else 1


def _one_line(text: str) -> str:
    return _printable(" ".join(text.split()))


def _printable(text: str, keep: str = "") -> str:
    """The text with what would disturb a terminal (control characters, half characters of a file name) written as
    `\\x1b`."""
    if text.isprintable():
        return text
    return "".join(
        char if char.isprintable() or char in keep else char.encode("unicode_escape").decode("ascii") for char in text
    )


def _sarif_result(problem: Problem, rule: int) -> dict[str, object]:
    message = f"{problem.message}\n{problem.help}" if problem.help else problem.message
    place: dict[str, object] = {"artifactLocation": {"uri": _uri(problem.file)}}
    if problem.line:
        region: dict[str, object] = {"startLine": problem.line}
        if problem.column:
            region |= {"startColumn": problem.column, "endColumn": problem.column + max(1, problem.length)}
        if problem.source:
            region["snippet"] = {"text": problem.source}
        place["region"] = region
    return {
        "ruleId": problem.code,
        "ruleIndex": rule,
        "level": "error" if problem.severity == "problem" else "note",
        "message": {"text": message},
        "locations": [{"physicalLocation": place}],
    }


def _uri(file: str) -> str:
    """A file name as a URI reference (RFC 3986): relative names stay relative, absolute ones get `file:`."""
    path = PurePath(file)
    if path.is_absolute() and "\0" not in file:
        return (
            path.as_uri()
            if file.isprintable()
            else "file://" + quote(path.as_posix().encode("utf-8", "surrogateescape"))
        )
    return quote(path.as_posix().encode("utf-8", "surrogateescape") if file.isprintable() else _printable(file))
