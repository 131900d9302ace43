"""The verdicts of a survey, counted."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from selector.answers.survey.summary import READINGS, STEP_CFM_PER_TON
from selector.survey.duck import Duck
from selector.survey.sql import AGAINST, MEASURED, literal
from selector.units import convert

_CFM = ("cfm", "L/s", "m3/h")
COUNTED = (
    ("tbl", "text"),
    ("model", "text"),
    ("verdict", "text"),
    ("place", "text"),
    ("reason", "text"),
    ("low", "long"),
    ("assumed", "text"),
    ("reading", "text"),
    ("n", "long"),
)
"""The relation `counted`: so many records with this table, model, verdict, fault and step of airflow per ton."""
Counts = dict[str, list[tuple[Any, ...]]]
"""Answers to QUESTIONS, by their names."""
QUESTIONS = {
    "verdicts": "SELECT verdict, sum(n) FROM counted GROUP BY 1 ORDER BY 1",
    "tables": "SELECT tbl, '', verdict, sum(n) FROM counted GROUP BY 1, 3 ORDER BY 1, 3",
    "models": "SELECT tbl, model, verdict, sum(n) FROM counted GROUP BY 1, 2, 3 ORDER BY 1, 2, 3",
    "faults": "SELECT verdict, place, reason, sum(n) AS n FROM counted WHERE verdict <> 'OK'"
    " GROUP BY 1, 2, 3 ORDER BY n DESC, 1, 2, 3",
    "assumed": "SELECT assumed, sum(n) AS n FROM counted WHERE assumed IS NOT NULL GROUP BY 1 ORDER BY n DESC, 1",
    "readings": "SELECT reading, sum(n) FROM counted WHERE reading IS NOT NULL GROUP BY 1",
    "steps": "SELECT low, sum(n) FROM counted WHERE low IS NOT NULL GROUP BY 1 ORDER BY 1",
}


def counting_sql(source: str, column: Mapping[str, str], n: str = "count(*)") -> str:
    """The rows of `counted` that verdicts come to; `column`: what is meant to the name of its column, quoted."""
    keys = ("table", "model", "verdict", "where", "reason")
    cfm = " ".join(f"WHEN {literal(u)} THEN {float(convert(Fraction(1), u, 'cfm'))}" for u in _CFM)
    step = f"floor({column['cooling per ton']} * CASE {column['airflow unit']} {cfm} END / {STEP_CFM_PER_TON})"
    low = f"CAST({step} AS BIGINT) * {STEP_CFM_PER_TON}"
    parts = ", ".join([*(column[key] for key in keys), low, column["assumed"], _reading(column)])
    return f"SELECT {parts}, {n} FROM {source} GROUP BY 1, 2, 3, 4, 5, 6, 7, 8"


def _reading(column: Mapping[str, str]) -> str:
    """The first of these that any measured airflow of a record is; null where it has none."""
    found = [column[name] for name in map(AGAINST.format, MEASURED) if name in column]
    if not found:
        return "CAST(NULL AS VARCHAR)"
    tests = {word: " OR ".join(f"{one} = {literal(word)}" for one in found) for word in READINGS[:-1]}
    which = " ".join(f"WHEN {test} THEN {literal(word)}" for word, test in tests.items())
    return f"CASE {which} WHEN coalesce({', '.join(found)}) IS NOT NULL THEN {literal(READINGS[-1])} END"


def counts_of(engine: Duck) -> Counts:
    """The answers over the relation `counted`."""
    return {name: [(*row[:-1], int(row[-1])) for row in engine.rows(sql)] for name, sql in QUESTIONS.items()}
