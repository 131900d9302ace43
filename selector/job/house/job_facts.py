"""What a job says, held against its table: model, facts, marks, calls and stages by name. A name the table doesn't
have is a problem at its place."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from fractions import Fraction
from typing import TypeVar

from selector.job.file.model import Job, Mark, TypedWord
from selector.job.house.heater_marks import printed_powers, rates_heater, word_of
from selector.job.remark import Remark, remark
from selector.judge.known_facts import BoardMarks
from selector.problems import Problem, Refused
from selector.solve.board.facts import Facts, number_in
from selector.solve.board.marks import read_marks, unread_in
from selector.solve.engine.engine import Engine
from selector.solve.search.typed_facts import call_named, read_facts
from selector.table.model.quantities import RISE, acting
from selector.table.model.table import Fact, Named, Setting, Table
from selector.units import BTUH_PER_KW, BTUH_PER_TON, convert, plain
from selector.value import Struct, field, replace

Stage = tuple[str, str]
T = TypeVar("T")
_HUMIDISTAT_WORDS = {"opens on rise": "opens", "closes on rise": "closes", "none": "none"}
_RATED = {
    "supply voltage": "supply_voltage",
    "heater voltage": "heater_voltage",
    "pump pressure": "pump_pressure",
    "heat per gallon": "heat_per_gallon",
}


class Known(Struct, frozen=True, kw_only=True):
    """`facts` for the engine; the settings found and left (None: no marks at all); positions held; what was assumed.

    What `as left` doesn't name is left as it was found, and `not_typed` says so; what no marks name stands as its fact
    says, else as delivered (`assumed`). A part without a position is unreadable where it is in `unread`, else nobody
    told it.
    """

    facts: Facts
    found: Setting | None
    left: Setting | None
    unread: frozenset[int]
    held: Mapping[int, int]
    notes: tuple[Remark, ...] = ()
    sources: Mapping[str, str] = field(default_factory=dict)
    not_typed: tuple[Remark, ...] = ()
    assumed: tuple[int, ...] = ()


def known(job: Job, table: Table) -> Known:
    """Everything the job says about this table. Raises Refused with every name or value the table doesn't have."""
    return _Reader(job, table).known()


def call_of(job: Job, table: Table, word: TypedWord, stage: TypedWord | None = None) -> Stage:
    """The call and stage a word of the job means: by name, by name and stage, or by terminals energised. Raises
    Refused at its place."""
    text = f"{word.text} {stage.text}" if stage is not None else word.text
    terminals = frozenset(t.upper() for t in text.split())
    matches = [
        (call.name, one)
        for call in table.calls.values()
        for one in call.stages
        if frozenset(t.upper() for t in call.terminals.get(one, call.terminals.get("", ()))) == terminals
    ]
    if len(matches) == 1 and not any(c.casefold() == word.text.casefold() for c in table.calls):
        return matches[0]
    running = _running(table, terminals)
    if running is not None:
        return running
    return placed(job, word, lambda: call_named(text, table))


def _running(table: Table, energised: frozenset[str]) -> Stage | None:
    """The one stage that runs beside the fan with these terminals energised (Y1 Y2 G, W1 G): all of its own are among
    them, and it is no part of another that runs. None where that is none or several, or a word is no terminal."""
    own = {
        (call.name, stage): frozenset(t.upper() for t in call.terminals.get(stage, call.terminals.get("", ())))
        for call in table.calls.values()
        for stage in call.stages
    }
    if not energised <= frozenset().union(*own.values()) | {"G"}:
        return None
    fits = {at: words for at, words in own.items() if words and words <= energised and words != {"G"}}
    largest = [at for at, words in fits.items() if not any(words < other for other in fits.values())]
    if len(largest) != 1:
        return None
    return largest[0] if energised - fits[largest[0]] <= {"G"} else None


def placed(job: Job, at: TypedWord | Mark, act: Callable[[], T]) -> T:
    """The result of reading something the person typed; its problems are moved to the place in the job."""
    try:
        return act()
    except Refused as refused:
        raise Refused([moved(job, at, p) for p in refused.problems]) from refused


def moved(job: Job, at: TypedWord | Mark, problem: Problem) -> Problem:
    """A problem at the place of a word of the job."""
    source = job.lines[at.line - 1] if 0 < at.line <= len(job.lines) else at.text
    return replace(
        problem, file=job.file or "job", line=at.line, column=at.column, source=source, length=max(1, len(at.text))
    )


