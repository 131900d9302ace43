"""How a blower climbs and runs on: seconds and airflow of each part, worked by hand from the page below."""

from __future__ import annotations

from fractions import Fraction

import pytest

from selector.answers.call import timing_lines
from selector.answers.words.ramp_and_delay import ramp_text
from selector.job.house.steady import ComingUp, coming_up
from selector.problems import Refused
from selector.solve.board.facts import NOTHING_KNOWN
from selector.solve.board.marks import read_marks, setting_of
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import CallAnswer, evaluate
from selector.table.from_file.build import build_table
from selector.table.model.table import CallValue, No, Table
from selector.table.source import source_from_text
from selector.transcribe.compare.read_back_rest import ramp_in_words

PAGE = """\
format: selector table 1
unit: {title: Air handler}
units: {airflow: cfm}
board:
  J1: {kind: jumper, positions: 1 2 3 4, factory: 1}
ramps:
  even: 45 s from 0 to 100 %
  stepped: 60 s at 45 %, 30 s to 90 %, after 90 s at call fan
  quick: climbs to full in 30 s, after 60 s from 100 to 40 %
  plain: 60 s at 50 %, then 100 %
charts:
  start:
    set: J1
    gives: ramp
    rows: |
      1  even
      2  stepped
      3  quick
      4  plain
calls:
  cooling:
    terminals: {low: Y1, high: Y2}
    stages: low high
    airflow: [airflow: {low: 800, high: 1200}]
    ramp: start
    off delay: {high: 30 s}
  fan:
    terminals: G
    airflow: [airflow: 500]
"""


def table_of(text: str = PAGE) -> Table:
    return build_table(source_from_text(text), "page")[0]


def answers(mark: str) -> tuple[Table, dict[str, CallAnswer]]:
    table = table_of()
    return table, evaluate(Engine(table, NOTHING_KNOWN), setting_of(read_marks([f"J1={mark}"], table), table))


def lines(mark: str) -> list[str]:
    table, found = answers(mark)
    return timing_lines(table, found["cooling"], found)


def coming(mark: str) -> ComingUp:
    found = coming_up(answers(mark)[1]["cooling"], "high")
    assert isinstance(found, ComingUp)
    return found


def test_a_climb_is_told_with_its_seconds_and_airflows() -> None:
    assert lines("1") == [
        "cooling low: starts 45 s from 0 % (0 cfm) to 100 % (800 cfm) (ramp even)",
        "cooling high: starts 45 s from 0 % (0 cfm) to 100 % (1,200 cfm) (ramp even); blower-off delay 30 s",
    ]


def test_a_climb_begins_where_the_part_before_it_ended_and_a_run_on_takes_another_call() -> None:
    """45 % of 800 and 1,200 are 360 and 540, 90 % are 720 and 1,080; the fan runs 500."""
    low, high = lines("2")
    after = "after the call 90 s at call fan (500 cfm) (ramp stepped)"
    assert (
        low == f"cooling low: starts 60 s at 45 % (360 cfm), then 30 s from 45 % (360 cfm) to 90 % (720 cfm), {after}"
    )
    assert high.startswith("cooling high: starts 60 s at 45 % (540 cfm), then 30 s from 45 % (540 cfm) to 90 % (1,080")
    assert table_of().ramps["stepped"].steps[-1].call == CallValue(call="fan")


def test_the_words_of_other_spellings() -> None:
    table = table_of()
    quick = table.ramps["quick"]
    assert ramp_text(quick) == "30 s from 0 % to 100 %, after the call 60 s from 100 % to 40 %"
    assert ramp_text(table.ramps["plain"]) == "60 s at 50 %, then 100 %"
    assert ramp_in_words(table.ramps["even"]) == ("forty-five seconds from zero percent to one hundred percent")


def test_a_climb_is_reckoned_in_four_parts_at_their_means() -> None:
    """45 s from 0 to 100 %: 12.5, 37.5, 62.5 and 87.5 %, 11.25 s each; full after 45 s; the mean is half."""
    found = coming("1")
    assert [share for *_, share in found.steps] == [Fraction(x, 2) for x in (25, 75, 125, 175)]
    assert found.full_s == 45
    assert found.share_at(Fraction(20)) == Fraction(75, 2)
    assert sum((end - start) * share for start, end, share in found.steps) / 45 == 50


def test_what_a_climb_ends_at_holds() -> None:
    assert coming("2").last_share == 90
    assert coming("3").last_share == 100
    assert coming("4").full_s == 60


@pytest.mark.parametrize(
    ("typed", "message", "remedy"),
    [
        ("slow", "`slow` is no part of a ramp: `slow` is not a figure", "for example 30 s at 50 %, then 100 %"),
        ("30 s at 50", "", ""),
        ("0 s to 100 %", "`0 s to 100 %` needs its seconds", "for example 45 s from 0 to 100 %"),
        (
            "30 s at call fan",
            "`30 s at call fan` takes another call's airflow before the call has ended",
            "for example after 90 s at call fan; a start at such an airflow can't be typed, say it in note:",
        ),
        (
            "after 30 s at call fann",
            "`fann` is not a call of this file, nor a call and its stage",
            "did you mean `fan`?",
        ),
    ],
)
def test_slips_of_a_ramp_are_told_once(typed: str, message: str, remedy: str) -> None:
    """Nothing is said of the charts that name a ramp with a slip."""
    text = PAGE.replace("even: 45 s from 0 to 100 %", f"even: {typed}")
    if not message:
        assert table_of(text).ramps["even"].steps[0].share == 50
        return
    with pytest.raises(Refused) as refused:
        table_of(text)
    assert [(p.message, p.help) for p in refused.value.problems] == [(message, remedy)]


RESERVED = """\
format: selector table 1
unit: {title: Start and end by a jumper}
units: {airflow: cfm}
board:
  J1: {kind: jumper, positions: A B, factory: A}
  J4: {kind: jumper, positions: 1 2, factory: 1}
charts:
  by jumper: {set: J1, gives: airflow, rows: A 800; B 1000}
  after the call: {set: J4, gives: seconds, rows: 1 60; 2 reserved}
calls:
  cooling: {terminals: Y1, airflow: by jumper, off delay: after the call}
  fan: {terminals: G, airflow: [call cooling, share: 50 %]}
"""


def test_a_reserved_delay_refuses_its_own_call_and_not_those_that_take_its_airflow() -> None:
    """By hand: J4 at 2 is reserved for the end of cooling; the fan is half of 800 cfm whatever J4 is."""
    table, _ = build_table(source_from_text(RESERVED), "page")
    cooling, fan = (a.stages[0].airflow for a in evaluate(Engine(table, NOTHING_KNOWN), (0, 1)).values())
    assert isinstance(cooling, No)
    assert cooling.kind == "not_usable"
    assert fan == 400
