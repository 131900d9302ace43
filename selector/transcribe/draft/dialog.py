"""Questions asked one after another: the answers there are, and the draft as it stands."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping

from selector.transcribe.draft.page import Draft
from selector.transcribe.draft.question import Question
from selector.transcribe.typed.board import MistypedAnswer
from selector.transcribe.typed.text import figures_in, odd_word
from selector.value import Struct, field

Questions = Iterator[Question]
_BESIDE = re.compile(r"\d+(?:\.\d+)?|to|and|%|percent|\u00b0?[fc]|btu|btuh|h|kw|v|volts?|\u2013|\u2026", re.IGNORECASE)
"""What may stand in an answer of figures: figures, what parts them, their units."""


class Asked(Struct):
    """What was answered. `last` is the answer to the question asked last, "" for none, for one that can't be read,
    and where nothing was said."""

    answers: Mapping[str, str]
    draft: Draft = field(default_factory=Draft)
    last: str = ""

    def ask(self, question: Question) -> Questions:
        """Asks a question and keeps its answer in `last`."""
        yield question
        answer = self.answers.get(question.name, "")
        self.last = question.meant(answer) if not question.complaint(answer) else ""

    def ask_next(
        self, name: str, n: int, first: str, example: str, check: Callable[[str], str], what: str = ""
    ) -> Questions:
        """Asks for the n-th of what a page has several of (`what`, else as the question is named): the first is
        needed, an empty answer ends them."""
        text = first if n == 1 else f"The next {what or name} (Enter: done)"
        yield from self.ask(
            Question(name=f"{name} {n}", text=text, example=example if n == 1 else "", needed=n == 1, check=check)
        )


def reads(read: Callable[..., object], *known: object) -> Callable[[str], str]:
    """A check that reads an answer and gives what stands against it."""

    def check(answer: str) -> str:
        try:
            read(answer, *known)
        except MistypedAnswer as wrong:
            return str(wrong)
        return ""

    return check


def counts(wanted: int) -> Callable[[str], str]:
    """A check that so many figures are typed."""

    def check(answer: str) -> str:
        found = len(figures_in(answer))
        odd = next(
            (w for w in re.split(r"[\s,;:/()-]+|(?<=\d)(?=[^\d.])", answer) if w and not _BESIDE.fullmatch(w)), ""
        )
        if odd:
            return f"`{odd}` can't stand here; type the figure{'s' if wanted != 1 else ''} alone"
        return (
            ""
            if found == wanted
            else f"{found} figure{'s' if found != 1 else ''}, but {wanted} {'are' if wanted != 1 else 'is'} needed"
        )

    return check


def words_alone(answer: str) -> str:
    """A check that an answer is words that a list can hold, none of them twice."""
    words = answer.replace(",", " ").split()
    odd = odd_word(words)
    if odd:
        return f"`{odd}` can't stand here; type the words as printed, blanks between them"
    doubled = next((w for w in words if words.count(w) > 1), "")
    return f"`{doubled}` is listed twice. Delete one." if doubled else ""


def figures_between(low: float, high: float, wanted: int) -> Callable[[str], str]:
    """A check that so many figures are typed, each above the lower end and not above the higher."""

    def check(answer: str) -> str:
        odd = next((f for f in figures_in(answer) if not low < float(f) <= high), "")
        return counts(wanted)(answer) or (f"`{odd}` can't be right here" if odd else "")

    return check