def all_marks(job: Job, marks: Iterable[Mark], table: Table) -> dict[int, int | None]:
    """Part -> position (None where unreadable). Raises Refused with every mark that can't be on this board."""
    out: dict[int, int | None] = {}
    problems: list[Problem] = []
    for mark in marks:
        try:
            out.update(placed(job, mark, lambda mark=mark: read_marks([f"{mark.selector}={mark.text}"], table)))  # type: ignore[misc]
        except Refused as refused:
            problems += refused.problems
    if problems:
        raise Refused(problems)
    return out


class _Reader:
    """One job against one table."""

    def __init__(self, job: Job, table: Table) -> None:
        self.job = job
        self.table = table
        self.problems: list[Problem] = []
        self.notes: list[Remark] = []
        self.values: dict[str, Fraction | str] = {}
        self.sources: dict[str, str] = {}

    def known(self) -> Known:
        model, board_model = self._models()
        self._installed()
        self._rated()
        for name, word in self.job.facts.items():
            self._fact(name, word)
        found, left, held = self._marks(self.job.found), self._marks(self.job.left), self._marks(self.job.hold) or {}
        for key in (*self.job.targets, *self.job.windows):
            self._tried(lambda key=key: call_of(self.job, self.table, _spot(self.job, key)))  # type: ignore[misc]
        self._wishes()
        if self.problems:
            raise Refused(self.problems)
        facts = Facts(model=model, values=self.values, board_model=board_model)
        engine = Engine(self.table, facts)
        before, assumed = (None, ()) if found is None else _standing(engine, found)
        after, taken = (None, assumed) if left is None else _standing(engine, {**(found or {}), **left})
        return Known(
            facts=facts,
            found=before,
            left=after,
            unread=unread_in(found or {}) | unread_in(left or {}),
            held={part: at for part, at in held.items() if at is not None},
            notes=tuple(self.notes),
            sources=self.sources,
            not_typed=_not_typed(found, left, self.table),
            assumed=taken,
        )

    def _tried(self, act: Callable[[], T]) -> T | None:
        try:
            return act()
        except Refused as refused:
            self.problems += refused.problems
            return None

    def _marks(self, marks: tuple[Mark, ...]) -> dict[int, int | None] | None:
        return self._tried(lambda: all_marks(self.job, marks, self.table)) if marks else None

    def _models(self) -> tuple[str | None, str | None]:
        """The plate's model and, where it differs, the board's."""
        plate, board = self.job.plate_model, self.job.model
        if plate is None:
            return self._model(board), None
        on_plate, believed = self._model(plate), self._model(board)
        if believed is None or believed == on_plate:
            return on_plate, None
        self.notes.append(remark("two models", board=believed, plate=on_plate or ""))
        return on_plate, believed

    def _model(self, word: TypedWord | None) -> str | None:
        if word is None:
            return None
        facts = self._tried(lambda: placed(self.job, word, lambda: read_facts([("model", word.text)], self.table)))
        return facts.model if facts is not None else None

    def _installed(self) -> None:
        """Equipment the table has a fact for."""
        job, heat = self.job, self.job.heat
        if job.outdoor is not None and job.outdoor.capacity is not None:
            tons = job.outdoor.capacity.value / BTUH_PER_TON
            self.values["outdoor tons"] = tons
            self._to_fact("tons", tons, job.outdoor.capacity.line, f"{plain(tons)} tons")
        if heat is not None:
            kw = heat.heater or heat.most_auxiliary
            if kw is not None:
                self._to_fact("heater power", kw.value / BTUH_PER_KW, kw.line, kw.text)
            if heat.nozzle is not None:
                self._to_fact("nozzle rate", heat.nozzle.value, heat.nozzle.line, heat.nozzle.text)
            if heat.input:
                most = max(heat.input.values(), key=lambda a: a.value)
                self._to_fact("heat input", most.value / self.table.heat_factor, most.line, most.text)
        site = job.site
        if site.static_pressure is not None:
            self.values["static pressure"] = convert(site.static_pressure.value, "in. w.c.", self.table.units.pressure)
        if site.firing_rate is not None:
            self.values["firing rate"] = site.firing_rate.value
        humidistat = job.dehumidify.humidistat if job.dehumidify is not None else None
        for name, fact in self.table.facts.items():
            if humidistat is not None and "humidistat" in name.casefold():
                word = _HUMIDISTAT_WORDS[humidistat.text]
                if word in fact.values:
                    self.values[name] = word

    def _to_fact(self, gives: str, value: Fraction, line: int, text: str) -> None:
        """The value under the name of the table's fact that gives this quantity, in the page's own word."""
        for name, fact in self.table.facts.items():
            by_chart = gives == "heater power" and rates_heater(self.table, fact) is not None
            if fact.gives != gives and not by_chart:
                continue
            if name in self.job.facts:
                return
            word = word_of(self.table, fact, value)
            if word is None and fact.values:
                self._not_printed(fact, value, line, text)
                return
            self.values[name] = value if word is None else word
        for part in self.table.parts:
            if self.table.selectors[part.selector].gives == gives and part.declares not in ("", *self.job.facts):
                word = next((part.tells(i) for i, figure in enumerate(part.values) if figure == value), None)
                if word is not None:
                    self.values[part.declares] = word

    def _not_printed(self, fact: Fact, value: Fraction, line: int, text: str) -> None:
        powers = printed_powers(self.table, fact)
        figures = {word: powers.get(word, number_in(word)) for word in fact.values}
        known = {word: figure for word, figure in figures.items() if figure is not None}
        near = min(known, key=lambda word: abs(known[word] - value), default=fact.values[-1])
        words = " ".join(f"{word} ({plain(powers[word])} kW)" if word in powers else word for word in fact.values)
        source = self.job.lines[line - 1] if 0 < line <= len(self.job.lines) else ""
        column = source.find(text) + 1 if source else 1
        self.problems.append(
            Problem(
                file=self.job.file or "job",
                line=line,
                column=max(1, column),
                code="not-on-the-page",
                message=f"the page has no {fact.name} {text}: it has {words}",
                help=f"Read the plate again. If the page means it by {near}, type {fact.name}: {near} under facts.",
                source=source,
                length=max(1, len(text)),
            )
        )

    def _rated(self) -> None:
        """Figures of the plate that the table's heat is worked out with; a board that reckons with its own ratings
        keeps those."""
        heat = self.job.heat
        if heat is None or _reckons(self.table):
            return
        for name, attr in _RATED.items():
            amount = getattr(heat, attr)
            if amount is not None:
                self.values[name] = amount.value
        if heat.efficiency is not None:
            self.values["efficiency"] = heat.efficiency.value / 100

    def _fact(self, name: str, word: TypedWord) -> None:
        facts = self._tried(lambda: placed(self.job, word, lambda: read_facts([(name, word.text)], self.table)))
        if facts is not None:
            self.values.update(facts.values)

    def _wishes(self) -> None:
        from selector.problems import close_match

        for name, word in self.job.wishes.items():
            chart = self.table.charts.get(name)
            if chart is not None or name in ("ramp", "delay"):
                continue
            near = close_match(name, list(self.table.charts))
            problem = Problem(
                file="",
                line=0,
                column=0,
                code="unknown-chart",
                message=f"this table has no chart `{name}` to wish of",
                help=f"did you mean `{near}`?" if near else f"its charts are {', '.join(self.table.charts)}",
            )
            self.problems.append(moved(self.job, word, problem))


