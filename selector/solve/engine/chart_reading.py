"""Reading a chart: from the positions of its parts (and the facts) to its cells, or to the reason why there are
none."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from fractions import Fraction
from functools import lru_cache
from operator import mul
from types import MappingProxyType

from selector.table.model.quantities import QUANTITIES
from selector.table.model.table import (
    ABSENT,
    ANY,
    Cell,
    CellWord,
    Chart,
    Either,
    Key,
    No,
    NoKind,
    Part,
    Row,
    in_each_case,
)
from selector.value import Struct, replace

_KEPT = 1024
"""Positions of a chart's parts whose outcomes are kept: boards that are judged one after another share most of them."""
Cells = tuple[Cell, ...]
Outcome = Cells | No


class ChartReading(Struct, frozen=True, eq=False):
    """A function of a few parts' positions. `name` is for messages; `find` gives the outcome for their positions, in
    the order of `parts`.

    `row` gives the printed row that answers (None where none does), for pages and notes; `keys` the part of each of its
    words (None for a fact). `led`: the readings of charts whose label this one goes by. `needs`: the facts it looks at
    that aren't given.
    """

    name: str
    parts: tuple[int, ...]
    find: Callable[[tuple[int, ...]], Outcome]
    row: Callable[[tuple[int, ...]], Row | None]
    keys: tuple[int | None, ...] = ()
    led: tuple[ChartReading, ...] = ()
    needs: tuple[str, ...] = ()

    def rows(self, positions: tuple[int, ...]) -> Iterator[tuple[ChartReading, Row]]:
        """Every printed row that answers, each with its reading: its own, and those of the charts that lead to it."""
        row = self.row(positions)
        if row is not None:
            yield self, row
        at = dict(zip(self.parts, positions, strict=True))
        for one in self.led:
            yield from one.rows(tuple([at[p] for p in one.parts]))

    def at(self, setting: Sequence[int | None], unread: Collection[int] = ()) -> Outcome:
        """The outcome in a whole setting. A part without a position is not known; one in `unread` was looked at."""
        positions = tuple([at for p in self.parts if (at := setting[p]) is not None])
        if len(positions) == len(self.parts):
            return self.find(positions)
        if any(setting[p] is None and p in unread for p in self.parts):
            return No(kind="unreadable", why=f"a position that `{self.name}` needs can't be read")
        return No(kind="not_known", why=f"a position that `{self.name}` needs isn't known")


def not_given(fact: str, verb: str = "is") -> No:
    """The no of a fact that nobody gave."""
    return No(kind="not_known", why=f"{fact} {verb} not given", needs=fact)


def not_used(part: Part, at: int) -> No:
    """The no of a position that the page calls not used, or prints for another model."""
    if at in part.of_others:
        return No(kind="not_usable", why=f"{part.name} {part.positions[at]} is for another model")
    return No(kind="not_usable", why=f"the page says that this position of {part.name} is not used")


def constant(name: str, outcome: Outcome) -> ChartReading:
    """A reading that depends on no part."""
    needs = (outcome.needs,) if isinstance(outcome, No) and outcome.needs else ()
    return ChartReading(name, (), lambda _: outcome, lambda _: None, needs=needs)


Unless = tuple[tuple[ChartReading, No], ...]
"""Conditions that selectors tell, each with the no of a figure where it isn't met."""


def parts_of(unless: Unless) -> Iterator[int]:
    """The parts that conditions look at."""
    for condition, _ in unless:
        yield from condition.parts


def not_met(unless: Unless, at: Mapping[int, int]) -> No | None:
    """Why a figure doesn't hold for positions of parts; None where it does, or may as far as is known."""
    for condition, no in unless:
        outcome = condition.find(tuple([at[p] for p in condition.parts]))
        if outcome.kind != "not_known" if isinstance(outcome, No) else outcome[0] != 1:
            return no
    return None


class Held(Struct, frozen=True, kw_only=True):
    """A footnote under the facts: what is said of it, why a figure with its mark doesn't hold (None: it may), and what
    selectors say of that."""

    said: str
    broken: No | None = None
    unless: Unless = ()


