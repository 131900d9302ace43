"""Every figure of a plan recomputed from its listed inputs, out of the JSON alone, by arithmetic that isn't the
program's."""

from __future__ import annotations

import json
import math
import re
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from selector.answers.house.plan import plan_report
from selector.answers.house.why import plan_figures, why_data, why_lines
from selector.job.file.read import load_job
from selector.job.plan.plan import plan
from selector.job.targets.house import house_of

JOBS = sorted((Path(__file__).parents[2] / "examples" / "jobs").glob("*.yaml"))
Step = dict[str, Any]


def nearest(x: float, n: float) -> float:
    """To a multiple of n, halves away from zero."""
    return math.copysign(math.floor(abs(x) / n + 0.5) * n, x)


FUNCTIONS = {
    "sqrt": math.sqrt,
    "min": min,
    "max": max,
    "abs": abs,
    "nearest": nearest,
    "up": lambda x, n: math.ceil(x / n - 1e-12) * n,
    "down": lambda x, n: math.floor(x / n + 1e-12) * n,
}


def recomputed(step: Step, values: dict[int, float]) -> float:
    """The step by its expression over the values already reached; a leaf is what it says."""
    if "expression" not in step:
        return float(step["value"])
    names = {name: values[number] for name, number in step["inputs"].items()}
    text = step["expression"].replace("^", "**")
    assert re.fullmatch(r"[a-z0-9_ .,()*/+-]+", text), text
    return float(eval(text, {"__builtins__": {}}, {**FUNCTIONS, **names}))


@cache
def chain_of(path: Path) -> dict[str, Any]:
    report = plan_report(plan(house_of(load_job(str(path))[0])), why=True)
    data = json.loads(json.dumps(report.data))
    found = data["why"]
    assert isinstance(found, dict)
    return found


@pytest.mark.parametrize("path", JOBS, ids=lambda p: p.stem)
def test_every_number_comes_out_of_its_listed_inputs(path: Path) -> None:
    why = chain_of(path)
    values: dict[int, float] = {}
    for step in why["steps"]:
        assert all(number in values for number in step.get("inputs", {}).values()), (
            "inputs stand before what is computed from them"
        )
        values[step["id"]] = recomputed(step, values)
        assert values[step["id"]] == pytest.approx(step["value"], rel=1e-9, abs=1e-12), step
    assert len(why["answers"]) >= 12
    assert any("expression" in step for step in why["steps"])
    for answer in why["answers"]:
        assert values[answer["step"]] == pytest.approx(answer["value"], rel=1e-9)
        digits = re.search(r"-?[\d,]+(\.\d+)?", answer["printed"])
        assert digits is not None, answer
        places = len(digits[0].partition(".")[2])
        shown = float(digits[0].replace(",", ""))
        if "%" not in answer["printed"] and "(" not in answer["printed"]:
            assert abs(shown - values[answer["step"]]) <= 0.5 * 10**-places + 1e-6, answer


@pytest.mark.parametrize("path", JOBS, ids=lambda p: p.stem)
def test_every_leaf_says_where_it_is_from_and_charted_ones_name_page_row_and_line(path: Path) -> None:
    why = chain_of(path)
    leaves = [step for step in why["steps"] if "expression" not in step]
    assert all(step["source"] for step in leaves)
    table = load_job(str(path))[0].table
    assert table is not None
    charted = [
        step for step in leaves if re.search(rf"page \d+, `.+`.*\({re.escape(table.text)}, line \d+\)", step["source"])
    ]
    assert charted


def test_a_chain_goes_from_the_row_to_the_answer() -> None:
    """1,130 of page 23 less 6 % = 1,062.2; first stage 66 % of it."""
    path = next(p for p in JOBS if p.stem == "gas-two-stage-altitude")
    why = chain_of(path)
    steps = {step["id"]: step for step in why["steps"]}
    answer = next(a for a in why["answers"] if a["what"] == "cooling first, charted airflow")
    last = steps[answer["step"]]
    share = steps[next(i for n, i in last["inputs"].items() if steps[i]["printed"] == "66 %")]
    before = steps[next(i for i in last["inputs"].values() if i != share["id"])]
    row = steps[next(i for n, i in before["inputs"].items() if n == "cooling_airflow")]
    assert row["value"] == 1130
    assert row["source"].startswith("page 23, `cooling airflow`, row OFF OFF ON")
    assert before["value"] == pytest.approx(1062.2)
    assert answer["printed"] == "701 cfm"


def test_the_lines_of_why_carry_the_same_chain() -> None:
    found = plan(house_of(load_job(str(next(p for p in JOBS if p.stem == "oil")))[0]))
    lines = list(why_lines(plan_figures(found)))
    assert any(line.startswith("heating, delivered heat: 105,602 Btu/h") for line in lines)
    assert any("0.75 gph x sqrt(140 psi / 100 psi)" in line for line in lines)
    assert any("page 14, `rise asked`" in line for line in lines)


def test_a_figure_no_float_holds_is_given_exactly_too() -> None:
    found = plan(house_of(load_job(str(next(p for p in JOBS if p.stem == "oil")))[0]))
    data = why_data(plan_figures(found))
    steps = data["steps"]
    assert isinstance(steps, list)
    exact = [step for step in steps if "exact" in step]
    assert exact
    for step in exact:
        assert float(Fraction(step["exact"])) == step["value"]


def test_every_figure_printed_in_the_plan_is_in_the_chain() -> None:
    """Airflows, rises, air per ton and watts that the expected part prints are answers of `why`, to the digits
    printed."""
    for path in JOBS:
        report = plan_report(plan(house_of(load_job(str(path))[0])), why=True)
        data = json.loads(json.dumps(report.data))
        if data["best"] is None:
            continue
        known = [answer["value"] for answer in data["why"]["answers"]]
        flow = {"cfm": 1.0, "L/s": 0.4719474432, "m3/h": 1.69901079552}[data["units"]["airflow"]]
        degrees = 5 / 9 if data["units"]["temperature"] == "C" else 1.0
        for stage in data["best"]["stages"]:
            if stage["airflow"] is None:
                continue
            assert any(stage["airflow"] / flow == pytest.approx(v) for v in known), stage
            for read in stage["read_as"]:
                for key, factor in (
                    ("standard", flow),
                    ("actual", flow),
                    ("rise", degrees),
                    ("per_ton_cfm", 1.0),
                    ("split", degrees),
                ):
                    if read[key] is not None:
                        assert any(read[key] / factor == pytest.approx(v) for v in known), (path.stem, key)
