"""Pages of one unit: rows in different orders, stages, reserved rows, very short and very long charts."""

from __future__ import annotations

import random

from .figures import combos, ladder, near, noisy, texts
from .form import Page, Row
from .parts import COOLING, HEATING, cooling_call, delay, fan, marks, trim
from .registry import structure


@structure("orders")
def default_first(rng: random.Random) -> Page:
    """One column, the delivered row first, the others rising."""
    page = Page(rng, "Single-stage furnace")
    figures = ladder(rng, rng.choice((550, 640, 720)), rng.choice((1250, 1600, 1980)), 8, 10, 0.006)
    first = figures.pop(5)
    rows = [Row(turn, [str(figure)]) for turn, figure in zip(combos(3), [first, *figures], strict=True)]
    main = page.chart(rng.choice(COOLING), "airflow", rows, by=page.switches(3))
    extra = trim(page)
    more = {"off_delay": delay(page, "blower after cooling")}
    page.call("cooling", "Y1", f"[{main}, {extra}]", **more)
    fan(page, "cooling")
    return page


@structure("orders")
def high_stage_first(rng: random.Random) -> Page:
    """Stages printed high first."""
    page = Page(rng, "Two-stage heat pump air handler")
    tops = ladder(rng, 780, 1900, 8, 5, 0.006)
    share = rng.uniform(0.68, 0.76)
    rows = [
        Row(turn, [str(top), str(near(noisy(rng, share * top, 0.012), 5))])
        for turn, top in zip(combos(3), reversed(tops), strict=True)
    ]
    heads = [("stage", ["second", "first"])]
    main = page.chart(rng.choice(COOLING), "airflow", rows, by=page.switches(3), across=heads)
    page.call("cooling", "{first: Y1 O, second: Y1 Y2 O}", f"[{main}]", stages="first second")
    page.call("heat pump", "{first: Y1, second: Y1 Y2}", f"[{main}, {trim(page)}]", stages="first second")
    fan(page, "cooling second")
    return page


@structure("orders")
def any_order(rng: random.Random) -> Page:
    """One column in no order at all: sixteen measured figures."""
    page = Page(rng, "Air handler, four switches")
    figures = ladder(rng, 500, 1950, 15, 5, 0.006)
    rng.shuffle(figures)
    rows = [Row(turn, [str(figure)]) for turn, figure in zip(combos(4), figures, strict=False)]
    rows.append(Row(combos(4)[15], "reserved"))
    main = page.chart(rng.choice(COOLING), "airflow", rows, by=page.switches(4))
    fan(page, cooling_call(page, main, "", low=rng.choice((0, 70))))
    return page


@structure("orders")
def three_stages(rng: random.Random) -> Page:
    """Three compressor stages as columns."""
    page = Page(rng, "Packaged unit with three cooling stages")
    tops = ladder(rng, 1300, 2600, 5, 10, 0.006)
    a, b = rng.uniform(0.48, 0.55), rng.uniform(0.72, 0.8)
    words = marks(rng, 5)
    rows = [
        Row([word], [str(near(noisy(rng, a * top, 0.01), 10)), str(near(noisy(rng, b * top, 0.01), 10)), str(top)])
        for word, top in zip(words, tops, strict=True)
    ]
    heads = [("stage", ["low", "mid", "high"])]
    main = page.chart(rng.choice(COOLING), "airflow", rows, by=[page.dial(words)], across=heads)
    page.call("cooling", "{low: Y1, mid: Y1 Y2, high: Y1 Y2 Y3}", f"[{main}, {trim(page)}]", stages="low mid high")
    fan(page, "cooling low")
    return page


@structure("orders")
def two_rows(rng: random.Random) -> Page:
    """Short charts: one switch, two rows, three models."""
    names = rng.choice((["S", "M", "L"], ["024", "036", "048"]))
    page = Page(rng, "Wall furnace with ducts", models=names)
    tops = ladder(rng, 700, 1700, 3, 10, 0.01)
    less = rng.uniform(0.82, 0.9)
    for kind, words, letter in (("cooling", COOLING, "Y1"), ("heating", HEATING, "W1")):
        scale = 1.0 if kind == "cooling" else rng.uniform(0.86, 0.94)
        lines = [[near(noisy(rng, scale * part * top, 0.01), 10) for top in tops] for part in (1, less)]
        rows = [Row([turn], texts(line)) for turn, line in zip("01", lines, strict=True)]
        chart = page.chart(rng.choice(words), "airflow", rows, by=page.switches(1), across=[("model", names)])
        page.call(kind, letter, f"[{chart}]", off_delay="90 s")
    fan(page, "cooling")
    return page


