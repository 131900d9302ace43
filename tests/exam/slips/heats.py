"""Pages about heat: printed rises, firing rates, nozzles, heaters, delays."""

from __future__ import annotations

import random

from .figures import combos, inputs, ladder, near, noisy, rise, texts
from .form import Page, Row
from .parts import COOLING, HEATING, cooling_call, delay, fan, marks, trim
from .registry import structure

UNITS = "temperature: F, heat: Btu/h"


def furnace(rng: random.Random, title: str, count: int) -> tuple[Page, list[float], list[str], tuple[int, int]]:
    """A furnace's page with its ratings: delivered heats, Btu/h, model names, rise window, F."""
    heats, names = inputs(rng, count)
    page = Page(rng, title, models=names, units=UNITS)
    share = rng.choice((80, 92, 95, 96, 97))
    low, high = rng.choice(((35, 65), (30, 60), (40, 70)))
    told = ", ".join(f"{name}: {heat}" for name, heat in zip(names, heats, strict=True))
    page.ratings = {
        "heat input": f"{{{told}}}",
        "efficiency": f"{share} %",
        "temperature rise": f"{low} to {high}",
    }
    return page, [heat * share / 100 for heat in heats], names, (low, high)


def cool(page: Page, most: int) -> None:
    """A short cooling chart and a fan beside the heating charts."""
    rng = page.rng
    words = marks(rng, 4)
    figures = ladder(rng, 0.5 * most, most, 4, 10, 0.01)
    rows = [Row([word], [str(figure)]) for word, figure in zip(words, figures, strict=True)]
    main = page.chart(rng.choice(COOLING), "airflow", rows, by=[page.jumper(words)])
    fan(page, cooling_call(page, main))


def aims(rng: random.Random, window: tuple[int, int], count: int) -> list[float]:
    """Rises well inside the window, highest first."""
    low, high = window
    return [float(figure) for figure in ladder(rng, low + 6, high - 6, count, 1, 0.004)][::-1]


@structure("heats")
def rise_beside(rng: random.Random) -> Page:
    """Printed rise beside the airflow of each model."""
    page, heats, names, window = furnace(rng, "Gas furnace", 3)
    rows = []
    for turn, aim in zip(combos(2), aims(rng, window, 4), strict=True):
        flows = [near(noisy(rng, heat / (1.08 * aim), 0.012), 10) for heat in heats]
        pairs = zip(flows, heats, strict=True)
        rows.append(Row(turn, [s for flow, heat in pairs for s in (str(flow), str(near(rise(heat, flow), 1)))]))
    by, heads = page.switches(2), [("model", names)]
    main = page.chart(rng.choice(HEATING), "airflow, temperature rise", rows, by=by, across=heads)
    page.call("heating", "W1", f"[{main}]", off_delay=delay(page, "blower after heating"))
    cool(page, 1600)
    return page


@structure("heats")
def rise_stages(rng: random.Random) -> Page:
    """Low and high fire, airflow and rise of each, one model."""
    high = rng.choice((60000, 80000, 100000))
    low = near(high * rng.choice((0.65, 0.7)), 1000)
    page = Page(rng, "Two-stage gas furnace, one size", units=UNITS)
    page.ratings = {
        "heat input": f"{{low: {low}, high: {high}}}",
        "efficiency": "96 %",
        "temperature rise": "30 to 70",
    }
    rows = []
    for word, aim in zip("12345", aims(rng, (34, 66), 5), strict=True):
        cells = []
        for heat in (0.96 * low, 0.96 * high):
            flow = near(noisy(rng, heat / (1.08 * aim), 0.012), 5)
            cells += [str(flow), str(near(rise(heat, flow), 1))]
        rows.append(Row([word], cells))
    dial = page.dial(list("12345"))
    heads = [("stage", ["low", "high"])]
    main = page.chart(rng.choice(HEATING), "airflow, temperature rise", rows, by=[dial], across=heads)
    page.call("heating", "{low: W1, high: W1 W2}", f"[{main}]", stages="low high", off_delay="120 s")
    cool(page, 1400)
    return page


@structure("heats")
def rise_fives(rng: random.Random) -> Page:
    """Rises in fives, the airflow computed from them and rounded to 25."""
    page, heats, names, window = furnace(rng, "Gas furnace, airflow by rise", 4)
    low, high = window
    rows = []
    for turn, aim in zip(combos(2), (low + 10, low + 15, low + 20, high - 5), strict=True):
        rows.append(Row(turn, [s for heat in heats for s in (str(near(heat / (1.08 * aim), 25)), str(aim))]))
    by, heads = page.switches(2), [("model", names)]
    main = page.chart(rng.choice(HEATING), "airflow, temperature rise", rows, by=by, across=heads)
    page.call("heating", "W1", f"[{main}]", on_delay="30 s", off_delay="90 s")
    cool(page, 2000)
    return page


