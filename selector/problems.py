"""A problem in a person's file or command, as a value: where it is, what is wrong, what to type instead."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

from selector.value import Struct

Severity = Literal["problem", "remark"]


class Problem(Struct, frozen=True, kw_only=True, order=True):
    """One finding. Sorts by file, then place.

    `line` and `column` count from 1; 0 means the whole file. `code` is a stable kebab-case name. `message` says what is
    wrong in plain words,
    `help` what to type instead (may be empty). `source` is the line as it stands in the file (may be empty), `length`
    how many characters
    the finding covers. A `remark` never fails a check; a `problem` does.
    """

    file: str
    line: int
    column: int
    code: str
    message: str
    help: str = ""
    source: str = ""
    length: int = 1
    severity: Severity = "problem"


class Refused(Exception):
    """Can't go on: carries every problem found so far, sorted."""

    def __init__(self, problems: list[Problem] | tuple[Problem, ...]) -> None:
        self.problems: tuple[Problem, ...] = tuple(sorted(problems))
        super().__init__("; ".join(f"{p.file}:{p.line}:{p.column} {p.code} {p.message}" for p in self.problems[:5]))


def close_match(word: str, choices: Iterable[str], *, alike: float = 0.6) -> str | None:
    """The choice most like `word`, spelt as it stands in `choices`; None if none is near (`alike`: from which share of
    letters on). Case and repeated blanks don't matter."""
    from difflib import get_close_matches  # only needed once something is misspelt

    folded: dict[str, str] = {}
    for choice in choices:
        folded.setdefault(_folded(choice), choice)
    wanted = _folded(word)
    if wanted in folded:
        return folded[wanted]
    found = get_close_matches(wanted, folded, n=1, cutoff=alike)
    return folded[found[0]] if found else None


def _folded(word: str) -> str:
    return " ".join(word.casefold().split())