@structure("orders")
def one_row(rng: random.Random) -> Page:
    """Fixed airflow by model and stage: charts of one row, only the trim is set."""
    names = ["18", "24", "30", "36", "48", "60"][: rng.randrange(4, 7)]
    page = Page(rng, "Air handler with fixed airflow", models=names)
    tops = [near(noisy(rng, int(name) * rng.choice((32.5, 33.3)), 0.012), 10) for name in names]
    share = rng.uniform(0.67, 0.75)
    cells = [str(figure) for top in tops for figure in (near(noisy(rng, share * top, 0.012), 10), top)]
    heads = [("model", names), ("stage", ["low", "high"])]
    main = page.chart(rng.choice(COOLING), "airflow", [Row([], cells)], across=heads)
    least = [str(near(noisy(rng, top * 0.6, 0.01), 25)) for top in tops]
    floor = page.chart("least while dehumidifying", "least airflow", [Row([], least)], across=[("model", names)])
    page.call("cooling", "{low: Y1, high: Y1 Y2}", f"[{main}, {trim(page)}]", stages="low high")
    page.call("dehumidify", "Y1 Y2 DH", f"[call cooling high, share: 80 %, at least: {floor}]")
    fan(page, "cooling high")
    return page


@structure("orders")
def any_position_rows(rng: random.Random) -> Page:
    """Don't-care, `as` and reserved rows between the figures."""
    names = rng.sample(["030", "036", "042", "048", "060"], 3)
    names.sort()
    page = Page(rng, "Rooftop unit with gas heat", models=names)
    tops = [int(name) * 36 for name in names]
    parts = ladder(rng, 660, 1000, 6, 1, 0.004)
    order = [4, 2, 3, 1, 0, 5]
    lines = [[str(near(noisy(rng, parts[i] * top / 1000, 0.008), 5)) for top in tops] for i in order]
    turns = [("0", "0", "0"), ("1", "0", "0"), ("0", "1", "0"), ("1", "1", "0"), ("0", "0", "1"), ("1", "0", "1")]
    rows = [Row(turn, line) for turn, line in zip(turns, lines, strict=True)]
    rows = [Row(("-", "0", "1"), lines[5], "large filter only"), *rows[:4]] if rng.random() < 0.5 else rows
    rows = rows if rows[0].positions[0] != "-" else [*rows[1:], rows[0]]
    if page.style == "run":
        page.style = "words"
    back = "as OFF OFF OFF" if page.style == "words" else "as 0 0 0"
    rows += [Row(("0", "1", "1"), "reserved"), Row(("1", "1", "1"), back)]
    main = page.chart(rng.choice(COOLING), "airflow", rows, by=page.switches(3), across=[("model", names)])
    fan(page, cooling_call(page, main, trim(page)))
    return page


@structure("orders")
def six_switches(rng: random.Random) -> Page:
    """A long chart: six switches, forty-eight rows, the rest reserved."""
    page = Page(rng, "Air handler with a long chart")
    figures = ladder(rng, 420, 2000, 48, 5, 0.0)
    style = rng.randrange(3)
    if style == 0:
        figures.reverse()
    elif style == 1:
        figures = [figure for block in range(6) for figure in figures[block::6]]
    turns = combos(6, first_fast=rng.random() < 0.5)
    kept = [turn for turn in turns if turn[:2] != ("1", "1")]
    rows = [Row(turn, [str(figure)]) for turn, figure in zip(kept, figures, strict=True)]
    rows.append(Row(("1", "1", "-", "-", "-", "-"), "reserved"))
    main = page.chart(rng.choice(COOLING), "airflow", rows, by=page.switches(6))
    fan(page, cooling_call(page, main, "", low=rng.choice((0, 67))))
    return page


