"""The greatest input that a page lets a burner have, by hand.

Nozzles are marked at 100 psi, common practice, no source. 1.10 gph at 100 psi: 1.10 x 138,500 = 152,350 Btu/h. At
140 psi 1.10 x root(1.4) = 1.3015 gph, 180,263 Btu/h; 1.25 gph are 173,125 Btu/h: 7,138 over. 0.85 at 140 psi: 1.0057
gph, 139,294 Btu/h, over 1.00 gph, 138,500, by 794.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from selector.answers.danger import next_steps
from selector.answers.show import call_lines
from selector.job.danger.house import hazards_of_board
from selector.job.line.typed import job_from_pairs
from selector.job.targets.house import house_of
from selector.judge.danger import dangerous
from selector.judge.judge import judge_setting
from selector.problems import Refused
from selector.solve.board.facts import Facts
from selector.solve.board.marks import read_marks, setting_of
from selector.solve.engine.engine import Engine
from selector.table.from_file.build import build_table
from selector.table.model.table import Table
from selector.table.source import source_from_text

PAGE = """\
format: selector table 1
unit: {title: Oil furnace, models: S L}
units: {airflow: cfm, temperature: F}
ratings:
  pump pressure: {NZ: {1.10: 100 psi, others: 140 psi}}
  heat per gallon: 138500
  efficiency: 83 %
  temperature rise: 55 to 90
board:
  NZ: {kind: plug, positions: 0.85 1.10, gives: nozzle rate, declares: nozzle}
  D1: {kind: dial, positions: 1 2 3, factory: 3}
charts:
  heating airflow: {set: D1, gives: airflow, rows: 1 1010; 2 1330; 3 1580}
calls:
  heating:
    terminals: W
    airflow: heating airflow
    heat: NZ
    window: {heat input: {S: up to 1.00 gph, L: up to 1.25 gph}}
"""


def table(page: str = PAGE) -> Table:
    return build_table(source_from_text(page, "page.yaml"), "page")[0]


def input_of(nozzle: str, facts: Facts, page: str = PAGE) -> Any:
    at = table(page)
    judgement = judge_setting(Engine(at, facts), setting_of(read_marks([f"NZ={nozzle}", "D1=3"], at), at))
    (stage,) = judgement.stages.values()
    (one,) = (c for c in stage.checks if c.limit.quantity == "heat input")
    return one


@pytest.mark.parametrize(
    ("nozzle", "model", "psi", "over"),
    [("1.10", "L", None, 0), ("1.10", "L", 140, 7138), ("0.85", "L", None, 0), ("0.85", "S", None, 794)],
)
def test_what_is_fired_is_held_against_it(nozzle: str, model: str, psi: int | None, over: int) -> None:
    values = {} if psi is None else {"pump pressure": Fraction(psi)}
    one = input_of(nozzle, Facts(model=model, values=values))
    (judged,) = one.judged
    assert one.state == ("broken" if over else "kept")
    assert round(judged.beyond) == over
    assert dangerous(table(), judged) == bool(over)


def test_by_selector_and_in_other_units() -> None:
    """139,294 Btu/h are 139.294 MBH; no more than 139 are allowed for this nozzle: 294 over."""
    page = PAGE.replace("{S: up to 1.00 gph, L: up to 1.25 gph}", "{NZ: {0.85: up to 139 MBH}}")
    assert round(input_of("0.85", Facts(model="S"), page).judged[0].beyond) == 294
    assert input_of("1.10", Facts(model="S"), page).state == "kept"


def test_it_is_shown_in_the_unit_of_the_table() -> None:
    """1.00 gph x 138,500 Btu are 138.5 MBH."""
    page = PAGE.replace("temperature: F}", "temperature: F, heat: MBH}").replace("L: up to 1.25 gph", "L: up to 150")
    said = [line.strip() for line in call_lines(table(page), table(page).calls["heating"])]
    assert "S heat input maximum 138.5 MBH" in said
    assert "L heat input maximum 150 MBH" in said


def test_gallons_need_their_heat() -> None:
    page = PAGE.replace("  heat per gallon: 138500\n", "").replace("    heat: NZ\n", "")
    with pytest.raises(Refused) as refused:
        table(page)
    assert "heat of a gallon" in str(refused.value.problems[0].message)


def dangers(psi: str) -> list[str]:
    pairs = {"table": "page", "model": "L", "found": "NZ=1.10 D1=3", "nozzle": "1.10", "pump pressure": psi}
    house = house_of(job_from_pairs(pairs.items())[0], table())
    return [line for one in hazards_of_board(house, house.now) for line in next_steps(one, house.table)]


def test_an_overfired_nozzle_is_said_before_all_else() -> None:
    assert dangers("140 psi")[0] == "Heat off. A licensed person with an analyzer: nozzle and pump pressure."
    assert dangers("100 psi") == []
