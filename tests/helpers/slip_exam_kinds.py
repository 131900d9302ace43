"""The slips of the exam: what goes wrong between the page and the file, one slip a sheet."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from random import Random

from tests.helpers.slip_exam_clean import CFM_IN_LPS
from tests.helpers.slip_exam_sheet import BLANK, Cell, Chart, Sheet

Changes = Mapping[Cell, str]
"""Cell -> what was typed instead."""
KEYS = "1234567890"
"""The row of digits of a keyboard: neighbours are mistaken for each other."""
AIRFLOWS = ("airflow", "least airflow")


def _parts(text: str) -> tuple[str, str, str]:
    """What stands before the digits, the number, and what stands behind."""
    found = re.fullmatch(r"([+-]?)([0-9.]+)(.*)", text)
    return (found[1], found[2], found[3]) if found else ("", "", text)


def _figures(sheet: Sheet, random: Random) -> list[Cell]:
    """All cells with a figure in random order: those of airflow charts first three times out of four."""
    cells = [c for c in sorted(sheet.figures) if _parts(sheet.figures[c])[1]]
    random.shuffle(cells)
    if random.random() < 0.75:
        cells.sort(key=lambda c: sheet.quantity(c) not in AIRFLOWS or c[0].startswith("call "))
    return cells


def _digits(change: Callable[[Random, str], str]) -> Callable[[Sheet, Random], Changes]:
    def slip(sheet: Sheet, random: Random) -> Changes:
        for cell in _figures(sheet, random):
            before, number, behind = _parts(sheet.figures[cell])
            typed = change(random, number)
            if typed != number and not re.match(r"0[0-9]|\.|$", typed) and not typed.endswith("."):
                return {cell: before + typed + behind}
        return {}

    return slip


def transposed(random: Random, number: str) -> str:
    """Two neighbouring digits exchanged."""
    places = [i for i in range(len(number) - 1) if "." not in number[i : i + 2] and number[i] != number[i + 1]]
    if not places:
        return number
    i = random.choice(places)
    return number[:i] + number[i + 1] + number[i] + number[i + 2 :]


def dropped(random: Random, number: str) -> str:
    """A digit left out."""
    if len(number) < 2 or "." in number:
        return number
    i = random.randrange(len(number))
    return number[:i] + number[i + 1 :]


def doubled(random: Random, number: str) -> str:
    """A digit typed twice."""
    i = random.choice([i for i, d in enumerate(number) if d != "."])
    return number[: i + 1] + number[i:]


def neighbour_key(random: Random, number: str) -> str:
    """The key beside the right one."""
    i = random.choice([i for i, d in enumerate(number) if d != "."])
    key = KEYS.index(number[i])
    return number[:i] + random.choice([KEYS[k] for k in (key - 1, key + 1) if 0 <= k < len(KEYS)]) + number[i + 1 :]


def _chart(sheet: Sheet, random: Random, fits: Callable[[Chart], bool]) -> Chart | None:
    """A chart that fits; one of airflows three times out of four where there is one."""
    found = [c for c in sheet.charts if fits(c)]
    first = [c for c in found if c.gives[0] in AIRFLOWS]
    return random.choice(first if first and random.random() < 0.75 else found) if found else None


def _exchange(sheet: Sheet, pairs: list[tuple[Cell, Cell]]) -> Changes:
    out = {}
    for a, b in pairs:
        if sheet.figures[a] != sheet.figures[b]:
            out[a], out[b] = sheet.figures[b], sheet.figures[a]
    return out


def swapped_rows(sheet: Sheet, random: Random) -> Changes:
    """The figures of two rows exchanged, neighbours two times out of three."""
    chart = _chart(sheet, random, lambda c: len(c.printed()) > 2)
    if chart is None:
        return {}
    rows = [r for r in chart.printed() if sheet.figures[(chart.name, r, 0)] != "none" or chart.gives[0] == "trim"]
    i = random.randrange(len(rows) - 1)
    a, b = (rows[i], rows[i + 1]) if random.random() < 2 / 3 else random.sample(rows, 2)
    return _exchange(sheet, [((chart.name, a, c), (chart.name, b, c)) for c in range(chart.columns)])


def swapped_columns(sheet: Sheet, random: Random) -> Changes:
    """The figures under two heads exchanged in every row, neighbours two times out of three."""
    chart = _chart(sheet, random, lambda c: len(c.heads_flat) > 1)
    if chart is None:
        return {}
    blocks = range(len(chart.heads_flat))
    i = random.randrange(len(blocks) - 1)
    a, b = (i, i + 1) if random.random() < 2 / 3 else random.sample(blocks, 2)
    n = len(chart.gives)
    return _exchange(
        sheet, [((chart.name, r, a * n + q), (chart.name, r, b * n + q)) for r in chart.printed() for q in range(n)]
    )


def shifted(sheet: Sheet, random: Random) -> Changes:
    """From some place on, the figures of a row or a column moved one place: one typed twice or left out, or the end
    carried to the front."""
    chart = _chart(sheet, random, lambda c: len(c.heads_flat) > 2 or len(c.printed()) > 3)
    if chart is None:
        return {}
    n, heads, rows = len(chart.gives), len(chart.heads_flat), chart.printed()
    along = (random.random() < 0.5 and heads > 2) or len(rows) <= 3
    if along:
        row, q = random.choice(rows), random.randrange(n)
        line = [(chart.name, row, h * n + q) for h in range(heads)]
    else:
        column = random.randrange(chart.columns)
        line = [(chart.name, r, column) for r in rows]
    line = [c for c in line if sheet.figures[c] != "none"]
    line = line[random.randrange(len(line) - 2) :]
    was = [sheet.figures[c] for c in line]
    typed = random.choice((was[:1] + was[:-1], was[1:] + was[-1:], was[1:] + was[:1]))
    return {c: t for c, t, w in zip(line, typed, was, strict=True) if t != w}


def wrong_sign(sheet: Sheet, random: Random) -> Changes:
    """A plus for a minus, or the other way."""
    cells = [c for c in sorted(sheet.figures) if sheet.figures[c][0] in "+-" and sheet.figures[c] != BLANK]
    if not cells:
        return {}
    cell = random.choice(cells)
    text = sheet.figures[cell]
    return {cell: ("-" if text[0] == "+" else "+") + text[1:]}


def stage_order(sheet: Sheet, random: Random) -> Changes:
    """The figures of two stages exchanged: in one row, or (one time out of three) in all rows of a model."""
    chart = _chart(sheet, random, lambda c: any(n == "stage" for n, _ in c.heads))
    if chart is None:
        return {}
    n = len(chart.gives)
    first = random.choice([h for h, head in enumerate(chart.heads_flat) if head[-1] == chart.heads[-1][1][0]])
    rows = [random.choice(chart.printed())] if random.random() < 2 / 3 else chart.printed()
    return _exchange(
        sheet, [((chart.name, r, first * n + q), (chart.name, r, (first + 1) * n + q)) for r in rows for q in range(n)]
    )


def units_mixed(sheet: Sheet, random: Random) -> Changes:
    """One airflow in L/s among cfm, or cfm among L/s."""
    cells = [c for c in _figures(sheet, random) if sheet.quantity(c) in AIRFLOWS and not c[0].startswith("call ")]
    if not cells:
        return {}
    cell = random.choice(cells)
    factor = 1 / CFM_IN_LPS if sheet.airflow_unit == "L/s" else CFM_IN_LPS
    grain = random.choice((1, 5, 5))
    return {cell: str(round(sheet.number(cell) * factor / grain) * grain)}


def share_out_of_sense(sheet: Sheet, random: Random) -> Changes:
    """A share with its point moved, or a 1 typed before it."""
    cells = [c for c in sorted(sheet.figures) if sheet.quantity(c) == "share" and len(_parts(sheet.figures[c])[1]) == 2]
    if not cells:
        return {}
    cell = random.choice(cells)
    _, number, behind = _parts(sheet.figures[cell])
    return {cell: random.choice((f"{number[0]}.{number[1]}", f"1{number}")).removesuffix(".0") + behind}


def rise_not_matching(sheet: Sheet, random: Random) -> Changes:
    """An airflow, or the rise beside it, mistyped so that they don't match any more (by more than 1 F)."""
    chart = _chart(sheet, random, lambda c: len(c.gives) == 2)
    if chart is None:
        return {}
    for _ in range(20):
        cell = (chart.name, random.choice(chart.printed()), random.randrange(chart.columns))
        change = random.choice((transposed, neighbour_key, neighbour_key, dropped, doubled))
        text = change(random, sheet.figures[cell])
        if (
            text[:1] not in ("", "0")
            and text != sheet.figures[cell]
            and not rises_match(sheet.with_figures({cell: text}), chart, cell)
        ):
            return {cell: text}
    return {}


def rises_match(sheet: Sheet, chart: Chart, cell: Cell) -> bool:
    """Whether the rise printed at a cell, or beside it, is that of its airflow to 1 F."""
    column = cell[2] - cell[2] % 2
    airflow, rise = (sheet.number((chart.name, cell[1], column + q)) for q in (0, 1))
    head = chart.head(column)
    heat = sheet.heat_per_rise[(head.get("model", ""), head.get("stage", ""))]
    return airflow > 0 and abs(heat / airflow - rise) <= sheet.degree


KINDS: dict[str, Callable[[Sheet, Random], Changes]] = {
    "transposed digits": _digits(transposed),
    "dropped digit": _digits(dropped),
    "doubled digit": _digits(doubled),
    "wrong digit": _digits(neighbour_key),
    "swapped rows": swapped_rows,
    "swapped columns": swapped_columns,
    "shifted column": shifted,
    "wrong sign": wrong_sign,
    "stage order": stage_order,
    "units mixed": units_mixed,
    "share out of sense": share_out_of_sense,
    "rise not matching": rise_not_matching,
}
