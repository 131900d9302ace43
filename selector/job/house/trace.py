"""The airflow of a call's stage as a chain of figures: from the printed row and its page, step by step, to the
answer."""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction

from selector.air import arithmetic, arithmetic_duct
from selector.air.figure import FUNCTIONS, Figure, Worked, given, renamed
from selector.solve.board.marks import mark
from selector.solve.engine.chart_reading import weights
from selector.solve.engine.evaluate import CallAnswer, StageAnswer, Trail
from selector.table.model.quantities import FORMS, STEPS
from selector.table.model.table import Chart, Fact, Key, Row, Table
from selector.units import plain
from selector.value import Struct


class Tracer(Struct, frozen=True, kw_only=True):
    """Chains of one setting. `numbers`: facts that run on (static pressure, firing rate) by name; `heats`: delivered
    heat by call and stage;
    `crossings`: what a row moves on the duct curve."""

    table: Table
    answers: Mapping[str, CallAnswer]
    numbers: Mapping[str, Fraction]
    static: Mapping[str, Fraction]
    heats: Mapping[tuple[str, str], Figure]
    crossings: Mapping[tuple[str, tuple[int, ...]], Figure]

    def airflow(self, call: str, stage: str) -> Figure | None:
        """The chain of a stage in the table's unit, None where it has no airflow."""
        answer = self.answers[call].stage(stage)
        if not isinstance(answer.airflow, Fraction):
            return None
        figure: Figure | None = None
        waiting: Figure | None = None
        for step in answer.trail:
            figure, waiting = self._step(step, answer, figure, waiting)
        if figure is None or figure.value != answer.airflow:
            return given(
                _name(answer.title),
                answer.airflow,
                self.table.units.airflow,
                source=f"{self.table.name}, worked out by its steps",
            )
        return renamed(figure, "charted") if isinstance(figure, Worked) else figure

    def airflow_cfm(self, call: str, stage: str) -> Figure | None:
        """The same in cfm."""
        figure = self.airflow(call, stage)
        if figure is None or figure.unit == "cfm":
            return figure
        return arithmetic_duct.in_unit(figure, "cfm", name="charted_cfm")

    def _step(
        self, step: Trail, answer: StageAnswer, x: Figure | None, waiting: Figure | None
    ) -> tuple[Figure | None, Figure | None]:
        """The figure after a step, and one that waits for its other half (tons)."""
        unit = self.table.units.airflow
        if step.op == "product" and step.value is not None:
            own = self._operand(step, answer, "tons" if step.word == "tons" else f"{unit}/ton")
            if waiting is None:
                return x, own
            own = _apart(own, waiting)
            return arithmetic.product(_after(x), waiting.value * own.value, unit, waiting, own), None
        if step.value is None:
            return x, waiting
        if x is None:
            return self._start(step, answer, unit), waiting
        if step.op == "times" and step.name == "sensible factor":
            factor = given(
                "factor",
                1 / step.value,
                bare=True,
                source="60 x 0.075 lb/ft3 x 0.24 Btu/(lb F), standard air, in the table's units",
            )
            return Worked(
                name=_after(x),
                value=x.value * step.value,
                unit=f"{unit} {self.table.units.temperature}",
                expression=f"{x.name} / factor",
                inputs=(x, factor),
            ), waiting
        own = _apart(self._operand(step, answer, self.table.units.temperature if step.op == "divide heat" else unit), x)
        if step.op == "start" or step.op == "runs" or step.op == "bound" or not isinstance(step.result, Fraction):
            return x, waiting
        form = FORMS["percent off" if step.op == "add percent" and step.value < 0 else step.op].expression
        return Worked(
            name=_after(x), value=step.result, unit=unit, expression=form.format(x=x.name, v=own.name), inputs=(x, own)
        ), waiting

    def _start(self, step: Trail, answer: StageAnswer, unit: str) -> Figure:
        assert step.value is not None
        if step.op == "start":
            if step.name == "delivered heat":
                known = self.heats.get((answer.call, answer.stage))
                if known is not None and known.value == step.value:
                    return known
                return given(
                    "heat_by_the_board", step.value, "Btu/h", source=f"{self.table.name}, from the board's own ratings"
                )
            for other in self.answers.values():
                for one in other.stages:
                    if step.name == f"call {one.call} {one.stage}".strip():
                        figure = self.airflow(one.call, one.stage)
                        if figure is not None and figure.value == step.value:
                            return renamed(figure, _name(one.title))
        return self._operand(step, answer, unit)

    def _operand(self, step: Trail, answer: StageAnswer, unit: str) -> Figure:
        assert step.value is not None
        name = _name(step.name)
        if step.word in STEPS and STEPS[step.word].unit == "percent":
            value = abs(step.value) if step.op == "add percent" else step.value
            return given(name, value / 100, shown=f"{plain(value)} %", source=self._source(step))
        if step.row is not None and (step.name, step.row.positions) in self.crossings:
            found = self.crossings[step.name, step.row.positions]
            if found.value == step.value:
                return renamed(found, name)
        between = self._between(step, answer, name, unit) if step.row is not None else None
        return between or given(name, step.value, unit, source=self._source(step))

    def _between(self, step: Trail, answer: StageAnswer, name: str, unit: str) -> Figure | None:
        """A figure on the straight line between two printed ones; None where it is printed itself."""
        chart, row = self.table.charts.get(step.name), step.row
        if chart is None or row is None or step.value in row.cells:
            return None
        for head in chart.heads:
            number = self._number(head, answer)
            found = weights(head, number) if head.continuous and number is not None else ()
            if not isinstance(found, tuple) or len(found) != 2 or number is None:
                continue
            (i, share_i), (j, share_j) = found
            for a, b in _pairs(chart, row, head, i, j):
                if a * share_i + b * share_j == step.value:
                    return _line(chart, row, head, name, unit, (i, a), (j, b), number, self._source(step))
        return None

    def _number(self, head: Key, answer: StageAnswer) -> Fraction | None:
        if head.name == "firing rate" and answer.rate:
            return Fraction(answer.rate)
        for key in (f"{answer.call} {answer.stage}", answer.call):
            if head.name == "static pressure" and key in self.static:
                return self.static[key]
        return self.numbers.get(head.name)

    def _source(self, step: Trail) -> str:
        """Page, row and line of a figure."""
        if step.row is None:
            fact: Fact | None = self.table.facts.get(step.name)
            where = f", line {fact.line}" if fact is not None and fact.line else ""
            return f"{self.table.name}{where}: {step.name}"
        return row_source(self.table, self.table.charts[step.name], step.row)


