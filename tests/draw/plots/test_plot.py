"""Plots, read back: what their lines and words say is what was put in, and what the pages print."""

from __future__ import annotations

from itertools import pairwise
from random import Random
from xml.etree import ElementTree

import numpy as np
import pytest

from selector.draw.parts.svg import figure_svg
from selector.draw.plots.duct import duct_plot, on_one_scale
from selector.draw.plots.plots import Shown, plot_as_figure, plots_text
from selector.draw.plots.ramp import average, ramp_plot, seconds_below, stretches
from selector.draw.plots.rise import inside, judgement, rise_plot
from selector.draw.plots.rows import ReachPlot
from selector.draw.plots.scale import shown, stretched, ticks

SVG = "{http://www.w3.org/2000/svg}"
STATIC = (25, 75, 125, 175, 225)
WICKERBY = {
    "1": (305, 270, 230, 185, 135),
    "2": (375, 345, 310, 270, 225),
    "3": (450, 425, 395, 360, 315),
    "4": (530, 510, 480, 445, 405),
    "5": (615, 595, 565, 530, 470),
}
CURVES = {name: tuple(zip(STATIC, values, strict=True)) for name, values in WICKERBY.items()}


def xy(element: ElementTree.Element) -> tuple[float, float]:
    """Where a text stands."""
    return float(element.attrib["x"]), float(element.attrib["y"])


def svg(plot: Shown) -> str:
    """A plot as SVG."""
    return figure_svg(plot_as_figure(plot))


class Read:
    """A plot's SVG, read by its scale: places of tick labels give back values."""

    def __init__(self, plot: Shown) -> None:
        self.root = ElementTree.fromstring(svg(plot))
        self.texts = [
            (e.text or "", *xy(e), e.attrib.get("text-anchor", "start")) for e in self.root.iter(f"{SVG}text")
        ]
        numbers = [
            (t, x, y, a) for t, x, y, a in self.texts if t.replace(",", "").replace(".", "").lstrip("-").isdecimal()
        ]
        bottom = max(y for _, _, y, a in numbers if a == "middle")
        self.across = [(x, float(t.replace(",", ""))) for t, x, y, a in numbers if a == "middle" and y == bottom]
        self.along = [(y, float(t.replace(",", ""))) for t, _, y, a in numbers if a == "end"]

    def x(self, x: float) -> float:
        """The value at a place from the left; the first two labels that aren't pushed in from the edge give the
        scale."""
        (x1, v1), (x2, v2) = self.across[0], self.across[1]
        return v1 + (x - x1) * (v2 - v1) / (x2 - x1)

    def y(self, y: float) -> float:
        """The value at a height."""
        (y1, v1), (y2, v2) = self.along[0], self.along[-1]
        return v1 + (y - (y1 - 3.6)) * (v2 - v1) / (y2 - y1)

    def lines(self) -> list[list[tuple[float, float]]]:
        """Every line's points as values."""
        return [
            [(self.x(float(a)), self.y(float(b))) for a, b in (p.split(",") for p in e.attrib["points"].split())]
            for e in self.root.iter(f"{SVG}polyline")
        ]


def near(line: list[tuple[float, float]], wanted: list[tuple[float, float]], x_off: float, y_off: float) -> bool:
    """The same points, as far as a drawing tells."""
    return len(line) == len(wanted) and all(
        abs(a - c) <= x_off and abs(b - d) <= y_off for (a, b), (c, d) in zip(line, wanted, strict=True)
    )


def test_taps_and_ducts_cross_where_the_page_says() -> None:
    """Wickerby page, question 5: 100 Pa measured with tap 4 running (495 L/s). By hand: where 100 (q / 495)^2 meets the
    line between two printed figures: 297.26, 358.52, 425.55, 562.2."""
    text = "\n".join(plots_text([duct_plot(CURVES, (100, 495), airflow_unit="L/s", pressure_unit="Pa")]))
    for line in (
        "1: 297 L/s at 36.1 Pa",
        "2: 359 L/s at 52.5 Pa",
        "3: 426 L/s at 73.9 Pa",
        "5: 562 L/s at 129 Pa",
    ):
        assert line in text


