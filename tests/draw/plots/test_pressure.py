"""The static of a call part by part as a bar: what its text and its figure say is what was put in."""

from __future__ import annotations

from itertools import pairwise

from selector.draw.parts.shapes import Box, Lettering
from selector.draw.plots.pressure import PressureBar, PressurePart, pressure_figure, pressure_text

PARTS = (
    PressurePart(name="return duct and grille", drop=0.08, said="0.08", side="return"),
    PressurePart(name="filter", drop=0.18, said="0.18", side="return"),
    PressurePart(name="coil", drop=0.22, said="0.22", side="supply"),
    PressurePart(name="supply duct and registers", drop=0.14, said="0.14", side="supply"),
)
BAR = PressureBar(title="Static part by part", unit="in. w.c.", parts=PARTS, total=(0.62, "0.62"), plate=(0.5, "0.50"))


def test_each_part_begins_where_the_one_before_ends() -> None:
    """0.08 + 0.18 + 0.22 + 0.14 = 0.62; the plate's 0.50 is 0.12 short of it, about a fifth of the line."""
    lines = pressure_text(BAR, columns=80)
    bars = [line for line in lines if "#" in line]
    assert [line.split("  ")[0] for line in bars] == [part.name for part in PARTS]
    for one, following in pairwise(bars):
        assert one.rindex("#") + 1 == following.index("#")
    whole = next(line for line in lines if line.startswith("external static"))
    assert 0.17 < whole.count("!") / (whole.count("!") + whole.count("=")) < 0.22
    assert max(map(len, lines)) <= 80


def test_what_lies_past_the_plate_is_inked_and_the_larger_side_is_bold() -> None:
    """Return side 0.26, supply side 0.36: the supply side's words are bold."""
    figure = pressure_figure(BAR, 360)
    words = {s.text: s for s in figure.shapes if isinstance(s, Lettering)}
    assert words["external static 0.62"].tone == "paper"
    assert words["0.22  coil"].bold
    assert not words["0.18  filter"].bold
    past = [s for s in figure.shapes if isinstance(s, Box) and s.solid and s.height == 9]
    assert len(past) == 1
    assert abs(past[0].width / (360 - 22) - 0.12 / 0.62) < 0.01


def test_a_bar_inside_the_plate_breaks_nothing() -> None:
    bar = PressureBar(title="Static", unit="Pa", parts=PARTS[:2], total=(0.26, "0.26"), plate=(0.5, "0.50"))
    assert not any("!" in line for line in pressure_text(bar, columns=40))
    assert max(map(len, pressure_text(bar, columns=40))) <= 40
