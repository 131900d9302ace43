"""What a draft asks of the unit: what it is, its manual, its units, its rating plate, its motor."""

from __future__ import annotations

import re
from collections.abc import Callable

from selector.table.from_file.rows import TO_TYPE
from selector.transcribe.draft.dialog import Asked, Questions, figures_between, words_alone
from selector.transcribe.draft.question import Question
from selector.transcribe.typed.text import figures_in
from selector.value import replace

AIRFLOW_UNITS = ("cfm", "L/s", "m3/h")
PRESSURE_UNITS = ("in. w.c.", "Pa")
MOTORS = ("constant airflow", "constant torque", "fixed speed")


def ask_unit(asked: Asked) -> Questions:
    """The head of the page and the rating plate."""
    title = Question(
        name="title", text="What is the unit, in plain words", example="Two-stage gas furnace", needed=True
    )
    yield from asked.ask(title)
    asked.draft = replace(asked.draft, title=asked.last)
    yield from asked.ask(Question(name="maker", text="Maker", example="Corvane"))
    asked.draft = replace(asked.draft, maker=asked.last)
    yield from asked.ask(
        Question(
            name="models",
            text="Models with a column of their own, as printed (Enter: none)",
            example="060 080 110",
            check=words_alone,
        )
    )
    asked.draft = replace(asked.draft, models=tuple(asked.last.replace(",", " ").split()))
    yield from asked.ask(Question(name="manual", text="Number of the manual and its pages", example="K-14 23-24"))
    asked.draft = replace(asked.draft, manual=asked.last)
    yield from asked.ask(
        Question(name="airflow", text="Airflow is printed in", kind="choice", choices=AIRFLOW_UNITS, default="cfm")
    )
    asked.draft = replace(asked.draft, airflow=asked.last or "cfm")
    yield from asked.ask(
        Question(
            name="reads",
            text="The board reads its selectors (Enter: not stated)",
            kind="choice",
            choices=("at power-up", "always"),
        )
    )
    asked.draft = replace(asked.draft, reads=asked.last)
    yield from _plate(asked)
    yield from asked.ask(
        Question(name="note", text="Anything else to tell with the unit (Enter: nothing)", example="the taps take 24 V")
    )
    asked.draft = replace(asked.draft, note=asked.last)


def _plate(asked: Asked) -> Questions:
    models = asked.draft.models
    heat, degree = ("Btu/h", "F") if asked.draft.airflow == "cfm" else ("kW", "C")
    text = (
        f"Heat input on the plate, {heat}{' for ' + ' '.join(models) if models else ', of each stage where printed'}"
        " (Enter: no burner)"
    )
    example = "60000 80000 110000" if heat == "Btu/h" else "17.5 23.5"
    yield from asked.ask(Question(name="heat input", text=text, example=example, check=_inputs(len(models))))
    if not asked.last:
        return
    inputs = figures_in(asked.last)
    ratings = []
    yield from asked.ask(
        Question(
            name="efficiency",
            text="Steady efficiency, percent (Enter: not printed)",
            example="95",
            check=figures_between(49, 110, 1),
        )
    )
    if asked.last:
        ratings.append(("efficiency", f"{figures_in(asked.last)[0]} %"))
    text = f"Temperature rise on the plate, {degree}, from and to (Enter: not printed)"
    yield from asked.ask(
        Question(name="temperature rise", text=text, example="35 65" if degree == "F" else "20 35", check=_rise)
    )
    if asked.last:
        ratings.append(("temperature rise", " to ".join(figures_in(asked.last))))
    asked.draft = replace(asked.draft, inputs=tuple(inputs), ratings=tuple(ratings))


def ask_heater(asked: Asked) -> Questions:
    """The voltage that heaters told to the board are rated at."""
    if not any(s.gives == "heater power" for s in asked.draft.board):
        return
    yield from asked.ask(
        Question(
            name="heater voltage",
            text="Volts at which the heaters are rated (Enter: later)",
            example="240",
            check=figures_between(0, 1000, 1),
        )
    )
    volts = figures_in(asked.last)[0] if asked.last else TO_TYPE
    asked.draft = replace(asked.draft, ratings=(*asked.draft.ratings, ("heater voltage", volts)))


def ask_motor(asked: Asked) -> Questions:
    """How the motor answers to static pressure, where the page shows that it matters."""
    draft = asked.draft
    static = any(name == "static pressure" for c in draft.charts for name, _ in c.heads)
    if not any(s.kind == "taps" for s in draft.board) and not static:
        return
    if static:
        likely = PRESSURE_UNITS[0] if draft.airflow == "cfm" else PRESSURE_UNITS[1]
        yield from asked.ask(
            Question(
                name="pressure",
                text="Static pressure is printed in",
                kind="choice",
                choices=PRESSURE_UNITS,
                default=likely,
            )
        )
        draft = replace(draft, pressure=asked.last)
    yield from asked.ask(
        Question(name="motor", text="The motor is built for (Enter: not stated)", kind="choice", choices=MOTORS)
    )
    asked.draft = replace(draft, motor=asked.last)


def ask_tons(asked: Asked) -> Questions:
    """The tons that airflows for each ton are multiplied by, where neither the board nor a chart tells them."""
    draft = asked.draft
    told = any(s.gives == "tons" for s in draft.board) or any(
        name == "outdoor tons" for c in draft.charts for name, _ in c.heads
    )
    if not draft.per_ton or told:
        return
    yield from asked.ask(
        Question(
            name="tons",
            text="Tons of the outdoor units that may be fitted (Enter: later)",
            example="2 2.5 3 3.5 4 5",
            check=_tons,
        )
    )
    asked.draft = replace(draft, tons=" ".join(asked.last.replace(",", " ").split()) or TO_TYPE)


def _tons(answer: str) -> str:
    words = answer.replace(",", " ").split()
    odd = next((w for w in words if not re.fullmatch(r"\d{1,3}(?:\.\d{1,3})?", w)), "")
    return (
        f"`{odd}` is no figure" if odd else "" if len(set(words)) == len(words) > 1 else "type at least two, each once"
    )


def _rise(answer: str) -> str:
    found = [float(f) for f in figures_in(answer)]
    return figures_between(4, 150, 2)(answer) or ("" if found[0] < found[1] else "type the lower figure first")


def _inputs(models: int) -> Callable[[str], str]:
    """A check of heat inputs: one for each model; without models one, or one for each stage."""

    def check(answer: str) -> str:
        count = len(figures_in(answer))
        return figures_between(0, 10_000_000, models or (count if 0 < count < 5 else 1))(answer)

    return check
