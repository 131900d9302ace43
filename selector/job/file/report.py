"""What a command of this room answers: lines for a person, the same as data, and how it ended. Nothing here prints."""

from __future__ import annotations

from collections.abc import Mapping

from selector.air.figure import Figure
from selector.problems import Problem
from selector.value import Struct, field


class Report(Struct, frozen=True, kw_only=True):
    """An answer. `data` is plain (text, numbers, lists, maps), ready for JSON.

    `exit_code`: 0 fine, 1 out of window, nothing fits, no verdict or a problem found. `problems` are what is wrong with
    what was typed, by
    place; `figures` those that the answer rests on, each with its inputs, for `--why`, and `named` the same under the
    names they are printed by,
    where they have one.
    """

    lines: tuple[str, ...]
    data: Mapping[str, object] = field(default_factory=dict)
    exit_code: int = 0
    problems: tuple[Problem, ...] = ()
    figures: tuple[Figure, ...] = ()
    named: tuple[tuple[str, Figure], ...] = ()
