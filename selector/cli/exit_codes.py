"""Exit codes of a run that found problems: 1 mistakes in a file, 2 nothing to look at or nowhere to write to."""

from __future__ import annotations

from collections.abc import Iterable

from selector.problems import Problem

_NOTHING_TO_LOOK_AT = """
no-such-file is-a-folder no-permission unreadable-file not-text not-utf-8 file-too-large nothing-came no-such-table
two-tables-of-one-name wrong-columns unwritable in-use begun other-survey no-library
"""
UNREADABLE = frozenset(_NOTHING_TO_LOOK_AT.split())
"""Codes of problems for which there was nothing to look at, or nowhere to write to."""


def exit_code(problems: Iterable[Problem], *, strict: bool = False) -> int:
    """0 where nothing is wrong (`strict`: no remark either), 1 for mistakes, 2 for what can't be read or written."""
    found = list(problems)
    if any(p.code in UNREADABLE for p in found):
        return 2
    return int(any(p.severity == "problem" or strict for p in found))
