"""Pages as a stranger types them: what they say is told and kept. Worked by hand on the text of each page."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from selector.answers.call import judged_text
from selector.cli.main import run
from selector.judge.floors_and_ceilings import ASSUMED
from selector.solve.engine.limit import JudgedLimit, Limit
from selector.table.library.library import load
from selector.table.model.range import Range

COPIED = """
format: selector table 1
unit: {title: T, models: 24 36}
board:
  SW1: {kind: switches, count: 2, factory: all off}
charts:
  letter:
    set: SW1-1 SW1-2
    gives: label
    rows: 00 A; 10 B; 01 C; 11 H
  c:
    set: letter
    gives: airflow
    rows: A 800; B 700; C 600; H as A
calls:
  cooling: {terminals: Y1, airflow: c}
"""


def answer(capsys: pytest.CaptureFixture[str], tmp_path: Path, page: str, command: str, *words: str) -> str:
    """What a command answers about a page, in one line."""
    path = tmp_path / "page.yaml"
    path.write_text(page.lstrip(), encoding="utf-8")
    assert run([command, str(path), *words]) in (0, 1)
    return " ".join(capsys.readouterr().out.split())


def test_a_row_that_behaves_as_another_by_its_label_is_not_proposed(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    """Letter H is both switches on: told where the board stands there, proposed from nowhere else."""
    for found in ("00", "10", "01"):
        told = answer(capsys, tmp_path, COPIED, "find", "cooling=805", "--model", "24", "--found", f"SW1={found}")
        assert "cooling 800 cfm" in told
        assert "letter H" not in told
    told = answer(capsys, tmp_path, COPIED, "find", "cooling=805", "--model", "24", "--found", "SW1=11")
    assert "1. Change nothing SW1" in told
    assert "letter H" in told


ONLY = """
format: selector table 1
unit: {title: T}
board:
  J1: {kind: jumper, positions: A B, factory: A}
charts:
  c: {set: J1, gives: airflow, only: static pressure up to 0.5, rows: A 2000; B 1500}
calls:
  cooling: {terminals: Y1, airflow: c}
"""


@pytest.mark.parametrize("whole", [False, True], ids=["chart", "unit"])
def test_a_chart_or_unit_that_holds_only_with_a_fact_says_that_it_is_not_given(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, whole: bool
) -> None:
    page = ONLY
    if whole:
        only = "only: static pressure up to 0.5"
        page = page.replace(f"{only}, ", "").replace("title: T", f"title: T, {only}")
    said = "holds only with static pressure up to 0.5"
    for words in (("decode", "J1=A"), ("find", "cooling=2000")):
        told = answer(capsys, tmp_path, page, *words)
        assert "cooling 2,000 cfm" in told
        assert f"Note: c: {said} (static pressure not given)" in told
    assert said not in answer(capsys, tmp_path, page, "decode", "J1=A", "--static", "0.4")
    assert "2,000 cfm" not in answer(capsys, tmp_path, page, "decode", "J1=A", "--static", "0.6")


OFF_PINS = """
format: selector table 1
unit: {title: T}
board:
  J3: {kind: jumper, positions: 0 5, factory: 0, declares: heater, says: {0: none, 5: 5 kW}}
charts:
  a: {set: J3, gives: airflow, rows: 0 none; 5 700; off pins none}
calls:
  heater: {terminals: W, airflow: a}
"""


def test_a_jumper_that_says_what_it_tells_may_have_a_row_off_its_pins(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    assert "5 5 kW" in answer(capsys, tmp_path, OFF_PINS, "show")
    assert "heater 700 cfm" in answer(capsys, tmp_path, OFF_PINS, "decode", "J3=5")
    assert "700" not in answer(capsys, tmp_path, OFF_PINS, "decode", "J3=off pins", "--fact", "heater=5 kW")


def test_an_end_that_nobody_typed_is_rounded() -> None:
    """325 cfm/ton x 0.4719474 L/s per cfm = 153.38 L/s/ton; `wickerby-5` is in L/s."""
    limit = Limit("airflow per ton", Range(low=325 * Fraction("0.4719474")), ASSUMED)
    judged = JudgedLimit(limit=limit, ok=False, value=Fraction(100), range=limit.range)
    said = judged_text(load("wickerby-5")[0], judged)
    assert said == "100 L/s/ton, 53 L/s/ton below the assumed 153 L/s/ton"
