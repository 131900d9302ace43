"""`selector draft` as a person meets it: slips asked again, a way back, nothing lost when broken off, answers given
beforehand."""

from __future__ import annotations

import os
import subprocess
from pathlib import Path

import pytest

from selector.table.from_file.build import build_table
from selector.table.library.library import load
from selector.table.source import source_from_text
from selector.transcribe.draft.draft import draft_of
from selector.transcribe.draft.file_text import draft_text
from tests.helpers.typist import Terminal, without_terminal

UNIT = ["Furnace", "", "", "", "", "", "", ""]
"""Answers to the questions of the unit: a title, and Enter for the rest."""


def draft(*answers: str, cwd: Path) -> subprocess.CompletedProcess[str]:
    """The program without a terminal: answers as options."""
    words = [w for a in answers for w in ("--answer", a)]
    return without_terminal("draft", "--out", "unit.yaml", *words, cwd=cwd)


def test_a_slip_is_told_and_asked_again(tmp_path: Path) -> None:
    at = Terminal("draft", "--out", "unit.yaml", cwd=tmp_path)
    at.lines(UNIT)
    said = at.line("SW1")
    assert "how many switches has SW1? type SW1 switches 8" in said
    assert said.rstrip().endswith(":")
    at.lines(["SW1 2", "", "cooling airflow: 1 2", "", "1020", "1380", "660"])
    assert "`99o` is no figure" in at.line("99o")
    at.lines(["990", "", "cooling Y", "cool", ""])
    assert at.end() == 0
    assert [r.typed for r in load(str(tmp_path / "unit.yaml"))[0].charts["cooling airflow"].rows] == [
        ("1020",),
        ("1380",),
        ("660",),
        ("990",),
    ]


def test_a_less_than_sign_goes_back_to_the_answer_before(tmp_path: Path) -> None:
    at = Terminal("draft", "--out", "unit.yaml", cwd=tmp_path)
    assert "What is the unit" in at.line("<")
    at.lines([*UNIT, "SW1 2", "", "cooling airflow: 1", "1020", "1830"])
    assert at.line("<").rstrip().endswith("ON:")
    assert at.line("<").split("(")[0].strip().endswith("OFF")
    at.lines(["1050", "1380", "", "cooling Y", "cool", "", "y"])
    assert at.end() == 0
    assert [r.typed for r in load(str(tmp_path / "unit.yaml"))[0].charts["cooling airflow"].rows] == [
        ("1050",),
        ("1380",),
    ]


@pytest.mark.parametrize("key", [b"\x03", b"\x04"], ids=["Ctrl-C", "Ctrl-D"])
def test_broken_off_what_was_typed_is_kept_and_the_rest_is_marked(tmp_path: Path, key: bytes) -> None:
    at = Terminal("draft", "--out", "unit.yaml", cwd=tmp_path)
    at.lines([*UNIT, "SW1 2", "", "cooling airflow: 1 2", "", "1020", "1380"])
    at.key(key)
    assert at.end() == 130
    assert "Stopped; your answers are saved" in at.said
    text = (tmp_path / "unit.yaml").read_text(encoding="utf-8")
    assert [line.split() for line in text.split("rows: |\n")[1].splitlines()[:4]] == [
        ["OFF", "OFF", "1020"],
        ["ON", "OFF", "1380"],
        ["OFF", "ON", "_"],
        ["ON", "ON", "_"],
    ]
    assert "\ncalls: _\n" in text


def test_broken_off_before_anything_was_typed_nothing_is_written(tmp_path: Path) -> None:
    at = Terminal("draft", "--out", "unit.yaml", cwd=tmp_path)
    at.key(b"\x03")
    assert at.end() == 130
    assert os.listdir(tmp_path) == []


def test_rows_pasted_with_their_positions(tmp_path: Path) -> None:
    at = Terminal("draft", "--out", "unit.yaml", cwd=tmp_path)
    at.lines([*UNIT, "SW1 2", "", "cooling airflow: 1 2", ""])
    at.lines(["OFF  OFF   1,020", "on OFF 1380"])
    assert "that is the row ON OFF; the one asked for is OFF ON" in at.line("ON OFF 660")
    at.lines(["OFF ON 660", "990", "", "cooling Y", "cool", ""])
    assert at.end() == 0
    assert [r.typed for r in load(str(tmp_path / "unit.yaml"))[0].charts["cooling airflow"].rows] == [
        ("1020",),
        ("1380",),
        ("660",),
        ("990",),
    ]


