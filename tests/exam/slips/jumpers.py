"""Pages of jumpers, dials and plugs: pairs, triples, hexadecimal dials, selectors along the top."""

from __future__ import annotations

import itertools
import random

from .figures import combos, grid, ladder, near, noisy, shape, sizes, texts
from .form import Page, Row
from .parts import COOLING, cooling_call, delay, fan, marks, trim
from .registry import structure


@structure("jumpers")
def jumper_pairs(rng: random.Random) -> Page:
    """Two jumpers read together, 5 x 3, three rows to a line."""
    page = Page(rng, "Air handler with jumper pairs")
    page.style = "run"
    figures = ladder(rng, 620, rng.choice((1500, 1800)), 15, 5, 0.004)
    pairs = list(itertools.product("12345", "abc"))
    rows = [Row(pair, [str(figure)]) for pair, figure in zip(pairs, figures, strict=True)]
    by = [page.jumper(list("12345")), page.jumper(list("abc"))]
    main = page.chart(rng.choice(COOLING), "airflow", rows, by=by, packed=3)
    fan(page, cooling_call(page, main, "", low=rng.choice((0, 70))))
    return page


@structure("jumpers")
def jumper_triples(rng: random.Random) -> Page:
    """Three jumpers, sixty-four rows of two stages in a maker's own order."""
    page = Page(rng, "Air handler with three jumpers")
    highs = ladder(rng, 600, 2000, 62, 5, 0.0)
    blocks = [highs[i : i + 4] for i in range(0, 60, 4)]
    rng.shuffle(blocks)
    for block in blocks:
        if rng.random() < 0.4:
            block.reverse()
    order = [figure for block in blocks for figure in block] + highs[60:]
    triples = list(itertools.product("ABCD", repeat=3))
    rows = []
    for triple, high in zip(triples, order, strict=False):
        share = rng.choice((0.66, 0.7, 0.75))
        rows.append(Row(triple, [str(near(noisy(rng, share * high, 0.01), 5)), str(high)]))
    rows += [Row(triple, "reserved") for triple in triples[62:]]
    by = [page.jumper(list("ABCD")) for _ in range(3)]
    heads = [("stage", ["low", "high"])]
    # a delivered setting that the page reserves would be a mistake of the page
    page.selectors[by[2]] = "{kind: jumper, positions: A B C D, factory: A}"
    main = page.chart(rng.choice(COOLING), "airflow", rows, by=by, across=heads)
    fan(page, cooling_call(page, main, own=True))
    return page


@structure("jumpers")
def hex_dial(rng: random.Random) -> Page:
    """A dial of sixteen marks, two models, last marks unused or repeating others."""
    tons, names = sizes(rng, 2)
    page = Page(rng, "Air handler with a sixteen-mark dial", models=names)
    words = list("0123456789ABCDEF")
    cells = grid(rng, shape(rng, 14, 0.5), [noisy(rng, 440 * size, 0.02) for size in tons], 5, 0.004)
    for before, line in itertools.pairwise(cells):
        for column in range(2):
            line[column] = max(line[column], before[column] + 5)
    rows = [Row([word], texts(line)) for word, line in zip(words, cells, strict=False)]
    rows += [Row(["E"], "as 7"), Row(["F"], "reserved")]
    main = page.chart(rng.choice(COOLING), "airflow", rows, by=[page.dial(words, "7")], across=[("model", names)])
    fan(page, cooling_call(page, main, trim(page)))
    return page


@structure("jumpers")
def jumper_above(rng: random.Random) -> Page:
    """A jumper along the top, a dial down the side: airflow in both."""
    page = Page(rng, "Air handler, dial and jumper")
    words = marks(rng, 3)
    jumper = page.jumper(words)
    factors = [1.0, rng.uniform(1.08, 1.15), rng.uniform(1.2, 1.3)]
    if rng.random() < 0.4:
        factors = [1.0, 1.1, 0.9]
    tops = [rng.uniform(1300, 1550) * factor for factor in factors]
    cells = grid(rng, shape(rng, 10, 0.45), tops, 10, 0.007)
    rows = [Row([str(i)], texts(line)) for i, line in enumerate(cells)]
    dial = page.dial([str(i) for i in range(10)])
    main = page.chart(rng.choice(COOLING), "airflow", rows, by=[dial], across=[(jumper, words)])
    fan(page, cooling_call(page, main, "", low=rng.choice((0, 67))))
    return page