def test_what_is_reached_lies_under_the_crossings() -> None:
    """On one scale: the airflows are those of the ducts, and the signs of both stand in one column."""
    plot = duct_plot(CURVES, (100, 495), 200, airflow_unit="L/s", pressure_unit="Pa")
    reach = ReachPlot(title="Airflow", unit="L/s", airflows=(250, 328, 410, 495, 580), target=(472, 472), chosen=495)
    joined = on_one_scale(plot, reach)
    assert joined.under is not None
    assert [round(q) for q in joined.under.airflows] == [297, 359, 426, 495, 562]
    lines = plots_text([joined], columns=80)
    row = next(line for line in lines if line.startswith("reachable"))
    columns = {i for i, sign in enumerate(row) if sign == "|"}
    spots = {i for line in lines[2:16] for i, sign in enumerate(line) if sign in "o@" and i > 12}
    assert len(columns) == 5
    assert columns <= spots
    assert "5 airflows, 297 to 562 L/s" in lines
    assert "chosen 495 L/s, 4.9 % high" in lines


def test_charted_curves_are_drawn_through_the_printed_figures() -> None:
    read = Read(duct_plot(CURVES, (100, 495), 200, airflow_unit="L/s", pressure_unit="Pa"))
    for values in WICKERBY.values():
        wanted = [(float(q), float(p)) for p, q in zip(STATIC, values, strict=True)]
        assert any(near(line, wanted, 2, 1) for line in read.lines())


def test_the_duct_curve_goes_with_airflow_squared() -> None:
    read = Read(duct_plot(CURVES, (100, 495), airflow_unit="L/s", pressure_unit="Pa"))
    ducts = max(read.lines(), key=len)
    for q, p in ducts:
        assert p == pytest.approx(100 * (q / 495) ** 2, abs=2)


def test_a_curve_is_cut_at_a_blank_and_not_crossed_there() -> None:
    plot = duct_plot(
        {"1": ((25, 305), (75, None), (125, 230), (175, 185))}, (60, 280), airflow_unit="L/s", pressure_unit="Pa"
    )
    assert [c.points for c in plot.curves[:2]] == [((305, 25), (305, 25)), ((230, 125), (185, 175))]
    assert "1: not within the printed figures" in plot.notes


STEPS = ((60, 45), (240, 78), (0, 100))


def test_a_ramp_by_hand() -> None:
    """1,200 cfm: 60 s at 540, 240 s at 936, 300 s at 1,200: 617,040 / 600 = 1,028.4; below 1,050 for the first 300
    s."""
    found = stretches(STEPS, 1200, 600)
    assert [(a, b) for a, b, _ in found] == [(0, 60), (60, 300), (300, 600)]
    assert [q for _, _, q in found] == pytest.approx([540, 936, 1200])
    assert average(found) == pytest.approx(1028.4)
    assert seconds_below(found, 1050) == 300
    text = "\n".join(plots_text([ramp_plot(STEPS, 1200, 600, 1050, ((90, 40),))]))
    assert "average over 600 s: 1,028 cfm, 85.7 % of 1,200" in text
    assert "300 s below the floor of 1,050 cfm" in text
    assert "runs on 90 s after the call" in text


def test_two_starts_are_laid_over_each_other() -> None:
    """As found at once with 900, as left by the ramp: both on one scale, the average of both in words."""
    plot = ramp_plot(STEPS, 1200, 600, before=(((0, 100),), 900))
    assert [(c.name, c.dashed, c.points[0]) for c in plot.curves] == [
        ("as found", True, (0, 900)),
        ("as left", False, (0, 540)),
    ]
    assert "as found: 900 cfm over the same 600 s (dotted)" in plot.notes


