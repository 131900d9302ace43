"""Which record each command answers with under --json, and its published schema; `schemas/*.json` is written from here.

python -m selector.published writes the files anew.
"""

from __future__ import annotations

from importlib import import_module
from pathlib import Path
from typing import Any

from selector.value import Published, shape_of

RECORDS: dict[str, str] = {
    "list": "selector.answers.tables.TablesAnswer",
    "show": "selector.answers.show.ShowAnswer",
    "check": "selector.answers.check.CheckAnswer",
    "find": "selector.answers.find.FindAnswer",
    "decode": "selector.answers.decode.DecodeAnswer",
    "review": "selector.answers.review.ReviewAnswer",
    "compare": "selector.answers.compare.CompareAnswer",
    "identify": "selector.answers.identify.IdentifyAnswer",
    "verify": "selector.answers.verify.record.VerifyAnswer",
    "plan": "selector.answers.house.plan.PlanAnswer",
    "plan-also": "selector.answers.house.what_if.WhatIfAnswer",
    "found": "selector.answers.house.found.FoundAnswer",
    "jobs": "selector.answers.folder.record.JobsAnswer",
    "sheet": "selector.answers.sheets.sheet.SheetAnswer",
    "survey": "selector.answers.survey.summary.SurveyAnswer",
    "visits": "selector.answers.visits.record.VisitsAnswer",
}
"""Command -> the record of its answer; imported when it is needed."""
COMMANDS = tuple(RECORDS)


def record_of(command: str) -> type[Published]:
    """The class of a command's answer."""
    module, _, name = RECORDS[command].rpartition(".")
    found = getattr(import_module(module), name)
    assert isinstance(found, type)
    assert issubclass(found, Published)
    return found


def shape(command: str) -> dict[str, Any]:
    """The JSON Schema (2020-12) of a command's answer."""
    head = {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": f"selector {command} --json"}
    return {**head, **shape_of(record_of(command))}


def schema_text(command: str) -> str:
    """The schema as its file has it."""
    import json

    return json.dumps(shape(command), indent=1) + "\n"


def main() -> None:
    """Write every schema file of this folder's repository."""
    from selector.job.file.schema import job_schema_text
    from selector.table.grammar.schema import table_schema_text

    texts = {"table": table_schema_text(), "job": job_schema_text(), **{name: schema_text(name) for name in COMMANDS}}
    for name, text in texts.items():
        (Path(__file__).parents[1] / "schemas" / f"{name}.json").write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
