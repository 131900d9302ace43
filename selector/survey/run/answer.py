"""The answer of a survey that is done."""

from __future__ import annotations

from typing import Any

from selector.answers.parts import VERSION
from selector.answers.survey.fault import WRONG
from selector.answers.survey.summary import (
    READINGS,
    STEP_CFM_PER_TON,
    AirflowPerTon,
    AssumedCount,
    FaultCount,
    GroupCount,
    ReadingCount,
    StepCount,
    SurveyAnswer,
    in_order,
)
from selector.judge.floors_and_ceilings import CEILING_CFM_PER_TON, FLOOR_CFM_PER_TON
from selector.survey.run.survey import Surveyed, SurveyOptions


def answer_of(options: SurveyOptions, done: Surveyed) -> SurveyAnswer:
    """The answer of a survey that is done."""
    counts = done.counts
    faults = [
        FaultCount(verdict=verdict, where=where, reason=reason, records=n)
        for verdict, where, reason, n in counts["faults"]
    ]
    return SurveyAnswer(
        version=VERSION,
        records=done.records,
        written=done.written,
        out=options.out or None,
        stages=options.stages or None,
        blank_lines=done.blank,
        mended=done.mended,
        boards=done.boards,
        verdicts=in_order(counts["verdicts"]),
        tables=_groups(counts["tables"]),
        models=_groups(counts["models"]),
        faults=tuple(sorted(faults, key=lambda one: one.verdict not in WRONG)),
        assumed=tuple(AssumedCount(assumed=text, records=n) for text, n in counts["assumed"]),
        measured=tuple(
            ReadingCount(reading=word, records=n) for word in READINGS for said, n in counts["readings"] if said == word
        ),
        airflow_per_ton=AirflowPerTon(
            low=int(FLOOR_CFM_PER_TON) if options.assumed else None,
            high=int(CEILING_CFM_PER_TON) if options.assumed else None,
            step=STEP_CFM_PER_TON,
            steps=tuple(StepCount(low=low, records=n) for low, n in counts["steps"]),
        ),
    )


def _groups(rows: list[tuple[Any, ...]]) -> tuple[GroupCount, ...]:
    by: dict[tuple[str, str], list[tuple[Any, int]]] = {}
    for table, model, verdict, n in rows:
        by.setdefault((table or "", model or ""), []).append((verdict, n))
    return tuple(
        GroupCount(table=table, model=model, records=sum(n for _, n in found), verdicts=in_order(found))
        for (table, model), found in by.items()
    )