def test_what_no_answer_gives_stands_as_a_blank_that_check_asks_for(tmp_path: Path) -> None:
    done = draft(cwd=tmp_path)
    assert (done.returncode, os.listdir(tmp_path)) == (2, [])
    assert "draft asks its questions at a terminal" in done.stderr
    assert draft("Maker=Corvane", cwd=tmp_path).returncode == 0
    text = (tmp_path / "unit.yaml").read_text(encoding="utf-8")
    assert [line.split(":")[0].strip() for line in text.splitlines() if line.endswith(": _")] == [
        "title",
        "board",
        "charts",
        "calls",
    ]
    check = Terminal("check", "unit.yaml", cwd=tmp_path)
    assert check.end() == 1
    told = [line.split(":")[1] for line in check.said.splitlines() if line.startswith("unit.yaml:")]
    assert told == [str(n) for n, line in enumerate(text.splitlines(), start=1) if line.endswith(": _")]


@pytest.mark.parametrize(
    ("answer", "says"),
    [
        ("board 1=SW1", "the answer to `board 1` can't be taken: how many switches has SW1? type SW1 switches 8"),
        ("ttle=Furnace", "nothing asks for `ttle`"),
        ("title", "`title` needs a name, = and an answer"),
    ],
)
def test_an_answer_beforehand_that_cant_be_taken_is_said_and_nothing_written(
    tmp_path: Path, answer: str, says: str
) -> None:
    done = draft(answer, cwd=tmp_path)
    assert done.returncode == 2
    assert says in done.stderr
    assert os.listdir(tmp_path) == []


_N1 = "  N1: {kind: menu, positions: 300 to 450 step 5, factory: 400, gives: airflow per ton}"
BASE = {
    "title": "Furnace",
    "board 1": "SW1 8 at off",
    "board 2": "J1 A-C at A",
    "chart 1": "cooling airflow: 1 2",
    "call 1": "cooling Y",
}


def test_a_fan_terminal_behind_a_comma_is_asked_about(tmp_path: Path) -> None:
    at = Terminal("draft", "--out", "unit.yaml", cwd=tmp_path)
    at.lines([*UNIT, "SW1 2", "", "cooling airflow: 1", "1020", "1830", ""])
    assert "Is G energized together with Y, or a stage of its own (together, stage) [together]:" in " ".join(
        at.line("cooling Y, G").split()
    )
    at.lines(["", "cool"])
    said = " ".join(at.line("").split())
    assert "Nothing reads SW1-2. Does the page call it not used, y or n (Enter: not stated):" in said
    at.line("")
    assert at.end() == 0
    text = (tmp_path / "unit.yaml").read_text(encoding="utf-8")
    assert "    terminals: Y G\n" in text
    assert "not used" not in text


def drafted(**answers: str) -> str:
    """The file of some answers beside the usual ones; underlines in names stand for blanks."""
    return draft_text(draft_of({**BASE, **{k.replace("_", " "): v for k, v in answers.items()}}))


