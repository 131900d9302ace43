"""A mark that was left out counts as delivered where the page prints that, in every command alike, and each says so."""

from __future__ import annotations

import json

import pytest

from selector.cli.main import run
from selector.functions import decode, judge_board, load
from selector.job.as_found.as_found import as_found
from selector.job.line.typed import job_from_pairs
from selector.job.plan.plan import plan
from selector.job.targets.house import house_of
from selector.judge.judge import judge
from selector.judge.known_facts import BoardMarks
from selector.solve.engine.engine import Engine
from selector.solve.search.typed_facts import read_facts
from selector.table.from_file.build import build_table
from selector.table.model.table import No
from selector.table.source import source_from_text

FACTORY = {("heat pump", "first"): 730, ("heat pump", "second"): 1040, ("fan", ""): 520}
"""By hand, Hollinsby page: J2 is delivered at C, J1 at 2, LK1 whole."""


def test_a_mark_left_out_stands_as_delivered_and_an_unread_one_does_not() -> None:
    """Hollinsby: with SW1 alone J1, J2 and LK1 stand as delivered; J2=? may be any of five."""
    table = load("hollinsby-t")
    for judgement in (judge_board(table, "SW1=110000"), decode(table, "SW1=110000").judgement):
        assert {at: judgement.stages[at].outcome for at in FACTORY} == FACTORY
        assert [table.parts[i].name for i in judgement.assumed] == ["J1", "J2", "LK1"]
    seen = judge_board(table, "SW1=110000 J2=?").stages["heat pump", "first"]
    assert isinstance(seen.outcome, No)
    assert seen.outcome.kind == "unreadable"
    assert [int(x) for x in seen.airflows] == [560, 640, 730, 830, 950]


def test_plan_and_found_stand_on_the_same_board_as_decode() -> None:
    """The same three marks left out of a job."""
    table = load("hollinsby-t")
    house = house_of(job_from_pairs([("table", "hollinsby-t"), ("tons", "3"), ("found", "SW1=110000")], "job")[0])
    for solution in (plan(house).solution, as_found(house).solution):
        assert solution.before == decode(table, "SW1=110000").judgement.setting
        assert {at: solution.judged.stages[at].outcome for at in FACTORY} == FACTORY


UNPRINTED = """format: selector table 1
unit: {title: One jumper whose factory position is not printed}
units: {airflow: cfm}
board:
  J1: {kind: jumper, positions: A B, factory: A}
  J2: {kind: jumper, positions: 1 2}
charts:
  coil: {set: J1, gives: airflow, rows: A 900; B 1000}
  pump: {set: J2, gives: airflow, rows: 1 500; 2 800}
calls:
  cooling: {terminals: Y O, airflow: coil}
  heat pump: {terminals: Y, airflow: pump}
"""


def test_neither_typed_nor_printed_is_not_given() -> None:
    """J1 is printed as delivered, J2 is not: cooling is 900, the heat pump's airflow not known."""
    table, _ = build_table(source_from_text(UNPRINTED), "unprinted")
    judgement = judge(Engine(table, read_facts([], table)), BoardMarks(setting=(None, None)))
    assert judgement.stages["cooling", ""].outcome == 900
    outcome = judgement.stages["heat pump", ""].outcome
    assert isinstance(outcome, No)
    assert outcome.kind == "not_known"
    assert judgement.assumed == (0,)


SAID = "factory setting: J1 2, J2 C, LK1 whole"


@pytest.mark.parametrize(
    "words",
    [
        ["decode", "hollinsby-t", "SW1=110000"],
        ["find", "hollinsby-t", "cooling=1130", "--found", "SW1=110000"],
        ["found", "hollinsby-t", "tons=3", "found SW1=110000"],
        ["plan", "hollinsby-t", "tons=3", "found SW1=110000"],
        [
            "verify",
            "hollinsby-t",
            "tons=3",
            "left SW1=110000",
            "measured=cooling second airflow=1120 cfm method=hood minutes=16",
        ],
    ],
    ids=lambda words: words[0],
)
def test_every_command_says_what_it_took_as_delivered(words: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    """In the text, and in the record."""
    run(words)
    said = " ".join(capsys.readouterr().out.split())
    assert SAID in said, said
    run([*words, "--json"])
    record = json.loads(capsys.readouterr().out)
    assert "J2" in json.dumps(record.get("assumed") or record.get("notes"))
