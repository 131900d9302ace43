"""What `check` says in JSON, and of a table without problems."""

from __future__ import annotations

from typing import Literal

from selector.answers.words.listing import counted
from selector.problems import Problem
from selector.table.library.index import TableSummary
from selector.value import Published


class CheckAnswer(Published, frozen=True, kw_only=True):
    """Answer of selector check: every mistake with its place; line and column count from 1, 0 means the whole file."""

    version: Literal[2]
    problems: tuple[Problem, ...]


def good_text(name: str, table: TableSummary) -> str:
    """`corvane-k14: 1 selector, 4 charts with 40 figures, 3 calls: no problems`."""
    return (
        f"{name}: {counted(table.selectors, 'selector')}, {counted(table.charts, 'chart')} with"
        f" {counted(table.figures, 'figure')}, {counted(table.calls, 'call')}: no problems"
    )
