"""Numbers in words, held against num2words; marks and figures by hand."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from num2words import num2words

from selector.transcribe.compare.spoken_words import (
    code_in_words,
    figure_in_words,
    mark_in_words,
    value_in_words,
    whole_in_words,
)


def plainly(text: str) -> str:
    """num2words writes commas and a British `and`; a technician reads neither aloud."""
    return text.replace(",", "").replace(" and ", " ")


@given(st.integers(0, 10**15 - 1))
def test_whole_numbers_are_those_of_num2words(number: int) -> None:
    assert whole_in_words(number) == plainly(num2words(number))


def test_every_airflow_is_that_of_num2words() -> None:
    assert [whole_in_words(n) for n in range(3000)] == [plainly(num2words(n)) for n in range(3000)]


@given(st.integers(0, 9999), st.integers(1, 3), st.data())
def test_decimals_are_those_of_num2words(whole: int, places: int, data: st.DataObject) -> None:
    digits = data.draw(st.integers(1, 10**places - 1).filter(lambda n: n % 10 != 0))
    typed = f"{whole}.{digits:0{places}d}"
    assert figure_in_words(typed) == plainly(num2words(float(typed)))


@pytest.mark.parametrize("number", [-1, 10**15])
def test_what_cant_be_said_is_refused(number: int) -> None:
    with pytest.raises(ValueError, match="not a number to be read aloud"):
        whole_in_words(number)


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("1380", "one thousand three hundred eighty"),
        ("+6 %", "plus six percent"),
        ("-12 %", "minus twelve percent"),
        ("60 s", "sixty seconds"),
        (".5", "zero point five"),
        ("-", "no figure"),
        ("?", "not readable"),
        ("two steps", "two steps"),
    ],
)
def test_figures(typed: str, said: str) -> None:
    assert figure_in_words(typed) == said


@pytest.mark.parametrize(
    ("code", "said"),
    [
        ("080", "zero eight zero"),
        ("110", "one one zero"),
        ("24", "two four"),
        ("S070", "S zero seven zero"),
        ("O70", "letter O seven zero"),
        ("24ACb", "two four A C small b"),
        ("K-14", "K dash one four"),
        ("2.5", "two point five"),
        ("low", "low"),
        ("heater alone", "heater alone"),
    ],
)
def test_codes_are_said_sign_by_sign_and_a_figure_never_as_a_letter(code: str, said: str) -> None:
    assert code_in_words(code) == said


@given(st.text(alphabet="0123456789", min_size=1, max_size=8))
def test_the_figures_of_a_code_are_those_of_num2words(code: str) -> None:
    assert code_in_words(code) == " ".join(num2words(int(c)) for c in code)


@pytest.mark.parametrize(
    ("mark", "others", "said"),
    [
        ("A", ("A", "a"), "capital A"),
        ("a", ("A", "a"), "small a"),
        ("A", ("A", "B"), "A"),
        ("1-2", (), "one dash two"),
        ("2A", (), "two A"),
    ],
)
def test_marks_that_only_their_case_tells_apart(mark: str, others: tuple[str, ...], said: str) -> None:
    assert mark_in_words(mark, others) == said


@pytest.mark.parametrize(
    ("mark", "said"),
    [("ON", "on"), ("-", "either way"), ("3", "three"), ("060", "zero six zero"), ("A", "A"), ("b", "b")],
)
def test_marks(mark: str, said: str) -> None:
    assert mark_in_words(mark) == said


def test_values() -> None:
    assert value_in_words(Fraction(395, 2)) == "one hundred ninety-seven point five"
