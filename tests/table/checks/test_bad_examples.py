"""What is wrong with a table beyond its spelling: each file under examples/bad says in its first line what has to come
out of it, and where.

`# expect: LINE:COLUMN code`, several with `; ` between. Places there were marked by hand in the text. Files
`yaml-*.yaml` belong to test_slips.
Files under examples/good come in pairs: `NAME-odd.yaml` says the same as `NAME-tidy.yaml`.
"""

from __future__ import annotations

import re
from functools import cache
from itertools import product
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from selector.problem_lines import people
from selector.problems import Problem, Refused
from selector.table.from_file.build import build_table
from selector.table.model.edition import edition
from selector.table.source import source_from_text
from selector.table.text.report import MOST_PROBLEMS
from tests.helpers.source_codes import codes

ROOT = Path(__file__).parents[3]
EXAMPLES = Path(__file__).parents[2] / "examples"
BAD = sorted(p for p in (EXAMPLES / "bad").glob("*.yaml") if not p.name.startswith("yaml-"))
ODD = sorted((EXAMPLES / "good").glob("*-odd.yaml"))
TABLES = sorted((ROOT / "tables").glob("*.yaml"))

RULE_BOOK = re.compile(
    r"\b(scalar|mapping|sequence|token|indent\w*|pars(?:e|ing|er)|yaml|syntax|node|None(?:Type)?|True|False|tuple|dict|int|str|float|object"
    r"|\w*Error|Traceback|Fraction|null)\b"
)
"""Words of programmers: none of them helps a technician."""
NOT_IN_A_FILE = {"too-many-dashes"}
"""Codes of tables too large for an example; they have a test of their own."""


def expected(text: str) -> list[tuple[int, int, str]]:
    first = text.split("\n", 1)[0].removeprefix("# expect: ")
    out = []
    for place in first.split("; "):
        at, code = place.split(" ")
        line, column = at.split(":")
        out.append((int(line), int(column), code))
    return sorted(out)


@cache
def problems(text: str) -> tuple[Problem, ...]:
    """Everything told of a table, remarks too."""
    try:
        _, report = build_table(source_from_text(text, "trial.yaml"), "trial")
    except Refused as refused:
        return refused.problems
    return tuple(sorted(report.problems))


def test_there_are_examples() -> None:
    assert len(BAD) > 150
    assert len(ODD) >= 2


