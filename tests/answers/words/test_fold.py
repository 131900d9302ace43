"""No line is longer than the terminal, nothing of the text is lost, a figure keeps its unit."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from selector.answers.words.fold import Raw, Rows, fold, folded, width_of

words = st.lists(st.text(alphabet="abcde,.1", min_size=1, max_size=12), min_size=1, max_size=40)


@given(words, st.sampled_from([40, 80, 120]), st.integers(0, 6), st.integers(0, 6))
def test_every_line_fits_and_every_word_is_there(parts: list[str], columns: int, lead: int, hang: int) -> None:
    text = " " * lead + " ".join(parts)
    lines = fold(text, columns, hang)
    assert all(width_of(line) <= columns for line in lines)
    assert " ".join(lines).split() == text.split()
    assert all(line.startswith(" " * (lead + hang)) for line in lines[1:])


def test_a_figure_keeps_its_unit_and_a_move_its_arrow() -> None:
    assert fold("cooling second 1,062 cfm and more air", 22) == ["cooling second", "  1,062 cfm and more", "  air"]
    assert fold("Set 2 switches: SW1-3 OFF -> ON now", 26) == ["Set 2 switches: SW1-3", "  OFF -> ON now"]


def test_rows_stand_in_columns_or_below_each_other() -> None:
    cells = (("call", "expect", "target"), ("cooling", "1,062 cfm", "1,050 cfm"), ("fan", "478 cfm", ""))
    rows = Rows(cells=cells, right=frozenset({1}), headed=True)
    assert folded([rows], 80) == ["call        expect  target", "cooling  1,062 cfm  1,050 cfm", "fan        478 cfm"]
    assert folded([rows], 24) == [
        "call",
        "cooling",
        "  expect 1,062 cfm",
        "  target 1,050 cfm",
        "fan",
        "  expect 478 cfm",
    ]


def test_the_widest_column_is_folded_first() -> None:
    cells = (("corvane", "Two-stage gas furnace with a board", "060 080"),)
    assert folded([Rows(cells=cells)], 40) == [
        "corvane  Two-stage gas furnace   060 080",
        "         with a board",
    ]


def test_a_long_last_cell_hangs_under_itself() -> None:
    rows = Rows(cells=(("fan", "one two three four five six seven eight nine"),))
    assert folded([rows], 30) == ["fan  one two three four five", "     six seven eight nine"]


def test_drawings_stay_as_they_are() -> None:
    assert folded([Raw(lines=("=" * 60,))], 40) == ["=" * 60]
