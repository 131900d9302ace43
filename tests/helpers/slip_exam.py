"""The slip exam: clean tables and slipped ones as text, made from a seed, with what was done to each.

`questions(kind)` gives slipped files of one kind, `clean_file(seed)` a clean one. What counts as findable stands in
`slip_exam_judge`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from itertools import count, islice
from random import Random

from tests.helpers.slip_exam_families import clean_sheet
from tests.helpers.slip_exam_judge import judge
from tests.helpers.slip_exam_kinds import KINDS
from tests.helpers.slip_exam_sheet import Sheet

MOST_TRIES = 40
"""Sheets looked at for one question, before a kind is given up."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Spot:
    """A cell concerned: its line and column in the slipped file (from 1), what was typed, what is right. `step` for
    a figure of a call's step."""

    line: int
    column: int
    typed: str
    right: str
    step: bool


@dataclass(frozen=True, kw_only=True, slots=True)
class Question:
    """One slipped file. `change` is the greatest change of an airflow; `reasons` are why the slip stands out;
    findable needs both."""

    kind: str
    seed: int
    text: str
    clean: str
    spots: tuple[Spot, ...]
    quantity: str
    change: float
    changes_airflow: bool
    reasons: tuple[str, ...]
    findable: bool


def clean_file(seed: int) -> str:
    """The text of a clean table."""
    return _sheet(seed).render()[0]


def question(kind: str, seed: int) -> Question | None:
    """The slipped copy of a clean table; None where such a slip can't be made in it."""
    sheet = _sheet(seed)
    changes = {c: t for c, t in KINDS[kind](sheet, Random(f"{kind} {seed}")).items() if t != sheet.figures[c]}
    if not changes:
        return None
    text, places = sheet.with_figures(changes).render()
    spots = tuple(
        Spot(line=places[c][0], column=places[c][1], typed=t, right=sheet.figures[c], step=c[0].startswith("call "))
        for c, t in sorted(changes.items())
    )
    judged = judge(sheet, kind, changes)
    return Question(
        kind=kind,
        seed=seed,
        text=text,
        clean=sheet.render()[0],
        spots=spots,
        quantity=sheet.quantity(min(changes)),
        change=judged.change,
        changes_airflow=judged.changes_airflow,
        reasons=judged.reasons,
        findable=judged.findable,
    )


def questions(kind: str, number: int, start: int = 0) -> Iterator[Question]:
    """So many slipped files of a kind, one from each clean table that allows it."""
    made = (q for seed in islice(count(start), number * MOST_TRIES) if (q := question(kind, seed)) is not None)
    return islice(made, number)


@cache
def _sheet(seed: int) -> Sheet:
    return clean_sheet(seed)
