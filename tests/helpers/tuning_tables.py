"""Tables with the irregularities of real charts, and slips made in them: what the review of slips is tuned on.

Everything is drawn from a seed. A chart is a grid of texts over a grid of smooth figures; `irregularity` is how far the
clean figures stray
from the smooth ones (a log), so that a slip can be called findable only where it goes beyond that.
"""

from __future__ import annotations

import dataclasses
import random
import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import product
from math import exp, log


@dataclass(frozen=True, kw_only=True, slots=True)
class Grid:
    """A chart to be written: rows of positions, heads, cells as typed, and the smooth figures behind the airflows."""

    name: str
    set: tuple[str, ...]
    positions: tuple[tuple[str, ...], ...]
    across: tuple[tuple[str, tuple[str, ...]], ...] = ()
    gives: tuple[str, ...] = ("airflow",)
    cells: tuple[tuple[str, ...], ...] = ()
    irregularity: float = 0.0
    smooth: tuple[tuple[float, ...], ...] = ()

    def text(self) -> list[str]:
        """Its lines under `charts:`."""
        lines = [f"  {self.name}:", f"    set: {' '.join(self.set)}"] if self.set else [f"  {self.name}:"]
        if self.across:
            lines.append("    across: {" + ", ".join(f"{k}: {' '.join(v)}" for k, v in self.across) + "}")
        lines += [f"    gives: {', '.join(self.gives)}", "    rows: |"]
        widths = [max(len(row[c]) for row in self.cells) for c in range(len(self.cells[0]))]
        for marks, row in zip(self.positions, self.cells, strict=True):
            lines.append(
                "      "
                + " ".join(f"{m:<3}" for m in marks)
                + "  "
                + " ".join(t.rjust(w) for t, w in zip(row, widths, strict=True))
            )
        return lines


@dataclass(frozen=True, kw_only=True, slots=True)
class Drawn:
    """A table: its head, its charts, its calls."""

    head: tuple[str, ...]
    grids: tuple[Grid, ...]
    calls: tuple[str, ...]

    def text(self) -> str:
        """The file."""
        return (
            "\n".join((*self.head, "charts:", *(line for grid in self.grids for line in grid.text()), *self.calls))
            + "\n"
        )

    def with_grid(self, at: int, grid: Grid) -> Drawn:
        """The same with one chart changed."""
        return dataclasses.replace(self, grids=(*self.grids[:at], grid, *self.grids[at + 1 :]))


@dataclass(frozen=True, kw_only=True, slots=True)
class Slip:
    """What was done to a clean table: `cells` are (row, column) of the chart that changed, none where a step of a call
    did.

    `findable` where it goes beyond the irregularity.
    """

    kind: str
    table: Drawn
    grid: int
    cells: tuple[tuple[int, int], ...]
    findable: bool