@pytest.mark.parametrize("path", BAD, ids=lambda p: p.stem)
def test_a_bad_file_gives_exactly_what_it_says(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert sorted((p.line, p.column, p.code) for p in problems(text)) == expected(text)


@pytest.mark.parametrize("path", BAD, ids=lambda p: p.stem)
def test_a_bad_file_is_told_in_plain_words_at_its_place(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    lines = source_from_text(text).lines
    for problem in problems(text):
        assert problem.message
        assert problem.help, problem.code
        assert len(problem.message) < 400
        assert len(problem.help) < 400
        if problem.line:
            assert problem.source == lines[problem.line - 1]
            assert 1 <= problem.column <= len(problem.source) + 1
            assert 1 <= problem.length <= max(1, len(problem.source) - problem.column + 1)
        said = re.sub(r"`[^`]*`", "", f"{problem.message} {problem.help}")
        assert not RULE_BOOK.search(said), said
        assert "\n" not in problem.message
        assert people([problem]).endswith("\n")


def test_every_code_of_the_source_has_an_example() -> None:
    have = {code for path in BAD for _, _, code in expected(path.read_text(encoding="utf-8"))}
    assert codes() - NOT_IN_A_FILE <= have
    assert have <= codes(), "an example of a code that is gone"


@pytest.mark.parametrize("path", ODD, ids=lambda p: p.stem)
def test_an_odd_spelling_says_the_same_as_the_tidy_one(path: Path) -> None:
    odd = path.read_text(encoding="utf-8")
    tidy = path.with_name(path.name.replace("-odd", "-tidy")).read_text(encoding="utf-8")
    assert not problems(odd)
    assert not problems(tidy)
    tables = [build_table(source_from_text(text), "same")[0] for text in (odd, tidy)]
    assert edition(tables[0]) == edition(tables[1])
    assert tables[0].calls.keys() == tables[1].calls.keys()


# -- large

HEAD = "format: selector table 1\nunit: {title: Large}\n"
CALLS = "calls:\n  fan: {airflow: fan airflow}\n"


def bank(rows: list[str], switches: int = 20) -> str:
    """A table whose one chart reads so many switches."""
    second = f"  SW2: {{kind: switches, count: {switches - 16}}}\n" if switches > 16 else ""
    names = " ".join(
        [f"SW1-{i}" for i in range(1, min(switches, 16) + 1)] + [f"SW2-{i}" for i in range(1, switches - 15)]
    )
    board = f"board:\n  SW1: {{kind: switches, count: {min(switches, 16)}}}\n{second}"
    body = "".join(f"      {row}\n" for row in rows)
    return f"{HEAD}{board}charts:\n  fan airflow:\n    set: {names}\n    gives: airflow\n    rows: |\n{body}{CALLS}"


def test_a_row_of_dashes_alone_answers_for_every_setting() -> None:
    assert not problems(bank([" ".join("-" * 20) + " 900"]))


def test_two_rows_of_dashes_alone_overlap() -> None:
    found = problems(bank([" ".join("-" * 20) + " 900", " ".join("-" * 20) + " 950"]))
    assert [p.code for p in found] == ["overlapping-rows"]


def test_rows_that_part_the_settings_by_one_switch_after_another_dont_overlap() -> None:
    """Row k has its first k switches off and the next on: no two agree, and with the last one every setting is
    answered once."""
    rows = [" ".join(["0"] * k + ["1"] + ["-"] * (19 - k)) + f" {900 + k}" for k in range(20)] + [
        " ".join("0" * 20) + " 950"
    ]
    assert not problems(bank(rows))


PARTS = ("01-", "-01", "1-0", "000", "111")
"""Each setting of three switches is answered by one of these, though no switch stands in all of them."""


def products(times: int) -> list[str]:
    """Rows over groups of three switches; as their parts, they answer for each setting once."""
    return [" ".join("".join(parts)) + " 900" for parts in product(PARTS, repeat=times)]


def test_rows_that_each_leave_other_switches_open_are_told_apart() -> None:
    assert not problems(bank(products(5), 15))
    found = problems(bank([*products(5)[:-1], "1 1 1 1 1 1 1 1 1 1 1 - 1 1 1 900"], 15))
    assert [(p.code, p.line) for p in found] == [("overlapping-rows", 9 + 5**5)], (
        "its fourth group is 101 too, which -01 answers for"
    )


def test_more_dashes_than_can_be_compared_are_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("selector.table.model.coverage.MOST_PARTED", 5_000)
    monkeypatch.setattr("selector.table.model.coverage.MOST_BETWEEN", 5_000)
    text = bank([*products(5), "# under other bounds"], 15)
    assert [p.code for p in problems(text)] == ["too-many-dashes"]


def test_sixty_thousand_rows_are_read() -> None:
    rows = [f"{n:016b} {500 + n % 700}" for n in range(60_000)]
    found = problems(bank(rows, 16))
    assert [p.code for p in found] == ["missing-rows"]
    assert "5536" in found[0].message, "2^16 - 60,000, by hand"


# -- at random

TEXTS = [p.read_text(encoding="utf-8") for p in TABLES]
WORDS = (
    "SW1",
    "J1",
    "call",
    "airflow",
    "none",
    "as",
    "not used",
    "-",
    "+6 %",
    "1e9",
    "NaN",
    "0.66",
    "{",
    "}",
    "[",
    "]",
    ": ",
    "|",
    "(",
    ")",
    ";",
    "#",
    "step",
)
ODD_CHARACTERS = "\t\u00a0\u2212\u0410\u200b\"'`%&*!?,|>{}[]#:;()_~=/\\0179 -+.\n"


@st.composite
def spoilt(draw: st.DrawFn) -> str:
    """A shipped table after a few slips of the hand."""
    text = draw(st.sampled_from(TEXTS))
    for _ in range(draw(st.integers(1, 4))):
        how = draw(st.integers(0, 6))
        lines = text.split("\n")
        at = draw(st.integers(0, max(0, len(lines) - 1)))
        place = draw(st.integers(0, max(0, len(text) - 1)))
        if how == 0:
            del lines[at]
            text = "\n".join(lines)
        elif how == 1:
            text = "\n".join([*lines[: at + 1], *lines[at:]])
        elif how == 2:
            lines[at] = " " * draw(st.integers(0, 8)) + lines[at].lstrip()
            text = "\n".join(lines)
        elif how == 3:
            text = text[:place] + draw(st.sampled_from(ODD_CHARACTERS)) + text[place + 1 :]
        elif how == 4:
            text = text[:place] + draw(st.text(ODD_CHARACTERS, min_size=1, max_size=3)) + text[place:]
        elif how == 5:
            words = lines[at].split(" ")
            words[draw(st.integers(0, len(words) - 1))] = draw(st.sampled_from(WORDS))
            lines[at] = " ".join(words)
            text = "\n".join(lines)
        else:
            text = text[:place] + text[place + draw(st.integers(1, 40)) :]
    return text


@settings(max_examples=300, deadline=20_000, suppress_health_check=list(HealthCheck))
@given(spoilt())
def test_a_spoilt_table_gives_a_table_or_problems(text: str) -> None:
    found: tuple[Problem, ...] = ()
    try:
        found = problems(source_from_text(text).text)
    except Refused as refused:
        found = refused.problems
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    assert len(found) <= 2 * MOST_PROBLEMS
    for problem in found:
        assert problem.line <= len(lines) + 1
        assert problem.message
        assert problem.help
        assert not RULE_BOOK.search(
            re.sub(r"`[^`]*`", "", f"{problem.message} {problem.help}".replace(problem.source.strip() or "\0", ""))
        )