class RowIndex:
    """Rows of one chart by the columns they name, for look-up without listing combinations."""

    def __init__(self, rows: Sequence[Row]) -> None:
        masks: dict[tuple[int, ...], dict[tuple[int, ...], Row]] = {}
        self._rest = next((row for row in rows if row.rest), None)
        for row in rows:
            if row.rest:
                continue
            mask = tuple(i for i, p in enumerate(row.positions) if p != ANY)
            masks.setdefault(mask, {})[tuple(row.positions[i] for i in mask)] = row
        self._masks = list(masks.items())

    def find(self, positions: Sequence[int]) -> Row | None:
        """The row that answers for these positions, None if none does."""
        for mask, rows in self._masks:
            row = rows.get(tuple([positions[i] for i in mask]))
            if row is not None:
                return row
        return None if self._rest is None else replace(self._rest, positions=tuple(positions))


class Led(Struct, frozen=True, kw_only=True):
    """The label that another chart's reading gives in its cell, as one of the values that a chart goes by."""

    reading: ChartReading
    cell: int
    values: tuple[str, ...]

    def find(self, at: Mapping[int, int]) -> Weights | No:
        """Which of the values it is, for positions of parts."""
        outcome = self.reading.find(tuple([at[p] for p in self.reading.parts]))
        if isinstance(outcome, No):
            return outcome
        label = outcome[self.cell]
        if label in self.values:
            return ((self.values.index(label), Fraction(1)),)
        if isinstance(label, CellWord):
            kind: NoKind = "unreadable" if label is CellWord.UNREADABLE else "outside_chart"
            return No(kind=kind, why=f"`{self.reading.name}` gives no word here: {label.value}")
        return No(kind="outside_chart", why=f"the chart has no row for {self.reading.name} {label}")

    def said(self, label: str, at: Mapping[int, int]) -> str:
        """`profile B`, with the note of its row, and whether it behaves as another."""
        row = self.reading.row(tuple([at[p] for p in self.reading.parts]))
        notes = [] if row is None else [row.note, "a row that behaves as another, never proposed" if row.like else ""]
        return f"{self.reading.name} {label}" + "".join(f" ({note})" for note in notes if note)


Weights = tuple[tuple[int, Fraction], ...]
Source = int | Weights | No | Led
"""Where one key or head comes from: the index of a part (as -1 - part), printed values with their weights, the label
of another chart, or the reason why it isn't known."""


def weights(key: Key, value: Fraction, unit: str = "") -> Weights | No:
    """The printed values around a number and their weights on the straight line between them; outside the printed
    range is refused."""
    numbers = key.numbers
    if value in numbers:
        return ((numbers.index(value), Fraction(1)),)
    order = sorted(range(len(numbers)), key=lambda i: numbers[i])
    low, high = numbers[order[0]], numbers[order[-1]]
    if not low < value < high:
        return No(
            kind="outside_chart",
            why=f"{key.name} {float(value):g} is outside what the page prints"
            f" ({' '.join([f'{float(low):g} to {float(high):g}', unit]).rstrip()})",
        )
    for a, b in itertools.pairwise(order):
        if numbers[a] < value < numbers[b]:
            share = (value - numbers[a]) / (numbers[b] - numbers[a])
            return ((a, 1 - share), (b, share))
    raise AssertionError("numbers rise")


def decides_nothing(chart: Chart, sources: Mapping[str, Source], kept: Collection[int]) -> frozenset[int]:
    """The parts, those in `kept` apart, that every row leaves open (`-`) that the known facts leave."""
    known = [(n, {i for i, _ in s}) for n, k in enumerate(chart.keys) if isinstance(s := sources[k.name], tuple)]
    rows = [r for r in chart.rows if all(r.positions[n] == ANY or r.positions[n] in at for n, at in known)]
    if not known or not rows or any(r.rest or r.like for r in chart.rows):
        return frozenset()
    seen = {-1 - s for h in chart.heads if isinstance(s := sources[h.name], int)}
    seen |= {p for s in sources.values() if isinstance(s, Led) for p in s.reading.parts}
    return frozenset(
        -1 - s
        for n, k in enumerate(chart.keys)
        if isinstance(s := sources[k.name], int) and all(r.positions[n] == ANY for r in rows)
    ) - {*seen, *kept}


