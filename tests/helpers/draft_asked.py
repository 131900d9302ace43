"""What a draft asks next, answer by answer."""

from __future__ import annotations

from collections.abc import Mapping

from selector.transcribe.draft.draft import open_question
from selector.transcribe.draft.question import Question


def next_question(answers: Mapping[str, str]) -> Question | None:
    """The first question without an answer, or with one that can't be taken; None once nothing is left to ask."""
    found = open_question(answers)
    return None if found is None else found[0]
