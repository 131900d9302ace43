"""Pages with models along the top."""

from __future__ import annotations

import random

from .figures import combos, grid, inputs, ladder, near, noisy, shape, sizes, texts
from .form import Page, Row
from .parts import COOLING, HEATING, cooling_call, fan, marks, trim
from .registry import structure


def shuffled(rng: random.Random, lines: list[list[int]]) -> list[list[int]]:
    """The same lines, the delivered one (a middle figure) first, the rest in any order."""
    rest = list(lines)
    first = rest.pop(len(rest) // 2)
    rng.shuffle(rest)
    return [first, *rest]


@structure("models")
def models_rising(rng: random.Random) -> Page:
    """Eight rows, three to five models, airflow rising to the right."""
    tons, names = sizes(rng, rng.randrange(3, 6))
    page = Page(rng, "Air handler with a switch bank", models=names)
    cells = grid(rng, shape(rng, 8), [noisy(rng, 445 * size, 0.02) for size in tons], 10, 0.007)
    rows = [Row(turn, texts(line)) for turn, line in zip(combos(3, rng.random() < 0.6), cells, strict=True)]
    main = page.chart(rng.choice(COOLING), "airflow", rows, by=page.switches(3), across=[("model", names)])
    fan(page, cooling_call(page, main, trim(page), low=rng.choice((0, 70))))
    return page


@structure("models")
def models_twins(rng: random.Random) -> Page:
    """Two models with the same figures on purpose."""
    tons, names = sizes(rng, 4)
    page = Page(rng, "Split-system air handler", models=names)
    tops = [noisy(rng, 430 * size, 0.02) for size in tons]
    twin = rng.randrange(3)
    cells = grid(rng, shape(rng, 6, 0.62), tops, 5, 0.009)
    for line in cells:
        line[twin + 1] = line[twin]
    if rng.random() < 0.5:
        cells = shuffled(rng, cells)
    words = marks(rng, 6)
    rows = [Row([word], texts(line)) for word, line in zip(words, cells, strict=True)]
    main = page.chart(rng.choice(COOLING), "airflow", rows, by=[page.dial(words)], across=[("model", names)])
    fan(page, cooling_call(page, main))
    return page


@structure("models")
def models_quarters(rng: random.Random) -> Page:
    """Everything printed to 25, default row first."""
    tons, names = sizes(rng, 4)
    page = Page(rng, "Packaged heat pump", models=names)
    cells = shuffled(rng, grid(rng, shape(rng, 8, 0.6), [440 * size for size in tons], 25, 0.004))
    rows = [Row(turn, texts(line)) for turn, line in zip(combos(3), cells, strict=True)]
    main = page.chart(rng.choice(COOLING), "airflow", rows, by=page.switches(3), across=[("model", names)])
    page.call("cooling", "Y1 O", f"[{main}, {trim(page)}]")
    page.call("heat pump", "Y1", f"[{main}]")
    fan(page, "cooling")
    return page


@structure("models")
def tons_by_rate(rng: random.Random) -> Page:
    """Exact products: tons of the column times cfm per ton of the row."""
    tons, names = sizes(rng, rng.randrange(4, 6))
    page = Page(rng, "Air handler set by airflow per ton", models=names)
    rates = rng.choice(([350, 375, 400, 425, 450], [300, 350, 400, 450], [320, 340, 360, 380, 400, 420, 440]))
    words = marks(rng, len(rates))
    rows = [Row([word], [str(near(rate * size, 1)) for size in tons]) for word, rate in zip(words, rates, strict=True)]
    jumper = page.jumper(words)
    main = page.chart(rng.choice(COOLING), "airflow", rows, by=[jumper], across=[("model", names)])
    fan(page, cooling_call(page, main, trim(page), low=rng.choice((66, 70, 75))))
    return page


@structure("models")
def tons_clipped(rng: random.Random) -> Page:
    """Products of tons and cfm per ton, rounded to 10, held at the blower's most; a few changed by the maker."""
    tons, names = sizes(rng, 5)
    page = Page(rng, "Two-size cabinet air handler", models=names)
    rates = sorted(rng.sample((315, 330, 345, 360, 385, 400, 415, 430, 450), 6))
    most = near(tons[-1] * rng.choice((400, 410)), 50)
    rows = []
    for turn, rate in zip(combos(3), rates, strict=False):
        figures = [min(most, near(rate * size + rng.choice((0, 0, 0, 0, -10, 15)), 10)) for size in tons]
        rows.append(Row(turn, texts(figures)))
    rows += [Row(turn, rng.choice(("reserved", "do not use"))) for turn in combos(3)[6:]]
    note = f"{most} is the most that this cabinet moves."
    switches = page.switches(3)
    main = page.chart(rng.choice(COOLING), "airflow", rows, by=switches, across=[("model", names)], note=note)
    fan(page, cooling_call(page, main))
    return page


@structure("models")
def formula_fives(rng: random.Random) -> Page:
    """Each row a fixed part of the top row, rounded to 5: no noise at all."""
    tons, names = sizes(rng, 3)
    page = Page(rng, "Air handler with one dial", models=names)
    step = rng.choice((0.05, 0.06, 0.075))
    words = [str(number) for number in range(8)]
    tops = [near(size * 450, 5) for size in tons]
    rows = [Row([w], [str(near(top * (1 - step * i), 5)) for top in tops]) for i, w in enumerate(words)]
    main = page.chart(rng.choice(COOLING), "airflow", rows, by=[page.dial(words)], across=[("model", names)])
    fan(page, cooling_call(page, main, "", low=rng.choice((0, 72))))
    return page


@structure("models")
def smooth_exception(rng: random.Random) -> Page:
    """A smooth chart with one figure that leaves smoothness on purpose."""
    sizes_in, names = inputs(rng, 4)
    page = Page(rng, "Gas furnace with a cooling coil", models=names)
    cells = grid(rng, shape(rng, 7, 0.6), [size * 0.019 for size in sizes_in], 10, 0.003)
    line, column = rng.randrange(1, 6), rng.randrange(4)
    cells[line][column] = near(cells[line][column] * rng.choice((0.92, 0.94, 1.06, 1.08)), 10)
    words = marks(rng, 7)
    rows = [Row([word], texts(figures)) for word, figures in zip(words, cells, strict=True)]
    if rng.random() < 0.5:
        rows[line] = Row(rows[line].positions, rows[line].figures, f"{names[column]} as measured")
    main = page.chart(rng.choice(COOLING), "airflow", rows, by=[page.dial(words)], across=[("model", names)])
    fan(page, cooling_call(page, main, trim(page)))
    return page


@structure("models")
def models_dip(rng: random.Random) -> Page:
    """A larger model with a smaller blower: the row isn't monotonic."""
    sizes_in, names = inputs(rng, 5)
    page = Page(rng, "Furnace in two cabinet widths", models=names)
    tops = [600 + size * 0.0125 for size in sizes_in]
    dip = rng.randrange(2, 4)
    tops[dip] = tops[dip - 1] * rng.uniform(0.84, 0.93)
    cells = grid(rng, shape(rng, 6, 0.58), tops, 5, 0.01)
    rows = [Row([word], texts(line)) for word, line in zip("ABCDEF", cells, strict=True)]
    main = page.chart(rng.choice(COOLING), "airflow", rows, by=[page.jumper(list("ABCDEF"))], across=[("model", names)])
    fan(page, cooling_call(page, main, trim(page), low=rng.choice((0, 68))))
    return page


@structure("models")
def last_column_order(rng: random.Random) -> Page:
    """The last column belongs to another cabinet whose settings run in another order."""
    tons, names = sizes(rng, 4)
    page = Page(rng, "Air handlers, one board", models=names)
    cells = grid(rng, shape(rng, 8, 0.55), [noisy(rng, 440 * size, 0.02) for size in tons], 10, 0.008)
    last = [line[-1] for line in cells]
    if rng.random() < 0.5:
        last.reverse()
    else:
        last = last[4:] + last[:4]
    for line, figure in zip(cells, last, strict=True):
        line[-1] = figure
    rows = [Row(turn, texts(line)) for turn, line in zip(combos(3), cells, strict=True)]
    main = page.chart(rng.choice(COOLING), "airflow", rows, by=page.switches(3), across=[("model", names)])
    fan(page, cooling_call(page, main))
    return page


@structure("models")
def stairs(rng: random.Random) -> Page:
    """Low settings blank for the large models, high settings for the small ones."""
    _, names = inputs(rng, 4)
    page = Page(rng, "Two-stage furnace, four sizes", models=names)
    steps = ladder(rng, 600, 2100, 8, 5, 0.004)
    rows = []
    for place, (turn, figure) in enumerate(zip(combos(3), steps, strict=True)):
        cells = []
        for model in range(4):
            inside = model <= place <= model + 4
            cells.append(str(near(noisy(rng, figure * (1 + 0.012 * model), 0.006), 5)) if inside else "-")
        rows.append(Row(turn, cells))
    main = page.chart(rng.choice(COOLING), "airflow", rows, by=page.switches(3), across=[("model", names)])
    fan(page, cooling_call(page, main, "", low=rng.choice((0, 70))))
    return page


@structure("models")
def ceiling_ties(rng: random.Random) -> Page:
    """Many figures at the most the blower moves."""
    tons, names = sizes(rng, 4)
    page = Page(rng, "Rooftop unit", models=names)
    most = near(430 * tons[2], 50)
    cells = grid(rng, shape(rng, 6, 0.6), [noisy(rng, 455 * size, 0.015) for size in tons], 10, 0.008)
    lines = shuffled(rng, [[min(most, figure) for figure in line] for line in cells])
    words = marks(rng, 6)
    rows = [Row([word], texts(line)) for word, line in zip(words, lines, strict=True)]
    note = f"No size moves more than {most}."
    dial = page.dial(words)
    main = page.chart(rng.choice(COOLING), "airflow", rows, by=[dial], across=[("model", names)], note=note)
    fan(page, cooling_call(page, main, trim(page)))
    return page


@structure("models")
def wide_stages(rng: random.Random) -> Page:
    """Models and stages as heads of two levels, cooling and heating."""
    sizes_in, names = inputs(rng, rng.randrange(3, 5))
    page = Page(rng, "Two-stage gas furnace", models=names)
    share = rng.uniform(0.66, 0.73)
    tops = [500 + size * 0.0145 for size in sizes_in]
    heads = [("model", names), ("stage", ["low", "high"])]
    for kind, part, names_of in (("cooling", 1.0, COOLING), ("heating", 0.93, HEATING)):
        cells = grid(rng, shape(rng, 4 if kind == "heating" else 8, 0.6), [part * top for top in tops], 10, 0.008)
        count = 2 if kind == "heating" else 3
        rows = []
        for turn, line in zip(combos(count), cells, strict=True):
            pairs = [(near(noisy(rng, share * high, 0.012), 5), high) for high in line]
            rows.append(Row(turn, [str(figure) for pair in pairs for figure in pair]))
        chart = page.chart(rng.choice(names_of), "airflow", rows, by=page.switches(count), across=heads)
        letter = "Y" if kind == "cooling" else "W"
        terminals = f"{{low: {letter}1, high: {letter}1 {letter}2}}"
        page.call(kind, terminals, f"[{chart}]", stages="low high", off_delay="90 s")
    fan(page, "cooling high")
    return page


@structure("models")
def models_falling(rng: random.Random) -> Page:
    """Largest model first, highest setting first: figures fall both ways."""
    tons, names = sizes(rng, 4)
    page = Page(rng, "Air handler, sizes from the largest", models=names)
    cells = grid(rng, shape(rng, 5, 0.68), [noisy(rng, 425 * size, 0.02) for size in tons], 10, 0.011)
    words = ["5", "4", "3", "2", "1"]
    rows = [Row([word], texts(line[::-1])) for word, line in zip(words, cells[::-1], strict=True)]
    jumper = page.jumper(words[::-1])
    main = page.chart(rng.choice(COOLING), "airflow", rows, by=[jumper], across=[("model", names[::-1])])
    fan(page, cooling_call(page, main, trim(page)))
    return page
