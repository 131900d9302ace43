"""Pages with airflow against static pressure: taps, dials, watts and speed beside."""

from __future__ import annotations

import random
from collections.abc import Sequence

from .figures import curve, ladder, near, noisy, sizes, texts
from .form import Page, Row
from .registry import structure

INCHES = (
    (0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7),
    (0.2, 0.3, 0.4, 0.5, 0.6),
    (0.1, 0.3, 0.5, 0.7, 0.9),
    (0.0, 0.1, 0.2, 0.3, 0.4, 0.5),
)


def tapped(page: Page, taps: Sequence[str], leads: Sequence[str]) -> str:
    """A motor with leads on taps, each lead delivered on a tap of its own; its name."""
    factory = page.rng.sample(list(taps), len(leads))
    page.selectors["M1"] = (
        f"{{kind: taps, positions: {' '.join(taps)}, leads: {' '.join(leads)}, factory: {' '.join(factory)}}}"
    )
    return "M1"


def lead_calls(page: Page, chart: str) -> None:
    """Calls for the leads Y1, W and G."""
    page.call("cooling", "Y1", chart, lead="Y1")
    page.call("heating", "W", chart, lead="W")
    page.call("fan", "G", chart, lead="G")


def family(
    rng: random.Random, frees: Sequence[float], statics: Sequence[float], reach: float, step: int, noise: float
) -> list[list[int]]:
    """A curve for each free airflow; slower taps fall a little sooner."""
    return [curve(rng, free, statics, reach * (0.82 + 0.18 * free / max(frees)), 1.35, step, noise) for free in frees]


def static_rows(
    rng: random.Random, words: Sequence[str], frees: Sequence[float], statics: Sequence[float],
    reach: float, step: int, noise: float,
) -> list[Row]:  # fmt: skip
    """Rows of airflow, one for each word."""
    return [Row([w], texts(c)) for w, c in zip(words, family(rng, frees, statics, reach, step, noise), strict=True)]


UNITS = "pressure: in. w.c."


@structure("curves")
def taps_inches(rng: random.Random) -> Page:
    """Five taps, five to seven statics, cfm."""
    page = Page(rng, "Air handler with a five-tap motor", units=UNITS, unit={"motor": "constant torque"})
    statics = rng.choice(INCHES)
    taps = list("12345")
    motor = tapped(page, taps, ["Y1", "W", "G"])
    frees = ladder(rng, rng.choice((650, 800, 950)), rng.choice((1350, 1700, 2150)), 5, 5, 0.01)
    rows = static_rows(rng, taps, frees, statics, max(statics) * 1.75, rng.choice((1, 5, 10)), 0.008)
    heads = [("static pressure", texts(statics))]
    lead_calls(page, page.chart("tap airflow", "airflow", rows, by=[motor], across=heads, conditions="dry coil"))
    return page


@structure("curves")
def taps_pascal(rng: random.Random) -> Page:
    """Taps in L/s against Pa, rounded to 5."""
    page = Page(rng, "Ducted indoor unit", airflow="L/s", units="pressure: Pa")
    statics = rng.choice(((0, 30, 60, 90, 120), (25, 50, 75, 100, 125, 150), (20, 40, 60, 80)))
    taps = list("ABCDE")[: rng.randrange(4, 6)]
    motor = tapped(page, taps, ["Y1", "W", "G"])
    frees = ladder(rng, 280, 640, len(taps), 5, 0.01)
    rows = static_rows(rng, taps, frees, statics, max(statics) * 1.7, 5, 0.006)
    heads = [("static pressure", texts(statics))]
    lead_calls(page, page.chart("tap airflow", "airflow", rows, by=[motor], across=heads, conditions="filter in"))
    return page