@pytest.mark.parametrize(
    ("answers", "line"),
    [
        ({"manual": "K-14 23-24"}, "  manual: {number: K-14, pages: 23-24}"),
        ({"manual": "9"}, "  manual: {pages: 9}"),
        ({"manual": "K-14"}, "  manual: {number: K-14}"),
        ({"manual": "4012 pages 23, 25"}, "  manual: {number: 4012, pages: 23 25}"),
        ({"manual": "4012 23"}, "  manual: {number: 4012, pages: 23}"),
        ({"title": "Furnace: two-stage"}, '  title: "Furnace: two-stage"'),
        ({"note": "# not a remark"}, '  note: "# not a remark"'),
        ({"board_1": "SW1 8"}, "  SW1: {kind: switches, count: 8}"),
        ({"board_1": "SW1 8", "SW1_not_used": "y"}, "  SW1: {kind: switches, count: 8, not used: 3 4 5 6 7 8}"),
        ({"board_1": "SW1 8", "SW1_not_used": "no"}, "  SW1: {kind: switches, count: 8}"),
        ({"board_1": "SW1 8", "SW1_not_used": ""}, "  SW1: {kind: switches, count: 8}"),
        ({"call_1": "cooling Y, G"}, "    terminals: Y G"),
        ({"call_1": "cooling Y1, Y1 Y2, G O"}, "    terminals: {first: Y1 G O, second: Y1 Y2 G O}"),
        ({"call_1": "cooling Y, G", "call_1_stages": "stage"}, "    terminals: {first: Y, second: G}"),
        ({"call_1": "cooling low Y, high G"}, "    terminals: {low: Y, high: G}"),
        (
            {"call_1": "cooling Y, G", "chart_1": "cooling airflow: 1 2 by stage low high"},
            "    terminals: {low: Y, high: G}",
        ),
        ({"board_2": "J4 none 5 10 at none"}, "  J4: {kind: jumper, positions: none 5 10, factory: none}"),
        (
            {"board_2": "J4 none 5 10 at none", "heater_selector": "j4"},
            "  J4: {kind: jumper, positions: none 5 10, factory: none, gives: heater power, declares: heater}",
        ),
        ({"board_2": 'J1 jumper "1-2" "2-3"'}, "  J1: {kind: jumper, positions: 1-2 2-3}"),
        ({"board_2": "J1 pins 1-2 2-3 at 1-2"}, "  J1: {kind: jumper, positions: 1-2 2-3, factory: 1-2}"),
        ({"board_2": "J1 jumper positions A B"}, "  J1: {kind: jumper, positions: A B}"),
        ({"board_2": "J1 jumper 1-2 3-4"}, "  J1: {kind: jumper, positions: 1-2 3-4}"),
        ({"chart_2": "adjustment: J1 gives trim", "chart_2_row_1": "as charted"}, "      A  none"),
        ({"chart_1": "airflow chart: 1 2 by static 0.1 0.5"}, "units: {airflow: cfm, pressure: in. w.c.}"),
        ({"chart_1": "airflow chart: 1 2 by static 25 75", "pressure": "Pa"}, "units: {airflow: cfm, pressure: Pa}"),
        ({"chart_1": "heating chart: 1 2 gives airflow, rise"}, "units: {airflow: cfm, temperature: F}"),
        ({"board_1": "SW1 8 at on"}, "  SW1: {kind: switches, count: 8, factory: all on}"),
        (
            {"board_1": "SW1 2 OPEN CLOSED at open"},
            "  SW1: {kind: switches, count: 2, positions: OPEN CLOSED, factory: all open}",
        ),
        (
            {"board_2": "J1 A-C at A (under the cover, left)"},
            '  J1: {kind: jumper, positions: A B C, factory: A, note: "under the cover, left"}',
        ),
        ({"chart_1": "cooling airflow: 1 2 (filter in)"}, "    conditions: filter in"),
        ({"call_1": "cooling low Y1, high Y1 Y2"}, "    stages: low high"),
        ({"call_1": "cooling Y D (the whole)"}, "    note: the whole"),
        ({"call_1_airflow": "cool, when J1 b c"}, "    when: {J1: B C}"),
        ({"call_1_airflow": "cool"}, "    airflow: cooling airflow"),
        ({}, "    airflow: _"),
        ({"manual": "K-14 23"}, "    page: 23"),
        ({"board_2": "N1 menu 300 to 450 step 5 at 400 gives airflow per ton"}, _N1),
        ({"board_2": "P1 2 2.5 3 at 3 declares outdoor tons"}, "  outdoor tons: {gives: tons, values: 2 2.5 3}"),
        ({"board_2": "P1 K M R declares blower motor"}, "  blower motor: {values: K M R}"),
        ({"board_2": "J1 1-2 2-3 at 2-3"}, "  J1: {kind: jumper, positions: 1-2 2-3, factory: 2-3}"),
        (
            {"chart_1": "cooling per ton: 1 2", "tons": "2, 3", "call_1_airflow": "cool"},
            "    airflow: [outdoor tons, cooling per ton]",
        ),
        ({"chart_1": "cooling per ton: 1 2", "call_1_airflow": "cool"}, "  outdoor tons: {gives: tons, values: _}"),
        (
            {"board_2": "P1 2 3 declares outdoor tons", "chart_1": "cooling per ton: 1 2", "call_1_airflow": "cool"},
            "    airflow: [P1, cooling per ton]",
        ),
        (
            {"chart_1": "cooling airflow: 1 2 by stage low fire / high fire", "call_1": "cooling Y1, Y1 Y2"},
            "    stages: [low fire, high fire]",
        ),
        ({"call_1_airflow": "cool, off 60 s, on 5 s"}, "    off delay: 60 s"),
        ({"heat_input": "40000 60000", "call_1": "heat low W1, high W1 W2"}, "  heat input: {low: 40000, high: 60000}"),
        ({"heat_input": "40000 60000"}, "  heat input: {first: 40000, second: 60000}"),
        ({"heat_input": "60000"}, "  heat input: 60000"),
        ({"heat_input": "60000 80000", "models": "060 080"}, "  heat input: {060: 60000, 080: 80000}"),
        ({"call_1_airflow": "1200, at least 800"}, "    airflow: [airflow: 1200, at least: 800]"),
        ({"models": "09 12", "chart_1": "cooling airflow: model J1"}, "      12 A  _"),
        ({"chart_1": "cooling airflow: 1 by tons 2 3"}, "  outdoor tons: {gives: tons, values: 2 3}"),
    ],
)
def test_what_an_answer_makes_of_the_file(answers: dict[str, str], line: str) -> None:
    assert line in drafted(**answers).splitlines()


