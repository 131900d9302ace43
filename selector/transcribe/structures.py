"""What the other figures of a panel say a figure ought to be, by several ways a chart can hang together.

A structure is fitted with some cells left out and foretells them; how well it foretells the cells that stayed says how far to trust it.
Densities are those of the log of a figure, so that structures in logs and in plain figures compare.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from math import exp, log, sqrt

from selector.transcribe.robust import Design, Fit, fit_effects, log_t, median

_FREEDOM = 7.0
"""Degrees of freedom of what is foretold: pages have odd figures now and then."""
_TRUST = 0.6
"""How much a structure's record counts when it is weighed against the others."""
_LOG_SCALE = 0.012
"""Irregularity that a few figures are taken to have, relative (tuned on tables of our own)."""


@dataclass(frozen=True, slots=True)
class Guess:
    """One structure's foretelling of one cell: `middle` and `scale` in logs or in plain figures; `low`, `high` where figures are clipped."""

    weight: float
    middle: float
    scale: float
    logs: bool
    freedom: float = 0.0
    low: float | None = None
    high: float | None = None

    def log_density(self, value: float) -> float:
        """Log of the density of the log of a figure."""
        if value <= 0:
            return -60.0
        middle = self.middle
        if self.logs:
            if self.high is not None and middle > log(self.high):
                middle = log(self.high)
            if self.low is not None and middle < log(self.low):
                middle = log(self.low)
            return log_t(log(value) - middle, self.scale, self.freedom or _FREEDOM)
        if self.high is not None and middle > self.high:
            middle = self.high
        if self.low is not None and middle < self.low:
            middle = self.low
        return log_t(value - middle, self.scale, self.freedom or _FREEDOM) + log(value)

    @property
    def figure(self) -> float:
        """The foretold figure."""
        return exp(min(self.middle, 30.0)) if self.logs else self.middle


@dataclass(frozen=True, slots=True)
class Foretold:
    """What all structures say of one cell."""

    guesses: tuple[Guess, ...]

    def log_density(self, value: float) -> float:
        """Log of the weighed density."""
        parts = [(log(g.weight) if g.weight > 0 else -700.0) + g.log_density(value) for g in self.guesses]
        top = max(parts)
        return top + log(sum(exp(p - top) for p in parts))

    @property
    def best(self) -> Guess:
        """The structure trusted most."""
        return max(self.guesses, key=lambda g: g.weight)


@dataclass(slots=True)
class Sheet:
    """A panel as plain numbers with everything the structures need. `axis` are the numbers along the last head where figures run on along it;
    `loose` figures follow no pattern but a common level.
    """

    values: list[float | None]
    width: int
    row_keys: Sequence[tuple[int, ...]] = ()
    head_labels: Sequence[tuple[str, ...]] = ()
    axis: Sequence[float] = ()
    step: float = 5.0
    ordered_rows: bool = False
    loose: bool = False
    context: Sequence[Sequence[float | None]] = ()
    spread: float = 0.25
    designs: list[tuple[str, Design, bool, int]] = field(default_factory=list)
    high: list[float | None] = field(default_factory=list)
    low: list[float | None] = field(default_factory=list)
    starts: dict[tuple[int, bool], Fit] = field(default_factory=dict)
    active: frozenset[int] | None = None

    def __post_init__(self) -> None:
        self.designs = [] if self.loose else list(_designs(self))
        self.high, self.low = _clips(self)

    @property
    def height(self) -> int:
        """Rows."""
        return len(self.values) // self.width if self.width else 0


def _clips(sheet: Sheet) -> tuple[list[float | None], list[float | None]]:
    """For each column the greatest and the least figure where it is repeated (a clipped figure); a figure that repeats over the panel too."""
    columns = [[v for v in sheet.values[c :: sheet.width] if v is not None] for c in range(sheet.width)]
    everything = [v for column in columns for v in column]
    high: list[float | None] = []
    low: list[float | None] = []
    top, bottom = (max(everything), min(everything)) if everything else (0.0, 0.0)
    for column in columns:
        greatest, least = (max(column), min(column)) if column else (0.0, 0.0)
        high.append(greatest if column and (column.count(greatest) > 1 or (greatest == top and everything.count(top) > 1)) else None)
        low.append(least if column and greatest > least and (column.count(least) > 2 or (least == bottom and everything.count(bottom) > 3)) else None)
    return high, low


