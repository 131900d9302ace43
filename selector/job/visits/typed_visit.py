"""What is typed of a visit on the line, one thing an argument: readings, marks, what was seen, cleared and done."""

from __future__ import annotations

import re
from collections.abc import Iterable

from selector.job.line.typed import several_marks
from selector.job.line.typed_line import TypedReading, typed_reading
from selector.job.readings.next_version import Added
from selector.problems import Problem, Refused

_MARKS = re.compile(r"(?:as\s+)?(found|left)\s+(\S+\s*=.*)", re.IGNORECASE)
_WORD = re.compile(r"(cleared|done|notes?|by)\s*=\s*(.*)", re.IGNORECASE)


def typed_added(texts: Iterable[str]) -> Added:
    """Everything that was typed. Raises Refused with every text that can't be told.

    >>> added = typed_added(["left SW1=10010000", "done=filter changed", "heating second rise=52 F minutes=15"])
    >>> dict(added.left), added.done, added.readings[0][0]
    ({'SW1': '10010000'}, ('filter changed',), 'heating second')
    """
    marks: dict[str, dict[str, str]] = {"found": {}, "left": {}}
    words: dict[str, list[str]] = {"cleared": [], "done": [], "notes": [], "by": []}
    readings: list[TypedReading] = []
    problems: list[Problem] = []
    for text in texts:
        mark, word = _MARKS.fullmatch(text.strip()), _WORD.fullmatch(text.strip())
        if mark is not None:
            marks[mark[1].casefold()].update(several_marks(mark[2]))
        elif word is not None:
            words["notes" if word[1].casefold() == "note" else word[1].casefold()].append(word[2])
        else:
            found = typed_reading(text)
            if isinstance(found, Problem):
                problems.append(found)
            else:
                readings.append(found)
    if problems:
        raise Refused(problems)
    return Added(
        by=", ".join(words["by"]),
        found=marks["found"],
        left=marks["left"],
        readings=tuple((one.call, one.keys) for one in readings if one.keys),
        seen=tuple(word for one in readings for word in one.seen),
        cleared=tuple(words["cleared"]),
        done=tuple(words["done"]),
        notes=tuple(words["notes"]),
    )
