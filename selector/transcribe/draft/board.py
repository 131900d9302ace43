"""What a draft asks of the board beside its selectors: which of them tells the heater, and which switches the page
calls not used."""

from __future__ import annotations

from collections.abc import Callable

from selector.transcribe.draft.call import waited_for
from selector.transcribe.draft.dialog import Asked, Questions
from selector.transcribe.draft.page import Draft
from selector.transcribe.draft.question import Question
from selector.transcribe.typed.board import TypedSelector, declared_as
from selector.value import replace

HEATER = "heater"


def ask_declared(asked: Asked) -> Questions:
    """Which selector tells the board the heater that is fitted, where one has a position for none of them."""
    board = asked.draft.board
    may = [
        s.label
        for s in board
        if s.kind not in ("switches", "taps") and not s.gives and any(p.casefold() == "none" for p in s.positions)
    ]
    if not may or any(s.declares for s in board):
        return
    text = f"Which selector tells the board what heater is fitted, of {', '.join(may)} (Enter: none does)"
    yield from asked.ask(Question(name="heater selector", text=text, check=_one_of(may)))
    told = asked.last.casefold()
    changed = tuple(
        replace(s, declares=HEATER, gives=declared_as(HEATER)) if s.label.casefold() == told else s for s in board
    )
    asked.draft = replace(asked.draft, board=changed)


def _one_of(labels: list[str]) -> Callable[[str], str]:
    def check(answer: str) -> str:
        return (
            ""
            if answer.casefold() in [label.casefold() for label in labels]
            else f"type one of {', '.join(labels)}, or Enter"
        )

    return check


def ask_unused(asked: Asked) -> Questions:
    """Whether the page calls the switches not used that nothing reads; what isn't answered is not written."""
    for at, selector in enumerate(asked.draft.board):
        idle = _idle_switches(asked.draft, selector)
        if not idle:
            continue
        names = " ".join(f"{selector.label}-{n}" for n in idle)
        text = (
            f"Nothing reads {names}. Does the page call {'it' if len(idle) == 1 else 'them'} not used, y or n (Enter:"
            " not stated)"
        )
        question = Question(name=f"{selector.label} not used", text=text, kind="yes or no")
        yield from asked.ask(question)
        if question.name in asked.answers and asked.last.casefold().startswith("y"):
            board = list(asked.draft.board)
            board[at] = replace(selector, not_used=" ".join(idle))
            asked.draft = replace(asked.draft, board=tuple(board))


def _idle_switches(draft: Draft, selector: TypedSelector) -> list[str]:
    """Numbers of the switches of a bank that no chart is set by and no call waits for; none where nothing is said of
    the bank yet."""
    if selector.kind != "switches" or selector.not_used or not draft.charts:
        return []
    used = {name for chart in draft.charts for name, _ in (*chart.parts, *chart.heads)}
    names = [name for name, _ in selector.parts()]
    idle = [str(i) for i, name in enumerate(names, start=1) if name not in used and not waited_for(draft, name)]
    return idle if len(idle) < len(names) else []