class ChartReader:
    """Reads one chart for given sources of its keys and heads."""

    def __init__(
        self,
        chart: Chart,
        index: RowIndex,
        sources: Mapping[str, Source],
        maps: Mapping[str, Mapping[int, int]],
        idle: Mapping[int, Part],
        held: Mapping[str, Held] = MappingProxyType({}),
        dead: frozenset[int] = frozenset(),
    ) -> None:
        """`idle`: the parts that have positions which the page calls not used. `maps` translates a part's positions to
        the values of a key or head, where these aren't the positions themselves. `held`: what is known of each
        footnote's condition. `dead`: parts that aren't looked at."""
        self.chart = chart
        self.held = held
        self.index = index
        self.keys = [sources[k.name] for k in chart.keys]
        self.heads = [sources[h.name] for h in chart.heads]
        self.maps = maps
        self.idle = idle
        self.dead = dead
        parts: list[int] = []
        for s in (*self.keys, *self.heads):
            parts += ([] if -1 - s in self.dead else [-1 - s]) if isinstance(s, int) else ()
            parts += s.reading.parts if isinstance(s, Led) else ()
        for footnote in held.values():
            parts += parts_of(footnote.unless)
        self.parts = tuple(dict.fromkeys(parts))
        self.led = tuple(s.reading for s in (*self.keys, *self.heads) if isinstance(s, Led))
        self.simple_head = self._fixed_head()

    def _fixed_head(self) -> int | None:
        offset = 0
        for head, source in zip(self.chart.heads, self.heads, strict=True):
            if isinstance(source, (int, No, Led)) or len(source) != 1:
                return None
            offset = offset * len(head.values) + source[0][0]
        return offset * len(self.chart.gives)

    def reading(self) -> ChartReading:
        """The reading. It looks at the parts even where a fact is missing: a row may be refused for every model or
        static pressure."""
        own = [s.needs for s in (*self.keys, *self.heads) if isinstance(s, No) and s.needs]
        return ChartReading(
            self.chart.name,
            self.parts,
            lru_cache(_KEPT)(self.find),
            lru_cache(_KEPT)(self.row),
            tuple(-1 - s if isinstance(s, int) else None for s in self.keys),
            self.led,
            tuple(dict.fromkeys((*own, *(n for r in self.led for n in r.needs)))),
        )

    def _place(self, key: Key, source: Source, positions: tuple[int, ...]) -> Weights | No:
        if isinstance(source, Led):
            return source.find(dict(zip(self.parts, positions, strict=True)))
        if not isinstance(source, int):
            return source
        part = -1 - source
        if part in self.dead:
            return ((0, Fraction(1)),)
        at = positions[self.parts.index(part)]
        if at == ABSENT:
            return No(
                kind="outside_chart",
                why=f"{key.name} is off its pins and the page has no row for that",
                line=self.chart.line,
            )
        if part in self.idle and at in self.idle[part].idle:
            return replace(not_used(self.idle[part], at), line=self.chart.line)
        table = self.maps.get(key.name)
        if table is not None:
            if at not in table:
                return No(
                    kind="outside_chart",
                    why=f"`{self.chart.name}` has no column for this position of {key.name}",
                    line=self.chart.line,
                )
            at = table[at]
        return ((at, Fraction(1)),)

    def row(self, positions: tuple[int, ...]) -> Row | None:
        """The printed row that answers, before it behaves as another."""
        at: list[int] = []
        for key, source in zip(self.chart.keys, self.keys, strict=True):
            place = self._place(key, source, positions)
            if isinstance(place, No):
                return None
            at.append(place[0][0])
        row = self.index.find(at)
        if row is None or not (row.marks or self.led):
            return row
        columns = self._columns(positions)
        by_part = dict(zip(self.parts, positions, strict=True))
        labels = [s.said(s.values[i], by_part) for s, i in zip(self.keys, at, strict=True) if isinstance(s, Led)]
        notes = dict.fromkeys([*labels, row.note, *(self.held[m].said for m in self._marks(row, columns))])
        return replace(row, note="; ".join(n for n in notes if n))

    def _marks(self, row: Row, columns: list[tuple[int, Fraction]] | No) -> list[str]:
        """The footnotes' marks of a row that stand at the cells of these columns, or at the row."""
        width = len(self.chart.gives)
        cells = {-1} | (set() if isinstance(columns, No) else {c + i for c, _ in columns for i in range(width)})
        return [mark for cell, mark in row.marks if cell in cells]

    def find(self, positions: tuple[int, ...]) -> Outcome:
        """The cells, one for each quantity of the chart."""
        combined: list[tuple[tuple[int, ...], Fraction]] = [((), Fraction(1))]
        for key, source in zip(self.chart.keys, self.keys, strict=True):
            place = self._place(key, source, positions)
            if isinstance(place, No):
                return place
            combined = [((*at, i), w * v) for at, w in combined for i, v in place]
        columns = self._columns(positions)
        found: list[tuple[Cells, Fraction]] = []
        for at, w in combined:
            cells = self._cells(at, columns, positions)
            if isinstance(cells, No):
                return cells
            if not isinstance(columns, No):
                found.extend((cells[c : c + len(self.chart.gives)], w * v) for c, v in columns)
        if isinstance(columns, No):
            return columns
        return found[0][0] if len(found) == 1 else self._between(found)

    def _columns(self, positions: tuple[int, ...]) -> list[tuple[int, Fraction]] | No:
        if self.simple_head is not None:
            return [(self.simple_head, Fraction(1))]
        columns: list[tuple[int, Fraction]] = [(0, Fraction(1))]
        for head, source in zip(self.chart.heads, self.heads, strict=True):
            place = self._place(head, source, positions)
            if isinstance(place, No):
                return place
            columns = [(c * len(head.values) + i, w * v) for c, w in columns for i, v in place]
        return [(c * len(self.chart.gives), w) for c, w in columns]

    def _cells(
        self, at: tuple[int, ...], columns: list[tuple[int, Fraction]] | No, positions: tuple[int, ...]
    ) -> Cells | No:
        row = self.index.find(at)
        seen = 0
        while row is not None and row.like:
            seen += 1
            at = tuple([own if p == ANY else p for p, own in zip(row.like, at, strict=True)])
            row = self.index.find(at) if seen < 50 else None
        if row is None:
            marks = " ".join(
                f"{k.name} {k.values[i] if i < len(k.values) else i}" for k, i in zip(self.chart.keys, at, strict=True)
            )
            return No(kind="outside_chart", why=f"`{self.chart.name}` has no row for {marks}", line=self.chart.line)
        if row.word:
            return No(
                kind="not_usable",
                why=f"{f'page {self.chart.page}, ' if self.chart.page else ''}`{self.chart.name}`: {row.word}",
                line=row.line,
            )
        for mark in self._marks(row, columns) if row.marks else ():
            held = self.held[mark]
            broken = held.broken or not_met(held.unless, dict(zip(self.parts, positions, strict=True)))
            if broken is not None:
                return replace(broken, line=row.line)
        return row.cells

    def _between(self, found: list[tuple[Cells, Fraction]]) -> Outcome:
        out: list[Cell] = []
        for i in range(len(self.chart.gives)):
            cells = [_in_a_line(cells[i], self.chart.gives[i]) for cells, _ in found]
            missing = next((c for c in cells if c is CellWord.BLANK or c is CellWord.UNREADABLE), None)
            if missing is not None:
                out.append(missing)
            elif all(c is CellWord.NONE for c in cells):
                out.append(CellWord.NONE)
            elif all(isinstance(c, (Fraction, Either)) for c in cells):
                shares = [w for _, w in found]
                out.append(in_each_case(lambda *at, s=shares: sum(map(mul, at, s), ZERO), *cells))
            else:
                out.append(cells[0] if len(set(cells)) == 1 else CellWord.BLANK)
        return tuple(out)


ZERO = Fraction(0)


def _in_a_line(cell: Cell, quantity: str) -> Cell:
    """A cell that a line is drawn through: `none` among trims and the like is 0 there too."""
    step = QUANTITIES.get(quantity)
    return Fraction(step.none) if cell is CellWord.NONE and step is not None and step.none is not None else cell