@dataclass(slots=True)
class Maker:
    """Draws tables."""

    random: random.Random
    parts: list[str] = field(default_factory=list)
    switches: int = 0
    boards: list[str] = field(default_factory=list)

    def rounded(self, value: float, step: int) -> int:
        return max(step, round(value / step) * step)

    def step(self) -> int:
        return self.random.choice((5, 5, 5, 10, 10, 10, 25, 25, 1))

    def bank(self, count: int) -> tuple[str, ...]:
        names = tuple(f"SW1-{self.switches + i + 1}" for i in range(count))
        self.switches += count
        return names

    def selector(self, kind: str, marks: Sequence[str]) -> str:
        name = f"{ {'jumper': 'J', 'dial': 'D', 'plug': 'P'}[kind] }{len(self.boards) + 1}"
        self.boards.append(f"  {name}: {{kind: {kind}, positions: {' '.join(marks)}, factory: {marks[0]}}}")
        return name

    def rows(self, size: int) -> tuple[tuple[str, ...], tuple[tuple[str, ...], ...]]:
        """Selectors and their positions, about `size` rows."""
        if size in (4, 8, 16) and self.switches + size.bit_length() <= 15 and self.random.random() < 0.7:
            k = size.bit_length() - 1
            order = [tuple(reversed(c)) for c in product(("OFF", "ON"), repeat=k)]
            if self.random.random() < 0.3:
                order = list(product(("OFF", "ON"), repeat=k))
            keep = size - (1 if k > 2 and self.random.random() < 0.3 else 0)
            return self.bank(k), tuple(order[:keep])
        kind = self.random.choice(("jumper", "dial"))
        marks = (
            [str(i) for i in range(1, size + 1)] if self.random.random() < 0.5 else list("ABCDEFGHKLMNPRSTUV"[:size])
        )
        return (self.selector(kind, marks),), tuple((m,) for m in marks)

    def levels(self, count: int) -> list[float]:
        """Row levels in logs: even or uneven, in order or not, the first perhaps the one as delivered."""
        low, high = log(self.random.uniform(500, 800)), log(self.random.uniform(1150, 1500))
        kind = self.random.random()
        if kind < 0.5:
            out = [
                low + (high - low) * (i + self.random.uniform(-0.12, 0.12)) / max(1, count - 1) for i in range(count)
            ]
        else:
            out = sorted(self.random.uniform(low, high) for _ in range(count))
        order = self.random.random()
        if order < 0.25:
            self.random.shuffle(out)
        elif order < 0.5:
            out.insert(0, out.pop(self.random.randrange(count)))
        elif order < 0.6:
            out.reverse()
        return out


def draw_table(seed: int) -> Drawn:
    """A clean table."""
    maker = Maker(random.Random(f"table {seed}"))
    rnd = maker.random
    sizes = rnd.choice(
        (
            [],
            ["024", "036", "048", "060"],
            ["060", "080", "110"],
            ["S70", "S100"],
            ["18", "24", "30", "36", "42"],
            ["A2", "B3", "C4"],
        )
    )
    grids: list[Grid] = []
    models = tuple(sizes)
    factors = [rnd.uniform(0.75, 1.0)]
    for _ in range(max(0, len(models) - 1)):
        factors.append(factors[-1] * rnd.uniform(1.12, 1.45))
    names = iter(("cooling airflow", "heating airflow", "heat pump airflow", "long ducts"))
    for _ in range(rnd.choice((1, 2, 2, 3))):
        style = rnd.random()
        name = next(names)
        if style < 0.2:
            grids.append(_taps(maker, name, models if rnd.random() < 0.3 else ()))
        elif style < 0.4 or not models:
            grids.append(_single(maker, name))
        else:
            grids.append(_by_model(maker, name, models, factors))
    if rnd.random() < 0.6:
        trims = rnd.choice(
            (
                ("none", "+6 %", "-6 %", "-12 %"),
                ("none", "+5 %", "-5 %", "-10 %"),
                ("none", "+10 %", "-10 %", "-15 %"),
                ("none", "-8 %", "+8 %", "-20 %"),
            )
        )
        switch = maker.bank(2)
        grids.append(
            Grid(
                name="adjustment",
                set=switch,
                positions=tuple(tuple(reversed(c)) for c in product(("OFF", "ON"), repeat=2)),
                gives=("trim",),
                cells=tuple((t,) for t in trims),
            )
        )
    if rnd.random() < 0.5:
        shares = sorted(rnd.sample(range(25, 101, 5), rnd.choice((3, 4))))
        selector = maker.selector("jumper", [str(i + 1) for i in range(len(shares))])
        grids.append(
            Grid(
                name="fan share",
                set=(selector,),
                positions=tuple((str(i + 1),) for i in range(len(shares))),
                gives=("share",),
                cells=tuple((f"{s} %",) for s in shares),
            )
        )
    plate: list[str] = []
    if models and rnd.random() < 0.6:
        grids.append(_heat(maker, models, plate))
    head = ["format: selector table 1", "unit:", "  title: Two-stage gas furnace", "  maker: Corvane"]
    if models:
        head.append(f"  models: {' '.join(models)}")
    pa = any(k == "static pressure" and v[-1] > "2" for g in grids for k, v in g.across)
    head += [
        "units: {airflow: cfm, pressure: Pa, temperature: F, heat: Btu/h}"
        if pa
        else "units: {airflow: cfm, temperature: F, heat: Btu/h}",
        *plate,
        "board:",
    ]
    if maker.switches:
        head.append(f"  SW1: {{kind: switches, count: {max(1, maker.switches)}, factory: all off}}")
    head += maker.boards
    calls = ["calls:"]
    trim = any(g.name == "adjustment" for g in grids)
    for g in grids:
        if "airflow" in g.gives:
            steps = [g.name] + (["adjustment"] if trim else [])
            calls += [f"  demand {g.name}:", f"    airflow: [{', '.join(steps)}]"]
            if any(k == "stage" for k, _ in g.across):
                calls.append("    stages: first second")
            elif rnd.random() < 0.4:
                calls[-1] = calls[-1].replace(
                    "]", f", share: {{first: {rnd.choice((65, 66, 67, 70, 70, 72, 75, 80))} %}}]"
                )
                calls.append("    stages: first second")
    if any(g.name == "fan share" for g in grids):
        calls += ["  fan:", f"    airflow: [call demand {grids[0].name}, fan share]"]
    elif rnd.random() < 0.6:
        least = f", at least: {rnd.choice((250, 300, 350, 400))}" if rnd.random() < 0.4 else ""
        calls += [
            "  fan:",
            (
                f"    airflow: [call demand {grids[0].name}, share: {rnd.choice((30, 35, 40, 45, 50, 50, 60, 70))}"
                f" %{least}]"
            ),
        ]
    if rnd.random() < 0.4:
        calls += [
            "  dehumidify:",
            f"    airflow: [call demand {grids[0].name}, share: {rnd.choice((75, 80, 85, 85, 90))} %]",
        ]
    return Drawn(head=tuple(head), grids=tuple(grids), calls=tuple(calls))


