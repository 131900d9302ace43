"""What decode says first, and calls with one fate on one line. Figures by hand from the pages named."""

from __future__ import annotations

import json
from pathlib import Path

from tests.helpers.program import program

ROOT = Path(__file__).parents[2]


def said(*words: str) -> tuple[list[str], int]:
    done = program("decode", *words)
    assert not done.stderr
    return done.stdout.splitlines(), done.returncode


def test_leads_on_one_tap_are_a_danger_said_first() -> None:
    words = ("wickerby-5", "M1-Y1=4 M1-Y2=4 M1-W=3 M1-G=1", "--static", "100")
    lines, code = said(*words)
    assert lines[1].startswith("DANGER: M1-Y1 and M1-Y2 share tap 4: one call can back-feed the other")
    assert code == 1
    data = json.loads("\n".join(said(*words, "--json")[0]))
    assert [text.startswith("DANGER: M1-Y1 and M1-Y2 share tap 4") for text in data["dangers"]] == [True]


def test_calls_with_one_fate_stand_on_one_line() -> None:
    """Corvane page 23: SW1-3 and SW1-4 ON are not to be used; heating goes on: 1,810 cfm x 70 % = 1,267."""
    lines, code = said("corvane-k14", "SW1=00110000", "--model", "110")
    assert " ".join(" ".join(lines[1:3]).split()) == (
        "cooling first and second, fan: not usable (page 23, `cooling airflow`: do not use)"
    )
    assert code == 1
    assert "heating first   1,267 cfm  rise 53.5 F" in lines
    assert not [line for line in lines[3:] if line.startswith("cooling")]


def test_a_board_within_its_limits_says_so() -> None:
    """Corvane, model 080, SW1-1, SW1-4 and SW1-6 ON: 1,180 x 94 % = 1,109 cfm, 76,000 / (1.08 x 1,109.2) = 63.4 F."""
    lines, code = said("corvane-k14", "SW1=10010100", "--model", "080")
    assert lines[1] == "OK: as set, within limits."
    assert code == 0
    assert "heating second  1,109 cfm  rise 63.4 F" in lines


def test_an_unread_switch_names_the_airflow_of_each_position() -> None:
    """Corvane, model 080: 1,130 cfm, 6 % less with SW1-6 ON: 1,062.2."""
    lines, code = said("corvane-k14", "SW1=10010?00", "--model", "080")
    assert "cooling second  1,062 cfm (SW1-6 ON) or 1,130 cfm (SW1-6 OFF)" in lines
    assert code == 0


def test_find_names_what_it_left_out() -> None:
    """Hollinsby pages 4 to 6: LK1 can be cut, J1 and J2 can be off their pins; none of it is proposed."""
    words = ["find", "hollinsby-t", "cooling=1130", "--first", "1"]
    done = program(*words)
    assert "cut links are not proposed (LK1)" in " ".join(done.stdout.split())
    done = program(*words, "--json")
    left = {(x["what"], x["name"]) for x in json.loads(done.stdout)["left_out"]}
    assert left == {("cut", "LK1"), ("off pins", "J1"), ("off pins", "J2")}
