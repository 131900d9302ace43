"""schemas/*.json hold what the program publishes."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from selector.air.figure import as_data
from selector.answers.house.found import found_report
from selector.answers.house.plan import plan_report
from selector.answers.identify import identify_report
from selector.answers.verify.answer import verify
from selector.job.as_found.as_found import as_found
from selector.job.file.example import EXAMPLE
from selector.job.file.read import job_from_text, load_job
from selector.job.plan.plan import plan
from selector.job.targets.house import house_of
from selector.published import COMMANDS, schema_text, shape
from selector.table.library.library import load
from tests.helpers.program import program

ROOT = Path(__file__).parents[2]
SCHEMAS = ROOT / "schemas"


@pytest.mark.parametrize("command", COMMANDS)
def test_the_published_schema_is_the_one_in_the_code(command: str) -> None:
    assert (SCHEMAS / f"{command}.json").read_text(encoding="utf-8") == schema_text(command)


@pytest.mark.parametrize(
    "path", sorted((ROOT / "tests" / "examples").glob("[jr][oe]*s/*.yaml")), ids=lambda p: f"{p.parent.name}-{p.stem}"
)
def test_the_answers_on_a_job_keep_their_shape(path: Path) -> None:
    job, _ = load_job(str(path))
    house = house_of(job)
    tables = [load(str(p))[0] for p in sorted((ROOT / "tables").glob("*.yaml"))]
    for name, report in (
        ("plan", plan_report(plan(house_of(job)))),
        ("verify", verify(house)),
        *((("found", found_report(as_found(house))),) if house.known.found is not None else ()),
        ("identify", identify_report(job, tables)),
    ):
        if report.data:
            Draft202012Validator(shape(name)).validate(json.loads(json.dumps({"version": 1, **report.data})))


ON_TABLES = [
    ["list"],
    ["show", "quillhaven-p"],
    ["show", "corvane-k14", "--model", "080"],
    ["check", "corvane-k14", "tests/examples/bad"],
    ["review", "wickerby-5"],
    ["review", "corvane-k14", "tests/examples/bad"],
    ["compare", "corvane-k14", "fenwarren-4m"],
]


@pytest.mark.parametrize("words", ON_TABLES, ids=" ".join)
def test_the_answers_on_tables_keep_their_shape(words: list[str]) -> None:
    done = program(*words, "--json")
    assert done.returncode in (0, 1)
    answer = json.loads(done.stdout)
    assert answer["version"] == 2
    Draft202012Validator(shape(words[0])).validate(answer)
    assert not [key for key in keys(answer) if not SNAKE.fullmatch(key)]


SNAKE = re.compile(r"[a-z][a-z0-9_]*")
FREE = ("positions", "ramps")
"""Maps whose keys are names of a table."""


def keys(data: Any) -> Iterator[str]:
    """Every key but the names of a table's own things."""
    if isinstance(data, dict):
        for key, inner in data.items():
            yield key
            if key not in FREE:
                yield from keys(inner)
    elif isinstance(data, list):
        for inner in data:
            yield from keys(inner)


# -- answers on jobs, closed all the way down

ON_JOBS = ("plan", "verify", "found", "identify")


def objects(shape: Any) -> Iterator[dict[str, Any]]:
    """Every object that a schema describes."""
    if isinstance(shape, dict):
        if "object" in str(shape.get("type", "")):
            yield shape
        for inner in shape.values():
            yield from objects(inner)
    elif isinstance(shape, list):
        for inner in shape:
            yield from objects(inner)


@pytest.mark.parametrize("command", ON_JOBS)
def test_every_object_names_its_keys_or_the_shape_of_its_values(command: str) -> None:
    found = list(objects(shape(command)))
    assert len(found) >= 4
    for one in found:
        assert one["type"] == "object"
        if one["additionalProperties"] is False:
            assert set(one["required"]) <= set(one["properties"])
        else:
            assert {"type", "anyOf"} & set(one["additionalProperties"]), one
    assert not [one for one in lists(shape(command)) if "items" not in one]


def lists(shape: Any) -> Iterator[dict[str, Any]]:
    if isinstance(shape, dict):
        if shape.get("type") == "array":
            yield shape
        for inner in shape.values():
            yield from lists(inner)


