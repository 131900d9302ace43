"""Lists of words, names of one's own in them, ranges with a step: each by hand from the reading rules of the file."""

from __future__ import annotations

import pytest

from selector.table.text.words import Item, Names, expand_steps, match_names


def items(text: str) -> list[Item]:
    return [Item(word, 1, n) for n, word in enumerate(text.split(), 1)]


@pytest.mark.parametrize(
    ("names", "text", "found", "unknown", "ambiguous"),
    [
        ("low,medium low,high", "low medium low high", ["low", "medium low", "high"], [], False),
        ("low,medium low,high", "LOW Medium  Low", ["low", "medium low"], [], False),
        ("low,medium low,high", "medium high", ["high"], ["medium"], False),
        ("low,low high,high", "low high", ["low high"], [], True),  # two whole readings
        ("low,low high", "low high", ["low high"], [], False),
        ("low,low high,high", "low high low", ["low high", "low"], [], True),
        ("a b,b c,a,c", "a b c", ["a b", "c"], [], True),
        ("a b,b c,a,d", "a b c", ["a b"], ["c"], False),
        ("A,a", "a A", ["a", "A"], [], False),  # two that differ by case alone
        ("A,a,B", "b", ["B"], [], False),
        ("low", "", [], [], False),
        ("", "low", [], ["low"], False),
    ],
)
def test_names_are_read_as_wholes_longest_first(
    names: str, text: str, found: list[str], unknown: list[str], ambiguous: bool
) -> None:
    matched = match_names(items(text), Names([n for n in names.split(",") if n]))
    assert [name for name, _ in matched.found] == found
    assert [one.text for one in matched.unknown] == unknown
    assert matched.ambiguous is ambiguous


def test_a_name_keeps_the_place_of_its_first_word() -> None:
    matched = match_names(items("high medium low"), Names(["high", "medium low"]))
    assert [(one.text, one.column) for _, one in matched.found] == [("high", 1), ("medium low", 2)]


def test_case_counts_only_where_two_names_differ_by_it() -> None:
    names = Names(["A", "a", "Bee"])
    assert [names.find(text) for text in ("A", "a", "bee", " BEE ", "c")] == ["A", "a", "Bee", "Bee", None]
    assert "bee" in names
    assert "c" not in names
    assert 5 not in names
    assert Names(["one", "two words"]).longest == 2
    assert Names([]).longest == 1


@pytest.mark.parametrize(
    ("text", "want"),
    [
        ("300 to 315 step 5", "300 305 310 315"),
        ("300 to 304 step 2", "300 302 304"),
        ("-10 to 10 step 10", "-10 0 10"),
        ("0 300 to 400 step 50", "0 300 350 400"),
        ("300 to 400 step 50 500", "300 350 400 500"),
        ("off, 300 to 400 step 50", "off 300 350 400"),
        ("0 to 1 step 0.5", "0 0.5 1"),
        ("300 TO 400 STEP 100", "300 400"),
    ],
)
def test_a_range_with_a_step_is_counted_out(text: str, want: str) -> None:
    assert expand_steps(text) == want.split()


@pytest.mark.parametrize("text", ["", "300 400", "300 to 400", "a to c step 1"])
def test_what_has_no_such_range(text: str) -> None:
    assert expand_steps(text) is None


@pytest.mark.parametrize("text", ["400 to 300 step 5", "300 to 400 step 0", "300 to 302 step 5", "0 to 99999 step 1"])
def test_a_range_that_can_t_be_counted(text: str) -> None:
    with pytest.raises(ValueError, match=r"\w"):
        expand_steps(text)
