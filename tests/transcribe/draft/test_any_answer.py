"""Whatever is typed at a draft's questions: it is refused in words at once, or it makes a file in which nothing but
the page's own gaps is wrong."""

from __future__ import annotations

import random
import re
from collections.abc import Mapping

import pytest

from selector.problems import Problem, Refused
from selector.table.from_file.build import build_table
from selector.table.source import source_from_text
from selector.transcribe.draft.draft import draft_of, wrong_answer
from selector.transcribe.draft.file_text import draft_text
from selector.transcribe.draft.question import Question
from tests.helpers.draft_asked import next_question

GAPS = {
    "still-to-type": "left for later",
    "keys-expected": "no chart or no call typed at all: the blank stands after the name",
    "too-few-values": "tons left for later: a blank is one value",
    "unused-chart": "no call was given that reads it",
    "unused-selector": "no chart was given that it sets",
    "missing-rows": "a row was said not to be on the page",
    "unknown-model-or-stage": "heat input of more stages than any call of heat was given",
    "static-unit": "a static pressure of the page in the other unit than was said",
    "copy-of-nothing": "two rows were said to be as each other",
}
"""What may be wrong with the file: what a person left out or said of the page, which no question can know."""
WORDS = re.findall(
    r"\S+",
    """SW1 8 switches at off on J1 1-5 a-c none LK1 whole cut M1 taps leads Y1 Y2 W G
    declares heater outdoor tons gives airflow trim share cooling
    heat fan: by model static 25 75 stage low high page 23 (note, here) : , x - 0 +6 -12 60 % 1,020
    do not use call first second at least 400
    when # [ ] { } & * ! | > ' " ` @ \\ ~ = \u00e9 \u00bd \u00b0 _ ? true null 1e5 07 0x1F 12:30 2026-01-02 <<""",
)
LIKELY: Mapping[str, tuple[str, ...]] = {
    "title": ("Furnace", "A: b", "# x", "'q'", "- a", "null"),
    "airflow": ("cfm", "L", "m"),
    "models": ("060 080", "a, b", "1e5 0x1F", "~ null", "[a] b"),
    "manual": ("K-14 23", "{a} 9", "a: b 7", "9"),
    "board": (
        "SW1 8 at off",
        "J1 a-c at b",
        "LK1 at whole",
        "D1 dial 1-4",
        "M1 taps 1-3 leads Y1 G",
        "J2 none 5 at 5 declares heater",
        "J3 a 'b \"c",
        "P1 2 3 declares outdoor tons",
        "D2 dial ~ null",
        "J4 1: 2",
        "D3 dial # a",
        "D4 dial [ ]",
        "N1 menu 300 to 450 step 5 gives airflow per ton",
    ),
    "chart": (
        "cooling airflow: 1 2 by model",
        "adjustment: 3",
        "run-on: 4",
        "fan share: J1",
        "per ton: D1",
        "start: J1 gives ramp",
        "b c: D2",
        "cool air: M1 by static 25 75 (dry # coil)",
        "least: J2 gives least",
        "a: 1 by stage low high",
        "label: J1 gives label",
    ),
    "row": (
        "1020 1380",
        "1020",
        "+6",
        "60",
        "x",
        "-",
        "30",
        "at once",
        "60 s at 50 %, then full",
        "?",
        "none",
        "1020 (see # note: x)",
        "as OFF",
        "1 2 3",
    ),
    "call": (
        "cooling Y1, Y1 Y2",
        "heat W",
        "fan G",
        "dehumidify Y1 DH (when: # x)",
        "cooling low Y1, high Y1 Y2",
        "on Y",
        "null W1, W1 W2",
    ),
    "steps": (
        "cooling",
        "cool, adj",
        "call cooling, 45%",
        "call cooling second, at least 400",
        "1200",
        "J1",
        "per",
        "fan",
        "a, 66% in low",
    ),
}


def typed(question: Question, rnd: random.Random) -> str | None:
    """An answer that the question takes, likely or odd; None where none was found."""
    kind, _, rest = question.name.partition(" ")
    number = rest.partition(" ")[0]
    key = "row" if " row " in question.name else "steps" if rest.endswith("airflow") else kind
    for _ in range(40):
        if not question.needed and number.isdecimal() and int(number) > 3 and rnd.random() < 0.6:
            answer = ""
        elif key in LIKELY and rnd.random() < 0.8:
            answer = rnd.choice(LIKELY[key])
        else:
            answer = " ".join(rnd.choice(WORDS) for _ in range(rnd.randint(0, 4)))
        if not question.complaint(answer):
            return answer
    return None


def problems(text: str) -> tuple[Problem, ...]:
    """What is wrong with a file."""
    try:
        build_table(source_from_text(text), "any")
    except Refused as refused:
        return refused.problems
    return ()


@pytest.mark.parametrize("seed", range(60))
def test_any_answers_make_a_file_in_which_only_gaps_are_wrong(seed: int) -> None:
    rnd = random.Random(seed)
    answers: dict[str, str] = {}
    while len(answers) < 90 and (question := next_question(answers)) is not None:
        answer = typed(question, rnd)
        if answer is None:
            break
        answers[question.name] = question.meant(answer)
    assert wrong_answer(answers) is None
    text = draft_text(draft_of(answers))
    assert [p for p in problems(text) if p.code not in GAPS] == [], text