FURNACE = "format: selector job 1\ntable: corvane-k14\nmodel: 080\noutdoor unit: {capacity: 3 tons, stages: 70 %}\n"
READ = (
    "measurements:\n  - {call: heating second, minutes: 12, method: clocked gas, rise: 70 F, volume: 2 ft3, time: 78 s,"
    " heat of gas: 830 Btu/ft3}\n  - {call: heating second, minutes: 12, method: static, static pressure: 0.7 in."
    " w.c.}\n  - {call: cooling second, minutes: 1, method: hood, airflow: 900 cfm}\n"
)
MORE = [
    FURNACE,
    FURNACE + "as found: {SW1: 10?1?000}\ncomplaint: noise\n",
    FURNACE
    + "as found: {SW1: 00000000}\ncomplaint: limit trips\nsite: {plate static: 0.5 in. w.c., altitude: 1500 m}\n"
    + READ,
    FURNACE + "as left: {SW1: 10010100}\ncomplaint: cool air in heat\n" + READ,
    FURNACE + "windows: {cooling: 1 to 2 cfm}\nas found: {SW1: 10010100}\n",
    (
        "format: selector job 1\ntable: quillhaven-p\noutdoor unit: {capacity: 3 tons}\nas found: {P1: '?', P2: 10, P3:"
        " M, LK1: open, LK2: unread, N1: 400, N2: 400, N3: 500, N4: off}\ncomplaint: high head in heating\n"
    ),
    (
        "format: selector job 1\ntable: wickerby-5\nsite: {static pressure: 125 Pa}\nas found: {M1: Y1=2 Y2=5 W=?"
        " G=1}\ncomplaint: humid\n"
    ),
]


@pytest.mark.parametrize("text", [*MORE, EXAMPLE], ids=range(len(MORE) + 1))
def test_answers_on_other_jobs_keep_their_shape_with_and_without_why(text: str) -> None:
    job, _ = job_from_text(text)
    house = house_of(job)
    tables = [load(str(p))[0] for p in sorted((ROOT / "tables").glob("*.yaml"))]
    for why in (False, True):
        reports = {
            "plan": plan_report(plan(house_of(job)), why=why),
            "verify": verify(house),
            **({"found": found_report(as_found(house), why=why)} if house.known.found is not None else {}),
            "identify": identify_report(job, tables),
        }
        for name, report in reports.items():
            if not report.data:
                continue
            data = {"version": 1, **report.data}
            if why and "why" not in data:
                data["why"] = [as_data(figure) for figure in report.figures]
            Draft202012Validator(shape(name)).validate(json.loads(json.dumps(data)))


@pytest.mark.parametrize("command", ON_JOBS)
def test_a_key_too_many_or_too_few_is_seen(command: str) -> None:
    job, _ = job_from_text(MORE[3] if command == "verify" else MORE[1])
    house, validator = house_of(job), Draft202012Validator(shape(command))
    made = {
        "plan": lambda: plan_report(plan(house_of(job))),
        "verify": lambda: verify(house),
        "found": lambda: found_report(as_found(house)),
        "identify": lambda: identify_report(job, [house.table]),
    }
    whole = json.loads(json.dumps({"version": 1, **made[command]().data}))
    validator.validate(whole)
    changed = 0
    for path in paths(whole):
        for key, extra in ((path[-1], False), ("strange key", True)):
            copy = json.loads(json.dumps(whole))
            at = copy
            for step in path[:-1]:
                at = at[step]
            if not isinstance(at, dict):
                continue
            if extra:
                at[key] = 1
            else:
                del at[key]
            changed += 1
            if validator.is_valid(copy):
                assert (path[-2:-1] and path[-2] in OPEN) or key in LEFT_OUT, path
    assert changed > 20


OPEN = ("before", "positions", "fan_power", "facts", "says", "inputs")
LEFT_OUT = ("source", "expression", "inputs", "note", "exact", "no", "why", "arithmetic")
"""Keys that an answer may be without."""


def paths(data: Any, so_far: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """The way to every key, of a list to its first item alone."""
    if isinstance(data, dict):
        for key, inner in data.items():
            yield (*so_far, key)
            yield from paths(inner, (*so_far, key))
    elif isinstance(data, list) and data:
        yield from paths(data[0], (*so_far, 0))
