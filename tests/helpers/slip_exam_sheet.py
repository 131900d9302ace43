"""The paper of the slip exam: a sheet is a table whose figures are held apart from its frame, so that one can be
exchanged and the text made anew."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import product
from math import inf, isnan, nan

Cell = tuple[str, int, int]
"""A chart's name, row and column; or `call NAME`, step and stage."""
BLANK = "-"


@dataclass(frozen=True, kw_only=True, slots=True)
class Row:
    """A printed row: its positions, and `word` instead of figures where it is refused."""

    words: tuple[str, ...]
    word: str = ""
    note: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class Chart:
    """The frame of a chart. `heads` are the names along the top with their values, outermost first; `suffix` stands
    after each figure."""

    name: str
    keys: tuple[str, ...]
    heads: tuple[tuple[str, tuple[str, ...]], ...] = ()
    gives: tuple[str, ...]
    rows: tuple[Row, ...]
    page: int = 4

    @property
    def heads_flat(self) -> tuple[tuple[str, ...], ...]:
        """The heads of every column, quantities left out."""
        return tuple(product(*(values for _, values in self.heads)))

    @property
    def columns(self) -> int:
        """Figures in a full row."""
        return len(self.heads_flat) * len(self.gives)

    def quantity(self, column: int) -> str:
        """What the figure of a column is."""
        return self.gives[column % len(self.gives)]

    def head(self, column: int) -> dict[str, str]:
        """The heads over a column: name -> value."""
        return dict(zip((n for n, _ in self.heads), self.heads_flat[column // len(self.gives)], strict=True))

    def printed(self) -> list[int]:
        """The rows that hold figures."""
        return [i for i, row in enumerate(self.rows) if not row.word]


@dataclass(frozen=True, kw_only=True, slots=True)
class Step:
    """A step of a call: `op` is `use`, `call` (stage `of`) or a step's own word, with a figure of the sheet for each
    of its `stages`."""

    op: str
    name: str = ""
    of: str = ""
    stages: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class Call:
    """A call: the lines before its steps, its stages, its steps, and the lines after them."""

    name: str
    lines: tuple[str, ...]
    stages: tuple[str, ...] = ("",)
    steps: tuple[Step, ...]
    tail: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class Sheet:
    """A table. `heat_per_rise` is, by model and stage, airflow times rise. `degree` is 1 F in its degrees."""

    name: str
    head: tuple[str, ...]
    charts: tuple[Chart, ...]
    calls: tuple[Call, ...]
    figures: Mapping[Cell, str]
    airflow_unit: str = "cfm"
    heat_per_rise: Mapping[tuple[str, str], float]
    degree: float = 1.0
    tags: frozenset[str] = frozenset()

    def chart(self, name: str) -> Chart:
        """The chart of this name."""
        return next(c for c in self.charts if c.name == name)

    def with_figures(self, changes: Mapping[Cell, str]) -> Sheet:
        """The same with some figures exchanged."""
        return replace(self, figures={**self.figures, **changes})

    def quantity(self, cell: Cell) -> str:
        """What the figure of a cell is; for a step of a call its own word."""
        if cell[0].startswith("call "):
            return next(c for c in self.calls if c.name == cell[0][5:]).steps[cell[1]].op
        return self.chart(cell[0]).quantity(cell[2])

    def number(self, cell: Cell) -> float:
        """The figure as a number, `none` as 0 in a chart of trims and the like, else not a number."""
        text = self.figures[cell]
        if text in ("none", BLANK):
            return 0.0 if text == "none" and self.quantity(cell) in ("trim", "offset", "reduction") else nan
        return float(text.split()[0])

    def render(self) -> tuple[str, dict[Cell, tuple[int, int]]]:
        """The text of the file, and the line and column of every figure (from 1)."""
        out = list(self.head)
        places: dict[Cell, tuple[int, int]] = {}
        out.append("charts:")
        for chart in self.charts:
            self._chart(chart, out, places)
        out.append("calls:")
        for call in self.calls:
            self._call(call, out, places)
        return "\n".join(out) + "\n", places

    def _chart(self, chart: Chart, out: list[str], places: dict[Cell, tuple[int, int]]) -> None:
        out.extend((f"  {chart.name}:", f"    page: {chart.page}", f"    set: {' '.join(chart.keys)}"))
        if chart.heads:
            out.append("    across: {" + ", ".join(f"{n}: {' '.join(v)}" for n, v in chart.heads) + "}")
        out.extend((f"    gives: {', '.join(chart.gives)}", "    rows: |"))
        widths = [max(len(row.words[k]) for row in chart.rows) for k in range(len(chart.keys))]
        wide = [max(len(self.figures[(chart.name, r, c)]) for r in chart.printed()) for c in range(chart.columns)]
        for r, row in enumerate(chart.rows):
            line = "      " + " ".join(w.ljust(n) for w, n in zip(row.words, widths, strict=True))
            if row.word:
                out.append(f"{line}  {row.word}")
                continue
            for c in range(chart.columns):
                text = self.figures[(chart.name, r, c)]
                line += "  " + " " * (wide[c] - len(text))
                places[(chart.name, r, c)] = (len(out) + 1, len(line) + 1)
                line += text
            out.append(line + (f"  ({row.note})" if row.note else ""))

    def _call(self, call: Call, out: list[str], places: dict[Cell, tuple[int, int]]) -> None:
        out.append(f"  {call.name}:")
        out.extend(f"    {line}" for line in call.lines)
        out.append("    airflow:")
        for s, step in enumerate(call.steps):
            if not step.stages:
                out.append(f"      - {'call ' if step.op == 'call' else ''}{step.name} {step.of}".rstrip())
                continue
            line = f"      - {step.op}: "
            named = step.stages != ("",)
            for k, stage in enumerate(step.stages):
                cell = (f"call {call.name}", s, k)
                line += ("{" if not k else ", ") + f"{stage}: " if named else ""
                places[cell] = (len(out) + 1, len(line) + 1)
                line += self.figures[cell]
            out.append(line + ("}" if named else ""))
        out.extend(f"    {line}" for line in call.tail)


def airflows(sheet: Sheet) -> list[float]:
    """Every airflow the calls can come to, in one fixed order: each model, stage, head and combination of rows. Not
    a number: does not run."""
    done: dict[tuple[str, str, str], list[float]] = {}
    for call in sheet.calls:
        for model, stage in product(_models(sheet), call.stages):
            done[(call.name, stage, model)] = _run(sheet, call, stage, model, done)
    return [value for key in sorted(done) for value in done[key]]


def _models(sheet: Sheet) -> tuple[str, ...]:
    return next((values for c in sheet.charts for name, values in c.heads if name == "model"), ("",))


def _run(
    sheet: Sheet, call: Call, stage: str, model: str, done: Mapping[tuple[str, str, str], list[float]]
) -> list[float]:
    now: list[float] = []
    for s, step in enumerate(call.steps):
        if step.op == "call":
            found = [k for k in done if k[0] == step.name and k[2] == model]
            asked = (step.name, step.of or stage, model)
            now = done[asked] if asked in done else done[found[-1]]
        elif step.stages:
            if stage in step.stages or step.stages == ("",):
                k = 0 if step.stages == ("",) else step.stages.index(stage)
                figure = sheet.number((f"call {call.name}", s, k))
                now = [act(step.op, x, figure) for x in now] if now else [figure]
        else:
            chart = sheet.chart(step.name)
            op = chart.gives[0]
            figures = list(_read(sheet, chart, stage, model))
            now = [act(op, x, f) for x in now for f in figures] if now else figures
    return now


def _read(sheet: Sheet, chart: Chart, stage: str, model: str) -> Iterator[float]:
    for c in range(chart.columns):
        head = chart.head(c)
        if (
            chart.quantity(c) == chart.gives[0]
            and head.get("model", model) == model
            and head.get("stage", stage) == stage
        ):
            for r in chart.printed():
                value = sheet.number((chart.name, r, c))
                if chart.gives[0] == "temperature rise":
                    key = (model, stage) if (model, stage) in sheet.heat_per_rise else ("", "")
                    value = sheet.heat_per_rise[key] / value
                yield value


def act(op: str, x: float, figure: float) -> float:
    """A step carried out; a figure that is none is no bound, and no figure for the rest."""
    if op in ("least airflow", "at least"):
        return x if isnan(figure) else max(x, figure)
    if op in ("most airflow", "at most"):
        return x if isnan(figure) else min(x, figure)
    table = {
        "trim": x * (1 + figure / 100),
        "share": x * figure / 100,
        "reduction": x * (1 - figure / 100),
        "offset": x + figure,
        "airflow per ton": x * figure,
        "round": x,
    }
    return table[op]


def greatest_change(clean: Sheet, slipped: Sheet) -> float:
    """How far the airflow of some call is off, as a share of the right one; infinite where one runs that should not."""
    most = 0.0
    for was, now in zip(airflows(clean), airflows(slipped), strict=True):
        if isnan(was) or isnan(now):
            most = max(most, 0.0 if isnan(was) and isnan(now) else inf)
        elif was:
            most = max(most, abs(now / was - 1))
    return most