@structure("curves")
def taps_watts(rng: random.Random) -> Page:
    """Airflow and watts under each static."""
    page = Page(rng, "Furnace blower, airflow and power", units=UNITS, unit={"motor": "constant torque"})
    statics = rng.choice(INCHES[1:3])
    taps = list("12345")
    motor = tapped(page, taps, ["Y1", "W", "G"])
    frees = ladder(rng, 760, 1750, 5, 5, 0.01)
    flows = family(rng, frees, statics, max(statics) * 1.9, 5, 0.007)
    rows = []
    for tap, line, free in zip(taps, flows, frees, strict=True):
        base = 420 * (free / 1750) ** 2.6
        power = [near(noisy(rng, base * (1 + 0.16 * static), 0.012), 1) for static in statics]
        rows.append(Row([tap], [str(figure) for pair in zip(line, power, strict=True) for figure in pair]))
    heads = [("static pressure", texts(statics))]
    main = page.chart("tap airflow", "airflow, watts", rows, by=[motor], across=heads, conditions="filter in, wet coil")
    lead_calls(page, main)
    return page


@structure("curves")
def taps_models(rng: random.Random) -> Page:
    """Two or three models side by side, each against the same statics."""
    tons, names = sizes(rng, rng.randrange(2, 4))
    page = Page(rng, "Air handlers with tapped motors", models=names, units=UNITS)
    statics = rng.choice(INCHES[1:])[:5]
    taps = list("1234") if rng.random() < 0.5 else list("12345")
    motor = tapped(page, taps, ["Y1", "W", "G"])
    parts = ladder(rng, 620, 1000, len(taps), 1, 0.006)
    models = [family(rng, [p * size * 0.47 for p in parts], statics, 1.15, 5, 0.008) for size in tons]
    rows = [Row([tap], [str(f) for model in models for f in model[i]]) for i, tap in enumerate(taps)]
    heads = [("model", names), ("static pressure", texts(statics))]
    lead_calls(page, page.chart("tap airflow", "airflow", rows, by=[motor], across=heads))
    return page


@structure("curves")
def speeds_named(rng: random.Random) -> Page:
    """A fixed-speed motor, fastest lead first; slow speeds converge and leave off at high static."""
    page = Page(rng, "Furnace with a three-speed blower", units=UNITS, unit={"motor": "fixed speed"})
    statics = (0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8)[: rng.randrange(6, 9)]
    words = ["high", "medium", "low"] if rng.random() < 0.5 else ["black", "blue", "yellow", "red"]
    motor = tapped(page, words, ["Y1", "W", "G"])
    top = rng.choice((1320, 1580, 1850))
    rows = []
    for place, word in enumerate(words):
        line = texts(curve(rng, top * (0.86**place), statics, 1.12 - 0.07 * place, 1.6, 5, 0.006))
        gone = max(0, place - 1)
        rows.append(Row([word], line[: len(line) - gone] + ["-"] * gone))
    heads = [("static pressure", texts(statics))]
    lead_calls(page, page.chart("speed airflow", "airflow", rows, by=[motor], across=heads, conditions="filter in"))
    return page


@structure("curves")
def dial_pascal(rng: random.Random) -> Page:
    """A dial in m3/h against Pa; the top settings end early."""
    page = Page(rng, "Heat pump indoor unit", airflow="m3/h", units="pressure: Pa", unit={"holds up to": "200"})
    statics = (50, 100, 150, 200)
    words = list("ABCDEFGH")
    frees = ladder(rng, 900, 2300, 8, 10, 0.008)
    lines = [texts(line) for line in family(rng, frees, statics, 380, 10, 0.005)]
    lines[6] = [*lines[6][:3], "-"]
    lines[7] = [*lines[7][:2], "-", "-"]
    rows = [Row([word], line) for word, line in zip(words, lines, strict=True)]
    heads = [("static pressure", texts(statics))]
    dial = page.dial(words, "C")
    main = page.chart("dial airflow", "airflow", rows, by=[dial], across=heads)
    page.call("cooling", "Y1", f"[{main}]")
    page.call("fan", "G", "[call cooling, share: 55 %]")
    return page


