"""A reading beside marks that can't be made out, worked by hand on the pages of the tables."""

from __future__ import annotations

import json
from fractions import Fraction

import pytest

from selector.answers.words.settle import settled_text
from selector.cli.main import run
from selector.job.readings.settled_marks import SettledMark, completed, settle
from selector.solve.board.facts import Facts
from selector.solve.board.marks import read_marks, setting_of
from selector.solve.engine.engine import Engine
from selector.table.library.library import load
from selector.table.model.table import Setting, Table


def asked(
    name: str, marks: str, call: str, stage: str, read: int, percent: int
) -> tuple[Table, Setting, tuple[SettledMark, ...]]:
    table, _ = load(name)
    setting = setting_of(read_marks(marks.split(), table), table)
    engine = Engine(table, Facts(model=None, values={}))
    band = Fraction(percent, 100)
    ends = (read * (1 - band), Fraction(read), read * (1 + band))
    return table, setting, settle(engine, setting, table.calls[call], stage, *ends)


def test_one_mark_is_settled() -> None:
    # Garrowby page 30: ON OFF OFF 1,090; ON OFF ON 1,415; 1,380 +- 7 % is 1,283 to 1,477; 35 / 1,380 = 2.5 %,
    # 290 / 1,380 = 21 %
    table, setting, (one,) = asked("garrowby-r", "SW1=10?00000 D1=1 J1=A J2=1", "cooling", "second", 1380, 7)
    assert one.settles
    assert settled_text(one, table) == "SW1-3 is ON: 1,415 cfm is 2.5 % from the reading, 1,090 cfm is 21 %"
    whole = completed(setting, (one,))
    assert None not in whole


def test_two_that_both_fit_are_both_named() -> None:
    # Saltmarsh page 9: 4a 1,215, 4b 1,270, 4c 1,405; 1,240 +- 5 % is 1,178 to 1,302; 25 and 30 of 1,240 are 2.0 and
    # 2.4 %, 165 is 13.3 %
    table, setting, (one,) = asked("saltmarsh-12", "J1=4 J2=? J3=1 J4=none J5=1 LK1=whole", "cooling", "", 1240, 5)
    assert not one.settles
    assert settled_text(one, table) == (
        "J2 may be a or b, they fit alike: 1,215 cfm is 2 % from the reading, 1,270 cfm is 2.4 %, 1,405 cfm is 13.3 %"
    )
    assert completed(setting, (one,)) == setting


def test_a_reading_that_nothing_gives_settles_nothing() -> None:
    table, setting, (one,) = asked("saltmarsh-12", "J1=4 J2=? J3=1 J4=none J5=1 LK1=whole", "cooling", "", 700, 5)
    assert one.fitting == ()
    assert settled_text(one, table).startswith("J2: no position fits the reading")
    assert completed(setting, (one,)) == setting


@pytest.mark.parametrize("marks", ["J1=4 J2=a J3=? J4=none J5=1 LK1=whole", "J1=4 J2=a J3=1 J4=none J5=1 LK1=whole"])
def test_a_mark_that_the_airflow_does_not_read_is_not_spoken_of(marks: str) -> None:
    assert asked("saltmarsh-12", marks, "cooling", "", 1200, 5)[2] == ()


MEASURED = "cooling second airflow=1380 cfm method=flow plate shows=standard minutes=20"
LINE = ["tons=3.5", "found SW1=10?00000", "found D1=1", "found J1=A", "found J2=1", f"measured={MEASURED}"]


@pytest.mark.parametrize(
    "words",
    [
        ["decode", "garrowby-r", "SW1=10?00000", "D1=1", "J1=A", "J2=1", "--tons", "3.5", "--measured", MEASURED],
        ["verify", "garrowby-r", *LINE],
        ["found", "garrowby-r", *LINE],
    ],
    ids=lambda words: words[0],
)
def test_decode_verify_and_found_name_it_alike(words: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    """The mark of the first case above, in text and record."""
    said = "SW1-3 is ON: 1,415 cfm is 2.5 % from the reading, 1,090 cfm is 21 %"
    run(words)
    assert said in " ".join(capsys.readouterr().out.split())
    run([*words, "--json"])
    assert json.loads(capsys.readouterr().out)["settled"] == [said]
