"""How many cases of what is open on a board are gone through one by one, and what is said where they are too many."""

from __future__ import annotations

from collections.abc import Sequence

from selector.problems import Problem

MOST_CASES = 400
"""Combinations of facts not given and of positions not known. With more, what hangs on them is not known: where it can
be told without going through them (which airflows there are) it is told, else what to read or give is said."""
_NAMED = 4


def too_much_open(names: Sequence[str]) -> str:
    """What is said of the parts, facts or charts that leave too much open.

    >>> too_much_open(["SW1-1", "model"])
    'too much is open to check every case: SW1-1, model; read, hold or give one of them'
    """
    return "; ".join(_message_and_help(names))


def too_much_open_problem(names: Sequence[str], file: str) -> Problem:
    """The same where it leaves nothing to answer with."""
    message, help = _message_and_help(names)
    return Problem(file=file, line=0, column=0, code="too-large", message=message, help=help)


def _message_and_help(names: Sequence[str]) -> tuple[str, str]:
    more = f" and {len(names) - _NAMED} more" if len(names) > _NAMED else ""
    return (
        f"too much is open to check every case: {', '.join(names[:_NAMED])}{more}",
        "read, hold or give one of them",
    )