@structure("heats")
def rise_asked(rng: random.Random) -> Page:
    """The chart gives rises only; airflow follows from the heat."""
    page, _, names, window = furnace(rng, "Gas furnace set by rise", 3)
    words = marks(rng, 6)
    rows = [
        Row([word], [str(near(aim + shift, 1)) for shift in (0, rng.choice((0, 1)), rng.choice((1, 2)))])
        for word, aim in zip(words, aims(rng, window, 6), strict=True)
    ]
    main = page.chart("rise asked", "temperature rise", rows, by=[page.dial(words)], across=[("model", names)])
    page.call("heating", "W1", f"[{main}, {trim(page)}, at most: 2800]", off_delay=delay(page, "blower after heating"))
    cool(page, 1800)
    return page


@structure("heats")
def firing_rates(rng: random.Random) -> Page:
    """Modulating heat: airflow against firing rate by model."""
    page, heats, names, window = furnace(rng, "Modulating gas furnace", 2)
    rates = rng.choice(([40, 60, 80, 100], [35, 50, 65, 80, 100], [25, 50, 75, 100]))
    rows = []
    for word, aim in zip("12345", aims(rng, window, 5), strict=True):
        cells = []
        for heat in heats:
            for rate in rates:
                flow = heat / (1.08 * aim) * (rate / 100) ** rng.uniform(0.92, 0.95)
                cells.append(str(near(noisy(rng, flow, 0.006), 5)))
        rows.append(Row([word], cells))
    heads = [("model", names), ("firing rate", texts(rates))]
    main = page.chart(rng.choice(HEATING), "airflow", rows, by=[page.dial(list("12345"))], across=heads)
    page.call("heating", "W1", f"[{main}]", off_delay="120 s")
    cool(page, 1500)
    return page


@structure("heats")
def nozzle_columns(rng: random.Random) -> Page:
    """Oil furnace: a jumper of the nozzle along the top, switches down the side."""
    page = Page(rng, "Oil furnace", units=UNITS)
    page.ratings = {"pump pressure": "140 psi", "heat per gallon": "140000", "efficiency": "84 %"}
    rates = [0.65, 0.75, 0.85, 1.0, 1.1][: rng.randrange(4, 6)]
    words = [f"{rate:.2f}" for rate in rates]
    page.facts["nozzle fitted"] = f"{{gives: nozzle rate, values: {' '.join(words)}}}"
    jumper = page.jumper(words, "0.85", "gives: nozzle rate, declares: nozzle fitted")
    rows = []
    for turn, aim in zip(combos(2), aims(rng, (46, 80), 4), strict=True):
        flows = [rate * 1.183 * 140000 * 0.84 / (1.08 * aim) for rate in rates]
        rows.append(Row(turn, [str(near(noisy(rng, flow, 0.01), 10)) for flow in flows]))
    main = page.chart(rng.choice(HEATING), "airflow", rows, by=page.switches(2), across=[(jumper, words)])
    page.call("heating", "W1", f"[{main}]", heat=jumper, on_delay="45 s", off_delay=delay(page, "blower after heating"))
    cool(page, 1700)
    return page


@structure("heats")
def heater_minimums(rng: random.Random) -> Page:
    """Least airflow for each electric heater by model, blanks where it doesn't fit."""
    names = ["24", "30", "36", "48", "60"]
    page = Page(rng, "Air handler with electric heat", models=names, units="temperature: F, heat: kW")
    page.ratings["heater voltage"] = "240"
    kilowatts = ["5", "8", "10", "15", "20", "25"]
    page.facts["heater"] = f"{{gives: heater power, values: none {' '.join(kilowatts)}}}"
    plug = page.jumper(["none", *kilowatts], "none", "gives: heater power, declares: heater")
    rows = [Row(["none"], "none")]
    for place, power in enumerate(kilowatts):
        base = 330 + 46 * int(power) + rng.choice((0, 0, -10, 15))
        cells = [str(near(base + 22 * model * (1 + place / 6), 25)) for model in range(5)]
        rows.append(Row([power], [c if model >= place - 2 else "-" for model, c in enumerate(cells)]))
    floor = page.chart("least with heater", "least airflow", rows, by=[plug], across=[("model", names)])
    lines = [[near(noisy(rng, 36 * part * int(name), 0.008), 10) for name in names] for part in (0.8, 0.9, 1, 1.1)]
    rows = [Row(turn, texts(line)) for turn, line in zip(combos(2), lines, strict=True)]
    main = page.chart(rng.choice(COOLING), "airflow", rows, by=page.switches(2), across=[("model", names)])
    page.call("cooling", "Y1 O", f"[{main}, {trim(page)}]")
    page.call("heat pump", "Y1", f"[{main}]")
    when = f"{{{plug}: {' '.join(kilowatts)}}}"
    page.call("auxiliary", "Y1 W1", f"[call heat pump, at least: {floor}]", when=when, heat=plug)
    fan(page, "cooling")
    return page