def _standing(engine: Engine, marks: Mapping[int, int | None]) -> tuple[Setting, tuple[int, ...]]:
    """Where each part stands by marks of some of them, and the parts that nobody typed."""
    setting = tuple(marks.get(p.index) for p in engine.table.parts)
    return BoardMarks(setting=setting, unread=unread_in(marks)).standing(engine)


def _not_typed(
    found: Mapping[int, int | None] | None, left: Mapping[int, int | None] | None, table: Table
) -> tuple[Remark, ...]:
    """What `as left` doesn't name and `as found` does: whole selectors by their names, else their parts."""
    if found is None or left is None:
        return ()
    names: list[str] = []
    for selector in table.selectors.values():
        missing = [i for i in selector.parts if i not in left and found.get(i) is not None]
        names += [selector.name] if len(missing) == len(selector.parts) else [table.parts[i].name for i in missing]
    return (remark("taken as found", parts=tuple(names)),) if names else ()


def _reckons(table: Table) -> bool:
    """True where a board works an airflow out from a rise and heat of its own."""
    steps = [step for call in table.calls.values() for step in call.airflow]
    charts = [
        table.charts[a.name] for s in steps for a in s.by_stage.values() if isinstance(a, Named) and a.kind == "chart"
    ]
    return any(s.op == RISE for s in steps) or any(RISE in acting(c.gives) for c in charts)


def _spot(job: Job, key: str) -> TypedWord:
    """The place of a call named as a key of `targets` or `windows`."""
    values = list(job.targets.get(key, {}).values()) + list(job.windows.get(key, {}).values())
    at = values[0] if values else None
    line = at.line if at is not None else 0
    column = job.lines[line - 1].find(key) + 1 if 0 < line <= len(job.lines) else 0
    return TypedWord(text=key, line=line, column=max(0, column))


__all__ = ["Known", "Stage", "all_marks", "call_of", "known", "moved", "placed"]
