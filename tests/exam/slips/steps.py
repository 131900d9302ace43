"""Pages whose charts give steps rather than airflow: weights, trims, shares, offsets, airflow per ton."""

from __future__ import annotations

import random

from .figures import combos, ladder, near, noisy, sizes, texts
from .form import Page, Row
from .parts import COOLING, LETTERS, cooling_call, fan, marks, signed, trim
from .registry import structure


def base_airflow(page: Page, count: int = 4) -> str:
    """A short airflow chart to act upon; its name."""
    rng = page.rng
    words = marks(rng, count)
    figures = ladder(rng, 750, 1700, count, 10, 0.01)
    rows = [Row([word], [str(figure)]) for word, figure in zip(words, figures, strict=True)]
    return page.chart(rng.choice(COOLING), "airflow", rows, by=[page.jumper(words)])


@structure("steps")
def switch_weights(rng: random.Random) -> Page:
    """Each switch adds its own weight."""
    metric = rng.random() < 0.5
    page = Page(rng, "Air handler with weighted switches", airflow="m3/h" if metric else "cfm")
    unit = rng.choice((25, 40, 50) if metric else (20, 25, 30))
    weights = [unit * part for part in rng.choice(([1, 2, 4, 8, 16], [1, 2, 2, 4, 8], [1, 2, 4, 8]))]
    names = []
    for place, weight in enumerate(weights):
        rows = [Row(["0"], ["none"]), Row(["1"], [f"+{weight}"])]
        names.append(page.chart(f"switch {place + 1} adds", "offset", rows, by=page.switches(1)))
    start = rng.choice((500, 600, 650))
    page.call("cooling", "Y1", f"[airflow: {start}, {', '.join(names)}]", off_delay="45 s")
    fan(page, "cooling")
    return page


@structure("steps")
def shares_over(rng: random.Random) -> Page:
    """Trims printed as shares, some over 100 %."""
    page = Page(rng, "Air handler with shares of the charted airflow")
    base = base_airflow(page, 5)
    values = rng.choice(([100, 106, 112, 94, 88, 82], [100, 95, 90, 85, 105, 110], [88, 94, 100, 106, 112]))
    words = list(LETTERS[: len(values)])
    rows = [Row([word], [f"{value} %"]) for word, value in zip(words, values, strict=True)]
    change = page.chart("share of chart", "share", rows, by=[page.dial(words, "A")])
    fan(page, cooling_call(page, base, change, low=rng.choice((0, 68))))
    return page


@structure("steps")
def trims_by_stage(rng: random.Random) -> Page:
    """Unusual trims, different for each stage: +12, -15, +3."""
    page = Page(rng, "Two-stage air handler with trims by stage")
    base = base_airflow(page)
    lows = rng.choice(([0, 12, -15, 3], [0, 4, 9, -13], [0, -6, -11, 7]))
    highs = [figure + rng.choice((-2, 0, 0, 3)) if figure else 0 for figure in lows]
    columns = zip(signed(lows), signed(highs), strict=True)
    rows = [Row(turn, list(pair)) for turn, pair in zip(combos(2), columns, strict=True)]
    heads = [("stage", ["low", "high"])]
    change = page.chart("cooling trim", "trim", rows, by=page.switches(2), across=heads)
    fan(page, cooling_call(page, base, change, low=72))
    return page


@structure("steps")
def trims_fine(rng: random.Random) -> Page:
    """A fine trim dial of eleven marks, in ones, twos or twos and a half."""
    page = Page(rng, "Furnace with a fine trim dial")
    base = base_airflow(page)
    step = rng.choice((1.0, 2.0, 2.5, 3.0))
    words = list("0123456789A")
    figures = [step * (i - 5) for i in range(11)]
    told = [f"{figure:+g} %" if figure else "none" for figure in figures]
    rows = [Row([word], [text]) for word, text in zip(words, told, strict=True)]
    change = page.chart("fine trim", "trim", rows, by=[page.dial(words, "5")])
    fan(page, cooling_call(page, base, change))
    return page


@structure("steps")
def offsets(rng: random.Random) -> Page:
    """Offsets in cfm on a menu, by model."""
    tons, names = sizes(rng, 3)
    page = Page(rng, "Heat pump with offsets", models=names)
    tops = [near(noisy(rng, 400 * size, 0.02), 10) for size in tons]
    parts = (0.8, 0.9, 1.0, 1.1)
    lines = [[near(part * top, 10) for top in tops] for part in parts]
    rows = [Row(turn, texts(line)) for turn, line in zip(combos(2), lines, strict=True)]
    main = page.chart(rng.choice(COOLING), "airflow", rows, by=page.switches(2), across=[("model", names)])
    words = ["1", "2", "3", "4", "5"]
    menu = page.selector("N", "menu", words, "3")
    unit = [near(0.04 * top, 5) for top in tops]
    rows = [Row([w], signed([i * each for each in unit], "")) for w, i in zip(words, (-2, -1, 0, 1, 2), strict=True)]
    change = page.chart("heat pump offset", "offset", rows, by=[menu], across=[("model", names)])
    page.call("cooling", "Y1 O", f"[{main}]")
    page.call("heat pump", "Y1", f"[{main}, {change}]")
    fan(page, "cooling")
    return page


