"""A draft: questions in trade words, and the file that their answers make, with only the numbers still to type."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import count

from selector.table.model.quantities import QUANTITIES
from selector.transcribe.draft.board import ask_declared, ask_unused
from selector.transcribe.draft.call import ask_calls
from selector.transcribe.draft.dialog import Asked, Questions, reads
from selector.transcribe.draft.manual import only_page
from selector.transcribe.draft.page import Draft
from selector.transcribe.draft.question import Question
from selector.transcribe.draft.unit import ask_heater, ask_motor, ask_tons, ask_unit
from selector.transcribe.typed.board import read_selector
from selector.transcribe.typed.chart import TypedChart, read_chart, rows_given
from selector.transcribe.typed.row import read_row
from selector.value import replace


def open_question(answers: Mapping[str, str]) -> tuple[Question, str] | None:
    """The first question without an answer, or with one that can't be taken and why ("" for none yet); None once
    nothing is left to ask."""
    for question in _questions(Asked(answers=answers)):
        if question.name not in answers:
            return question, ""
        complaint = question.complaint(answers[question.name])
        if complaint:
            return question, complaint
    return None


def wrong_answer(answers: Mapping[str, str]) -> tuple[Question, str] | None:
    """The first question whose answer can't be taken, and why; None where all can."""
    for question in _questions(Asked(answers=answers)):
        complaint = question.complaint(answers[question.name]) if question.name in answers else ""
        if complaint:
            return question, complaint
    return None


def never_asked(answers: Mapping[str, str]) -> tuple[str, ...]:
    """Names of answers that belong to no question."""
    asked = {q.name for q in _questions(Asked(answers=answers))}
    return tuple(name for name in answers if name not in asked)


def draft_of(answers: Mapping[str, str]) -> Draft:
    """What the answers say; what has no answer is left out, or marked as still to type where a table needs it."""
    asked = Asked(answers=answers)
    for _ in _questions(asked):
        pass
    return asked.draft


def _questions(asked: Asked) -> Iterator[Question]:
    """Asks in the order of a page: what it is, the board, the charts, the calls."""
    yield from ask_unit(asked)
    yield from _board(asked)
    yield from ask_declared(asked)
    yield from ask_heater(asked)
    yield from _charts(asked)
    yield from ask_tons(asked)
    yield from ask_motor(asked)
    yield from ask_calls(asked)
    yield from ask_unused(asked)


def _board(asked: Asked) -> Questions:
    first = "A selector of the board: label, positions, how delivered"
    example = "SW1 switches 8 at off · J1 1-5 at 3 · D1 dial A-F at C · LK1 at whole · M1 taps 1-5 leads Y1 Y2 W G"
    for n in count(1):
        labels = [s.label for s in asked.draft.board]
        yield from asked.ask_next("board", n, first, example, reads(read_selector, labels), "selector")
        if not asked.last:
            return
        asked.draft = replace(asked.draft, board=(*asked.draft.board, read_selector(asked.last, labels)))


def _charts(asked: Asked) -> Questions:
    needed = "A chart: its name, a colon, what sets it, `across` the columns"
    example = "cooling airflow: SW1-2 SW1-3 SW1-4 across model · trims: SW1-5 SW1-6 · run-on: SW1-7 gives seconds"
    for n in count(1):
        draft = asked.draft
        taken = draft.names
        board = (*draft.board, *(c.as_selector() for c in draft.charts if c.labels))
        yield from asked.ask_next("chart", n, needed, example, reads(read_chart, board, draft.models, taken))
        if not asked.last:
            return
        chart = read_chart(asked.last, board, draft.models, taken)
        chart = replace(chart, page=chart.page or only_page(draft.manual))
        if f"chart {n} rows" in asked.answers:
            yield from _rows_given(asked, n, chart)
            continue
        if len(chart.parts) > 1:
            first = " ".join(f"{name} {marks[0]}" for name, marks in chart.parts)
            yield from asked.ask(
                Question(
                    name=f"chart {n} order",
                    text=f"After the row {first}, which changes in the next row: the first or the last",
                    kind="choice",
                    choices=("first", "last"),
                    default="first" if chart.first_fastest else "last",
                )
            )
            chart = replace(chart, first_fastest=asked.last != "last")
        yield from _rows(asked, n, chart)


def _rows(asked: Asked, n: int, chart: TypedChart) -> Questions:
    rows: list[str | None] = []
    ramps = list(asked.draft.ramps)
    heads = " · ".join(chart.columns) + _unit(chart, asked.draft)
    for at, marks in enumerate(chart.positions(), start=1):
        yield from asked.ask(
            Question(
                name=f"chart {n} row {at}",
                text=" ".join(marks) if marks else chart.name,
                kind="figures",
                example=f"{heads}; x: do not use; -: the page has no such row; Enter: later" if at == 1 else "",
                check=reads(read_row, chart, marks),
            )
        )
        if not asked.last:
            rows.append(None)
            continue
        figures = read_row(asked.last, chart, marks)
        if chart.gives == ("ramp",) and "%" in figures and figures not in dict(ramps):
            name = f"{chart.name} {' '.join(marks)}"
            ramps.append((name, figures))
            figures = name
        rows.append(figures)
    asked.draft = replace(
        asked.draft, charts=(*asked.draft.charts, replace(chart, rows=tuple(rows))), ramps=tuple(ramps)
    )


def _unit(chart: TypedChart, draft: Draft) -> str:
    """The unit of a chart's figures, to be told beside its columns."""
    units = {"airflow": draft.airflow, "percent": "%"}
    told = [units.get(QUANTITIES[q].unit, "") for q in chart.gives[:1]]
    return f", {told[0]}" if told[0] and len(chart.gives) == 1 else ""


def _rows_given(asked: Asked, n: int, chart: TypedChart) -> Questions:
    """The rows of a page that was read: they stand in the file as they were shown, in the page's order."""
    yield from asked.ask(Question(name=f"chart {n} rows", text=f"The rows of {chart.name}", kind="figures"))
    given = rows_given(asked.last, len(chart.parts))
    asked.draft = replace(asked.draft, charts=(*asked.draft.charts, replace(chart, given=given)))
