"""Tabs at the start of a line. Between words and cells they are blanks."""

from __future__ import annotations

import re
from collections.abc import Container

from selector.table.text.slips.slip_list import SlipList

_START = re.compile(r" *\t[ \t]*(?=[^ \t])")

_FOLLOW_FROM_TABS = (
    "comment-too-far-left",
    "row-too-far-left",
    "row-too-far-right",
    "rows-too-far-left",
    "wrong-start",
)


def check_tabs(slips: SlipList, level: Container[int]) -> None:
    """Tells of lines that begin with a tab, once for lines that follow each other; not of lines in `level`, whose
    tabs stand among cells."""
    run: list[tuple[int, int, int]] = []
    found: set[int] = set()
    for at, line in enumerate(slips.source.lines):
        if slips.full:
            break
        match = None if at in level else _START.match(line)
        if match:
            tab = line.index("\t")
            run.append((at, tab, match.end() - tab))
            found.add(at + 1)
        elif run and line.strip():
            _tell(slips, run)
            run = []
    if run:
        _tell(slips, run)
    slips.problems = [
        problem for problem in slips.problems if problem.line not in found or problem.code not in _FOLLOW_FROM_TABS
    ]


def _tell(slips: SlipList, run: list[tuple[int, int, int]]) -> None:
    at, column, length = run[0]
    message = "This line starts with a tab; only blanks can stand before the first word."
    if len(run) > 1:
        message = (
            f"This line and the {len(run) - 1} after it that start with a tab need blanks: only blanks can stand before"
            " the first word."
        )
    slips.add(
        at, column, "tab-at-start", message, "Delete the tab and type blanks, two for each step to the right.", length
    )
