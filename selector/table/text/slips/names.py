"""Names at the start of a line: where the colon ends one, and which one was meant where the colon is missing."""

from __future__ import annotations

import re

from selector.value import Struct

_COLON = re.compile(r":(?= |$)")
_QUOTED = re.compile(r'"(?:[^"\\]|\\.)*"|\'(?:[^\']|\'\')*\'')
_TIGHT = re.compile(r"([^\W\d][^:]*):(?!//)(?=[^ ])")
_OTHER_COLON = re.compile(r"([^\W\d][\w.-]*(?: +[\w.-]+)*) *[=;\uff1a] *(.*)")
_BEFORE_BRACE = re.compile(r"(.*[^ :]) +(?=[{\[])")
_LONG_NAME = re.compile(
    "(?:heat input|heat output|heat per gallon|temperature rise|outlet limit|heater voltage|nozzle pressure|pump"
    " pressure|plate static|static pressure|firing rate|not used|leave at|holds up to|on delay|off delay|applies"
    " to|airflow means|at least|at most|round up|round down)(?= |$)",
    re.IGNORECASE,
)
"""Names of more than one word, to tell where a colon is missing."""


class Name(Struct):
    """A name, the column where it starts, and the column from which its value may begin; columns count from 0."""

    text: str
    column: int
    value: int = 0


def name_at(line: str, column: int) -> Name | None:
    """The name that a colon and a blank (or the line's end) close here, if there is one."""
    if line[column] in "\"'":
        quoted = _QUOTED.match(line, column)
        if not quoted:
            return None
        colon = skip_blanks(line, quoted.end())
        if line[colon : colon + 1] == ":" and line[colon + 1 : colon + 2] in ("", " "):
            return Name(quoted[0][1:-1], column, colon + 1)
        return None
    if line[column] in "{[":
        return None
    found = _COLON.search(line, column, comment_column(line, column))
    return Name(line[column : found.start()].rstrip(" "), column, found.end()) if found else None


def starts_with_name(line: str) -> bool:
    """Whether the line begins with a name and a colon, perhaps after the dash of a list item."""
    column = skip_blanks(line, 0)
    while line[column : column + 2] == "- ":
        column = skip_blanks(line, column + 2)
    return column < len(line) and line[column] != "#" and name_at(line, column) is not None


def has_tight_colon(text: str) -> bool:
    """Whether the text begins like `count:8`."""
    return _TIGHT.match(text) is not None


def has_other_colon(text: str) -> bool:
    """Whether the text begins like `count = 8` or `count; 8`."""
    return _OTHER_COLON.fullmatch(text) is not None


def brace_after_name(text: str) -> tuple[str, int] | None:
    """For a text like `SW1 {kind` the name, and the column of the brace."""
    match = _BEFORE_BRACE.match(text)
    return (match[1], match.end()) if match else None


def meant_name(text: str, *, alone: bool) -> tuple[str, str, bool]:
    """For a text without a colon and a blank: its likely name, its value, and whether the colon is there and only the
    blank is missing.

    `alone` tells that the lines below belong to the name, so that all of the text is the name.
    """
    if tight := _TIGHT.match(text):
        return tight[1], text[tight.end() :], True
    if other := _OTHER_COLON.fullmatch(text):
        return other[1], other[2], False
    if brace := _BEFORE_BRACE.match(text):
        return brace[1], text[brace.end() :], False
    if alone:
        return text, "", False
    known = _LONG_NAME.match(text)
    name = known[0] if known else text.partition(" ")[0]
    return name, text[len(name) :].strip(" "), False


def comment_column(line: str, column: int) -> int:
    """Where a comment after text begins (at the blank before its `#`); the line's length if there is none."""
    found = line.find(" #", column)
    return found if found >= 0 else len(line)


def skip_blanks(line: str, column: int) -> int:
    """The column of the first character from here on that isn't a blank; the line's length if there is none."""
    rest = line[column:]
    return column + len(rest) - len(rest.lstrip(" "))
