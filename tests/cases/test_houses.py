"""House cases worked by hand from the paper pages by someone who had not seen the program: what an answer must say.

`job` is the house as it is typed; `must_say` the figures and first words that the hand-worked case asks for, `lines`
what else has to stand in the text and `not_lines` what may not. `working` shows where every figure comes from.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest
import yaml

from selector.answers.danger import subjects, with_dangers
from selector.answers.house.found import found_report
from selector.answers.house.plan import plan_report
from selector.job.as_found.as_found import as_found
from selector.job.board.judged_by import setting_now
from selector.job.danger.hazard import no_moves
from selector.job.danger.house import hazards_of_board
from selector.job.file.read import job_from_text
from selector.job.file.report import Report
from selector.job.plan.plan import plan
from selector.job.targets.house import house_of
from selector.table.build.build import build_table
from selector.table.source import source_from_text

CASES = sorted(Path(__file__).parent.glob("houses/*.yaml"))
WIDE = 400


def answered(case: Mapping[str, Any]) -> Report:
    """The answer of the command that a case asks."""
    job, problems = job_from_text(case["job"], "job.yaml")
    assert not problems
    table = None
    if "typed_table" in case:
        table, report = build_table(source_from_text(case["typed_table"], "own.yaml"), "own")
        assert table is not None, report.problems
    house = house_of(job, table)
    asked = case["asked"]
    dangers = hazards_of_board(house, house.known.found if asked == "found" else setting_now(house))
    told, offered = subjects(dangers), not no_moves(dangers)
    if asked == "plan":
        answer = plan_report(plan(house), columns=WIDE, told=told, offered=offered)
    else:
        assert asked == "found"
        answer = found_report(as_found(house, offered=offered), columns=WIDE, told=told)
    return with_dangers(answer, dangers, house.table)


def stages_of(data: Mapping[str, Any], *, left: bool) -> dict[str, Any]:
    """The stages of an answer by name: as found, or after its moves."""
    best = data.get("fewest") or data.get("best")
    after = [] if best is None else best["stages"]
    stages = after if left else data.get("stages") or after
    return {f"{s['call']} {s['stage']}".strip(): s for s in stages}


def near(got: float | None, wanted: float, within: float) -> bool:
    return got is not None and abs(float(got) - wanted) <= within


def rises(stage: Mapping[str, Any]) -> list[float]:
    return [float(r["rise"]) for r in stage["read_as"] if r["rise"] is not None]


@pytest.mark.parametrize("path", CASES, ids=lambda p: p.stem)
def test_the_answer_says_what_the_hand_worked_case_says(path: Path) -> None:
    case = yaml.safe_load(path.read_text(encoding="utf-8"))
    report = answered(case)
    text = "\n".join(report.lines)
    for must in case["must_say"]:
        if "first" in must:
            first = next(line for line in report.lines if not line.startswith("as found: "))
            assert first.startswith(must["first"]), first
        if "call" in must and "stands" not in must:
            _stage(report.data, must, text)
        if "stands" in must:
            assert stages_of(report.data, left=False)[must["call"]]["no"] == must["stands"]
        if "move" in must:
            moves = _moves(report.data)
            assert set(must["move"]) <= set(moves), moves
        if "moves" in must:
            assert len(_moves(report.data)) == must["moves"]
        if "target_cfm" in must:
            aims = {f"{t['call']} {t['stage']}".strip(): t for t in report.data["targets"]}  # type: ignore[attr-defined]
            assert near(aims[must["of"]]["airflow"], must["target_cfm"], must["within"])
    for pattern in case.get("lines", ()):
        assert re.search(pattern, text), (pattern, text)
    for pattern in case.get("not_lines", ()):
        assert not re.search(pattern, text), (pattern, text)


def _moves(data: Mapping[str, Any]) -> list[str]:
    best = data.get("fewest") or data.get("best")
    return [] if best is None else [f"{m['selector']} {m['was']} -> {m['to']}" for m in best["moves"]]


def _stage(data: Mapping[str, Any], must: Mapping[str, Any], text: str) -> None:
    stage = stages_of(data, left=bool(must.get("left")))[must["call"]]
    if "airflow" in must:
        assert near(stage["airflow"], must["airflow"], must["within"]), stage["airflow"]
    if "rise" in must:
        assert any(near(r, must["rise"], must["within_rise"]) for r in rises(stage)), rises(stage)
    for end in ("low", "high"):
        if end in must:
            assert near(stage["allowed"][end], must[end], must["within"]), stage["allowed"]
    if "possible" in must:
        line = next(x for x in text.splitlines() if x.strip().startswith(must["call"]))
        assert all(f"{value:,}" in line for value in must["possible"]), line
