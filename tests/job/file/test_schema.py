"""The published schema of a job: generated, a valid schema, and of one mind with the reader."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml
from jsonschema import Draft202012Validator

from selector.job.file.read import job_from_text
from selector.job.file.schema import BEYOND, job_schema_text
from selector.problems import Refused
from tests.job.file.test_read import BAD, HEAD

ROOT = Path(__file__).parents[3]
SCHEMA: dict[str, Any] = json.loads((ROOT / "schemas" / "job.json").read_text(encoding="utf-8"))
VALIDATOR = Draft202012Validator(SCHEMA)
EXAMPLES = sorted((ROOT / "tests" / "examples" / "jobs").glob("*.yaml"))


def test_the_published_file_is_the_generated_one() -> None:
    assert (ROOT / "schemas" / "job.json").read_text(encoding="utf-8") == job_schema_text()


def test_it_is_a_schema_of_2020_12() -> None:
    Draft202012Validator.check_schema(SCHEMA)
    assert SCHEMA["$schema"] == Draft202012Validator.META_SCHEMA["$id"]


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.stem)
def test_every_example_passes_as_a_general_reader_sees_it(path: Path) -> None:
    """A general reader of the format makes 48 of 060, and true of yes and on."""
    VALIDATOR.validate(yaml.safe_load(path.read_text(encoding="utf-8")))


def keys_of(schema: Any, path: str = "") -> Iterator[tuple[str, dict[str, Any]]]:
    if isinstance(schema, list):
        for inner in schema:
            yield from keys_of(inner, path)
    if isinstance(schema, dict):
        for key, value in schema.items():
            if key == "properties":
                for name, inner in value.items():
                    yield f"{path}/{name}", inner
            if key not in ("examples", "enum"):
                yield from keys_of(value, path)


def test_every_key_says_what_it_is() -> None:
    found = list(keys_of(SCHEMA))
    assert len(found) > 90
    for path, schema in found:
        assert len(schema.get("description", "")) > 10, path


@pytest.mark.parametrize("typed", [b[0] for b in BAD if b[3] != "lone-question-mark"])
def test_what_the_schema_refuses_the_reader_refuses_and_the_rest_is_listed(typed: str) -> None:
    with pytest.raises(Refused) as refused:
        job_from_text(f"{HEAD}{typed}\n")
    codes = {p.code for p in refused.value.problems}
    seen = not VALIDATOR.is_valid(yaml.safe_load(f"{HEAD}{typed}\n"))
    assert seen or codes <= set(BEYOND)


TREE: dict[str, Any] = {
    "format": "selector job 1",
    "table": "corvane-k14",
    "heat": {"input": {"first": "56 MBH"}},
    "board": {"part": "B-1"},
}


@pytest.mark.parametrize(
    "change",
    [
        {"heat": "gas"},
        {"heat": {"kind": "steam"}},
        {"heat": {"input": {"first": {"deeper": "1 MBH"}}}},
        {"board": {}},
        {"measurements": []},
        {"measurements": {"call": "cooling"}},
        {"format": "selector job 2"},
        {"zoning": {"calls": [["cooling"]]}},
        {"whatever": 1},
    ],
)
def test_shapes_the_schema_refuses_are_refused_by_the_reader_too(change: dict[str, Any]) -> None:
    tree = {**TREE, **change}
    assert VALIDATOR.is_valid(TREE)
    assert not VALIDATOR.is_valid(tree)
    with pytest.raises(Refused):
        job_from_text(yaml.safe_dump(tree, sort_keys=False, default_flow_style=False))
