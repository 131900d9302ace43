"""A draft: questions in trade words, and the file that their answers make, with only the numbers still to type."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, replace

from selector.table.rows import TO_TYPE
from selector.transcribe.drafted import Draft
from selector.transcribe.question import Question
from selector.transcribe.typed_board import Mistyped, read_selector
from selector.transcribe.typed_call import TypedCall, leads_of, read_call, read_steps, read_times, stage_names
from selector.transcribe.typed_chart import TypedChart, read_chart, read_figures

AIRFLOW_UNITS = ("cfm", "L/s", "m3/h")


def next_question(answers: Mapping[str, str]) -> Question | None:
    """The first question that has no answer yet, None once there is nothing left to ask. Answers are kept under the names of their questions."""
    for question, _ in _asked(answers):
        if question.name and question.name not in answers:
            return question
    return None


def draft_of(answers: Mapping[str, str]) -> Draft:
    """What the answers say; questions without an answer count as answered by their default, rows as still to type."""
    return list(_asked(answers, unanswered=True))[-1][1]


def _asked(answers: Mapping[str, str], *, unanswered: bool = False) -> Iterator[tuple[Question, Draft]]:
    """Every question in its order with the draft as it stands after its answer. Without `unanswered` it ends at the first that has none."""
    state = _State(answers=answers, unanswered=unanswered)
    for question in state.questions():
        yield question, state.draft
        if question.name not in answers and not unanswered:
            return
    yield Question(name="", text=""), state.draft


@dataclass(slots=True)
class _State:
    answers: Mapping[str, str]
    unanswered: bool
    draft: Draft = field(default_factory=Draft)
    last: str = ""

    def _ask(self, question: Question) -> Iterator[Question]:
        yield question
        answer = self.answers.get(question.name, "")
        self.last = question.meant(answer) if not question.complaint(answer) else ""

    def questions(self) -> Iterator[Question]:
        """Asks in the order of a page: what it is, the board, the charts, the calls."""
        yield from self._unit()
        yield from self._board()
        yield from self._charts()
        yield from self._calls()

    def _unit(self) -> Iterator[Question]:
        yield from self._ask(Question(name="title", text="What is the unit, in plain words", default="Unit", example="Two-stage gas furnace"))
        self.draft = replace(self.draft, title=_safe(self.last))
        yield from self._ask(Question(name="maker", text="Maker", example="Corvane"))
        self.draft = replace(self.draft, maker=_safe(self.last))
        yield from self._ask(Question(name="models", text="Models with a column of their own, as printed (Enter: none)", example="060 080 110"))
        self.draft = replace(self.draft, models=tuple(self.last.replace(",", " ").split()))
        yield from self._ask(Question(name="manual", text="Number of the manual and its pages", example="K-14 23-24"))
        self.draft = replace(self.draft, manual=self.last)
        yield from self._ask(Question(name="airflow", text="Airflow is printed in", kind="choice", choices=AIRFLOW_UNITS, default="cfm"))
        self.draft = replace(self.draft, airflow=self.last or "cfm")
        yield from self._ask(
            Question(
                name="reads",
                text="The board reads its selectors (Enter: not said)",
                kind="choice",
                choices=("at power-up", "always"),
                example="at power-up",
            )
        )
        self.draft = replace(self.draft, reads=self.last)
        heats = self.draft.models or ("every model",)
        text = f"Heat input on the plate, Btu/h{' for ' + ' '.join(heats) if self.draft.models else ''} (Enter: no burner)"
        yield from self._ask(Question(name="heat input", text=text, example="60000 80000 110000", check=_counts(len(heats))))
        if self.last:
            inputs = _numbers(self.last)
            value = inputs[0] if len(inputs) == 1 else "{" + ", ".join(f"{m}: {i}" for m, i in zip(heats, inputs, strict=True)) + "}"
            ratings = [("heat input", value)]
            for key, words, example in (
                ("efficiency", "Steady efficiency, percent", "95"),
                ("temperature rise", "Rise on the plate, from and to", "35 65"),
            ):
                yield from self._ask(Question(name=key, text=words, example=example, check=_counts(1 if key == "efficiency" else 2)))
                if self.last:
                    found = _numbers(self.last)
                    ratings.append((key, f"{found[0]} %" if key == "efficiency" else f"{found[0]} to {found[1]}"))
            self.draft = replace(self.draft, ratings=tuple(ratings))

    def _board(self) -> Iterator[Question]:
        n = 0
        while True:
            n += 1
            labels = [s.label for s in self.draft.board]
            text = "A selector of the board: label, positions, how delivered" if n == 1 else "The next selector (Enter: no more)"
            question = Question(
                name=f"board {n}",
                text=text,
                example="SW1 switches 8 · J1 1-5 at 3 · D1 dial A-F at C · LK1 at whole · M1 taps 1-5 leads Y1 Y2 W G",
                needed=n == 1,
                check=_reads(read_selector, labels),
            )
            yield from self._ask(question)
            if not self.last:
                return
            self.draft = replace(self.draft, board=(*self.draft.board, read_selector(self.last, labels)))

    def _charts(self) -> Iterator[Question]:
        n = 0
        while True:
            n += 1
            draft = self.draft
            taken = [c.name for c in draft.charts]
            question = Question(
                name=f"chart {n}",
                text="A chart: its name, a colon, what sets it, `by` what stands along the top" if n == 1 else "The next chart (Enter: no more)",
                example="cooling airflow: SW1-1 SW1-2 SW1-3 by model · adjustment: SW1-4 SW1-5 · run-on: SW1-7 gives seconds",
                needed=n == 1,
                check=_reads(read_chart, draft.board, draft.models, taken),
            )
            yield from self._ask(question)
            if not self.last:
                return
            chart = read_chart(self.last, draft.board, draft.models, taken)
            if len(chart.parts) > 1:
                first = " ".join(f"{name} {marks[0]}" for name, marks in chart.parts)
                yield from self._ask(
                    Question(
                        name=f"chart {n} order",
                        text=f"After the row {first}, which changes in the next row: the first or the last",
                        kind="choice",
                        choices=("first", "last"),
                        default="first" if chart.first_fastest else "last",
                    )
                )
                chart = replace(chart, first_fastest=self.last != "last")
            yield from self._rows(n, chart)

    def _rows(self, n: int, chart: TypedChart) -> Iterator[Question]:
        rows: list[str | None] = []
        ramps = list(self.draft.ramps)
        heads = " · ".join(chart.columns)
        for at, marks in enumerate(chart.positions(), start=1):
            question = Question(
                name=f"chart {n} row {at}",
                text=f"{' '.join(marks)}" if marks else chart.name,
                kind="figures",
                example=f"{heads}; x: do not use; -: the page has no such row; Enter: later" if at == 1 else "",
                check=_reads(read_figures, chart),
            )
            yield from self._ask(question)
            if not self.last:
                rows.append(None)
                continue
            figures = read_figures(self.last, chart)
            if chart.gives == ("ramp",) and figures and figures != TO_TYPE and figures not in dict(ramps):
                name = f"{chart.name} {' '.join(marks)}"
                ramps.append((name, figures))
                figures = name
            rows.append(figures)
        self.draft = replace(self.draft, charts=(*self.draft.charts, replace(chart, rows=tuple(rows))), ramps=tuple(ramps))

    def _calls(self) -> Iterator[Question]:
        n = 0
        while True:
            n += 1
            taken = [c.name for c in self.draft.calls] + [c.name for c in self.draft.charts]
            question = Question(
                name=f"call {n}",
                text="What the blower is asked for, and the terminals of each stage" if n == 1 else "The next call (Enter: no more)",
                example="cooling Y1, Y1 Y2",
                needed=n == 1,
                check=_reads(read_call, taken),
            )
            yield from self._ask(question)
            if not self.last:
                return
            name, terminals = read_call(self.last, taken)
            stages = stage_names(len(terminals), self.draft.charts)
            yield from self._call(n, TypedCall(name=name, terminals=terminals, stages=stages))

    def _call(self, n: int, call: TypedCall) -> Iterator[Question]:
        draft = self.draft
        stages = call.stages
        told = f" (stages: {' '.join(stages)})" if stages else ""
        yield from self._ask(
            Question(
                name=f"call {n} airflow",
                text=f"Its airflow: the chart, then what acts on it{told}",
                example="cooling airflow, adjustment, 66 % in first, at least 400 · call cooling second, 45 %",
                needed=True,
                check=_reads(read_steps, draft.charts, draft.board, draft.calls, stages),
            )
        )
        if not self.last:
            call = replace(call, steps=(next((c.name for c in draft.charts if "airflow" in c.gives), TO_TYPE),))
        else:
            call = replace(call, steps=read_steps(self.last, draft.charts, draft.board, draft.calls, stages))
        if any(c.taps and c.name in call.steps for c in draft.charts):
            leads = [lead for s in draft.board for lead in s.leads]
            known = leads_of(call.terminals, leads)
            yield from self._ask(
                Question(
                    name=f"call {n} lead", text="The lead that each stage energises", default=" ".join(known), example=" ".join(leads), needed=True
                )
            )
            call = replace(call, lead=tuple(self.last.replace(",", " ").split()))
        if any(t.split()[0].upper().startswith("W") for t in call.terminals if t) and len(stages) > 1 and draft.ratings:
            yield from self._ask(
                Question(
                    name=f"call {n} capacity",
                    text=f"Share of the full heat in {' '.join(stages[:-1])}, percent",
                    example="70",
                    check=_counts(len(stages) - 1),
                )
            )
            call = replace(call, capacity=tuple(f"{v} %" for v in _numbers(self.last)))
        terminals = " ".join(call.terminals).upper().split()
        heaters = [x.label for x in draft.board if x.declares]
        if heaters and any(t[0] in "WE" for t in terminals) and not any(t[0] == "Y" for t in terminals):
            yield from self._ask(
                Question(
                    name=f"call {n} heat",
                    text="The selector that tells which heater is fitted",
                    kind="choice",
                    choices=tuple(heaters),
                    default=heaters[0],
                )
            )
            call = replace(call, heat=self.last)
        used = {value for c in draft.calls for _, value in c.times}
        times = [c for c in draft.charts if ("seconds" in c.gives or "ramp" in c.gives) and c.name not in used]
        if times:
            yield from self._ask(
                Question(
                    name=f"call {n} times",
                    text=f"Which belongs to it, of {', '.join(c.name for c in times)}: off (run-on), on (wait) or ramp, and the chart (Enter: none)",
                    example=f"off {times[0].name}",
                    check=_reads(read_times, draft.charts),
                )
            )
            call = replace(call, times=read_times(self.last, draft.charts))
        idle = _idle(draft)
        if idle:
            yield from self._ask(
                Question(
                    name=f"call {n} when", text=f"Only when a selector stands so, of {', '.join(idle)} (Enter: always)", example=f"{idle[0]} cut"
                )
            )
            if self.last:
                label, _, position = self.last.partition(" ")
                call = replace(call, when=f"{label}: {position}")
        self.draft = replace(self.draft, calls=(*self.draft.calls, call))


def _idle(draft: Draft) -> list[str]:
    """Selectors that no chart is set by and no call waits for."""
    used = {name for c in draft.charts for name, _ in c.parts} | {n for c in draft.charts for n, _ in c.heads}
    waited = {c.when.partition(":")[0] for c in draft.calls}
    return [s.label for s in draft.board if s.kind != "switches" and s.label not in used and s.label not in waited and not s.declares]


def _reads(read: Callable[..., object], *known: object) -> Callable[[str], str]:
    """A check that reads an answer and gives what stands against it."""

    def check(answer: str) -> str:
        try:
            read(answer, *known)
        except Mistyped as wrong:
            return str(wrong)
        return ""

    return check


def _counts(wanted: int) -> Callable[[str], str]:
    """A check that so many figures are typed."""

    def check(answer: str) -> str:
        found = len(_numbers(answer))
        return "" if found == wanted else f"{found} figures, but {wanted} are needed"

    return check


def _numbers(text: str) -> list[str]:
    return re.findall(r"\d+(?:\.\d+)?", text.replace(",", ""))


def _safe(text: str) -> str:
    """The text as a value of the file: quoted where it needs to be."""
    if re.search(r": |:$| #|^[-?*&!%@`\"'\[\]{}|>#,]", text):
        return '"' + text.replace("\\", "/").replace('"', "'") + '"'
    return text
