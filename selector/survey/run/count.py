"""The verdicts of a survey, counted."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import Any

from selector.answers.survey.summary import STEP_CFM_PER_TON
from selector.survey.duck import Duck
from selector.survey.sql import literal
from selector.units import convert

_CFM = ("cfm", "L/s", "m3/h")
Counts = dict[str, list[tuple[Any, ...]]]
"""Answers to the questions of `questions`, by their names."""


def questions(column: Mapping[str, str]) -> dict[str, str]:
    """SQL over the relation `verdicts_out`; `column`: what is meant to the name of its column, quoted."""
    table, model, where, reason, per_ton, unit, verdict = (
        column[key] for key in ("table", "model", "where", "reason", "cooling per ton", "airflow unit", "verdict")
    )
    cfm = " ".join(f"WHEN {literal(u)} THEN {float(convert(Fraction(1), u, 'cfm'))}" for u in _CFM)
    step = f"floor({per_ton} * CASE {unit} {cfm} END / {STEP_CFM_PER_TON})"
    return {
        "verdicts": f"SELECT {verdict}, count(*) FROM verdicts_out GROUP BY 1",
        "tables": f"SELECT {table}, '', {verdict}, count(*) FROM verdicts_out GROUP BY 1, 3 ORDER BY 1",
        "models": f"SELECT {table}, {model}, {verdict}, count(*) FROM verdicts_out GROUP BY 1, 2, 3 ORDER BY 1, 2",
        "faults": f"SELECT {verdict}, {where}, {reason}, count(*) AS n FROM verdicts_out WHERE {verdict} <> 'OK'"
        " GROUP BY 1, 2, 3 ORDER BY n DESC, 1, 2, 3",
        "steps": f"SELECT CAST({step} AS BIGINT) * {STEP_CFM_PER_TON} AS low, count(*) FROM verdicts_out"
        f" WHERE {per_ton} IS NOT NULL GROUP BY 1 ORDER BY 1",
    }


def counted(engine: Duck, files: Sequence[str], column: Mapping[str, str]) -> Counts:
    """The answers over the parts of a survey."""
    engine.over("verdicts_out", list(files))
    return {name: engine.rows(sql) for name, sql in questions(column).items()}
