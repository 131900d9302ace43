"""A table's values as JSON: nothing is lost, and nothing but a value comes of it."""

from __future__ import annotations

import json
from fractions import Fraction
from pathlib import Path

import pytest

from selector.table.library.library import load
from selector.table.model.as_json import plain_of, value_of
from selector.table.model.table import CellWord, Condition, Table
from selector.value import json_of

HERE = Path(__file__).parents[3]
FILES = sorted([*(HERE / "tables").glob("*.yaml"), *(HERE / "tests" / "examples" / "format_1").rglob("tables/*.yaml")])


def test_every_table_comes_back_the_same() -> None:
    """Equal, of the same types, every mapping in its order: `repr` shows all three."""
    assert len(FILES) > 30
    for file in FILES:
        table, _ = load(str(file))
        back = value_of(json.loads(json_of(plain_of(table))))
        assert isinstance(back, Table)
        assert back == table
        assert repr(back) == repr(table), file


def test_figures_are_exact_however_long() -> None:
    """A third; and more digits than a float holds, which other readers of JSON would round."""
    assert plain_of(Fraction(1, 3)) == [3, 1, 3]
    long = Fraction("123456789012345.000000001")
    assert value_of(json.loads(json.dumps(plain_of(long)))) == long
    assert plain_of(long) == [3, "123456789012345000000001/1000000000"]


def test_what_is_as_it_would_be_left_out_is_left_out() -> None:
    plain = plain_of(Condition(name="LK1", part=2, allowed=frozenset({1, 0})))
    assert plain == {"": "Condition", "name": "LK1", "part": 2, "allowed": [1, 0, 1]}
    assert value_of(plain) == Condition(name="LK1", part=2, allowed=frozenset({0, 1}))
    assert value_of([0, None, [4, "NONE"], [2, "a", [0]]]) == (None, CellWord.NONE, {"a": ()})


@pytest.mark.parametrize(
    "plain", [{"": "Popen", "args": "true"}, {"": "Struct"}, {"name": "x"}, [9, 1], [4, "mro"], []]
)
def test_nothing_else_is_made(plain: object) -> None:
    """A class that is no record of a table, a word that is none, a number that says nothing."""
    with pytest.raises((LookupError, TypeError, ValueError)):
        value_of(plain)


def test_other_values_have_no_json() -> None:
    with pytest.raises(TypeError):
        plain_of((1, 2.5))