@structure("jumpers")
def dial_pairs(rng: random.Random) -> Page:
    """Two dials, 8 x 6, forty-eight rows: coarse and fine."""
    page = Page(rng, "Rooftop unit with coarse and fine dials")
    coarse = ladder(rng, 800, 2300, 8, 50, 0.0)
    fine = [near(gap, 5) for gap in (0, 35, 65, 100, 130, 165)]
    pairs = itertools.product(zip("ABCDEFGH", coarse, strict=True), zip("012345", fine, strict=True))
    rows = [Row([a, b], [str(near(noisy(rng, base + more, 0.004), 5))]) for (a, base), (b, more) in pairs]
    by = [page.dial(list("ABCDEFGH")), page.dial(list("012345"))]
    main = page.chart(rng.choice(COOLING), "airflow", rows, by=by)
    fan(page, cooling_call(page, main, "", low=0))
    return page


@structure("jumpers")
def plug_limits(rng: random.Random) -> Page:
    """A plug tells the blower's size; its limits and menu figures stand in small charts."""
    page = Page(rng, "Air handler with plugs and a menu at the thermostat")
    motors = ["K", "M", "R", "T"][: rng.randrange(3, 5)]
    page.facts["blower"] = f"{{values: {' '.join(motors)}}}"
    plug = page.selector("P", "plug", motors, motors[-1], "declares: blower")
    most = ladder(rng, 1150, 2300, len(motors), 25, 0.004)
    rows = [Row([word], [str(figure)]) for word, figure in zip(motors, most, strict=True)]
    limit = page.chart("blower limit", "most airflow", rows, by=[plug])
    rows = [Row([word], [str(near(noisy(rng, 0.3 * f, 0.02), 25))]) for word, f in zip(motors, most, strict=True)]
    floor = page.chart("blower floor", "least airflow", rows, by=[plug])
    menu = page.selector("N", "menu", ["1", "2", "3", "4", "5", "6"], "3")
    flows = ladder(rng, 600, 1100, 6, 25, 0.004)
    rows = [Row([str(i + 1)], [str(figure)]) for i, figure in enumerate(flows)]
    main = page.chart("menu airflow", "airflow", rows, by=[menu])
    page.call("cooling", "Y1", f"[{main}, {trim(page)}, at least: {floor}, at most: {limit}]")
    fan(page, "cooling")
    return page


@structure("jumpers")
def small_page(rng: random.Random) -> Page:
    """Nothing but small charts: three marks of airflow, a trim, two delays."""
    page = Page(rng, "Cabinet heat pump", airflow="m3/h")
    words = marks(rng, 3)
    flows = ladder(rng, 850, 1650, 3, 10, 0.01)
    rows = [Row([word], [str(figure)]) for word, figure in zip(words, flows, strict=True)]
    main = page.chart(rng.choice(COOLING), "airflow", rows, by=[page.jumper(words)])
    extra = trim(page)
    wait = delay(page, "wait before cooling")
    page.call("cooling", "Y1", f"[{main}, {extra}]", on_delay=wait, off_delay=delay(page, "blower after cooling"))
    fan(page, "cooling", 1.6)
    return page


@structure("jumpers")
def board_shared(rng: random.Random) -> Page:
    """Four models on one board, each with its own rows: every switch row serves one or two models."""
    tons, names = sizes(rng, 4)
    page = Page(rng, "Heat pump air handlers, shared board", models=names)
    rows = []
    for place, turn in enumerate(combos(4)):
        share = (0.8, 0.9, 1.0, 1.1)[place % 4]
        own = place // 4
        cells = [
            str(near(noisy(rng, 400 * share * size, 0.008), 10)) if model in (own, (own + 1) % 4) else "-"
            for model, size in enumerate(tons)
        ]
        rows.append(Row(turn, cells))
    main = page.chart(rng.choice(COOLING), "airflow", rows, by=page.switches(4), across=[("model", names)])
    fan(page, cooling_call(page, main))
    return page