def _finish(
    maker: Maker, smooth: list[list[float]], noise: float, step: int
) -> tuple[list[list[int]], float, list[list[float]]]:
    """Rounded figures, their irregularity and the smooth ones, with an odd cell, clipping and repeats as pages have
    them."""
    rnd = maker.random
    grid = [[maker.rounded(v * exp(rnd.uniform(-noise, noise) * 1.3), step) for v in row] for row in smooth]
    if rnd.random() < 0.25:
        everything = sorted(v for row in grid for v in row)
        cap = everything[int(len(everything) * rnd.uniform(0.8, 0.95))]
        grid = [[min(v, cap) for v in row] for row in grid]
        smooth = [[min(v, cap) for v in row] for row in smooth]
    stray = max(abs(log(v / s)) for row, line in zip(grid, smooth, strict=True) for v, s in zip(row, line, strict=True))
    return grid, stray, smooth


def _by_model(maker: Maker, name: str, models: tuple[str, ...], factors: list[float]) -> Grid:
    rnd = maker.random
    size = rnd.choice((4, 4, 6, 8, 8, 10, 16))
    parts, positions = maker.rows(size)
    levels = maker.levels(len(positions))
    smooth = [[exp(level) * f for f in factors] for level in levels]
    if rnd.random() < 0.25:
        mean = sum(exp(v) for v in levels) / len(levels)
        smooth = [[exp(level) + mean * (f - 1) for f in factors] for level in levels]
        if min(v for row in smooth for v in row) < 250:
            smooth = [[exp(level) * f for f in factors] for level in levels]
    if rnd.random() < 0.2 and len(models) > 2:
        odd, slope, shift = rnd.randrange(len(models)), rnd.uniform(0.6, 1.3), rnd.uniform(0.9, 1.1)
        middle = sum(log(row[odd]) for row in smooth) / len(smooth)
        stray = rnd.choice((0.0, 0.0, 0.05))
        for row in smooth:
            row[odd] = exp(middle + (log(row[odd]) - middle) * slope + rnd.gauss(0, stray)) * shift
    across: tuple[tuple[str, tuple[str, ...]], ...] = (("model", models),)
    if rnd.random() < 0.25:
        low = rnd.uniform(0.62, 0.8)
        across = (("model", models), ("stage", ("first", "second")))
        smooth = [[v * s for v in row for s in (low, 1.0)] for row in smooth]
    if rnd.random() < 0.2 and len(smooth) > 4:
        a, b = rnd.sample(range(len(smooth)), 2)
        smooth[a] = list(smooth[b])
    grid, stray, smooth = _finish(maker, smooth, rnd.choice((0.0, 0.005, 0.01, 0.02, 0.03)), maker.step())
    return Grid(
        name=name,
        set=parts,
        positions=positions,
        across=across,
        cells=tuple(tuple(str(v) for v in row) for row in grid),
        irregularity=stray,
        smooth=tuple(map(tuple, smooth)),
    )


