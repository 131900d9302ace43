"""How every call and stage of a board stands: inside its window and limits, or not and by what."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Literal

from selector.job.targets.stage_target import Ends
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import CallAnswer, JudgedLimit, evaluate
from selector.table.model.table import No, Setting
from selector.value import Struct

Place = Literal["inside", "below", "above", "outside a limit", "refused", "does not run", "not known", "not judged"]
"""`not judged`: there is an airflow, and neither a window nor a limit that a fact judges."""
WRONG: frozenset[Place] = frozenset({"below", "above", "outside a limit", "refused"})
NO_WINDOW: Ends = (None, None)


class Standing(Struct, frozen=True, kw_only=True):
    """One call and stage. `low`, `high`: its window in the table's unit; `broken`: limits it breaks; `unjudged`: limits
    no fact judges.

    `rise`: what its heat gives, in the table's degrees; None where that isn't known.
    """

    call: str
    stage: str
    airflow: Fraction | No
    place: Place
    low: Fraction | None = None
    high: Fraction | None = None
    broken: tuple[JudgedLimit, ...] = ()
    unjudged: tuple[JudgedLimit, ...] = ()
    rise: Fraction | None = None

    @property
    def title(self) -> str:
        """The call and its stage as people say it."""
        return f"{self.call} {self.stage}".strip()

    @property
    def wrong(self) -> bool:
        """True where this stage can't stay as it is."""
        return self.place in WRONG


def place_of(airflow: Fraction | No, window: Ends, judged: tuple[JudgedLimit, ...], *, asked: bool) -> Place:
    """Where an airflow stands; `asked`: somebody aims at this stage, so that not running is wrong too (refused)."""
    if isinstance(airflow, No):
        if airflow.kind == "does_not_run":
            return "refused" if asked else "does not run"
        return "refused" if airflow.refused else "not known"
    low, high = window
    if low is not None and airflow < low:
        return "below"
    if high is not None and airflow > high:
        return "above"
    if any(j.ok is False for j in judged):
        return "outside a limit"
    return "not judged" if low is None and high is None and all(j.ok is None for j in judged) else "inside"


def standings(
    engine: Engine,
    answers: Mapping[str, CallAnswer],
    windows: Mapping[tuple[str, str], Ends],
    asked: frozenset[tuple[str, str]] = frozenset(),
) -> tuple[Standing, ...]:
    """Every call and stage of the table, in its order; those in `asked` have to run."""
    out = []
    for call in engine.table.calls.values():
        for answer in answers[call.name].stages:
            low, high = windows.get((call.name, answer.stage), NO_WINDOW)
            out.append(
                Standing(
                    call=call.name,
                    stage=answer.stage,
                    airflow=answer.airflow,
                    place=place_of(
                        answer.airflow, (low, high), answer.judged, asked=(call.name, answer.stage) in asked
                    ),
                    low=low,
                    high=high,
                    broken=tuple(j for j in answer.judged if j.ok is False),
                    unjudged=tuple(j for j in answer.judged if j.ok is None),
                    rise=answer.rise,
                )
            )
    return tuple(out)


def refused_charts(engine: Engine, setting: Setting) -> tuple[tuple[str, No], ...]:
    """Charts that no airflow reads (delays, ramps, labels) standing on a row the page refuses, with its words."""
    calls = list(engine.table.calls.values())
    read = {
        r.name
        for call in calls
        for stage in call.stages
        for p in engine.points(call, stage)
        for i in engine.airflow(call, stage, p.rate)
        for r in i.readings
    }
    out = []
    for chart in engine.table.charts.values():
        if chart.name not in read:
            outcome = engine.chart(chart, calls[0], calls[0].last, "").at(setting)
            if isinstance(outcome, No) and outcome.refused:
                out.append((chart.name, outcome))
    return tuple(out)


def of_setting(
    engine: Engine,
    setting: Setting,
    windows: Mapping[tuple[str, str], Ends],
    asked: frozenset[tuple[str, str]] = frozenset(),
) -> tuple[Standing, ...]:
    """How a setting stands; what needs an unreadable mark is not known."""
    return standings(engine, evaluate(engine, setting), windows, asked)
