"""schemas/*.json hold what the program publishes."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from selector.cli.shapes import ANSWERS, schema_text
from selector.job.as_found import as_found
from selector.job.house import house_of
from selector.job.identified import identify
from selector.job.plan_report import plan_report
from selector.job.read import load_job
from selector.job.verify import verify
from selector.table.library import load

ROOT = Path(__file__).parent.parent
SCHEMAS = ROOT / "schemas"


@pytest.mark.parametrize("command", ANSWERS)
def test_the_published_schema_is_the_one_in_the_code(command: str) -> None:
    assert (SCHEMAS / f"{command}.json").read_text(encoding="utf-8") == schema_text(command)


@pytest.mark.parametrize("path", sorted((ROOT / "tests" / "examples").glob("[jr][oe]*s/*.yaml")), ids=lambda p: f"{p.parent.name}-{p.stem}")
def test_the_answers_on_a_job_keep_their_shape(path: Path) -> None:
    job, _ = load_job(str(path))
    house = house_of(job)
    tables = [load(str(p))[0] for p in sorted((ROOT / "tables").glob("*.yaml"))]
    for name, report in (("plan", plan_report(job)), ("verify", verify(house)), ("found", as_found(house)), ("identify", identify(job, tables))):
        if report.data:
            Draft202012Validator(ANSWERS[name]).validate(json.loads(json.dumps({"version": 1, **report.data})))


@pytest.mark.parametrize("words", [["review", "wickerby-5"], ["compare", "corvane-k14", "fenwarren-4m"]])
def test_the_answers_on_tables_keep_their_shape(words: list[str]) -> None:
    done = subprocess.run([sys.executable, "-m", "selector", *words, "--json"], capture_output=True, text=True, check=False, cwd=ROOT)
    assert done.returncode in (0, 1)
    Draft202012Validator(ANSWERS[words[0]]).validate(json.loads(done.stdout))
