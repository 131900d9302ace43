"""A panel as plain numbers, with the ways it can hang together and the figures that are clipped."""

from __future__ import annotations

from collections.abc import Sequence

from selector.review.statistics.robust import Design, Fit
from selector.value import Struct, field


class FigureSheet(Struct):
    """A panel as plain numbers with everything the structures need. `loose` figures follow no pattern but a common
    level; `paired` are charts (width, figures) with the same rows, `grain` the irregularity that figures which hang
    together have, relative.
    """

    values: list[float | None]
    width: int
    row_keys: Sequence[tuple[int, ...]] = ()
    head_labels: Sequence[tuple[str, ...]] = ()
    step: float = 5.0
    ordered_rows: bool = False
    loose: bool = False
    paired: Sequence[tuple[int, Sequence[float | None]]] = ()
    spread: float = 0.25
    grain: float = 0.012
    designs: list[tuple[Design, Sequence[float | None]]] = field(default_factory=list)
    high: list[float | None] = field(default_factory=list)
    low: list[float | None] = field(default_factory=list)
    starts: dict[int, Fit] = field(default_factory=dict)
    active: frozenset[int] | None = None

    def __post_init__(self) -> None:
        self.designs = [] if self.loose else list(_designs(self))
        self.high, self.low = _clips(self)

    def with_values(self, values: list[float | None]) -> FigureSheet:
        """The same with other figures."""
        return FigureSheet(
            values=values,
            width=self.width,
            row_keys=self.row_keys,
            head_labels=self.head_labels,
            step=self.step,
            ordered_rows=self.ordered_rows,
            loose=self.loose,
            paired=self.paired,
            spread=self.spread,
            grain=self.grain,
            active=self.active,
        )

    @property
    def height(self) -> int:
        """Rows."""
        return len(self.values) // self.width if self.width else 0


def _clips(sheet: FigureSheet) -> tuple[list[float | None], list[float | None]]:
    """For each column the greatest and the least figure where it is repeated (a clipped figure); a figure that
    repeats over the panel too."""
    columns = [[v for v in sheet.values[c :: sheet.width] if v is not None] for c in range(sheet.width)]
    everything = [v for column in columns for v in column]
    high: list[float | None] = []
    low: list[float | None] = []
    top, bottom = (max(everything), min(everything)) if everything else (0.0, 0.0)
    for column in columns:
        greatest, least = (max(column), min(column)) if column else (0.0, 0.0)
        high.append(greatest if column and greatest == top and everything.count(top) > 1 else None)
        low.append(
            least
            if column
            and greatest > least
            and (column.count(least) > 2 or (least == bottom and everything.count(bottom) > 3))
            else None
        )
    return high, low


def _designs(sheet: FigureSheet) -> list[tuple[Design, Sequence[float | None]]]:
    """(design, figures of other charts) of every sum of effects that has cells to spare."""
    height, width = sheet.height, sheet.width
    n = height * width
    rows, columns = tuple(i // width for i in range(n)), tuple(i % width for i in range(n))
    out: list[tuple[Design, Sequence[float | None]]] = []

    def add(labels: Sequence[Sequence[int]], more: Sequence[float | None] = ()) -> None:
        design = Design(tuple(tuple(f) for f in labels), tuple(max(f) + 1 for f in labels))
        if len(labels[0]) - sum(design.levels) + len(labels) - 1 >= 1:
            out.append((design, more))

    if height > 1 and width > 1:
        add((rows, columns))
    keys = (
        [_numbered([k[i] for k in sheet.row_keys]) for i in range(len(sheet.row_keys[0]))]
        if sheet.row_keys and sheet.row_keys[0]
        else []
    )
    keys = [k for k in keys if max(k, default=0) > 0]
    if len(keys) > 1:
        spread_keys = [tuple(k[i // width] for i in range(n)) for k in keys]
        add([*spread_keys, columns] if width > 1 else spread_keys)
    if sheet.head_labels and len(sheet.head_labels[0]) > 1:
        first = _numbered([h[:-1] for h in sheet.head_labels])
        last = _numbered([h[-1:] for h in sheet.head_labels])
        if max(first) > 0 and max(last) > 0:
            f, b = [first[i % width] for i in range(n)], [last[i % width] for i in range(n)]
            add(([r * (max(last) + 1) + x for r, x in zip(rows, b, strict=True)], columns))
            add(([r * (max(first) + 1) + x for r, x in zip(rows, f, strict=True)], columns))
            if height == 1:
                add((f, b))
    if sheet.paired and height > 1:
        labels, beside, left = list(rows), list(columns), width
        for other, figures in sheet.paired:
            labels += [i // other for i in range(len(figures))]
            beside += [left + i % other for i in range(len(figures))]
            left += other
        add((labels, beside), [v for _, figures in sheet.paired for v in figures])
    return out


def _numbered(words: Sequence[object]) -> list[int]:
    seen: dict[object, int] = {}
    return [seen.setdefault(w, len(seen)) for w in words]
