"""What `check` says in JSON, and of a table without problems."""

from __future__ import annotations

from typing import Literal

from selector.answers.words.listing import counted
from selector.problems import Problem
from selector.table.model.table import Table
from selector.value import Published


class CheckAnswer(Published, frozen=True, kw_only=True):
    """Answer of selector check: every mistake with its place; line and column count from 1, 0 means the whole file."""

    version: Literal[2]
    problems: tuple[Problem, ...]


def good_text(name: str, table: Table) -> str:
    """`corvane-k14: 1 selector, 4 charts with 40 figures, 3 calls: no problems`."""
    figures = sum(len(row.cells) for chart in table.charts.values() for row in chart.rows)
    return (
        f"{name}: {counted(len(table.selectors), 'selector')}, {counted(len(table.charts), 'chart')} with"
        f" {counted(figures, 'figure')}, {counted(len(table.calls), 'call')}: no problems"
    )