def _single(maker: Maker, name: str) -> Grid:
    rnd = maker.random
    style = rnd.random()
    noise = rnd.choice((0.0, 0.005, 0.01, 0.02))
    parts: tuple[str, ...]
    positions: tuple[tuple[str, ...], ...]
    if style < 0.4:
        a, b = rnd.choice(((5, 3), (4, 4), (4, 3), (6, 2)))
        first, second = (
            maker.selector("jumper", [str(i + 1) for i in range(a)]),
            maker.selector("jumper", list("abcd"[:b])),
        )
        base, up, side = rnd.uniform(500, 700), rnd.uniform(100, 220), rnd.uniform(40, 90)
        if rnd.random() < 0.5:
            smooth = [[base + up * i + side * j] for i in range(a) for j in range(b)]
        else:
            smooth = [[base * 1.2 ** (i * up / 150) * 1.06 ** (j * side / 60)] for i in range(a) for j in range(b)]
        parts, positions = (first, second), tuple((str(i + 1), "abcd"[j]) for i in range(a) for j in range(b))
        loose = False
    elif style < 0.7:
        size = rnd.choice((6, 7, 8, 10))
        marks = [str(i) for i in range(size)]
        parts, positions = (maker.selector("dial", marks),), tuple((m,) for m in marks)
        base, up = rnd.uniform(400, 700), rnd.uniform(60, 130)
        smooth = [[base + up * i] for i in range(size)]
        loose = False
    else:
        parts, positions = maker.rows(rnd.choice((4, 8, 8)))
        smooth = [[exp(v)] for v in maker.levels(len(positions))]
        loose = True
    grid, stray, smooth = _finish(maker, smooth, noise, maker.step())
    if loose:
        logs = [log(row[0]) for row in grid]
        stray = max(logs) - min(logs)
        middle = sum(logs) / len(logs)
        smooth = [[exp(middle)] for _ in grid]
    return Grid(
        name=name,
        set=parts,
        positions=positions,
        cells=tuple((str(v),) for (v,) in grid),
        irregularity=stray,
        smooth=tuple(map(tuple, smooth)),
    )


def _taps(maker: Maker, name: str, models: tuple[str, ...]) -> Grid:
    rnd = maker.random
    size = rnd.choice((4, 5, 5, 6, 8))
    parts, positions = maker.rows(size)
    points = rnd.choice(
        (
            ("0.1", "0.3", "0.5", "0.7", "0.9"),
            ("0.2", "0.4", "0.6", "0.8"),
            ("25", "75", "125", "175", "225"),
            ("0.1", "0.2", "0.3", "0.4", "0.5", "0.6"),
        )
    )
    base, up, droop = rnd.uniform(600, 800), rnd.uniform(100, 200), rnd.uniform(80, 250)
    smooth = []
    for i in range(len(positions)):
        row = []
        for m in range(max(1, len(models))):
            for j in range(len(points)):
                share = j / (len(points) - 1)
                row.append((base + up * i) * (1 + 0.2 * m) - droop * (0.6 * share + 0.4 * share**2) * (1.3 - 0.1 * i))
        smooth.append(row)
    grid, stray, smooth = _finish(maker, smooth, rnd.choice((0.0, 0.004, 0.008)), rnd.choice((5, 5, 10)))
    across: tuple[tuple[str, tuple[str, ...]], ...] = (("static pressure", points),)
    if models:
        across = (("model", models), *across)
    return Grid(
        name=name,
        set=parts,
        positions=positions,
        across=across,
        cells=tuple(tuple(str(v) for v in row) for row in grid),
        irregularity=stray,
        smooth=tuple(map(tuple, smooth)),
    )


