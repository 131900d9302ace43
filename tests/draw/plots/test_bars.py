"""Bars of counts and histograms: every count is shown, lengths in proportion."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from selector.draw.parts.shapes import Box, Lettering
from selector.draw.plots.bars import (
    BarsPlot,
    HistogramPlot,
    bars_figure,
    bars_text,
    histogram_figure,
    histogram_text,
    parted,
)

BARS = BarsPlot(
    title="Verdicts by table",
    sorts=("danger", "wrong", "depends", "OK", "no verdict"),
    rows=(("corvane-k14", (1, 4, 0, 10, 5)), ("one", (0, 0, 0, 10, 0))),
)
STEPS = HistogramPlot(
    title="Per ton",
    x_name="cfm/ton",
    bins=((275.0, 1), (300.0, 4), (425.0, 2), (450.0, 0)),
    step=25.0,
    window=(300, 450),
)


@given(st.lists(st.integers(0, 10**7), min_size=1, max_size=6), st.integers(6, 80))
def test_parts_fill_the_room_and_none_is_lost(counts: list[int], room: int) -> None:
    out = parted(counts, room)
    if not any(counts):
        assert not any(out)
        return
    assert sum(out) == room
    assert [n > 0 for n in out] == [n > 0 for n in counts]
    for count, n in zip(counts, out, strict=True):
        assert abs(n - count * room / sum(counts)) < len(counts)


def test_bars_in_text() -> None:
    """20 and 10 records: the second bar is half as long; 20 x 1/20, 4/20, 10/20, 5/20 of it."""
    lines = bars_text(BARS, columns=37)
    assert lines[1] == "corvane-k14  20  #////==========....."
    assert lines[2] == "one          10  =========="
    assert lines[3].split() == ["#", "danger", "/", "wrong", "?", "depends", "=", "OK", "."]


def test_steps_in_text() -> None:
    lines = histogram_text(STEPS, columns=40)
    assert [line.split("  ")[0].rstrip() for line in lines[2:]] == [
        "275 to 300",
        "300 to 325 |",
        "425 to 450 |",
        "450 to 475",
    ]
    assert [line.count("#") for line in lines[2:]] == [5, 23, 11, 0]


def test_figures_say_every_count() -> None:
    drawn = bars_figure(BARS)
    words = [s.text for s in drawn.shapes if isinstance(s, Lettering)]
    assert {"corvane-k14", "20", "10", "danger", "no verdict"} <= set(words)
    assert "corvane-k14: 1 danger, 4 wrong, 10 OK, 5 no verdict" in drawn.said
    assert all(s.x >= 0 and s.x + s.width <= 360 for s in drawn.shapes if isinstance(s, Box))


def test_the_window_is_a_band_with_its_ends() -> None:
    drawn = histogram_figure(STEPS)
    words = [s.text for s in drawn.shapes if isinstance(s, Lettering)]
    assert {"300", "450", "cfm/ton"} <= set(words)
    bars = [s for s in drawn.shapes if isinstance(s, Box) and s.tone == "ink"]
    heights = [round(b.height, 3) for b in bars]
    assert heights == [22.5, 90, 45]