def test_a_call_shorter_than_its_ramp_ends_inside_it() -> None:
    """90 s: 60 s at 540 and 30 s at 936, 60,480 / 90 = 672."""
    assert average(stretches(STEPS, 1200, 90)) == pytest.approx(672)
    assert seconds_below(stretches(STEPS, 1200, 90), 600) == 60


def test_the_ramp_is_drawn_in_steps() -> None:
    read = Read(ramp_plot(STEPS, 1200, 600, 1050, ((90, 40),)))
    wanted = [(0, 540), (60, 540), (60, 936), (300, 936), (300, 1200), (600, 1200), (600, 480), (690, 480)]
    assert any(near(line, [(float(a), float(b)) for a, b in wanted], 2, 4) for line in read.lines())


def test_rise_by_hand() -> None:
    """Corvane page, question 2: 76,000 / (1.08 x 1,250.8) = 56.3 F, plate 35 to 65."""
    text = "\n".join(plots_text([rise_plot(76_000, (900, 2000), (35, 65), 1250.8)]))
    assert "1,251 cfm: 76,000 / (1.08 x 1,250.8) = 56.3 F" in text.replace("\n  ", " ")
    assert "plate 35 to 65 F, margin 5 F" in text


def test_the_rise_curve_falls_as_airflow_rises() -> None:
    read = Read(rise_plot(76_000, (900, 2000), (35, 65), 1250.8))
    curve = max(read.lines(), key=len)
    for q, rise in curve:
        assert rise == pytest.approx(76_000 / (1.08 * q), abs=0.5)
    heights = {
        round(line[0][1], 1)
        for line in read.lines()
        if len(line) == 2 and abs(line[0][1] - line[1][1]) < 0.01 and line[1][0] - line[0][0] > 1000
    }
    assert {35, 40, 60, 65} <= {round(h) for h in heights}


@pytest.mark.parametrize(
    ("rise", "words"),
    [
        (34.9, "outside the plate's window"),
        (37, "inside the plate's window, nearer to its end than the margin"),
        (40, "inside the plate's window"),
        (60, "inside the plate's window"),
        (62, "inside the plate's window, nearer to its end than the margin"),
        (66, "outside the plate's window"),
    ],
)
def test_where_a_rise_lies(rise: float, words: str) -> None:
    assert judgement(rise, (35, 65)) == words


def test_a_window_narrower_than_ten_degrees_has_a_middle() -> None:
    """Common practice, no source: at least 5 F inside both ends; a window narrower than 10 F: its middle."""
    assert inside((35, 65)) == (40, 60)
    assert inside((40, 48)) == (44, 44)


REACH = (720, 860, 990, 1130, 1197.8, 1380, 1520)


def test_reachable_airflows_stand_where_the_scale_says() -> None:
    asked = ReachPlot(
        title="Airflow",
        unit="cfm",
        airflows=REACH,
        target=(1200, 1200),
        window=(1050, 1350),
        chosen=1197.8,
        measured=(1080, 1160, 1240),
    )
    lines = plots_text([asked], columns=72)
    cells = {line[:10].strip(): line[10:] for line in lines}
    scale, labels = lines[6], lines[7]
    places = [i for i, c in enumerate(scale) if c == "+"]
    values = [float(t.replace(",", "")) for t in labels.split()]
    for name, sign, wanted in (
        ("target", "o", 1200),
        ("chosen", "#", 1197.8),
        ("window", "[", 1050),
        ("window", "]", 1350),
        ("measured", "@", 1160),
    ):
        column = cells[name].index(sign) + 10
        assert np.interp(column, places, values) == pytest.approx(wanted, abs=12)
    strokes = [i + 10 for i, c in enumerate(cells["reachable"]) if c == "|"]
    assert np.interp(strokes, places, values) == pytest.approx(REACH, abs=12)
    assert "chosen 1,198 cfm, 0.2 % low" in lines
    assert "window 1,050 to 1,350 cfm: 2 of the airflows lie in it" in lines


