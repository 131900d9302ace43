"""Pages laid out at random from charts that are known, and broken on purpose: blank columns and cells, heads of two
lines and of two words, page breaks, footnotes, several charts, lines pushed aside."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product
from random import Random

MARKS = ("*", "†", "‡", "**")
MODELS = (("060", "080", "110"), ("24", "36"), ("A2", "A3", "A4"), ("S70", "S100"))
STAGES = (("low", "high"), ("first stage", "second stage"))


@dataclass(frozen=True)
class KnownChart:
    """A chart as its author knows it: `figures` by positions and words above the column; "" where none is printed."""

    labels: tuple[str, ...]
    heads: tuple[tuple[str, ...], ...]
    rows: tuple[tuple[str, ...], ...]
    figures: dict[tuple[tuple[str, ...], tuple[str, ...]], str]

    @property
    def columns(self) -> list[tuple[str, ...]]:
        """The words above each column."""
        return list(product(*self.heads))


@dataclass(frozen=True)
class LaidOut:
    """The text of a page and the charts on it."""

    text: str
    charts: tuple[KnownChart, ...]


def known_chart(rnd: Random, bank: str) -> KnownChart:
    """A chart of two to three switches, or of a jumper."""
    heads: list[tuple[str, ...]] = [rnd.choice(MODELS)]
    if rnd.random() < 0.4:
        heads.append(rnd.choice(STAGES))
    elif rnd.random() < 0.2:
        heads = [STAGES[1]]
    if rnd.random() < 0.3:
        labels: tuple[str, ...] = (f"J{bank}",)
        rows: list[tuple[str, ...]] = [(m,) for m in "ABCDE"[: rnd.randint(3, 5)]]
    else:
        count = rnd.randint(1, 3)
        labels = tuple(f"SW{bank}-{i + 1}" for i in range(count))
        rows = [tuple(reversed(c)) for c in product(("OFF", "ON"), repeat=count)]
    blank = rnd.choice([*product(*heads)]) if rnd.random() < 0.15 else None
    figures = {}
    for row in rows:
        for column in product(*heads):
            empty = column == blank or rnd.random() < 0.05
            figures[row, column] = "" if empty else str(rnd.randrange(40, 200) * 10 + rnd.choice((0, 0, 5)))
    return KnownChart(labels, tuple(heads), tuple(rows), figures)


def _cell(rnd: Random, figure: str, *, marked: bool) -> str:
    text = f"{int(figure):,}" if figure and rnd.random() < 0.5 else figure
    return text + (rnd.choice(MARKS) if marked and figure and rnd.random() < 0.08 else "")


def lines_of(rnd: Random, chart: KnownChart) -> tuple[list[str], list[str]]:
    """(heads, rows) in columns as wide as they need."""
    columns = chart.columns
    dash = rnd.random() < 0.4
    body = [
        [*row, *(_cell(rnd, chart.figures[row, c], marked=True) or ("-" if dash else "") for c in columns)]
        for row in chart.rows
    ]
    inner = [c[-1] for c in columns]
    wrapped = [w.split() for w in inner]
    wrap = rnd.random() < 0.3 and all(len(w) == 2 for w in wrapped)
    bottom = [w[-1] for w in wrapped] if wrap else inner
    over = [*("" for _ in chart.labels), *(w[0] if wrap else "" for w in wrapped)]
    heads_of = [*chart.labels, *bottom]
    widths = [max(len(t) for t in (head, over[k], *(r[k] for r in body))) for k, head in enumerate(heads_of)]
    gap = " " * rnd.choice((2, 3, 4))
    how = rnd.choice(("rjust", "center", "ljust"))

    def line(cells: list[str]) -> str:
        sides = ["ljust" if k < len(chart.labels) else how for k in range(len(cells))]
        return gap.join(getattr(t, side)(w) for t, side, w in zip(cells, sides, widths, strict=True)).rstrip()

    heads = [line([*chart.labels, *bottom])]
    if wrap:
        heads.insert(0, line(over))
    if len(chart.heads) == 2:
        each = len(chart.heads[1])
        start = sum(widths[: len(chart.labels)]) + len(gap) * len(chart.labels)
        outermost = " " * start
        for k, outer in enumerate(chart.heads[0]):
            at = len(chart.labels) + k * each
            width = sum(widths[at : at + each]) + len(gap) * (each - 1)
            outermost += outer.center(width) + gap
        heads.insert(0, outermost.rstrip())
    return heads, [line(r) for r in body]


def page(seed: int, *, broken: bool) -> LaidOut:
    """A page of one to three charts; `broken`: with lines pushed aside and blanks lost."""
    rnd = Random(seed)
    charts = [known_chart(rnd, str(n + 1)) for n in range(rnd.randint(1, 3))]
    out = ["Invented air handler   Manual A-7   page 12", ""]
    for n, chart in enumerate(charts):
        heads, rows = lines_of(rnd, chart)
        if rnd.random() < 0.7:
            out += [f"{('Cooling', 'Heating', 'Fan')[n]} airflow, cfm"]
        out += heads
        if rnd.random() < 0.3 and len(rows) > 3:
            out += [*rows[:2], "", "Manual A-7   page 13", "\f" + heads[0], *heads[1:], *rows[2:]]
        else:
            out += rows
        if any(mark in line for line in rows for mark in MARKS):
            out += ["* with the large filter", "** one of two", "† not on a roof", "‡ see the plate"]
        if rnd.random() < 0.8:
            out.append("")
        if rnd.random() < 0.4:
            out += ["Power off before a switch is moved.", ""]
    if broken:
        for _ in range(rnd.randint(1, 4)):
            at = rnd.randrange(len(out))
            line = out[at]
            out[at] = rnd.choice(
                (
                    " " * rnd.randint(1, 6) + line,
                    line.replace("   ", " ", rnd.randint(1, 3)),
                    line.lstrip(),
                    line + "   ",
                )
            )
    return LaidOut("\n".join(out) + "\n", tuple(charts))