@pytest.mark.parametrize(
    ("answers", "complaint"),
    [
        ({"board_1": "SW1 8 at 01"}, "`01` is not how SW1 is delivered"),
        ({"heat_input": "60000", "models": "060 080"}, "1 figure, but 2 are needed"),
        ({"call_1_airflow": "cool, off sixty"}, "there is no sixty; there are no charts yet"),
        ({"board_2": "N1 menu 300 to 450 gives wind"}, "`wind` is no figure that a position can give"),
        ({"board_2": "sw1 A B"}, "sw1 stands already"),
        ({"chart_1": "cooling, high: 1 2"}, "`,` can't stand in the name cooling, high"),
        ({"chart_1": "J1: 1 2"}, "the name J1 stands already"),
        ({"call_1": "cooling airflow Y"}, "the name cooling airflow stands already"),
        ({"call_1": "cooling low Y1, Y1 Y2"}, ""),
        ({"call_1": "cooling Y1, high Y1 Y2"}, "give every stage its name: cooling low Y1, high Y1 Y2"),
        ({"call_1": "cooling Y1, low"}, "give every stage its name"),
        ({"call_1": "cooling Y1 high"}, "`high` is no terminal"),
        ({"call_1_airflow": "cool, when J1 D"}, "`D` is no position of J1; type one or more of A B C after J1"),
        ({"call_1_airflow": "cool, when J2 A"}, "`J2` is not on the board; there are SW1, J1"),
        ({"chart_2": "start: J1 gives ramp", "chart_2_row_1": "60 s at fifty"}, "fifty"),
    ],
)
def test_an_answer_that_wouldnt_make_a_table_is_not_taken(answers: dict[str, str], complaint: str) -> None:
    from selector.transcribe.draft.draft import wrong_answer

    wrong = wrong_answer({**BASE, **{k.replace("_", " "): v for k, v in answers.items()}})
    assert complaint in (wrong[1] if wrong else "")
    assert bool(wrong) == bool(complaint)


def test_a_page_of_tons_and_metric_burner_passes_check() -> None:
    rows = {f"chart 1 row {n}": f"{n}00 {n}20 {n}40" for n in range(3, 7)}
    text = draft_text(
        draft_of(
            {
                "title": "Metric furnace",
                "airflow": "L/s",
                "heat input": "17.5",
                "efficiency": "92",
                "temperature rise": "20 35",
                "board 1": "SW1 2",
                "chart 1": "cooling airflow: 1 2 by tons 2 2.5 3",
                **rows,
                "chart 1 row 1": "300 320 340",
                "chart 1 row 2": "310 330 350",
                "call 1": "cooling Y",
                "call 1 airflow": "cool",
                "call 2": "heat W",
                "call 2 airflow": "450",
            }
        )
    )
    table, report = build_table(source_from_text(text), "metric")
    assert not report.failed
    assert (table.units.airflow, table.units.temperature, table.units.heat) == ("L/s", "C", "kW")
    assert table.facts["outdoor tons"].values == ("2", "2.5", "3")