@structure("heats")
def heater_columns(rng: random.Random) -> Page:
    """Heaters down the side; rated power, airflow alone and with the heat pump as small charts."""
    page = Page(rng, "Air handler, heater by plug", units="temperature: F, heat: kW")
    page.ratings["heater voltage"] = rng.choice(("240", "208"))
    powers = ["3", "5", "8", "10", "15", "20"][rng.randrange(2) :]
    page.facts["heater"] = f"{{values: none {' '.join(powers)}}}"
    plug = page.selector("P", "plug", ["none", *powers], "none", "declares: heater")
    rows = [Row(["none"], ["none"])]
    rated = [*rows, *(Row([p], [f"{int(p) * 0.96:.1f} kW"]) for p in powers)]
    alone = [*rows, *(Row([p], [str(near(noisy(rng, 340 + 58 * int(p), 0.015), 10))]) for p in powers)]
    least = [*rows, *(Row([p], [str(near(noisy(rng, 300 + 47 * int(p), 0.015), 10))]) for p in powers)]
    rating = page.chart("heater rating", "heater power", rated, by=[plug])
    main = page.chart("heater airflow", "airflow", alone, by=[plug])
    floor = page.chart("least with heater", "least airflow", least, by=[plug])
    cool(page, 1900)
    page.call("heater alone", "W1", f"[{main}]", heat=rating)
    when = f"{{{plug}: {' '.join(powers)}}}"
    page.call("cooling with heater", "Y1 W1", f"[call cooling, at least: {floor}]", when=when)
    return page


@structure("heats")
def stage_delays(rng: random.Random) -> Page:
    """Delays in seconds by stage, waits before and run-on after, beside a small heating chart."""
    page = Page(rng, "Packaged gas unit", units=UNITS)
    heads = [("stage", ["low", "high"])]
    high = ladder(rng, 900, 1500, 4, 10, 0.01)
    share = rng.uniform(0.7, 0.78)
    rows = [Row([w], [str(near(share * top, 10)), str(top)]) for w, top in zip("ABCD", high, strict=True)]
    main = page.chart(rng.choice(HEATING), "airflow", rows, by=[page.jumper(list("ABCD"))], across=heads)
    step = rng.choice((30, 30, 20))
    after = [Row(turn, [f"{90 + step * (i + 1)} s", f"{90 + step * i} s"]) for i, turn in enumerate(combos(2))]
    run_on = page.chart("blower after heating", "seconds", after, by=page.switches(2), across=heads)
    waits = rng.choice((["15", "30", "45", "60"], ["none", "20", "30", "45"]))
    before = [Row([mark], [told]) for mark, told in zip("1234", waits, strict=True)]
    wait = page.chart("wait before heating", "seconds", before, by=[page.jumper(list("1234"))])
    terminals = "{low: W1, high: W1 W2}"
    page.call("heating", terminals, f"[{main}]", stages="low high", on_delay=wait, off_delay=run_on)
    cool(page, 1300)
    return page


@structure("heats")
def heat_metric(rng: random.Random) -> Page:
    """Ducted heater in L/s, kW and degrees C with the printed rise."""
    names = ["15", "20", "26"]
    page = Page(rng, "Ducted gas heater", models=names, airflow="L/s", units="temperature: C, heat: kW")
    told = ", ".join(f"{name}: {name}" for name in names)
    page.ratings = {"heat output": f"{{{told}}}", "temperature rise": "18 to 40"}
    rows = []
    for word, aim in zip("ABCDE", aims(rng, (16, 42), 5), strict=True):
        cells = []
        for name in names:
            flow = near(noisy(rng, int(name) * 1000 / (1.2072 * aim), 0.01), 5)
            cells += [str(flow), str(near(int(name) * 1000 / (1.2072 * flow), 1))]
        rows.append(Row([word], cells))
    dial = page.dial(list("ABCDE"))
    heads = [("model", names)]
    main = page.chart(rng.choice(HEATING), "airflow, temperature rise", rows, by=[dial], across=heads)
    page.call("heating", "W1", f"[{main}]", off_delay="60 s")
    page.call("fan", "G", "[call heating, share: 60 %]")
    return page
