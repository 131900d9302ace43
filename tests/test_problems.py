"""Problems as values, and as text for people, editors and tools."""

from __future__ import annotations

import json
from typing import Any

import pytest

from selector import problem_lines as problem_output
from selector.problems import Problem, Refused, close_match


def problem(**changes: Any) -> Problem:
    values: dict[str, Any] = {
        "file": "unit.yaml",
        "line": 3,
        "column": 5,
        "code": "no-colon",
        "message": "A colon is missing.",
        "help": "Type `a: b`.",
        "source": "    count 8",
        "length": 5,
    }
    return Problem(**(values | changes))


def test_refused_sorts_by_file_then_place() -> None:
    later, earlier, other = problem(line=9), problem(line=2), problem(file="a.yaml", line=40)
    assert Refused([later, earlier, other]).problems == (other, earlier, later)
    assert "a.yaml:40:5 no-colon" in str(Refused([later, other]))


def test_people_sees_place_message_source_caret_and_help() -> None:
    assert (
        problem_output.people([problem()])
        == "unit.yaml:3:5: A colon is missing.\n        count 8\n        ^^^^^\n  Type `a: b`.\n"
        # four blanks before the source line, two before help
    )


def test_people_gets_a_blank_line_between_two_and_order() -> None:
    text = problem_output.people([problem(line=7), problem(line=2, severity="remark")])
    first, second = text.split("\n\n")
    assert first.startswith("unit.yaml:2:5: remark: A colon")
    assert second.startswith("unit.yaml:7:5: A colon")


@pytest.mark.parametrize(
    ("source", "column", "length", "caret"),
    [
        ("a\tb: c", 3, 1, " \t^"),  # a tab stays a tab, so that both lines jump alike
        ("\t\tb", 3, 1, "\t\t^"),
        (
            "机型 x",
            4,
            1,
            "     ^",
        ),  # two wide characters take two places each, then a blank (Unicode Standard Annex 11: W)
        ("a机型", 2, 2, " ^^^^"),
        ("e\u0301x", 3, 1, " ^"),  # a combining accent takes none
        ("title: x", 9, 1, "        ^"),  # just after the end of the line
        ("abc", 2, 9, " ^^"),  # never further than the line goes
    ],
)
def test_caret_stands_under_the_place(source: str, column: int, length: int, caret: str) -> None:
    shown = problem_output.people([problem(source=source, column=column, length=length, help="")]).split("\n")
    assert shown[1:3] == ["    " + source, "    " + caret]


def test_long_lines_are_cut_around_the_place() -> None:
    source = "x" * 500 + "!" + "y" * 500
    shown = problem_output.people([problem(source=source, column=501, length=1)]).split("\n")
    assert len(shown[1]) < 140
    assert shown[1].startswith("    ...")
    assert shown[1].endswith("...")
    assert shown[1][shown[2].index("^")] == "!"


def test_nothing_reaches_the_terminal_that_could_disturb_it() -> None:
    text = problem_output.people(
        [problem(file="a\x1b[31m\udcff.yaml", source="x\x1b[2J y", message="bad\x07\nthing", column=6, length=1)]
    )
    assert "\x1b" not in text
    assert "\x07" not in text
    assert text.encode("utf-8")
    assert text.split("\n")[2].index("^") == 4 + 5


def test_a_whole_file_has_no_line_and_no_caret() -> None:
    text = problem_output.people([problem(line=0, column=0, source="")])
    assert text == "unit.yaml: A colon is missing.\n  Type `a: b`.\n"
    assert problem_output.lines([problem(line=0, column=0)]) == "unit.yaml: no-colon: A colon is missing.\n"


def test_one_line_each() -> None:
    text = problem_output.lines([problem(line=7), problem(message="two\nlines")])
    assert text == "unit.yaml:3:5: no-colon: two lines\nunit.yaml:7:5: no-colon: A colon is missing.\n"


def test_json_holds_every_field() -> None:
    read = json.loads(problem_output.json([problem(), problem(line=1, severity="remark")]))
    assert read["version"] == 2
    assert [found["line"] for found in read["problems"]] == [1, 3]
    assert read["problems"][0]["severity"] == "remark"
    assert read["problems"][1] == {
        "file": "unit.yaml",
        "line": 3,
        "column": 5,
        "length": 5,
        "code": "no-colon",
        "severity": "problem",
        "message": "A colon is missing.",
        "help": "Type `a: b`.",
        "source": "    count 8",
    }


def test_no_problems_at_all() -> None:
    assert problem_output.people([]) == ""
    assert problem_output.lines([]) == ""
    assert json.loads(problem_output.json([])) == {"version": 2, "problems": []}
    assert json.loads(problem_output.sarif([]))["runs"][0]["results"] == []


def test_sarif_has_what_the_standard_asks_for() -> None:
    """SARIF 2.1.0 (OASIS): 3.13 log, 3.14 run, 3.19 component, 3.27 result, 3.30 region; names, kinds and required
    members from there."""
    found = [
        problem(code="b-code"),
        problem(file="/tmp/my unit.yaml", line=0, column=0, code="a-code", severity="remark", source="", help=""),
    ]
    log = json.loads(problem_output.sarif(found))
    assert log["version"] == "2.1.0"
    assert log["$schema"].endswith("sarif-schema-2.1.0.json")
    (run,) = log["runs"]
    driver = run["tool"]["driver"]
    assert driver["name"] == "selector"
    assert [rule["id"] for rule in driver["rules"]] == ["a-code", "b-code"]
    assert run["columnKind"] == "unicodeCodePoints"
    whole, placed = run["results"]
    for result in run["results"]:
        assert driver["rules"][result["ruleIndex"]]["id"] == result["ruleId"]
    assert whole["level"] == "note"
    assert placed["level"] == "error"
    assert whole["message"]["text"] == "A colon is missing."
    assert placed["message"]["text"] == "A colon is missing.\nType `a: b`."
    assert whole["locations"] == [{"physicalLocation": {"artifactLocation": {"uri": "file:///tmp/my%20unit.yaml"}}}]
    assert placed["locations"][0]["physicalLocation"] == {
        "artifactLocation": {"uri": "unit.yaml"},
        "region": {"startLine": 3, "startColumn": 5, "endColumn": 10, "snippet": {"text": "    count 8"}},
    }


def test_sarif_uri_of_odd_names() -> None:
    """RFC 3986, 4.2: a colon in the first part of a relative reference would be read as a scheme; a blank is never
    allowed."""
    log = json.loads(problem_output.sarif([problem(file="a:b c.yaml")]))
    assert (
        log["runs"][0]["results"][0]["locations"][0]["physicalLocation"]["artifactLocation"]["uri"] == "a%3Ab%20c.yaml"
    )


def test_every_format_is_offered_by_name() -> None:
    assert set(problem_output.FORMATS) == {"people", "lines", "json", "sarif"}
    for name, write in problem_output.FORMATS.items():
        assert write([problem()]) == getattr(problem_output, name)([problem()])


@pytest.mark.parametrize(
    ("word", "choices", "expected"),
    [
        ("Coolng Airflow", ["heating airflow", "cooling airflow"], "cooling airflow"),
        ("TITLE", ["Title", "note"], "Title"),
        ("temperature  rise", ["temperature rise"], "temperature rise"),
        ("sw1", ["SW2", "SW1"], "SW1"),
        ("zebra", ["cooling", "fan"], None),
        ("fan", [], None),
    ],
)
def test_close_match(word: str, choices: list[str], expected: str | None) -> None:
    assert close_match(word, choices) == expected