def _designs(sheet: Sheet) -> list[tuple[str, Design, bool, int]]:
    """(name, design, in logs, rows of other charts) of every sum of effects that has cells to spare."""
    height, width = sheet.height, sheet.width
    n = height * width
    rows, columns = tuple(i // width for i in range(n)), tuple(i % width for i in range(n))
    out: list[tuple[str, Design, bool, int]] = []

    def add(name: str, labels: Sequence[Sequence[int]], logs: tuple[bool, ...] = (True, False), extra: int = 0) -> None:
        design = Design(tuple(tuple(f) for f in labels), tuple(max(f) + 1 for f in labels))
        if len(labels[0]) - sum(design.levels) + len(labels) - 1 >= 1:
            out.extend((name, design, in_logs, extra) for in_logs in logs)

    if height > 1 and width > 1:
        add("rows and columns", (rows, columns))
    keys = [_numbered([k[i] for k in sheet.row_keys]) for i in range(len(sheet.row_keys[0]))] if sheet.row_keys and sheet.row_keys[0] else []
    keys = [k for k in keys if max(k, default=0) > 0]
    if len(keys) > 1:
        spread_keys = [tuple(k[i // width] for i in range(n)) for k in keys]
        add("positions and columns" if width > 1 else "positions", [*spread_keys, columns] if width > 1 else spread_keys)
    if sheet.head_labels and len(sheet.head_labels[0]) > 1:
        first = _numbered([h[:-1] for h in sheet.head_labels])
        last = _numbered([h[-1:] for h in sheet.head_labels])
        if max(first) > 0 and max(last) > 0:
            f, b = [first[i % width] for i in range(n)], [last[i % width] for i in range(n)]
            add("rows by inner heads", ([r * (max(last) + 1) + x for r, x in zip(rows, b, strict=True)], columns))
            add("rows by outer heads", ([r * (max(first) + 1) + x for r, x in zip(rows, f, strict=True)], columns))
    if sheet.context and width > 1:
        more = len(sheet.context)
        total = n + more * width
        add("the other charts", ([i // width for i in range(total)], [i % width for i in range(total)]), (True,), more)
    return out


def _numbered(words: Sequence[object]) -> list[int]:
    seen: dict[object, int] = {}
    return [seen.setdefault(w, len(seen)) for w in words]


_DELIVERED = 0.25
_OUT_OF_LINE = 0.02
_HOPELESS = 40.0
"""A structure this much worse than the best on all cells isn't asked again when a few are left out."""


def foretell(sheet: Sheet, left_out: frozenset[int], targets: Sequence[int]) -> tuple[dict[int, Foretold], float]:
    """What the structures say of the target cells when `left_out` are not looked at, and the score of the best structure on the cells that stayed."""
    if sheet.active is None and left_out:
        scores = {at: made[0] for at, made in _ask(sheet, frozenset(), ())}
        most = max(scores.values())
        sheet.active = frozenset(at for at, score in scores.items() if score > most - _HOPELESS)
    found = [made for _, made in _ask(sheet, left_out, targets)]
    top = max(score for score, _ in found)
    weights = [exp(_TRUST * (score - top)) for score, _ in found]
    out: dict[int, Foretold] = {}
    for n in targets:
        guesses = [(w, guesses[n]) for w, (_, guesses) in zip(weights, found, strict=True) if n in guesses]
        total = sum(w for w, _ in guesses)
        if sheet.width == 1 and guesses:
            # a row may be out of line with the others, most often the first, as delivered
            level = max(guesses[0][0], total * (_OUT_OF_LINE if n else _DELIVERED))
            guesses[0] = (level, guesses[0][1])
            total = sum(w for w, _ in guesses)
        c = n % sheet.width
        out[n] = Foretold(
            tuple(Guess(w / total, g.middle, g.scale, g.logs, g.freedom, sheet.low[c], sheet.high[c]) for w, g in guesses if w / total > 1e-9)
        )
    return out, top


def _ask(sheet: Sheet, left_out: frozenset[int], targets: Sequence[int]) -> Iterator[tuple[int, tuple[float, dict[int, Guess]]]]:
    """Every structure by its number, with its score and its guesses; those found hopeless before are passed over, but never the plain level."""
    asked = sheet.active
    yield -1, _level(sheet, left_out, targets)
    for at, (_, design, logs, extra) in enumerate(sheet.designs):
        if asked is None or at in asked:
            made = _additive(sheet, design, logs, extra, left_out, targets)
            if made is not None:
                yield at, made
    if sheet.loose:
        return
    others: tuple[Callable[[], tuple[float, dict[int, Guess]] | None], ...] = (
        lambda: _affine(sheet, left_out, targets),
        lambda: _along_rows(sheet, left_out, targets, logs=False),
        lambda: _along_rows(sheet, left_out, targets, logs=True),
        lambda: _along_axis(sheet, left_out, targets, curved=False),
        lambda: _along_axis(sheet, left_out, targets, curved=True),
    )
    for at, ask in enumerate(others, start=len(sheet.designs)):
        if asked is None or at in asked:
            made = ask()
            if made is not None:
                yield at, made


def _kept(sheet: Sheet, left_out: frozenset[int]) -> list[int]:
    return [i for i, v in enumerate(sheet.values) if v is not None and v > 0 and i not in left_out]


def _score(sheet: Sheet, n: int, deviation: float, scale: float, logs: bool) -> float:
    """Log density of a cell foretold from the others; a clipped one can't be far off."""
    value = sheet.values[n]
    assert value is not None
    c = n % sheet.width
    if (value == sheet.high[c] and deviation < 0) or (value == sheet.low[c] and deviation > 0):
        deviation = 0.0
    return log_t(deviation, scale, _FREEDOM) + (0.0 if logs else log(value))


def _level(sheet: Sheet, left_out: frozenset[int], targets: Sequence[int]) -> tuple[float, dict[int, Guess]]:
    """Figures of a column lie about one level."""
    kept = _kept(sheet, left_out)
    logs = {i: log(sheet.values[i] or 1.0) for i in kept}
    columns: list[list[float]] = [[] for _ in range(sheet.width)]
    for i, z in logs.items():
        columns[i % sheet.width].append(z)
    all_logs = list(logs.values())
    overall = median(all_logs) if all_logs else log(1000.0)
    between = _sigma(all_logs, overall, sheet.spread * 1.5, 3)
    level = [median(c) if c else overall for c in columns]
    within = _sigma([z - level[i % sheet.width] for i, z in logs.items()], 0.0, sheet.spread, 3 - sheet.width)
    score = sum(log_t((z - level[i % sheet.width]) * _unbias(len(columns[i % sheet.width])), within * 1.1, _FREEDOM) for i, z in logs.items())
    guesses = {}
    for n in targets:
        have = len(columns[n % sheet.width])
        scale = within * sqrt(1 + 1 / have) if have else between
        guesses[n] = Guess(1.0, level[n % sheet.width], scale, True)
    return score, guesses


def _unbias(count: int) -> float:
    return count / (count - 1) if count > 1 else 1.0


def _sigma(values: Sequence[float], middle: float, prior: float, less: int) -> float:
    squares = sum((v - middle) ** 2 for v in values)
    return sqrt((3 * prior * prior + squares) / (3 + max(0, len(values) + less - 3)))


def _additive(
    sheet: Sheet, design: Design, logs: bool, extra: int, left_out: frozenset[int], targets: Sequence[int]
) -> tuple[float, dict[int, Guess]] | None:
    values: list[float | None] = []
    for i, v in enumerate(sheet.values):
        values.append(None if v is None or v <= 0 or i in left_out else log(v) if logs else v)
    own = len(values)
    if extra:
        for row in sheet.context:
            values.extend(None if v is None or v <= 0 else log(v) for v in row)
    numbers = [v for v in sheet.values if v is not None and v > 0]
    if len(numbers) - len(left_out) < 3:
        return None
    size = median(numbers)
    prior = max(_LOG_SCALE, 0.35 * sheet.step / size) * (1.0 if logs else size)
    high = [v is not None and v == sheet.high[i % sheet.width] for i, v in enumerate(sheet.values)] + [False] * (len(values) - own)
    low = [v is not None and v == sheet.low[i % sheet.width] for i, v in enumerate(sheet.values)] + [False] * (len(values) - own)
    start = sheet.starts.get((id(design), logs))
    fit = fit_effects(values, design, prior_scale=prior, high=high, low=low, start=start, sweeps=6 if start else 20)
    if start is None and not left_out:
        sheet.starts[id(design), logs] = fit
    if fit.freedom < 1:
        return None
    scales = _column_scales(values[:own], fit, sheet.width)
    score = 0.0
    for i in range(own):
        z = values[i]
        if z is not None:
            pull = min(fit.leverage[i], 0.8)
            score += _score(sheet, i, (z - fit.fitted[i]) / (1 - pull), scales[i % sheet.width] / sqrt(1 - pull), logs)
    guesses = {}
    for n in targets:
        loose = 0.0
        if sheet.width > 1 and _clipped_row(sheet, n):
            loose = 0.06 if logs else 0.06 * size * size
        scale = sqrt(scales[n % sheet.width] ** 2 * (1 + max(0.0, fit.leverage[n])) + fit.extra[n] + loose)
        guesses[n] = Guess(1.0, fit.fitted[n], scale, logs)
    return score, guesses


def _clipped_row(sheet: Sheet, n: int) -> bool:
    """True where every other figure of the row is clipped: the row's level is known from below only."""
    start = n - n % sheet.width
    others = [(i, sheet.values[i]) for i in range(start, start + sheet.width) if i != n and sheet.values[i] is not None]
    return bool(others) and all(v == sheet.high[i % sheet.width] for i, v in others)


def _column_scales(values: Sequence[float | None], fit: Fit, width: int) -> list[float]:
    """Sigma of each column: that of the whole fit, more where a column strays more than the others (one odd model)."""
    out: list[float] = []
    for c in range(width):
        left = [v - fit.fitted[i] for i, v in enumerate(values) if v is not None and i % width == c]
        total = sum(min(r * r, 16 * fit.scale**2) for r in left)
        out.append(max(fit.scale, sqrt((4 * fit.scale**2 + total) / (4 + max(0.5, (len(left) - 1) * fit.freedom / (fit.freedom + width))))))
    return out


def _affine(sheet: Sheet, left_out: frozenset[int], targets: Sequence[int]) -> tuple[float, dict[int, Guess]] | None:
    """Each column is a straight line in the rows' level: one odd model fits as well as the others."""
    height, width = sheet.height, sheet.width
    if height < 5 or width < 2:
        return None
    kept = set(_kept(sheet, left_out))
    z = {i: log(sheet.values[i] or 1.0) for i in kept}
    base: list[float] = []
    for c in range(width):
        column = [z[i] for i in range(c, height * width, width) if i in kept]
        if len(column) < 4:
            return None
        base.append(median(column))
    score = 0.0
    guesses: dict[int, Guess] = {}
    size = median([sheet.values[i] or 1.0 for i in kept])
    prior = max(_LOG_SCALE, 0.35 * sheet.step / size)
    for c in range(width):
        xs: list[float | None] = []
        for r in range(height):
            others = [z[r * width + k] - base[k] for k in range(width) if k != c and r * width + k in kept]
            xs.append(median(others) if others else None)
        pairs = [(x, z[r * width + c], r) for r, x in enumerate(xs) if x is not None and r * width + c in kept]
        if len(pairs) < 4:
            return None
        a, b, scale, mean, squares = _line(pairs, prior)
        for x, y, r in pairs:
            n = r * width + c
            pull = min(0.8, 1 / len(pairs) + (x - mean) ** 2 / squares)
            score += _score(sheet, n, (y - a - b * x) / (1 - pull), scale / sqrt(1 - pull), True)
        for n in targets:
            if n % width == c:
                at = xs[n // width]
                if at is not None and not _clipped_row(sheet, n):
                    guesses[n] = Guess(1.0, a + b * at, scale * sqrt(1 + 1 / len(pairs) + (at - mean) ** 2 / squares), True)
        for r in range(height):
            if xs[r] is None and r * width + c in kept:
                score += log_t(z[r * width + c] - base[c], sheet.spread, _FREEDOM)
    return score, guesses


def _line(pairs: Sequence[tuple[float, float, int]], prior: float) -> tuple[float, float, float, float, float]:
    """Intercept, slope, sigma, mean of x, sum of squares of x, by weights of Student's t; the slope is drawn towards 1."""
    weights = [1.0] * len(pairs)
    a, b, variance = 0.0, 1.0, 0.0
    mean = squares = 0.0
    for _ in range(8):
        total = sum(weights)
        mean = sum(w * x for w, (x, _, _) in zip(weights, pairs, strict=True)) / total
        middle = sum(w * y for w, (_, y, _) in zip(weights, pairs, strict=True)) / total
        squares = sum(w * (x - mean) ** 2 for w, (x, _, _) in zip(weights, pairs, strict=True)) + 1e-6
        stiff = (variance or prior * prior) / 0.09
        b = (sum(w * (x - mean) * (y - middle) for w, (x, y, _) in zip(weights, pairs, strict=True)) + stiff) / (squares + stiff)
        a = middle - b * mean
        left = [y - a - b * x for x, y, _ in pairs]
        if not variance:
            variance = prior * prior + (median([abs(r) for r in left]) * 1.5) ** 2
        weights = [5 / (4 + r * r / variance) for r in left]
        variance = (3 * prior * prior + sum(w * r * r for w, r in zip(weights, left, strict=True))) / (3 + len(pairs) - 2)
    return a, b, sqrt(variance), mean, squares


def _along_rows(sheet: Sheet, left_out: frozenset[int], targets: Sequence[int], *, logs: bool) -> tuple[float, dict[int, Guess]] | None:
    """A single column runs on evenly from row to row."""
    if sheet.width != 1 or sheet.height < 5 or not sheet.ordered_rows:
        return None
    kept = _kept(sheet, left_out)
    z = {i: (log(sheet.values[i] or 1.0) if logs else sheet.values[i] or 0.0) for i in kept}
    rows = sorted(z)
    if len(rows) < 4:
        return None
    return _smooth(sheet, [(rows, [float(r) for r in rows], z)], targets, dict.fromkeys(targets, 0), {n: float(n) for n in targets}, logs)


def _along_axis(sheet: Sheet, left_out: frozenset[int], targets: Sequence[int], *, curved: bool) -> tuple[float, dict[int, Guess]] | None:
    """Figures run on along static pressure or another number at the top; `curved` takes out the bend that all rows share."""
    width = sheet.width
    if len(sheet.axis) < 3:
        return None
    m = len(sheet.axis)
    blocks = width // m
    kept = _kept(sheet, left_out)
    values = {i: sheet.values[i] or 0.0 for i in kept}
    bend = [0.0] * m
    if curved:
        lines: dict[int, list[float]] = {}
        for i in kept:
            j = i % m
            if 0 < j < m - 1 and i - 1 in values and i + 1 in values:
                share = (sheet.axis[j] - sheet.axis[j - 1]) / (sheet.axis[j + 1] - sheet.axis[j - 1])
                lines.setdefault(j, []).append(values[i] - values[i - 1] * (1 - share) - values[i + 1] * share)
        if not lines:
            return None
        # second differences per axis step, summed up twice: a curve that has each bend where the rows have it
        slope = 0.0
        for j in range(1, m - 1):
            left, right = sheet.axis[j] - sheet.axis[j - 1], sheet.axis[j + 1] - sheet.axis[j]
            hang = median(lines[j]) if j in lines else 0.0
            slope -= hang * (left + right) / (left * right)
            bend[j + 1] = bend[j] + slope * right
    series: list[tuple[list[int], list[float], dict[int, float]]] = []
    home: dict[int, int] = {}
    at: dict[int, float] = {}
    for r in range(sheet.height):
        for k in range(blocks):
            start = r * width + k * m
            cells = [start + j for j in range(m) if start + j in values]
            for j in range(m):
                home[start + j] = len(series)
                at[start + j] = sheet.axis[j]
            series.append((cells, [sheet.axis[c - start] for c in cells], {c: values[c] - bend[c - start] for c in cells}))
    made = _smooth(sheet, series, targets, home, at, logs=False)
    if made is None or not curved:
        return made
    score, guesses = made
    return score, {n: Guess(g.weight, g.middle + bend[n % m], g.scale, g.logs) for n, g in guesses.items()}


def _smooth(
    sheet: Sheet,
    series: Sequence[tuple[list[int], list[float], dict[int, float]]],
    targets: Sequence[int],
    home: dict[int, int],
    at: dict[int, float],
    logs: bool,
) -> tuple[float, dict[int, Guess]] | None:
    """Each cell foretold by the straight line through its two neighbours (or the nearest two), with one sigma for all."""
    deviations: list[tuple[int, float, float]] = []
    for cells, xs, z in series:
        for k, n in enumerate(cells):
            made = _from_neighbours(cells, xs, z, xs[k], skip=k)
            if made is not None:
                deviations.append((n, z[n] - made[0], sqrt(made[1])))
    if len(deviations) < 3:
        return None
    sizes = [abs(d) / s for _, d, s in deviations]
    numbers = [v for v in sheet.values if v]
    prior = 0.35 * sheet.step if not logs else max(_LOG_SCALE, 0.35 * sheet.step / median(numbers))
    variance = (1.5 * median(sizes)) ** 2 or prior * prior
    for _ in range(10):
        total = sum(5 / (4 + d * d / variance) * d * d for d in sizes)
        variance = (3 * prior * prior + total) / (3 + len(sizes))
    scale = sqrt(variance)
    score = sum(_score(sheet, n, d, scale * s, logs) for n, d, s in deviations)
    told = {n for n, _, _ in deviations}
    for cells, _, z in series:
        for n in cells:
            if n not in told:
                score += (
                    log_t(0.0, sheet.spread, _FREEDOM) - 1.0
                    if logs
                    else log_t(0.0, sheet.spread * abs(z[n]) + 1, _FREEDOM) + log(abs(z[n]) + 1) - 1.0
                )
    guesses = {}
    for n in targets:
        cells, xs, z = series[home[n]]
        made = _from_neighbours(cells, xs, z, at[n], skip=cells.index(n) if n in cells else -1)
        if made is not None:
            guesses[n] = Guess(1.0, made[0], scale * sqrt(made[1]), logs)
    return score, guesses


def _from_neighbours(cells: list[int], xs: list[float], z: dict[int, float], x: float, skip: int) -> tuple[float, float] | None:
    """The value at x on the straight line through the nearest cells on both sides (or the two nearest), and the variance in cells' variances."""
    known = [(xs[k], z[cells[k]]) for k in range(len(cells)) if k != skip]
    if len(known) < 2:
        return None
    left = [p for p in known if p[0] < x]
    right = [p for p in known if p[0] > x]
    if left and right:
        (x1, y1), (x2, y2) = left[-1], right[0]
    elif left:
        if len(left) < 2:
            return None
        (x1, y1), (x2, y2) = left[-2], left[-1]
    else:
        if len(right) < 2:
            return None
        (x1, y1), (x2, y2) = right[0], right[1]
    share = (x - x1) / (x2 - x1)
    return y1 + (y2 - y1) * share, 1 + (1 - share) ** 2 + share**2
