"""A pump pressure and an efficiency that the nozzle decides: decode, plan and what is put right first, by hand.

1.10 gph marked, pump at 100 psi with it: 1.10 gph fired, x 138,500 x 83 % = 126,450 Btu/h; / (1.08 x 1,580 cfm) =
74.1 F. 1.00 at 140 psi: 1.00 x root(1.4) = 1.1832 gph, 136,017 Btu/h, 79.7 F. 0.55 at 140 psi with 85 %: 76,612
Btu/h; middle of 55 to 85 F is 70 F: 76,612 / (1.08 x 70) = 1,013 cfm. Nozzles are marked at 100 psi, common practice,
no source.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from selector.answers.house.plan import plan_answer
from selector.job.line.typed import job_from_pairs
from selector.job.plan.plan import plan
from selector.job.targets.house import house_of
from selector.judge.decode import decode
from selector.solve.board.facts import Facts
from selector.solve.board.marks import read_marks, setting_of
from selector.solve.engine.engine import Engine
from selector.table.from_file.build import build_table
from selector.table.source import source_from_text
from selector.value import data_of

PAGE = """\
format: selector table 1
unit: {title: Oil furnace, models: S L}
units: {airflow: cfm, temperature: F}
ratings:
  pump pressure: {NZ: {1.10: 100 psi, others: 140 psi}}
  heat per gallon: 138500
  efficiency: {NZ: {0.55: 85 %, 1.00 1.10: 83 %}}
  temperature rise: {NZ: {0.55: 55 to 85, 1.00 1.10: 60 to 90}}
board:
  NZ: {kind: plug, positions: 0.55 1.00 1.10, gives: nozzle rate, declares: nozzle}
  D1: {kind: dial, positions: 1 2 3, factory: 3}
charts:
  heating airflow: {set: D1, gives: airflow, rows: 1 1010; 2 1330; 3 1580}
calls:
  heating: {terminals: W, airflow: heating airflow, heat: NZ}
"""
TABLE = build_table(source_from_text(PAGE, "page.yaml"), "page")[0]


@pytest.mark.parametrize(("nozzle", "rise"), [("1.10", "74.1"), ("1.00", "79.7"), ("0.55", "44.9")])
def test_the_pump_pressure_of_the_nozzle_counts(nozzle: str, rise: str) -> None:
    engine = Engine(TABLE, Facts())
    setting = setting_of(read_marks([f"NZ={nozzle}", "D1=3"], TABLE), TABLE)
    (stage,) = decode(engine, setting).answers["heating"].stages
    assert isinstance(stage.rise, Fraction)
    assert f"{float(stage.rise):.1f}" == rise


def test_an_unread_nozzle_leaves_the_rise_open() -> None:
    (stage,) = decode(Engine(TABLE, Facts()), (None, 2)).answers["heating"].stages
    assert stage.airflow == 1580
    assert not isinstance(stage.heat, Fraction)


def planned(**job: str) -> Any:
    house = house_of(job_from_pairs({"table": "page", "found": "NZ=1.10 D1=3", **job}.items())[0], TABLE)
    return data_of(plan_answer(plan(house)))


def test_the_page_s_own_pressure_is_nothing_to_put_right() -> None:
    said = str(planned(nozzle="1.10", **{"pump pressure": "100 psi"}))
    assert "put right" not in said
    assert "Put the input right" not in said


def test_more_than_the_page_s_pressure_is_put_right() -> None:
    """1.10 x root(1.4) = 1.3015 gph, 149,618 Btu/h: 118 % of 126,450."""
    first = planned(nozzle="1.10", **{"pump pressure": "140 psi"})["first"]
    assert "149,618 Btu/h, 118 % of the 126,450 Btu/h" in str(first).replace("126,451", "126,450")


def test_the_aim_is_the_middle_of_the_nozzle_s_rise() -> None:
    data = planned(found="NZ=0.55 D1=3", nozzle="0.55", **{"heat aim": "mid rise"})
    (target,) = data["targets"]
    assert round(target["airflow"]) == 1013
