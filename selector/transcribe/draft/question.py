"""A question in trade words: a prompt asks it, an option answers it, and one check serves both."""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal

from selector.value import Struct

Kind = Literal["text", "choice", "yes or no", "figures"]


def anything(_answer: str) -> str:
    """No complaint."""
    return ""


class Question(Struct, frozen=True, kw_only=True):
    """What is asked.

    `name` is what the answer is kept under (`board 2`, `chart 1`, `chart 1 row 3`). `text` is the question, `example`
    an answer to it.
    `default` is taken for an empty answer; `needed` is False where an empty answer without a default means: there is
    none, or no more.
    `check` gives the complaint about an answer in plain words, "" if there is none.
    """

    name: str
    text: str
    kind: Kind = "text"
    default: str = ""
    choices: tuple[str, ...] = ()
    example: str = ""
    needed: bool = False
    check: Callable[[str], str] = anything

    def complaint(self, answer: str) -> str:
        """What is wrong with an answer, "" where nothing is."""
        answer = answer.strip() or self.default
        if not answer:
            return "This needs an answer" if self.needed else ""
        if self.kind == "choice" and not self.chosen(answer):
            return f"type one of {', '.join(self.choices)}"
        if self.kind == "yes or no" and answer.casefold() not in ("y", "n", "yes", "no"):
            return "type y or n"
        if any(not c.isprintable() for c in answer):
            return "a character that can't be seen stands in this; type it again"
        return self.check(answer)

    def chosen(self, answer: str) -> str:
        """The choice that an answer or its beginning is, then the one with a word that begins so; "" where none or
        two do."""
        folded = answer.strip().casefold()
        exact = [c for c in self.choices if c.casefold() == folded]
        begun = [c for c in self.choices if c.casefold().startswith(folded)]
        found = exact or begun or [c for c in self.choices if any(w.casefold().startswith(folded) for w in c.split())]
        return found[0] if len(found) == 1 else ""

    def meant(self, answer: str) -> str:
        """The answer as it is kept: blanks folded, the default for nothing, a choice in full."""
        answer = " ".join(answer.split()) or self.default
        return self.chosen(answer) or answer if self.kind == "choice" else answer
