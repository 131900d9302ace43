"""The small charts that stand beside the main one: trims, shares, delays, fan."""

from __future__ import annotations

import random
from collections.abc import Sequence

from .figures import combos
from .form import Page, Row

LETTERS = "ABCDEFGH"
COOLING = ("cooling airflow", "compressor airflow", "coil airflow", "cooling chart")
HEATING = ("heating airflow", "burner chart", "heating chart")
TRIMS = ("adjustment", "cooling trim", "correction", "more or less")


def marks(rng: random.Random, count: int) -> list[str]:
    """Marks of a jumper or dial: letters or digits."""
    return list(LETTERS[:count]) if rng.random() < 0.5 else [str(number + 1) for number in range(count)]


def signed(figures: Sequence[int], unit: str = " %") -> list[str]:
    """Signed figures, `none` for 0."""
    return [f"{figure:+d}{unit}" if figure else "none" for figure in figures]


def trim(page: Page, name: str = "") -> str:
    """A trim chart of usual kinds; its name."""
    rng = page.rng
    a = rng.choice((3, 4, 5, 6, 7, 8, 10))
    b = rng.choice([figure for figure in (10, 12, 13, 15) if figure > a])
    kind = rng.randrange(4)
    if kind == 0:
        by, places = page.switches(2), [list(turn) for turn in combos(2)]
        figures = rng.choice(([0, a, -a, -b], [0, -a, a, b], [0, a, -a, 2 * a], [0, -a, -2 * a, a]))
    elif kind == 1:
        words = marks(rng, 3)
        by, places = [page.jumper(words, words[0])], [[word] for word in words]
        figures = rng.choice(([0, a, -a], [0, -a, -b], [0, a, b]))
    elif kind == 2:
        by, places, figures = page.switches(1), [["0"], ["1"]], rng.choice(([0, -b], [0, -a], [0, a]))
    else:
        words = marks(rng, 5)
        by, places = [page.dial(words, words[0])], [[word] for word in words]
        figures = [0, a, -a, 2 * a, -2 * a]
    rows = [Row(place, [text]) for place, text in zip(places, signed(figures), strict=True)]
    return page.chart(name or rng.choice(TRIMS), "trim", rows, by=by)


def delay(page: Page, name: str) -> str:
    """A chart of seconds; its name."""
    rng = page.rng
    unit = rng.choice(("", " s"))
    figures = rng.choice(
        ([0, 30, 60, 90], [60, 90, 120, 150], [90, 120, 150, 180], [0, 45, 90, 150], [60, 100, 140, 180], [0, 60, 90])
    )
    told = [f"{figure}{unit}" if figure else "none" for figure in figures]
    if len(told) == 4 and rng.random() < 0.6:
        rows = [Row(turn, [text]) for turn, text in zip(combos(2), told, strict=True)]
        return page.chart(name, "seconds", rows, by=page.switches(2))
    words = marks(rng, len(told))
    jumper = page.jumper(words)
    return page.chart(name, "seconds", [Row([w], [t]) for w, t in zip(words, told, strict=True)], by=[jumper])


def fan(page: Page, source: str, unit: float = 1.0) -> None:
    """A fan call as a share of `source`, the share fixed or charted."""
    rng = page.rng
    floor = f", at least: {int(round(350 * unit / 5) * 5)}" if rng.random() < 0.6 else ""
    kind = rng.randrange(3)
    if kind == 0:
        page.call("fan", "G", f"[call {source}, share: {rng.choice((40, 45, 50, 55))} %{floor}]")
        return
    figures = rng.choice(([30, 45, 60, 75], [35, 50, 65, 80], [25, 40, 55, 70], [50, 60, 70, 85], [40, 50, 65, 90]))
    if kind == 1:
        rows = [Row(turn, [f"{figure} %"]) for turn, figure in zip(combos(2), figures, strict=True)]
        page.chart("fan share", "share", rows, by=page.switches(2))
    else:
        words = marks(rng, 3)
        rows = [Row([word], [f"{figure} %"]) for word, figure in zip(words, figures[:3], strict=True)]
        page.chart("fan share", "share", rows, by=[page.jumper(words)])
    page.call("fan", "G", f"[call {source}, fan share{floor}]")


def cooling_call(page: Page, chart: str, extra: str = "", low: int = 0, own: bool = False) -> str:
    """A cooling call (two stages if `low` percent or `own` stages); the name of what a fan may refer to."""
    rng = page.rng
    steps = f"[{chart}{', ' + extra if extra else ''}"
    more = {"off_delay": f"{rng.choice((30, 45, 60, 90))} s"} if rng.random() < 0.5 else {}
    if low or own:
        share = f", share: {{low: {low} %}}" if low else ""
        more["stages"] = "low high"
        page.call("cooling", "{low: Y1, high: Y1 Y2}", f"{steps}{share}]", **more)
        return "cooling high"
    page.call("cooling", "Y1", f"{steps}]", **more)
    return "cooling"
