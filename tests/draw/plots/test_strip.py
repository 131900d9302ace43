"""Strips of airflow and bars of rise: where their signs stand, worked by hand."""

from __future__ import annotations

from selector.draw.parts.shapes import Box, Lettering
from selector.draw.plots.strip import RiseBar, Strip, Strips, range_of, said, strips_figure, strips_text

COOLING = Strip(name="cooling", was=994, now=1198, allowed=(900, 1350), target=1200, said=("994", "1,198"))
HIGH = Strip(name="fan", was=725, now=725, allowed=(None, 600), said=("725", "725"))
RISE = RiseBar(name="rise", plate=(35, 65), margin=5, was=67.8, now=56.3, said=("67.8", "56.3"))


def test_a_line_of_characters_has_its_signs_in_place() -> None:
    """600 to 1,400 over 41 cells, 20 cfm each: found 994 in cell 19.7 -> 20, left 1,198 in 29.9 -> 30, what is allowed
    from 15 to 37.5 -> 38 (halves to even: 37.5 -> 38), the target under the figure itself."""
    strips = Strips(unit="cfm", rows=(COOLING, Strip(name="low", now=600, said=("", "600")), Strip(name="x", now=1400)))
    assert range_of(strips.rows) == (600, 1400)
    lines = strips_text(strips, len("cooling ") + 41 + len(" 1,198"))
    assert lines[0] == "/ as found   # as left   [=] allowed   o target"
    cells = lines[1].removeprefix("cooling ")
    assert cells == "." * 15 + "[" + "=" * 4 + "/" + "=" * 9 + "#" + "=" * 7 + "]" + ".." + " 1,198"


def test_what_is_past_a_limit_is_marked_up_to_the_figure() -> None:
    lines = strips_text(Strips(unit="cfm", rows=(COOLING, HIGH)), 80)
    fan = next(line for line in lines if line.startswith("fan"))
    assert "]!" in fan
    assert "!#" in fan
    assert lines[0].endswith("! past a limit") or lines[1].endswith("! past a limit")


def test_a_bar_marks_plate_and_margin() -> None:
    lines = strips_text(Strips(unit="cfm", rows=(COOLING,), bars=(RISE,)), 80)
    bar = next(line for line in lines if line.startswith("rise"))
    assert bar.index("[") < bar.index("-=") < bar.index("#") < bar.index("]") < bar.index("/")
    assert bar.endswith("56.3")
    assert lines[-1].split() == ["35", "40", "60", "65"]


def test_every_width_holds() -> None:
    for columns in (30, 40, 60, 80, 120):
        lines = strips_text(Strips(unit="cfm", rows=(COOLING, HIGH), bars=(RISE,)), columns)
        assert max(map(len, lines)) <= columns


def test_the_figure_puts_a_broken_limit_in_reverse_and_says_it_in_words() -> None:
    strips = Strips(unit="cfm", rows=(COOLING, HIGH), bars=(RISE,))
    figure = strips_figure(strips, 360)
    words = [s for s in figure.shapes if isinstance(s, Lettering)]
    assert next(w for w in words if w.text == "725").tone == "paper"
    assert next(w for w in words if w.text == "1,198").tone == "ink"
    assert {"35", "40", "60", "65"} <= {w.text for w in words}
    assert all(s.x >= 0 and s.x + s.width <= 360.5 for s in figure.shapes if isinstance(s, Box))
    assert said(strips) == "cooling: 994 to 1,198. fan: 725. rise: 67.8 to 56.3"


def test_nothing_known_draws_nothing() -> None:
    assert strips_text(Strips(unit="cfm", rows=(Strip(name="fan"),)), 80) == []
