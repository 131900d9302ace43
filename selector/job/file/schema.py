"""The published schema of a job file: JSON Schema 2020-12, made from the grammar."""

from __future__ import annotations

import json
from typing import Any

from selector.job.file.grammar import JOB
from selector.table.grammar.schema import DIALECT, shortened

IDENTIFIER = "urn:selector:job:1"

BEYOND = (
    "aim-outside-plate",
    "bad-efficiency",
    "ceiling-incomplete",
    "clocked-incomplete",
    "dates-fall",
    "derate-on-clocked",
    "impossible-figure",
    "no-humidistat",
    "not-an-aim",
    "not-a-date",
    "not-a-quantity",
    "not-a-range",
    "off-or-left",
    "output-against-input",
    "range-with-dash",
    "reversed-range",
    "slipped-load",
    "stages-fall",
    "stages-of-what",
    "swapped-bulbs",
)
"""Codes of what the schema can't say: figures within a text, and facts held against each other.

A file that the schema accepts is refused for these alone; all others the schema refuses too.
"""


def job_schema() -> dict[str, Any]:
    """The schema as plain values."""
    return {"$schema": DIALECT, "$id": IDENTIFIER, "title": "Selector job", **shortened(JOB.schema(), {}, whole=True)}


def job_schema_text() -> str:
    """The schema as the text of `schemas/job.json`."""
    return json.dumps(job_schema(), indent=2, ensure_ascii=False) + "\n"
