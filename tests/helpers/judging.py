"""Jobs as text for tests of verdicts: a job's answer, and the check that every figure of it can be recomputed from
its inputs."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Mapping
from fractions import Fraction
from typing import Any

from selector.air.expression import evaluate
from selector.answers.house.found import found_report
from selector.job.as_found.as_found import as_found
from selector.job.file.read import job_from_text
from selector.job.file.report import Report
from selector.job.targets.house import House, house_of
from selector.value import replace
from tests.helpers.recompute import mismatches


def house(text: str) -> House:
    """The house of a job whose first lines are given."""
    job, _ = job_from_text(f"format: selector job 1\n{text}", "job.yaml")
    return house_of(job)


def answered(act: Callable[[House], Report], text: str) -> Report:
    """The report of an act on a job, with its figures and its JSON recomputed."""
    report = act(house(text))
    for figure in report.figures:
        assert mismatches(figure) == (), figure.name
    data = json.loads(json.dumps(report.data))
    for tree in trees(data):
        recomputed(tree)
    return replace(report, data=data)


def trees(data: Any) -> Iterator[Mapping[str, Any]]:
    """Every figure with inputs in a JSON answer."""
    if isinstance(data, dict):
        if "expression" in data:
            yield data
        else:
            for value in data.values():
                yield from trees(value)
    elif isinstance(data, list):
        for value in data:
            yield from trees(value)


def recomputed(tree: Mapping[str, Any]) -> float:
    """The value of a figure of the JSON answer from its listed inputs, all the way down; held against the one
    printed."""
    if "expression" not in tree:
        return float(tree["value"])
    inputs = {one["name"]: Fraction(recomputed(one)) for one in tree["inputs"]}
    value = float(evaluate(tree["expression"], inputs))
    assert abs(value - tree["value"]) <= 1e-9 * max(1.0, abs(value)), tree["text"]
    return value


def line_with(report: Report, start: str) -> str:
    """The one line of a report that begins so, without its blanks; strips are drawings."""
    found = [line.strip() for line in report.lines if line.strip().startswith(start) and "....." not in line]
    assert len(found) == 1, (start, found)
    return " ".join(found[0].split())


def as_found_report(one: House) -> Report:
    """The board as found of a house, in lines wide enough that none is folded."""
    report = found_report(as_found(one), columns=400)
    return replace(report, data=json.loads(json.dumps(report.data)))


def found_stage(report: Report, call: str, name: str = "") -> Any:
    """One stage of a board as found."""
    stages: Any = report.data["stages"]
    return next(s for s in stages if (s["call"], s["stage"]) == (call, name))


def found_moves(report: Report) -> list[str]:
    """`SW1-4 ON -> OFF` for each move that is offered."""
    fewest: Any = report.data["fewest"]
    moves = [] if fewest is None else fewest["moves"]
    return [f"{m['selector']} {'?' if m['was'] is None else m['was']} -> {m['to']}" for m in moves]
