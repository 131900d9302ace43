"""Readings just typed that no figure comes of: they are not kept, but for one that shows something that can hurt."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from selector.job.file.model import Reading
from selector.job.verify.verify import Verified
from selector.problems import Problem

FAULTS = frozenset(
    {
        "unknown-call",
        "stage-missing",
        "minutes-missing",
        "during-the-ramp",
        "too-early",
        "other-stage",
        "filter-out",
        "panels-off",
        "not-electric",
        "not-gas",
        "not-oil",
        "not-cooling",
        "compressor-on",
        "rise-reversed",
        "split-reversed",
        "readings-contradict",
        "volts-low",
        "static-signs",
        "no-such-air",
    }
)
"""What another reading has to put right; the rest waits for a fact of the house and is kept."""


def faulty(found: Verified, typed: Sequence[Reading]) -> Mapping[int, tuple[Problem, ...]]:
    """The readings (by their place among those typed) that can't be used, each with why."""
    wrong = [problem for problem in found.aside if problem.code in FAULTS]
    out = {}
    for n, reading in enumerate(typed):
        words = (reading.call, reading.method, *reading.values.values(), *reading.words.values(), reading.minutes)
        lines = {reading.line, *(word.line for word in words if word is not None)}
        mine = tuple(problem for problem in wrong if problem.line in lines)
        if mine and not any(one.line in lines for one in found.dangers):
            out[n] = mine
    return out