@structure("steps")
def per_ton(rng: random.Random) -> Page:
    """Tons and airflow per ton in two charts of switches."""
    page = Page(rng, "Air handler set by tons and airflow per ton")
    tons = rng.choice((["3", "1.5", "2", "2.5", "3.5", "4", "5"], ["1.5", "2", "2.5", "3", "3.5", "4", "5"]))
    rows = [Row(turn, [ton]) for turn, ton in zip(combos(3), tons, strict=False)]
    rows.append(Row(combos(3)[7], "do not use"))
    size = page.chart("size", "tons", rows, by=page.switches(3))
    rates = rng.choice((["400", "350", "375", "440"], ["400", "325", "360", "430"], ["350", "375", "400", "425"]))
    rows = [Row(turn, [rate]) for turn, rate in zip(combos(2), rates, strict=True)]
    rate = page.chart("per ton", "airflow per ton", rows, by=page.switches(2))
    fan(page, cooling_call(page, size, f"{rate}, {trim(page)}, round: 10", low=rng.choice((0, 70))))
    return page


@structure("steps")
def per_ton_models(rng: random.Random) -> Page:
    """Airflow per ton measured for each model and setting."""
    tons, names = sizes(rng, 4)
    page = Page(rng, "Packaged heat pump, airflow per ton", models=names)
    size = page.chart("size", "tons", [Row([], [f"{ton:g}" for ton in tons])], across=[("model", names)])
    words = marks(rng, 5)
    lines = [[near(noisy(rng, rate, 0.008), rng.choice((1, 5))) for _ in names] for rate in (335, 360, 385, 410, 435)]
    rows = [Row([word], texts(line)) for word, line in zip(words, lines, strict=True)]
    rate = page.chart("per ton", "airflow per ton", rows, by=[page.jumper(words)], across=[("model", names)])
    fan(page, cooling_call(page, size, rate, low=rng.choice((0, 66))))
    return page


@structure("steps")
def reductions(rng: random.Random) -> Page:
    """Dehumidify by a reduction, the least airflow by model beside it."""
    tons, names = sizes(rng, 4)
    page = Page(rng, "Heat pump air handler, dehumidify by jumper", models=names)
    words = marks(rng, 6)
    parts = ladder(rng, 700, 1060, 6, 1, 0.003)
    lines = [[near(noisy(rng, 0.405 * p * size, 0.008), 5) for size in tons] for p in parts]
    rows = [Row([word], texts(line)) for word, line in zip(words, lines, strict=True)]
    main = page.chart(rng.choice(COOLING), "airflow", rows, by=[page.dial(words)], across=[("model", names)])
    taken = rng.choice(([10, 15, 20, 30], [8, 12, 16, 24], [0, 10, 20, 25]))
    take = [f"{figure} %" if figure else "none" for figure in taken]
    rows = [Row([word], [text]) for word, text in zip("1234", take, strict=True)]
    less = page.chart("dehumidify by", "reduction", rows, by=[page.jumper(list("1234"))])
    floor = [str(near(noisy(rng, 275 * size, 0.01), 25)) for size in tons]
    least = page.chart("least while dehumidifying", "least airflow", [Row([], floor)], across=[("model", names)])
    page.call("cooling", "Y1 O", f"[{main}]", off_delay="60 s")
    page.call("dehumidify", "Y1 O DH", f"[call cooling, {less}, at least: {least}]")
    fan(page, "cooling")
    return page


@structure("steps")
def shares_long(rng: random.Random) -> Page:
    """First-stage and fan shares of three switches each, uneven and partly equal."""
    page = Page(rng, "Two-stage furnace with charted shares")
    base = base_airflow(page, 6)
    shares = rng.choice(([70, 75, 67, 80, 72, 80, 65], [66, 68, 70, 72, 74, 76, 78], [60, 65, 70, 75, 80, 85, 90]))
    rows = [Row(turn, [f"{share} %"]) for turn, share in zip(combos(3), shares, strict=False)]
    rows.append(Row(combos(3)[7], "reserved"))
    first = page.chart("first-stage share", "share", rows, by=page.switches(3))
    terminals = "{first: Y1, second: Y1 Y2}"
    page.call("cooling", terminals, f"[{base}, share: {{first: {first}}}]", stages="first second", off_delay="60 s")
    fans = rng.choice(([35, 50, 50, 65, 40, 55, 60, 75], [30, 40, 50, 60, 70, 80, 90, 100]))
    rows = [Row(turn, [f"{share} %"]) for turn, share in zip(combos(3), fans, strict=True)]
    page.chart("fan share", "share", rows, by=page.switches(3))
    page.call("fan", "G", "[call cooling second, fan share, at least: 350]")
    return page


@structure("steps")
def fan_chart(rng: random.Random) -> Page:
    """Fan airflow by model and jumper in cfm, not as a share; a start ramp told by a jumper."""
    tons, names = sizes(rng, 4)
    page = Page(rng, "Furnace with its own fan chart", models=names)
    tops = [noisy(rng, 420 * size, 0.015) for size in tons]
    lines = [[near(noisy(rng, part * top, 0.008), 10) for top in tops] for part in (1.0, 0.86, 0.93, 1.07)]
    rows = [Row(turn, texts(line)) for turn, line in zip(combos(2), lines, strict=True)]
    main = page.chart(rng.choice(COOLING), "airflow", rows, by=page.switches(2), across=[("model", names)])
    words = marks(rng, 4)
    lines = [[near(noisy(rng, part * top, 0.012), 5) for top in tops] for part in (0.34, 0.47, 0.6)]
    rows = [Row([word], texts(line)) for word, line in zip(words, lines, strict=False)] + [Row([words[3]], "none")]
    fans = page.chart("fan airflow", "airflow", rows, by=[page.jumper(words, words[1])], across=[("model", names)])
    page.ramps = {"at once": "100 %", "gentle": "60 s at 50 %, 120 s at 80 %, then 100 %"}
    rows = [Row(["1"], "at once"), Row(["2"], "gentle")]
    start = page.chart("start", "ramp", rows, by=[page.jumper(["1", "2"])])
    page.call("cooling", "Y1", f"[{main}, {trim(page)}]", ramp=start)
    page.call("fan", "G", f"[{fans}]")
    return page
