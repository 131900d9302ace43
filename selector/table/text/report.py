"""Findings of one file, collected at their places."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from types import MappingProxyType
from typing import Any

from selector.problems import Problem, Refused, close_match
from selector.table.source import Source

_LONG = re.compile(r"`([^`]{61,})`")


def listed(words: Iterable[str], most: int = 12) -> str:
    """The words with blanks between, commas where one holds a blank itself; the first ones where there are many."""
    words = list(words)
    shown = words[:most]
    text = (", " if any(" " in w for w in shown) else " ").join(shown)
    return f"{text} ... (there are {len(words)})" if len(words) > most else text


def meant(text: str, known: Iterable[str], otherwise: str = "", also: Mapping[str, str] = MappingProxyType({})) -> str:
    """The known word that is meant by another (`also`) or most like what was typed; else what to do instead, or the
    words that are known."""
    known = list(known)
    per = " ".join(text.casefold().split()).partition(" per ")[2]
    if per == "kw" and "airflow per ton" in known:
        return "type airflow per ton, and /kW behind its figures: 43 to 60 L/s/kW"
    near = also.get(" ".join(text.casefold().split())) or _near(text, known)
    if near and per and close_match(per, [near.partition(" per ")[2]]) is None:
        near = None  # another unit, and no slip of spelling
    return f"did you mean `{near}`?" if near else otherwise or f"known here: {listed(known)}"


def _near(text: str, known: list[str]) -> str | None:
    return close_match(text, known) if len(text) < 100 and len(known) <= 2_000 else None


MOST_PROBLEMS = 200


class FileReport:
    """Collects problems of one file."""

    def __init__(self, source: Source) -> None:
        self.source = source
        self.problems: list[Problem] = []
        self._told = 0

    def add(
        self, line: int, column: int, code: str, message: str, help: str = "", *, length: int = 1, remark: bool = False
    ) -> None:
        """One more finding at a place. Raises Refused once there are more problems than anybody mends in one go."""
        text = self.source.lines[line - 1] if 0 < line <= len(self.source.lines) else ""
        self.problems.append(
            Problem(
                file=self.source.file,
                line=line,
                column=column,
                code=code,
                message=_clipped(message),
                help=_clipped(help),
                source=text,
                length=length,
                severity="remark" if remark else "problem",
            )
        )
        self._told += not remark
        if self._told >= MOST_PROBLEMS:
            message = f"there are more than {MOST_PROBLEMS} problems; the others are shown once these are mended"
            remedy = "mend those above, then check again"
            raise Refused(
                [
                    *self.problems,
                    Problem(
                        file=self.source.file, line=0, column=0, code="too-many-problems", message=message, help=remedy
                    ),
                ]
            )

    def at(self, node: Any, code: str, message: str, help: str = "", *, remark: bool = False) -> None:
        """One more finding at a node or an item."""
        text = getattr(node, "text", "")
        length = len(text) if text and "\n" not in text and getattr(node, "style", "plain") == "plain" else 1
        self.add(node.line, node.column, code, message, help, length=max(1, length), remark=remark)

    @property
    def failed(self) -> bool:
        """True once a finding is more than a remark."""
        return any(p.severity == "problem" for p in self.problems)


def _clipped(text: str) -> str:
    """The text, with what it repeats from the file cut to a length that can be read."""
    return _LONG.sub(lambda m: f"`{m[1][:57]}...`", text) if len(text) > 62 else text
