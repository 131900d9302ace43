"""What people type of what they saw, and what it is taken for. Common practice, no source."""

from __future__ import annotations

from fractions import Fraction

import pytest

from selector.answers.remarks.danger_words import FIRST, STEPS
from selector.job.observed.danger_table import DANGERS, LEVELS, SEEN, read_dangers
from selector.job.observed.sentence import known_words, sightings


@pytest.mark.parametrize(
    ("typed", "what"),
    [
        ("gas smell", ["gas"]),
        ("smells of gas at the burner", ["gas"]),
        ("the CO alarm went off", ["gas"]),
        ("CO 35 ppm in the room", ["gas"]),
        ("flue CO 620 ppm", ["flue CO"]),
        ("45 ppm CO in hallway", ["gas"]),
        ("CO 45 ppm upstairs", ["gas"]),
        ("CO 45 ppm", ["gas"]),
        ("CO in the basement", ["gas"]),
        ("no gas smell, CO alarm silent", []),
        ("stack CO 620 ppm", ["flue CO"]),
        ("spillage at the draft hood", ["spillage"]),
        ("roll-out tripped", ["roll-out"]),
        ("the flame moves when the blower starts", ["flame"]),
        ("limit trips", ["limit"]),
        ("smell of rotten eggs", ["gas"]),
        ("smells like LP", ["gas"]),
        ("cracked heat exchanger", ["flame"]),
        ("vent disconnected at the draft hood", ["spillage"]),
        ("pressure switch jumpered", ["limit"]),
        ("limit wired closed", ["limit"]),
        ("two taps live", ["two speeds"]),
        ("120 V on tap 3", ["two speeds"]),
        ("jumper on the limit switch", ["limit"]),
        ("still live: 121 V at the blower", ["live"]),
        ("door switch taped down", ["live"]),
        ("two taps energized", ["two speeds"]),
        ("coil iced", ["iced coil"]),
        ("soot at the door", ["soot"]),
        ("black smoke out of the flue", ["soot"]),
        ("oil smell and smoke", ["soot", "oil"]),
        ("smells of oil near the tank", ["oil"]),
        ("yellow flame", ["soot"]),
        ("headaches upstairs", ["gas"]),
        ("burnt smell at the board", ["burning"]),
        ("no smoke, no soot", []),
        ("flame lifts, gas smell", ["gas", "flame"]),
        ("no gas smell, flame lifts", ["flame"]),
        ("no spillage", []),
        ("CO 4 ppm in the room", []),
        ("flue CO 80 ppm", []),
    ],
)
def test_what_a_sentence_means(typed: str, what: list[str]) -> None:
    found = sightings(typed)
    assert found, "passed over"
    assert [one.danger.what for one in found if one.danger is not None] == what


@pytest.mark.parametrize(
    "typed", ["house is nice", "coil cleaned in May", "flame steady and blue", "smoke number 1", "24 V on tap 3"]
)
def test_what_says_nothing_known_is_said_to(typed: str) -> None:
    assert sightings(typed) == ()


def test_figures_and_limits_are_read() -> None:
    (one,) = sightings("flue CO 480 ppm air-free, maker's limit 400 ppm")
    assert (one.value, one.limit, one.assumed) == (Fraction(480), Fraction(400), False)
    (one,) = sightings("flue CO 1,020 ppm")
    assert (one.value, one.assumed) == (Fraction(1020), True)


def test_every_row_has_a_sentence_and_a_step_and_can_be_typed_or_is_measured() -> None:
    assert set(FIRST) == set(STEPS) == set(DANGERS)
    for danger in DANGERS.values():
        assert FIRST[danger.what]
        assert STEPS[danger.what]
        for way in danger.typed:
            assert danger in [one.danger for one in sightings(" ".join(way))], way
    examples = known_words().split("; ")
    assert {"gas smell", "soot", "two taps energized", "flame moves", "iced coil", "limit trips"} <= set(examples)


def test_a_row_of_the_wrong_width_or_name_is_refused() -> None:
    with pytest.raises(ValueError, match="cells under"):
        read_dangers(LEVELS + "fire | DANGER\n", SEEN)
    with pytest.raises(ValueError, match="not among the levels: fire"):
        read_dangers(LEVELS, SEEN + "fire | flames\n")