def _heat(maker: Maker, models: tuple[str, ...], plate: list[str]) -> Grid:
    rnd = maker.random
    parts, positions = maker.rows(rnd.choice((2, 4, 4)) if maker.switches < 12 else 4)
    inputs = [rnd.choice((40000, 45000, 60000))]
    for _ in models[1:]:
        inputs.append(inputs[-1] + rnd.choice((15000, 20000, 25000)))
    efficiency = rnd.choice((0.8, 0.92, 0.95))
    plate += [
        "ratings:",
        f"  heat input: {{{', '.join(f'{m}: {i}' for m, i in zip(models, inputs, strict=True))}}}",
        f"  efficiency: {round(efficiency * 100)} %",
        "  temperature rise: 25 to 70",
    ]
    rises = [rnd.uniform(40, 62) for _ in positions]
    step = rnd.choice((5, 10))
    cells, smooth = [], []
    for rise in rises:
        row: list[str] = []
        line: list[float] = []
        for heat in inputs:
            target = rise * rnd.uniform(0.97, 1.03)
            flow = maker.rounded(heat * efficiency / 1.08 / target, step)
            printed = round(heat * efficiency / 1.08 / flow)
            row += [str(flow), str(printed)]
            line += [float(flow), float(printed)]
        cells.append(tuple(row))
        smooth.append(tuple(line))
    return Grid(
        name="gas heat",
        set=parts,
        positions=positions,
        across=(("model", models),),
        gives=("airflow", "temperature rise"),
        cells=tuple(cells),
        irregularity=0.03,
        smooth=tuple(smooth),
    )


KINDS = (
    "transposed",
    "dropped",
    "doubled",
    "substituted",
    "rows swapped",
    "columns swapped",
    "pair swapped",
    "column shifted",
    "part of a column",
    "row shifted",
    "columns shifted",
    "sign",
    "unit",
    "unit row",
    "unit column",
    "stage order",
    "share",
    "step share",
)