@structure("curves")
def flat_curves(rng: random.Random) -> Page:
    """A constant-airflow motor: nearly level lines that give way at the last static."""
    page = Page(rng, "Constant-airflow furnace", units=UNITS, unit={"motor": "constant airflow"})
    statics = rng.choice(((0.1, 0.3, 0.5, 0.7, 0.9), (0.2, 0.4, 0.6, 0.8, 1.0)))
    words = [str(number) for number in range(1, 8)]
    nominal = ladder(rng, 700, 1900, 7, 25, 0.004)
    rows = []
    for word, flow in zip(words, nominal, strict=True):
        last = rng.uniform(0.9, 0.95) if flow > 1300 else rng.uniform(0.96, 0.985)
        parts = [1.0, rng.uniform(0.995, 1.012), rng.uniform(0.99, 1.008), rng.uniform(0.98, 1.0), last]
        rows.append(Row([word], [str(near(flow * part, 5)) for part in parts]))
    heads = [("static pressure", texts(statics))]
    main = page.chart("cooling airflow", "airflow", rows, by=[page.dial(words)], across=heads)
    page.call("cooling", "Y1", f"[{main}]", off_delay="60 s")
    page.call("fan", "G", "[call cooling, share: 50 %, at least: 350]")
    return page


@structure("curves")
def uneven_statics(rng: random.Random) -> Page:
    """Statics not evenly spaced; the chart is cut off at two corners."""
    page = Page(rng, "Belt-free rooftop blower", units=UNITS, unit={"motor": "constant torque"})
    statics = (0.1, 0.2, 0.3, 0.5, 0.75, 1.0)
    taps = list("12345")
    motor = tapped(page, taps, ["Y1", "W", "G"])
    frees = ladder(rng, 900, 2100, 5, 5, 0.01)
    lines = [texts(line) for line in family(rng, frees, statics, 1.75, rng.choice((1, 5)), 0.008)]
    lines[0] = [*lines[0][:4], "-", "-"]
    lines[1] = [*lines[1][:5], "-"]
    lines[4] = ["-", *lines[4][1:]]
    rows = [Row([tap], line) for tap, line in zip(taps, lines, strict=True)]
    heads = [("static pressure", texts(statics))]
    lead_calls(page, page.chart("tap airflow", "airflow", rows, by=[motor], across=heads, conditions="dry coil"))
    return page


@structure("curves")
def taps_speed(rng: random.Random) -> Page:
    """Airflow and speed (rpm) under each static: one falls, the other rises."""
    page = Page(rng, "Air handler, airflow and speed", units=UNITS, unit={"motor": "constant torque"})
    statics = rng.choice(((0.1, 0.3, 0.5, 0.7), (0.2, 0.4, 0.6)))
    taps = list("12345")
    motor = tapped(page, taps, ["Y1", "W", "G"])
    frees = ladder(rng, 700, 1600, 5, 5, 0.01)
    flows = family(rng, frees, statics, 1.3, 10, 0.007)
    rows = []
    for tap, line, free in zip(taps, flows, frees, strict=True):
        turns = [near(noisy(rng, 300 + 0.42 * free + 330 * static, 0.006), 1) for static in statics]
        rows.append(Row([tap], [str(figure) for pair in zip(line, turns, strict=True) for figure in pair]))
    heads = [("static pressure", texts(statics))]
    lead_calls(page, page.chart("tap airflow", "airflow, speed", rows, by=[motor], across=heads))
    return page


@structure("curves")
def settings_static(rng: random.Random) -> Page:
    """A long chart: twelve settings of a menu entry against six statics."""
    page = Page(rng, "Air handler set at the thermostat", units=UNITS)
    statics = (0.1, 0.2, 0.3, 0.4, 0.5, 0.6)
    words = [str(number) for number in range(1, 13)]
    frees = ladder(rng, 520, 1720, 12, 5, 0.004)
    rows = static_rows(rng, words, frees, statics, 1.4, rng.choice((1, 5)), 0.006)
    menu = page.selector("N", "menu", words, "6")
    main = page.chart("menu airflow", "airflow", rows, by=[menu], across=[("static pressure", texts(statics))])
    page.call("cooling", "Y1", f"[{main}]", off_delay="30 s")
    page.call("fan", "G", "[call cooling, share: 45 %]")
    return page
