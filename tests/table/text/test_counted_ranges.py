"""Ranges with a step among the words of a list."""

from __future__ import annotations

import pytest

from selector.table.text.words import expand_steps


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("300 to 320 step 10", ["300", "310", "320"]),
        ("0 300 to 320 step 10", ["0", "300", "310", "320"]),
        ("off, 300 to 320 step 20, medium low", ["off", "300", "320", "medium low"]),
        ("0 to 2 step 1 5 to 6 step 0.5", ["0", "1", "2", "5", "5.5", "6"]),
        ("0 to 2", None),
    ],
)
def test_ranges_are_counted_where_they_stand(text: str, words: list[str] | None) -> None:
    assert expand_steps(text) == words


def test_a_step_that_misses_the_end_is_said() -> None:
    with pytest.raises(ValueError, match="410 isn't reached by steps of 50 from 300"):
        expand_steps("0 300 to 410 step 50")
