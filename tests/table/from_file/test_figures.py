"""Single figures, ranges and ramps in a file, with what to type for those that can't be read: each by hand."""

from __future__ import annotations

from fractions import Fraction

import pytest

from selector.table.from_file.figures import HEAT, PERCENT, TIME, BadFigure, figure, figure_range, ramp_steps


@pytest.mark.parametrize(
    ("text", "words", "want"),
    [
        ("66 %", PERCENT, 66),
        ("66%", PERCENT, 66),
        ("66", PERCENT, 66),
        (" 66  % ", PERCENT, 66),
        ("-12.5 %", PERCENT, Fraction(-25, 2)),
        ("+.5", PERCENT, Fraction(1, 2)),
        ("90 s", TIME, 90),
        ("2 min", TIME, 120),
        ("1.5 minutes", TIME, 90),
        ("60 MBH", HEAT, 60_000),
        ("60 kBtu/h", HEAT, 60_000),
        ("60000 Btuh", HEAT, 60_000),
        ("123456789012345", {}, 123456789012345),
    ],
)
def test_a_figure(text: str, words: dict[str, Fraction], want: Fraction | int) -> None:
    assert figure(text, words) == want


def test_a_figure_without_a_unit_is_in_the_file_s() -> None:
    assert figure("60", HEAT, Fraction(1000)) == 60_000
    assert figure("60 Btu/h", HEAT, Fraction(1000)) == 60
    assert figure("1000 W", HEAT, Fraction(1000)) == figure("1 kW", HEAT)


@pytest.mark.parametrize(
    ("text", "words", "said", "instead"),
    [
        ("fast", {}, "`fast` is not a figure", "a plain number"),
        ("1,190", {}, "`1,190` has a comma", "1190"),
        ("1,190,000 Btu/h", HEAT, "has a comma", "1190000 Btu/h"),
        ("12345678901234567", {}, "has too many digits", "as the page prints it"),
        ("66 cfm", PERCENT, "`cfm` is a wrong unit here", "66 or 66 %"),
        ("60 cfm", HEAT, "`cfm` is a wrong unit here", "60 or 60 Btu/h or 60 Btuh or 60 MBH"),
        ("1/2", PERCENT, "`1/2` is a fraction", "50 %"),
        ("3 / 8", PERCENT, "`3 / 8` is a fraction", "37.5 %"),
        ("20/2", PERCENT, "is a fraction", "1000 %"),
        ("21/2", PERCENT, "is two figures", "21 or 2"),
        ("900/1100", {}, "`900/1100` is two figures", "900 or 1100 if it is one of the two"),
        ("1:30", TIME, "`1:30` is minutes and seconds", "90 s"),
        ("0:05", TIME, "is minutes and seconds", "5 s"),
        ("1:60", TIME, "", ""),
        ("66 77", PERCENT, "`66 77` is 2 figures", "{first: 66 %}"),
        ("66 77 88", {}, "`66 77 88` is 3 figures", "{first: 66}"),
    ],
)
def test_what_is_no_figure(text: str, words: dict[str, Fraction], said: str, instead: str) -> None:
    with pytest.raises(BadFigure) as bad:
        figure(text, words)
    assert said in str(bad.value)
    assert instead in bad.value.instead


@pytest.mark.parametrize(
    ("text", "want"),
    [
        ("35 to 65", (35, 65)),
        ("35 % TO 65 %", (35, 65)),
        ("35 to 65 %", (35, 65)),
        ("50 to 50", (50, 50)),
        ("-5 to +5", (-5, 5)),
    ],
)
def test_a_range(text: str, want: tuple[int, int]) -> None:
    assert [*figure_range(text, PERCENT)] == [*want]


@pytest.mark.parametrize(
    ("text", "said", "instead"),
    [
        ("65 to 35", "the range `65 to 35` is reversed", "35 to 65"),
        ("35", "`35` is not a range", "35 to 65"),
        ("35 - 65", "is not a range", "the word to"),
        ("35 to fast", "`fast` is a wrong unit here", "35 or 35 %"),
        ("35 to 1,190", "has a comma", "1190"),
    ],
)
def test_what_is_no_range(text: str, said: str, instead: str) -> None:
    with pytest.raises(BadFigure) as bad:
        figure_range(text, PERCENT)
    assert said in str(bad.value)
    assert instead in bad.value.instead