def make_slip(seed: int, kind: str = "") -> Slip | None:
    """A table with one slip; None where this table has no room for this kind."""
    clean = draw_table(seed)
    rnd = random.Random(f"slip {seed} {kind}")
    kind = kind or rnd.choice(KINDS)
    if kind == "step share":
        return _slip_in_step(rnd, clean)
    wanted = {"sign": "trim", "share": "share"}.get(kind, "airflow")
    usable = [i for i, g in enumerate(clean.grids) if wanted in g.gives]
    if not usable:
        return None
    at = rnd.choice(usable)
    grid = clean.grids[at]
    rows = [list(row) for row in grid.cells]
    r, c = rnd.randrange(len(rows)), rnd.randrange(len(rows[0]))
    if "temperature rise" in grid.gives and kind not in ("transposed", "dropped", "doubled", "substituted"):
        c -= c % 2
    changed: list[tuple[int, int]] = [(r, c)]
    text = rows[r][c]
    if kind in ("transposed", "dropped", "doubled", "substituted", "share"):
        digits = text.split()[0]
        if not digits.isdecimal():
            return None
        i = rnd.randrange(len(digits))
        if kind == "transposed":
            pairs = [k for k in range(len(digits) - 1) if digits[k] != digits[k + 1] and (k or digits[1] != "0")]
            if not pairs:
                return None
            i = rnd.choice(pairs)
            new = digits[:i] + digits[i + 1] + digits[i] + digits[i + 2 :]
        elif kind == "dropped" or (kind == "share" and rnd.random() < 0.5):
            new = digits[:i] + digits[i + 1 :]
            if not new or new[0] == "0":
                return None
        elif kind == "substituted":
            new = (
                digits[:i]
                + rnd.choice([d for d in "0123456789" if d != digits[i] and (i or d != "0")])
                + digits[i + 1 :]
            )
        else:
            new = digits[:i] + digits[i] + digits[i:]
        rows[r][c] = text.replace(digits, new, 1)
    elif kind == "sign":
        if text[0] not in "+-":
            return None
        rows[r][c] = ("-" if text[0] == "+" else "+") + text[1:]
    elif kind == "unit":
        rows[r][c] = str(round(int(text) * 0.4719474432))
    elif kind == "unit column":
        if len(rows) < 2 or len(rows[0]) // len(grid.gives) < 3:
            return None
        changed = [(x, c) for x in range(len(rows))]
        for row in rows:
            row[c] = str(round(int(row[c]) * 0.4719474432))
    elif kind == "unit row":
        step = 2 if "temperature rise" in grid.gives else 1
        changed = [(r, k) for k in range(0, len(rows[r]), step)]
        for _, k in changed:
            rows[r][k] = str(round(int(rows[r][k]) * 0.4719474432))
    elif kind == "rows swapped":
        other = rnd.randrange(len(rows))
        rows[r], rows[other] = rows[other], rows[r]
        changed = [(x, k) for x in (r, other) for k in range(len(rows[0]))]
    elif kind == "columns swapped":
        step = len(grid.gives)
        if len(grid.across) > 1 and rnd.random() < 0.6:
            step *= len(grid.across[1][1])
        count = len(rows[0]) // step
        if count < 2:
            return None
        a = rnd.randrange(count - 1)
        for row in rows:
            one, two = row[a * step : a * step + step], row[a * step + step : a * step + 2 * step]
            row[a * step : a * step + 2 * step] = two + one
        changed = [(x, k) for x in range(len(rows)) for k in range(a * step, a * step + 2 * step)]
    elif kind == "pair swapped":
        step = len(grid.gives)
        if rnd.random() < 0.5 and len(rows[0]) > step:
            d = c - step if c >= step else c + step
            rows[r][c], rows[r][d] = rows[r][d], rows[r][c]
            changed = [(r, c), (r, d)]
        elif len(rows) > 1:
            d = r - 1 if r else r + 1
            rows[r][c], rows[d][c] = rows[d][c], rows[r][c]
            changed = [(r, c), (d, c)]
    elif kind in ("column shifted", "part of a column"):
        if len(rows) < (3 if kind == "column shifted" else 4):
            return None
        c = rnd.randrange(len(rows[0]))
        start = rnd.randrange(1, len(rows) - 2) if kind == "part of a column" else 0
        step = len(grid.gives) if rnd.random() < 0.6 else 1
        changed = []
        for k in (c, c + 1 - 2 * (c % 2)) if len(grid.gives) > 1 and step > 1 else (c,):
            column = [row[k] for row in rows]
            moved = _shifted(rnd, column, start)
            changed += [(x, k) for x in range(len(rows)) if column[x] != moved[x]]
            for row, value in zip(rows, moved, strict=True):
                row[k] = value
    elif kind == "row shifted":
        step = len(grid.gives)
        if len(rows[0]) // step < 3:
            return None
        start = rnd.randrange(len(rows[0]) // step - 2)
        state = rnd.getstate()
        for q in range(step):
            rnd.setstate(state)
            rows[r][q::step] = _shifted(rnd, rows[r][q::step], start)
        changed = [(r, k) for k in range(len(rows[0])) if rows[r][k] != grid.cells[r][k]]
    elif kind == "columns shifted":
        step = len(grid.gives)
        if len(rows[0]) // step < 3:
            return None
        c = rnd.randrange(len(rows[0]) // step - 1)
        for row in rows:
            row[(c + 1) * step :] = row[c * step : -step]
        changed = [(x, k) for x in range(len(rows)) for k in range((c + 1) * step, len(rows[0]))]
    elif kind == "stage order":
        if not any(k == "stage" for k, _ in grid.across):
            return None
        c -= c % 2
        rows[r][c], rows[r][c + 1] = rows[r][c + 1], rows[r][c]
        changed = [(r, c), (r, c + 1)]
    new_rows = tuple(tuple(row) for row in rows)
    if new_rows == grid.cells:
        return None
    findable = kind in ("sign", "share")
    for x, k in changed:
        before, after = grid.cells[x][k].split()[0], new_rows[x][k].split()[0]
        if before.isdecimal() and after.isdecimal() and int(after) > 0:
            beyond = 1.0 if grid.smooth and kind != "rows swapped" else 0.0
            if kind not in ("sign", "share") and abs(log(int(after) / int(before))) > 0.05 and beyond:
                findable = findable or abs(log(int(after) / grid.smooth[x][k])) > grid.irregularity
    if kind == "rows swapped":
        findable = _out_of_order(grid.cells, new_rows)
    if kind == "sign":
        values = [row[0] for row in new_rows]
        findable = values.count(rows[r][c]) > 1
    if kind == "share":
        number = float(rows[r][c].split()[0])
        findable = not 20 <= number <= 100
    return Slip(
        kind=kind,
        table=clean.with_grid(at, dataclasses.replace(grid, cells=new_rows)),
        grid=at,
        cells=tuple(changed),
        findable=findable,
    )


def _slip_in_step(rnd: random.Random, clean: Drawn) -> Slip | None:
    """A digit of a share in a step dropped, doubled, added, or its point misplaced, so that the share is out of
    sense."""
    found = [(n, m) for n, line in enumerate(clean.calls) for m in re.finditer(r"(\d+) %", line)]
    if not found:
        return None
    at, match = rnd.choice(found)
    digits = match.group(1)
    made = [
        digits[0],
        digits[1],
        digits[0] + digits,
        digits + digits[1],
        f"{digits[0]}.{digits[1]}",
        "1" + digits,
        digits[1] + digits[0],
    ]
    usable = [t for t in made if t not in ("0", digits) and not t.startswith("0") and not 20 <= float(t) <= 105]
    if not usable:
        return None
    line = clean.calls[at]
    typed = line[: match.start(1)] + rnd.choice(usable) + line[match.end(1) :]
    return Slip(
        kind="step share",
        table=dataclasses.replace(clean, calls=(*clean.calls[:at], typed, *clean.calls[at + 1 :])),
        grid=-1,
        cells=(),
        findable=True,
    )


def _shifted(rnd: random.Random, line: list[str], start: int) -> list[str]:
    """A line of figures typed one place off from `start` on: a figure left out or typed twice, the end blank,
    repeated or what was left over."""
    if rnd.random() < 0.5:
        return [
            *line[:start],
            *([line[start]] if start or rnd.random() < 0.7 else [rnd.choice(("-", line[-1]))]),
            *line[start:-1],
        ]
    rest = [*line[:start], *line[start + 1 :]]
    style = rnd.random()
    return [*rest, "-" if style < 0.4 else line[start] if style < 0.6 else line[-1]]


def _out_of_order(before: tuple[tuple[str, ...], ...], after: tuple[tuple[str, ...], ...]) -> bool:
    """True where the rows rise (or fall) one after another and a swap of more than 5 % breaks that."""
    old, new = [int(row[-1].split()[0]) for row in before], [int(row[-1].split()[0]) for row in after]
    if len(old) < 5 or (old != sorted(old) and old != sorted(old, reverse=True)):
        return False
    return max(abs(log(a / b)) for a, b in zip(old, new, strict=True)) > 0.08
