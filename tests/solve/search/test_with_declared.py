"""What nobody typed but a fact tells, on the Saltmarsh page: a 15 kW heater alone runs at 1,180 cfm (J4 = 15)."""

from __future__ import annotations

from selector.functions import decode, load
from selector.table.model.table import No


def airflows(board: str, facts: dict[str, str]) -> list[float]:
    found = decode(load("saltmarsh-12"), board, facts).values["heater alone", ""]
    return [float(x) for x in found.airflows]


def test_a_jumper_that_tells_the_heater_stands_at_the_one_that_is_there() -> None:
    assert airflows("J1=2 J2=b J3=1 LK1=whole J5=1", {"heater": "15"}) == [1180]


def test_typed_otherwise_the_board_is_believed_and_the_difference_is_told() -> None:
    found = decode(load("saltmarsh-12"), "J1=2 J2=b J3=1 J4=5 LK1=whole J5=1", {"heater": "15"})
    assert [float(x) for x in found.values["heater alone", ""].airflows] == [620]
    assert [(d.selector, d.board, d.known) for d in found.differences] == [("J4", "5", "15")]


def test_looked_at_it_stays_open_and_left_out_without_its_fact_it_stands_as_delivered() -> None:
    """J4 is delivered at none: no heater, so what needs one doesn't run."""
    found = decode(load("saltmarsh-12"), "J4=?", {"heater": "15"})
    assert sorted(float(x) for x in found.values["heater alone", ""].airflows) == [620, 790, 930, 1180]
    kinds = []
    for one in (found, decode(load("saltmarsh-12"), "J1=2")):
        answer = one.answers["heater alone"].stage("").airflow
        assert isinstance(answer, No)
        kinds.append(answer.kind)
    assert kinds == ["unreadable", "does_not_run"]
