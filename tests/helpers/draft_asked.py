"""What a draft asks next, answer by answer."""

from __future__ import annotations

from collections.abc import Mapping

from selector.transcribe.draft.dialog import Asked
from selector.transcribe.draft.draft import _questions
from selector.transcribe.draft.question import Question


def next_question(answers: Mapping[str, str]) -> Question | None:
    """The first question that has no answer yet, whether or not the others can be taken; None once nothing is left."""
    return next((q for q in _questions(Asked(answers=answers)) if q.name not in answers), None)