def test_reachable_airflows_are_strokes_in_the_drawing() -> None:
    asked = ReachPlot(
        title="Airflow", unit="cfm", airflows=REACH, target=(1200, 1200), window=(1050, None), chosen=1197.8
    )
    root = ElementTree.fromstring(svg(asked))
    strokes = [e.attrib["points"] for e in root.iter(f"{SVG}polyline")]
    upright = [
        s
        for s in strokes
        if len({p.split(",")[0] for p in s.split()}) == 1
        and abs(np.ptp([float(p.split(",")[1]) for p in s.split()]) - 16) < 0.01
    ]
    assert len(upright) == len(REACH)
    assert "window from 1,050 cfm: 4 of the airflows lie in it" in root.attrib["aria-label"]


def test_nothing_reachable_is_said() -> None:
    assert "no airflow can be reached" in plots_text(
        [ReachPlot(title="Airflow", unit="cfm", airflows=(), target=(1200, 1200))]
    )


def test_a_delay_is_no_running_below_the_floor() -> None:
    """30 s standing, 60 s at 540, then 1,200 to 600 s: (60 x 540 + 510 x 1,200) / 600 = 1,074; 60 s below 1,050."""
    plot = ramp_plot([(30, 0), *STEPS[:1], (0, 100)], 1200, 600, 1050)
    assert plot.notes == (
        "average over 600 s: 1,074 cfm, 89.5 % of 1,200",
        "60 s below the floor of 1,050 cfm (the bar along the seconds)",
    )
    assert [(s.low, s.high) for s in plot.spans] == [(30, 90)]


def test_a_range_aimed_at_and_a_window_that_nothing_meets_are_said() -> None:
    asked = ReachPlot(
        title="Airflow", unit="cfm", airflows=REACH, target=(1100, 1300), window=(1300, 1200), chosen=1380
    )
    assert asked.notes[1:] == (
        "target 1,100 to 1,300 cfm",
        "window: at least 1,300, at most 1,200 cfm, and no airflow is both",
        "chosen 1,380 cfm, 6.2 % high",
    )
    assert not any("[" in line for line in plots_text([asked]))


@pytest.mark.parametrize("columns", [40, 60, 80])
@pytest.mark.parametrize("wide", [False, True])
def test_plots_fit_their_columns(columns: int, wide: bool) -> None:
    plots = (
        ReachPlot(
            title="Airflow in cooling second",
            unit="cfm",
            airflows=REACH,
            target=(1200, 1250),
            window=(None, 1350),
            chosen=1197.8,
        ),
        duct_plot(CURVES, (100, 495), 200, airflow_unit="L/s", pressure_unit="Pa"),
        ramp_plot(STEPS, 1200, 600, 1050),
        rise_plot(76_000, (900, 2000), (35, 65), 1250.8),
    )
    for plot in plots:
        lines = plots_text([plot], columns=columns, wide=wide)
        assert max(map(len, lines)) <= columns
        assert wide or all(line.isascii() for line in lines)


def test_round_steps_cover_any_range() -> None:
    random = Random(9)
    for _ in range(500):
        values = [random.uniform(0.01, 5000) * random.choice((0.001, 1, 100)) for _ in range(random.randint(1, 5))]
        low, high = stretched(values)
        assert low <= min(values) * (1 + 1e-9)
        assert high >= max(values) * (1 - 1e-9)
        found = ticks(low, high, 5)
        assert 1 <= len(found) <= 6
        assert all(b > a for a, b in pairwise(found))


def test_shown_numbers_round_halves_away_from_zero() -> None:
    assert [shown(v) for v in (1197.8, 1028.35, 0.125, -0.125, 1000000.0, 56.25, 9.999, 0)] == [
        "1,197.8",
        "1,028.4",
        "0.13",
        "-0.13",
        "1,000,000",
        "56.3",
        "10",
        "0",
    ]


def test_a_level_under_a_curve_keeps_its_name() -> None:
    lines = plots_text([ramp_plot([(0, 100)], 1215, 900, 895.7)], columns=40)
    assert any("average 1,215" in line for line in lines[:10])
    assert not any("no room" in line for line in lines)