@pytest.mark.parametrize(
    ("text", "want"),
    [
        # (seconds, share, start, after the call has ended), in their order
        ("30 s at 50 %", [(30, 50, None, False), (0, 100, None, False)]),
        ("30 s at 50 %, then 80 %", [(30, 50, None, False), (0, 80, None, False)]),
        (
            "1 min at 45 %, 4 min at 78 %, then 100 %, after 90 s at 40 %",
            [(60, 45, None, False), (240, 78, None, False), (0, 100, None, False), (90, 40, None, True)],
        ),
        # what follows the call stands last wherever it is typed
        ("after 90 s at 40 %, 30 s at 50 %", [(30, 50, None, False), (0, 100, None, False), (90, 40, None, True)]),
        ("45 s from 0 to 100 %", [(45, 100, 0, False), (0, 100, None, False)]),
        ("45 s from 20 % to full", [(45, 100, 20, False), (0, 100, None, False)]),
        ("climbs to full in 30 s", [(30, 100, 0, False), (0, 100, None, False)]),
        ("climbs from 30 to 80 % in 30 s", [(30, 80, 30, False), (0, 80, None, False)]),
        # a climb begins where the part before it ended, and ends at its own share
        ("30 s at 50 %, 60 s to 90 %", [(30, 50, None, False), (60, 90, 50, False), (0, 90, None, False)]),
        ("0 s at 50 %", [(0, 50, None, False), (0, 100, None, False)]),
        ("30 s at 0 %", [(30, 0, None, False), (0, 100, None, False)]),
        ("30 s at 150 %", [(30, 150, None, False), (0, 100, None, False)]),
        ("100", [(0, 100, None, False)]),
        ("1", [(0, 1, None, False)]),
    ],
)
def test_a_ramp(text: str, want: list[tuple[int, int, int | None, bool]]) -> None:
    steps = ramp_steps(text)
    assert [[s.seconds, s.share, s.start, s.after] for s in steps] == [[*one] for one in want]


def test_parts_of_no_seconds_fall_away_where_only_what_lasts_is_asked_for() -> None:
    lasting = ramp_steps("0 s at 50 %, 0 s from 0 to 80 %, 30 s at 60 %", lasting=True)
    assert [float(s.seconds) for s in lasting] == [30, 0]


@pytest.mark.parametrize(
    ("text", "said", "instead"),
    [
        ("30 s at 50 %,, then 100 %", "a part between commas is empty", "30 s at 50 %"),
        ("after 40 %", "`after 40 %` doesn't say how long", "after 90 s at 40 %"),
        ("30 s at 0.5", "`0.5` looks like a fraction", "50 %"),
        ("30 s at 151 %", "outside 0 to 150 %", "then 100 %"),
        ("30 s at -1 %", "outside 0 to 150 %", "then 100 %"),
        ("-30 s at 50 %", "`-30 s` can't be negative", "30 s at 50 %"),
        ("80 %, 30 s at 50 %", "comes after the share that holds", "then 100 %"),
        ("80 %, 30 s to 90 %", "comes after the share that holds", "then 100 %"),
        ("0 s from 0 to 100 %", "needs its seconds", "45 s from 0 to 100 %"),
        ("30 s at call fan", "takes another call's airflow before the call has ended", "after 90 s at call fan"),
        ("fast at 50 %", "`fast at 50 %` is no part of a ramp", "30 s at 50 %, then 100 %"),
    ],
)
def test_what_is_no_ramp(text: str, said: str, instead: str) -> None:
    with pytest.raises(BadFigure) as bad:
        ramp_steps(text)
    assert said in str(bad.value)
    assert instead in bad.value.instead


def test_another_call_s_airflow_after_the_call() -> None:
    (*_, last) = ramp_steps("100 %, after 90 s at call fan")
    assert last.call is not None
    assert (last.call.call, last.after, int(last.seconds)) == ("fan", True, 90)
