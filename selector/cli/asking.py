"""Asking a draft's questions at a terminal: one after another, back where a slip was made, nothing lost when it is
broken off."""

from __future__ import annotations

import os
import re
from collections.abc import Mapping, Sequence

import click

from selector.cli.common import at_terminal

BACK = "<"


def answers_given(options: Sequence[str]) -> dict[str, str]:
    """Answers typed beforehand as NAME=ANSWER."""
    known: dict[str, str] = {}
    for option in options:
        name, equals, text = option.partition("=")
        if not equals:
            raise click.UsageError(f"`{option}` needs a name, = and an answer")
        known[_named(name)] = " ".join(text.split())
    return known


def _named(name: str) -> str:
    """The name of a question as it is kept, `Title` and `Chart 1` as title and chart 1."""
    return " ".join(w.lower() if w.isalpha() and w.istitle() else w for w in name.split())


def write_draft(out: str, known: Mapping[str, str], offered: Mapping[str, str] | None = None) -> int:
    """Ask what isn't known yet (at a terminal) and write the file; the exit code. `offered` are answers that Enter
    accepts.

    Broken off, what was typed so far is written, the rest marked as still to type.
    """
    from selector.cli.files import ending_of, refuse_unwritable, write_new
    from selector.table.library.library import shipped_folder
    from selector.transcribe.draft.draft import draft_of, never_asked, wrong_answer
    from selector.transcribe.draft.file_text import draft_text

    ending_of(out, "yaml", "yml")
    refuse_unwritable(out)
    answers = dict(known)
    asks = at_terminal()
    if not asks and not known and not offered:
        raise click.UsageError(
            "draft asks its questions at a terminal; without one give the answers: --answer title=Furnace, and so on"
        )
    ended = _asked(answers, offered or {}) if asks else True
    if not asks:
        answers = {**(offered or {}), **answers}
        wrong = wrong_answer(answers)
        if wrong is not None:
            raise click.UsageError(f"the answer to `{wrong[0].name}` can't be taken: {wrong[1]}")
    strange = [name for name in never_asked(answers) if name in known] if ended else []
    if strange and not asks:
        raise click.UsageError(
            f"nothing asks for `{strange[0]}`; the questions have names like title, board 1, chart 1, chart 1 row 1,"
            " call 1"
        )
    for name in strange:
        click.echo(f"left out, as nothing on this board asks for it: {name} = {known[name]}", err=True)
    text = draft_text(draft_of(answers), os.path.join(shipped_folder("schemas"), "table.json"))
    try:
        write_new(out, text.encode("utf-8"))
    except click.UsageError:
        click.echo(text)
        raise
    if not ended:
        click.echo("Stopped; your answers are saved", err=True)
    if re.search(r"(?<![^\s{])_(?![^\s:])", text):
        click.echo(f"Fill in each _, then type selector check {out}", err=True)
    else:
        click.echo(f"No blank left to fill. Type selector check {out}", err=True)
    return 0 if ended else 130


def _asked(answers: dict[str, str], offered: Mapping[str, str]) -> bool:
    """Fill the answers from the terminal; False where it was broken off after something was typed."""
    click.echo(f"Enter alone: none, or done. {BACK} goes back one question. Ctrl-C keeps what you typed.", err=True)
    typed: list[str] = []
    try:
        while _next(answers, offered, typed):
            pass
    except (click.Abort, KeyboardInterrupt):
        if not typed:
            raise
        click.echo(err=True)
        return False
    return True


def _next(answers: dict[str, str], offered: Mapping[str, str], typed: list[str]) -> bool:
    """Ask the next question; False where there is none. `typed` are the names of those answered here."""
    from selector.transcribe.draft.draft import open_question

    found = open_question(answers)
    if found is None:
        return False
    question, complaint = found
    if complaint:
        click.echo(complaint, err=True)
        del answers[question.name]
        if typed and typed[-1] == question.name:
            typed.pop()
    default = offered.get(question.name, question.default)
    hint = (
        f" ({', '.join(question.choices)})"
        if question.choices
        else f" (such as {question.example})"
        if question.example
        else ""
    )
    answer = click.prompt(f"{question.text}{hint}", default=default, show_default=bool(default), err=True)
    if answer.strip() != BACK:
        typed.append(question.name)
        answers[question.name] = question.meant(answer)
    elif typed:
        answers.pop(typed.pop(), None)
    return True