@structure("orders")
def fallback_rows(rng: random.Random) -> Page:
    """A missing jumper falls back to a printed row; some marks behave as others."""
    page = Page(rng, "Heat pump air handler with jumpers")
    figures = ladder(rng, 600, 1650, 6, 10, 0.008)
    words = list("ABCDEFGH")
    rows = [Row([word], [str(figure)]) for word, figure in zip(words, figures, strict=False)]
    rows += [Row(["G"], "as D"), Row(["H"], "as C"), Row(["off pins"], "as C")]
    main = page.chart(rng.choice(COOLING), "airflow", rows, by=[page.jumper(words, "C")])
    rows = [Row(["1"], ["none"]), Row(["2"], ["+7 %"]), Row(["3"], ["-9 %"]), Row(["off pins"], ["-14 %"])]
    change = page.chart("jumper trim", "trim", rows, by=[page.jumper(["1", "2", "3"], "1")])
    fan(page, cooling_call(page, main, change))
    return page


@structure("orders")
def two_ducts(rng: random.Random) -> Page:
    """A switch chooses between two charts, the second a few percent lower."""
    names = ["24", "36", "48"]
    page = Page(rng, "Packaged unit, short or long ducts", models=names)
    tops = [noisy(rng, int(name) * 37, 0.02) for name in names]
    chooser = page.switches(1)[0]
    by = page.switches(2)
    parts = [0.9, 0.78, 1.0, 0.7]
    less = rng.uniform(0.91, 0.96)
    for name, scale in (("short ducts", 1.0), ("long ducts", less)):
        lines = [[near(noisy(rng, scale * part * top, 0.008), 5) for top in tops] for part in parts]
        rows = [Row(turn, texts(line)) for turn, line in zip(combos(2), lines, strict=True)]
        page.chart(name, "airflow", rows, by=by, across=[("model", names)])
    steps = [f"{{use: {name}, when: {{{chooser}: {w}}}}}" for name, w in (("short ducts", "off"), ("long ducts", "on"))]
    page.call("cooling", "Y1", f"[{', '.join(steps)}]", off_delay="60 s")
    fan(page, "cooling")
    return page


@structure("orders")
def pump_beside_cooling(rng: random.Random) -> Page:
    """Cooling and heat pump charts of the same settings, the second higher by a few percent, row by row uneven."""
    page = Page(rng, "Heat pump air handler")
    tops = ladder(rng, 640, 1900, 8, 10, 0.01)
    more = rng.uniform(1.04, 1.12)
    by = page.switches(3)
    rows = [Row(turn, [str(figure)]) for turn, figure in zip(combos(3), tops, strict=True)]
    cooling = page.chart(rng.choice(COOLING), "airflow", rows, by=by)
    rows = [Row(turn, [str(near(noisy(rng, more * f, 0.01), 10))]) for turn, f in zip(combos(3), tops, strict=True)]
    pump = page.chart("heat pump airflow", "airflow", rows, by=by)
    page.call("cooling", "Y1 O", f"[{cooling}]")
    page.call("heat pump", "Y1", f"[{pump}]", off_delay="30 s")
    fan(page, "cooling")
    return page


@structure("orders")
def watts_beside(rng: random.Random) -> Page:
    """Airflow and watts side by side, two stages."""
    page = Page(rng, "Air handler with a variable-speed motor")
    tops = ladder(rng, 700, 1900, 6, 10, 0.008)
    power = rng.uniform(330, 520) / tops[-1] ** 2.5
    rows = []
    for word, top in zip("ABCDEF", tops, strict=True):
        low = near(noisy(rng, 0.7 * top, 0.01), 10)
        pairs = [(flow, near(noisy(rng, power * flow**2.5 + 18, 0.02), rng.choice((1, 1, 5)))) for flow in (low, top)]
        rows.append(Row([word], [str(figure) for pair in pairs for figure in pair]))
    heads = [("stage", ["low", "high"])]
    dial = page.dial(list("ABCDEF"))
    main = page.chart(rng.choice(COOLING), "airflow, watts", rows, by=[dial], across=heads)
    fan(page, cooling_call(page, main, trim(page), own=True))
    return page
