"""Each slip of somebody who doesn't know the rules of the file has its own code, its place, and the text to type
instead.

The files `examples/bad/yaml-*.yaml` say in their first line what has to come out: `# expect: LINE:COLUMN code`, several
with `; ` between.
Places there were counted by hand.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from selector.problems import Problem, Refused
from selector.table.source import Source, source_from_text
from selector.table.text.located import locate
from selector.table.text.slips.slip_list import MOST_SLIPS, MOST_VALUES

BAD = sorted((Path(__file__).parents[2] / "examples" / "bad").glob("yaml-*.yaml"))

RULE_BOOK_WORDS = re.compile(
    r"\b(scalar|mapping|sequence|flow|block|token|indent\w*|pars\w+|yaml|document|syntax|node|char\w+ escape)s?\b",
    re.IGNORECASE,
)
"""Words of people who know the rules: none of them helps a technician."""


def expected(text: str) -> list[tuple[int, int, str]]:
    first = text.split("\n", 1)[0]
    places = []
    for place in first.removeprefix("# expect: ").split("; "):
        at, code = place.split(" ")
        line, column = at.split(":")
        places.append((int(line), int(column), code))
    return sorted(places)


def problems(text: str, *, pure: bool = False) -> tuple[Problem, ...]:
    try:
        locate(source_from_text(text), pure=pure)
    except Refused as refused:
        return refused.problems
    return ()


def found(text: str) -> list[tuple[int, int, str]]:
    return [(problem.line, problem.column, problem.code) for problem in problems(text)]


def test_there_are_bad_files() -> None:
    assert len(BAD) > 50


@pytest.mark.parametrize("path", BAD, ids=lambda path: path.stem)
def test_bad_file_gives_exactly_what_it_says(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert found(text) == expected(text)
    assert problems(text) == problems(text, pure=True)


@pytest.mark.parametrize("path", BAD, ids=lambda path: path.stem)
def test_bad_file_is_told_in_plain_words_with_what_to_type(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    for problem in problems(text):
        assert problem.help
        assert problem.source == source_from_text(text).lines[problem.line - 1]
        said = (problem.message + " " + problem.help).replace(problem.source.strip(), "")
        quoted = re.sub(r"`[^`]*`", "", said)
        assert not RULE_BOOK_WORDS.search(quoted), said


@pytest.mark.parametrize(
    ("bad", "good"),
    [
        ("count:8", "count: 8"),
        ("a: {A:1600}", "a: {A: 1600}"),
        ("a: [share:45 %]", "a: [share: 45 %]"),
        ("a: {positions: A, B, C}", "a: {positions: A B C}"),
        ("title: Furnace: two-stage", 'title: "Furnace: two-stage"'),
        ('note: 5: the "best" one', "note: '5: the \"best\" one'"),
        ("a: [1,190]", "a: [1190]"),
        ("a: {b: 1,190,000}", "a: {b: 1190000}"),
        ("a: @home", 'a: "@home"'),
        ("a: - 6 %", "a: -6 %"),
        ("a: −6 %", "a: -6 %"),
        ("maker Corvane\nb: 1", "maker: Corvane\nb: 1"),
        ("heat input 60000\nb: 1", "heat input: 60000\nb: 1"),
        ("models = 060 080", "models: 060 080"),
        ("SW1 {count: 8}\nb: 1", "SW1: {count: 8}\nb: 1"),
        ("board\n  SW1: 8", "board:\n  SW1: 8"),
        ("rows:\n  OFF 1\n  ON 2", "rows: |\n  OFF 1\n  ON 2"),
        ("rows: >\n  OFF 1\n  ON 2", "rows: |\n  OFF 1\n  ON 2"),
        ("a: “text”", "a: text"),
        ("a: ОFF", "a: OFF"),
        ("a: {b: 1, c: 2", "a: {b: 1, c: 2}"),
        ("a: [b, {c: 1", "a: [b, {c: 1}]"),
        ('a: "Gas" furnace', "a: Gas furnace"),
        ("airflow: base\n  - trim", "airflow:\n  - base\n  - trim"),
    ],
)
def test_what_to_type_instead_is_said_and_is_right(bad: str, good: str) -> None:
    """The good text is accepted, and what differs in it stands word for word in the help."""
    told = problems(bad)
    assert len(told) == 1
    assert problems(good) == ()
    changed = next(line for line in good.split("\n") if line not in bad.split("\n"))
    said = re.findall(r"`([^`]*)`", told[0].help)
    assert any(piece and piece in changed for piece in said), told[0].help


def test_a_look_alike_names_its_letter() -> None:
    (problem,) = problems("titlе: x")  # the last letter is U+0435
    assert "Cyrillic small letter ie" in problem.message
    assert "U+0435" in problem.message
    assert "`title`" in problem.help


def test_a_file_written_in_another_script_keeps_its_letters() -> None:
    """`А`, `В` and `с` look Latin; in a file whose other words are Cyrillic they are meant."""
    assert problems("вентилятор:\n  скорость: А В с\n") == ()
    assert [problem.code for problem in problems("fan:\n  speed: А В с\n")] == ["look-alike-letter"] * 3


@pytest.mark.parametrize(
    "good",
    [
        "title: Печь 3000 m³/h, „fast“ neu – 23–24 °C",
        "note: |\n  # not a comment: a line of the text\n  «да», it’s 5 – 6",
        "rows: |\n  OFF  540 (see the maker’s page 23–24: “rare”)",
        "note: a long text that\n  goes on, one, two, and on\n  - and on",
        "a: 1#2",
        "a: it's 5\" wide",
        "a: 'it''s # 5: {x}'",
        'a: "x # 5: \\"y\\" \\u00b0"',
        "a: 100,200",
        "a: {b: 1, c: 2,}",
        "a: [100, 200, 300]",
        "a: [-6 %, +6 %]",
        "a: {model: [060, 080],\n    stage: 1}",
        "a:\n- b\n- c: 1\n  d: 2\n-\n  e: 3\nf: 4",
        "a:\n  - - b\n    - c\n  - {d: 1}",
        "# first\n---\na: 1\n...\n# last",
        "rows: |\n\n  OFF 1\n    ON 2\n\n  - 3\n\n\nb: 1",
        "a:\n  rows: |\n    OFF 1\n\n# comment\n  # comment\n  b: 1",
        "rows:\n  OFF: 1\n  ON: 2",
        "rows: OFF 1; ON 2",
        "OFF\tON: x\ty\nrows: |\n  ON\t5\n  \tOFF\t6",
        "{format: selector table 1, unit: {title: x}}",
        "a: http://example.org/x",
        "a: [on ? off, b?]",
        "a:\nb:\n",
        "a:\n - |\n  x\n -\n  y",
        "\"quoted name\": 1\n'other # name': 2",
    ],
)
def test_good_texts_are_left_alone(good: str) -> None:
    assert problems(good) == ()
    assert problems(good, pure=True) == ()


def test_rows_that_could_be_names_are_told_apart() -> None:
    """After rows, a line level with the name is a row unless it looks like a name that lacks its colon."""
    rows = "a:\n  rows: |\n    OFF 540 720\n    ON  620 800\n"
    assert found(rows + "  OFF 640 820\n") == [(5, 3, "row-too-far-left")]
    assert found(rows + "  gives trim\n") == [(5, 8, "missing-colon")]
    assert found(rows + "b\n  gives: trim\n") == [(5, 2, "missing-colon")]
    assert found(rows + "  gives:trim\n") == [(5, 8, "no-blank-after-colon")]


def test_many_slips_are_told_up_to_a_bound() -> None:
    told = problems("\n".join(f"k{number}: a: b" for number in range(3 * MOST_SLIPS)))
    assert len(told) == MOST_SLIPS + 1
    assert told[-1].code == "too-many-problems"
    assert told[-1].severity == "remark"
    assert list(told) == sorted(told)


@pytest.mark.parametrize("line", ["k{}: 1", "- a{}", "  [b{}, c],"])
def test_more_values_than_any_table_needs_are_refused(line: str) -> None:
    start = "a: [" if line.startswith("  [") else "a:" if line.startswith("- ") else "a: 1"
    text = start + "\n" + "\n".join(line.format(number) for number in range(MOST_VALUES + 5))
    assert [problem.code for problem in problems(text)][-1] == "too-many-values"


def test_a_very_long_line_is_refused_without_repeating_it() -> None:
    (problem,) = problems("a: " + "x" * 3_000_000)
    assert problem.code == "long-line"
    assert problem.source == ""


def test_names_that_hold_sentences_or_rows_can_be_given() -> None:
    source: Source = source_from_text("place: “Hof”\nsteps:\n  one\n  two\n")
    with pytest.raises(Refused) as caught:
        locate(source, row_names={"steps"})
    assert [problem.code for problem in caught.value.problems] == ["curly-quote", "rows-without-bar"]
    assert locate(source_from_text("remark: it’s"), free_names={"remark"}).items[0][0].text == "remark"
