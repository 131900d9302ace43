"""Facts that can't both hold are refused at their place with both named; where one is better known, which one is
used is said."""

from __future__ import annotations

from pathlib import Path

import pytest

from selector.answers.house.plan import plan_report
from selector.answers.remarks.remark import remark_text
from selector.job.file.read import load_job
from selector.job.house.contradictions import LOOKS
from selector.job.line.typed import job_from_pairs
from selector.job.plan.plan import plan
from selector.job.remark import remark
from selector.job.targets.house import house_of
from selector.problems import Refused

FURNACE = [("table", "corvane-k14"), ("model", "080"), ("tons", "3")]
PUMP = [("table", "quillhaven-p"), ("tons", "3")]
RECORDS = sorted((Path(__file__).parents[2] / "examples").glob("[jr]*s/*.yaml"))

REFUSED = [
    # what is typed beside the furnace of 80 MBH, 35 to 65 F; the words of both facts; the line (the pair's number) that
    # is shown
    ([("kind", "gas"), ("heater", "10 kW")], ("kind: gas", "heater: 10 kW"), 5),
    ([("kind", "electric")], ("kind: electric", "gas or oil"), 4),
    ([("kind", "gas"), ("nozzle", "0.85 gph")], ("kind: gas", "nozzle: 0.85 gph"), 5),
    ([("heat input", "80 kW")], ("80 kW", "80,000 Btu/h"), 4),
    ([("heat input", "110 MBH")], ("110 MBH", "80,000 Btu/h"), 4),
    ([("heat input second", "110 MBH")], ("110 MBH", "80,000 Btu/h"), 4),
    ([("heat aim", "20 F")], ("20 F", "35 to 65 F"), 4),
    ([("heat aim", "90 F")], ("90 F", "35 to 65 F"), 4),
    ([("least per ton", "450 cfm/ton"), ("most per ton", "300 cfm/ton")], ("450 cfm/ton", "300 cfm/ton"), 4),
    ([("airflow per ton", "280 cfm/ton"), ("least per ton", "300 cfm/ton")], ("280 cfm/ton", "300 cfm/ton"), 4),
    ([("airflow per ton", "440 cfm/ton"), ("most per ton", "420 cfm/ton")], ("440 cfm/ton", "420 cfm/ton"), 4),
    ([("hold SW1-4", "off"), ("found SW1", "00010000")], ("SW1-4 is held OFF", "found ON"), 4),
]


@pytest.mark.parametrize(
    ("more", "both", "line"), REFUSED, ids=[" ".join(f"{n}={t}" for n, t in more) for more, _, _ in REFUSED]
)
def test_two_facts_that_cannot_both_hold_are_named(
    more: list[tuple[str, str]], both: tuple[str, str], line: int
) -> None:
    with pytest.raises(Refused) as refused:
        house_of(job_from_pairs([*FURNACE, *more])[0])
    problem = next(p for p in refused.value.problems if p.code == "contradiction")
    assert problem.line == line
    assert problem.help
    for word in both:
        assert word in problem.message, problem.message


@pytest.mark.parametrize(
    ("more", "help"), [([], "type heater: 9.6 kW"), ([("heater", "10 kW")], "take it out: heater: 10 kW is there")]
)
def test_an_input_on_a_unit_of_strips_is_not_passed_over(more: list[tuple[str, str]], help: str) -> None:
    """Quillhaven heats with the heater of plug P2 alone (page 7): nothing burns there."""
    with pytest.raises(Refused) as refused:
        house_of(job_from_pairs([*PUMP, *more, ("heat input", "9.6 kW")])[0])
    assert [(p.code, p.help) for p in refused.value.problems] == [("contradiction", help)]


def test_the_input_of_another_model_names_the_model() -> None:
    with pytest.raises(Refused) as refused:
        house_of(job_from_pairs([*FURNACE, ("heat input", "110 MBH")])[0])
    assert "model: 110" in refused.value.problems[0].help


@pytest.mark.parametrize(
    ("facts", "both"),
    [
        ([*PUMP, ("heater", "10 kW"), ("fact heater", "5")], ("heater: 5", "heater: 10 kW")),
        ([*PUMP, ("fact outdoor tons", "4")], ("outdoor tons: 4", "3 tons")),
        ([("table", "eskerby-oil"), ("kind", "gas")], ("kind: gas", "oil")),
        ([("table", "saltmarsh-12"), ("kind", "gas")], ("kind: gas", "electric")),
    ],
    ids=["heater twice", "tons twice", "gas in oil", "gas in strips"],
)
def test_other_tables(facts: list[tuple[str, str]], both: tuple[str, str]) -> None:
    with pytest.raises(Refused) as refused:
        house_of(job_from_pairs(facts)[0])
    assert any(all(word in p.message for word in both) for p in refused.value.problems), refused.value.problems


@pytest.mark.parametrize(
    ("more", "said"),
    [
        (("heat input", "90 MBH"), "heat input: the job's 90 MBH is used, not the 80,000 Btu/h of the table's plate"),
        (("efficiency", "80 %"), "efficiency: the job's 80 % is used, not the 95 % of the table's plate"),
        (
            ("rise", "40 to 70 F"),
            "temperature rise: the job's 40 to 70 F is used, not the 35 to 65 F of the table's plate",
        ),
    ],
)
def test_which_of_two_is_used_is_said_and_used(more: tuple[str, str], said: str) -> None:
    """90,000 x 95 %, 80,000 x 80 %, the middle of 40 to 70 F."""
    house = house_of(job_from_pairs([*FURNACE, more])[0])
    assert said in [remark_text(note, house.table) for note in house.notes]
    assert f"Note: {said}." in plan_report(plan(house), columns=400).lines
    aim = house.aim("heating", "second")
    assert aim.heat is not None
    assert aim.aim.rise_f is not None
    used = {
        "heat input": float(aim.heat.value) == 85_500,
        "efficiency": float(aim.heat.value) == 64_000,
        "rise": float(aim.aim.rise_f.value) == 55,
    }
    assert used[more[0]]


def test_the_motor_of_the_table_is_used() -> None:
    house = house_of(job_from_pairs([("table", "pellmere-si"), ("static", "120 Pa"), ("motor", "fixed speed")])[0])
    wanted = remark("table's word used", what="motor", table="constant torque", typed="fixed speed")
    assert wanted in house.notes


@pytest.mark.parametrize(
    "more",
    [
        ("heat input", "80 MBH"),
        ("heat input", "80.5 MBH"),
        ("heat input first", "56 MBH"),
        ("kind", "gas"),
        ("kind", "oil"),
        ("heat aim", "65 F"),
        ("hold SW1-1", "off"),
    ],
)
def test_what_agrees_is_not_spoken_of(more: tuple[str, str]) -> None:
    house = house_of(job_from_pairs([*FURNACE, more])[0])
    assert not [note for note in house.notes if note.code in ("job's figure used", "table's word used")]


def test_a_mark_held_as_found_is_fine() -> None:
    house_of(job_from_pairs([*FURNACE, ("hold SW1-4", "on"), ("found SW1", "00010000")])[0])
    house_of(job_from_pairs([*FURNACE, ("hold SW1-4", "on"), ("found SW1", "000?0000")])[0])


@pytest.mark.parametrize("path", RECORDS, ids=lambda p: f"{p.parent.name}-{p.stem}")
def test_the_example_jobs_contradict_nothing(path: Path) -> None:
    house_of(load_job(str(path))[0])


def test_each_look_is_there_once() -> None:
    assert len(LOOKS) == len(set(LOOKS)) == 11