def row_source(table: Table, chart: Chart, row: Row) -> str:
    """Page, chart, marks and line of a row: "page 23, `cooling airflow`, row OFF OFF ON (corvane-k14, line 26)"."""
    page = f"page {chart.page}, " if chart.page else ""
    marks = f", row {row_words(table, chart, row)}" if chart.keys else ""
    return f"{page}`{chart.name}`{marks} ({table.name}, line {row.line})"


def row_words(table: Table, chart: Chart, row: Row) -> str:
    """The marks that a row begins with, as printed on the board: `OFF OFF ON`."""
    return " ".join("-" if p < 0 else _printed(table, key, p) for key, p in zip(chart.keys, row.positions, strict=True))


def _printed(table: Table, key: Key, at: int) -> str:
    if key.kind != "part":
        return key.values[at]
    return mark(table, key.part, at)


def _pairs(chart: Chart, row: Row, head: Key, i: int, j: int) -> list[tuple[Fraction, Fraction]]:
    """The cells of two columns of a head, for every other column."""
    at = chart.heads.index(head)
    inner = len(chart.gives)
    for other in chart.heads[at + 1 :]:
        inner *= len(other.values)
    width = inner * len(head.values)
    out = []
    for start in range(0, len(row.cells), width):
        for n in range(inner):
            a, b = row.cells[start + i * inner + n], row.cells[start + j * inner + n]
            if isinstance(a, Fraction) and isinstance(b, Fraction):
                out.append((a, b))
    return out


def _line(
    chart: Chart,
    row: Row,
    head: Key,
    name: str,
    unit: str,
    low: tuple[int, Fraction],
    high: tuple[int, Fraction],
    number: Fraction,
    source: str,
) -> Figure:
    """The straight line between two printed figures."""
    (i, a), (j, b) = low, high
    x1, x2 = head.numbers[i], head.numbers[j]
    leaves = (
        given("printed_low", a, unit, source=f"{source}, at {head.values[i]}"),
        given("printed_high", b, unit, source=f"{source}, at {head.values[j]}"),
        given("at_low", x1, bare=True, source=f"{head.name} printed"),
        given("at_high", x2, bare=True, source=f"{head.name} printed"),
        given(_name(head.name), number, bare=True, source=f"{head.name} here"),
    )
    expression = f"printed_low + (printed_high - printed_low) * ({leaves[4].name} - at_low) / (at_high - at_low)"
    value = a + (b - a) * (number - x1) / (x2 - x1)
    return Worked(
        name=name,
        value=value,
        unit=unit,
        expression=expression,
        inputs=leaves,
        note=f"straight line in `{chart.name}`, line {row.line}",
    )


def _apart(own: Figure, other: Figure) -> Figure:
    """A step's figure under a name of its own, where one chart gives both."""
    return renamed(own, f"{own.name}_of_step") if own.name == other.name else own


def _after(x: Figure | None) -> str:
    """The name of the running airflow after one more step; it differs from that of the figure it is worked from."""
    if x is None:
        return "airflow"
    match = re.fullmatch(r"airflow_(\d+)", x.name)
    return f"airflow_{int(match[1]) + 1}" if match else "airflow_1" if x.name != "airflow_1" else "airflow_2"


def _name(text: str) -> str:
    """A name as expressions can hold it."""
    word = re.sub(r"[^a-z0-9]+", "_", text.casefold()).strip("_")
    if not word or not word[0].isalpha():
        word = f"figure_{word}".rstrip("_")
    return f"{word}_figure" if word in FUNCTIONS else word


__all__ = ["Tracer", "row_source", "row_words"]
