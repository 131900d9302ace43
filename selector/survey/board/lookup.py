"""Every distinct board that records hold, judged once: rows of the relations that the records are joined with."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from fractions import Fraction
from math import ceil, floor
from typing import NamedTuple

from selector.answers.assumed_facts import assumed_fact_texts
from selector.answers.survey import fault as words
from selector.answers.survey.fault import RecordFault, figure_shown, problem_fault
from selector.judge.assumed_facts import of_all
from selector.judge.judged_stages import BoardFaults, JudgedStages
from selector.judge.known_facts import BoardMarks
from selector.problems import Problem, Refused
from selector.solve.board.facts import Facts
from selector.solve.engine.open_cases import too_much_open_problem
from selector.solve.rank.rank import TooLarge
from selector.solve.search.typed_facts import read_facts
from selector.survey.board.airflow_reading import airflow_reading
from selector.survey.board.marks_reader import MarksReader
from selector.survey.board.record_verdict import RANK, TonEnd, verdict_of
from selector.survey.board.stage_facts import SCALE, StageFacts, StaticLimits, stage_facts
from selector.survey.board.surveyed_table import STATIC, TONS, SurveyedTable, surveyed
from selector.table.model.roles import Role
from selector.table.model.table import Setting, Table

Row = tuple[object, ...]
Figure = tuple[int | None, bool, int | None]
MOST_CONTEXTS = 4_000
"""Tables under their facts that are kept ready."""
OK_NUMBER = 1
"""The number of `OK` among the faults, which the SQL names."""
MAIN: tuple[tuple[str, tuple[Role, ...]], ...] = (
    ("cooling", ("cooling",)),
    ("heating", ("heat", "heat pump", "heat pump + auxiliary")),
    ("fan", ("fan",)),
)
"""The calls whose last stage every record shows, by their roles: the first role that a table has."""
_AIRFLOW = ("", "_least", "_most", "_flow")
_NO_AIRFLOW = (None,) * len(_AIRFLOW)
_ENDS = ("_down", "_up")
_VERDICT = (
    ("number", "long"),
    ("rank", "int"),
    ("fault", "long"),
    ("beyond", "double"),
    ("low_at", "long"),
    ("low_fault", "long"),
    ("low_flow", "double"),
    ("low_end", "double"),
    ("high_at", "long"),
    ("high_fault", "long"),
    ("high_flow", "double"),
    ("high_end", "double"),
    ("static_most", "long"),
    ("static_fault", "long"),
    ("static_end", "double"),
    ("waits_tons", "flag"),
    ("waits_static", "flag"),
    ("assumed", "text"),
)
RELATIONS: dict[str, tuple[tuple[str, str], ...]] = {
    "figures": (
        ("id", "long"),
        ("tbl", "text"),
        ("tons", "text"),
        ("static", "text"),
        ("by_static", "flag"),
        ("odd", "flag"),
        ("tons_scaled", "long"),
        ("tons_fault", "long"),
        ("static_scaled", "long"),
        ("static_fault", "long"),
        ("air_unit", "text"),
    ),
    "faults": (
        ("id", "long"),
        ("rank", "int"),
        ("verdict", "text"),
        ("place", "text"),
        ("unit", "text"),
        ("reason", "text"),
    ),
    "boards": (
        ("board", "long"),
        ("tbl", "text"),
        ("model", "text"),
        ("marks", "text"),
        ("facts", "text"),
        ("static", "text"),
        ("verdict", "long"),
    ),
    "cases": (("board", "long"), ("tons", "text"), ("verdict", "long")),
    "moves": (("board", "long"), ("tons", "text"), ("moves", "int"), ("words", "text")),
    "readings": (
        ("id", "long"),
        ("tbl", "text"),
        ("typed", "text"),
        ("airflow", "double"),
        ("low_up", "long"),
        ("high_down", "long"),
        ("unread", "text"),
    ),
    "verdicts": (
        *_VERDICT,
        *((f"{name}{end}", "double") for name, _ in MAIN for end in _AIRFLOW),
        *((f"{name}{end}", "long") for name, _ in MAIN for end in _ENDS),
    ),
    "stages": (
        *_VERDICT,
        ("place", "int"),
        ("call", "text"),
        ("stage", "text"),
        ("code", "text"),
        *((f"airflow{end}", "double") for end in _AIRFLOW),
    ),
}
"""Relation -> its columns and their types (text, int, long, double, flag). `figures`: tons and static as typed, as a
table reads them; `boards`: their verdict, null where it hangs on the tons and is among `cases`. `_at` ends are whole
millionths of a ton, `static_most` of the table's pressure unit; airflows are in the table's unit, `_flow` over the
share of the outdoor unit that runs, `_down` and `_up` whole millionths of it, rounded down and up. `readings`: measured
airflows as typed, with the ends of their bands in whole millionths, and why one can't be read."""


class RawBoard(NamedTuple):
    """A board as records type it; `static` and `tons` are empty where they are no part of the key."""

    table: str
    model: str
    marks: str
    facts: str
    static: str
    tons: str = ""


class _Context:
    """A table under its facts: the stages judged so far, and what was kept of them."""

    def __init__(self, known: SurveyedTable, facts: Facts, stage: Callable[[StageFacts], int]) -> None:
        """`stage` gives a stage its number."""
        self.known = known
        self.engine = engine = known.engine(facts)
        statics: StaticLimits = {}
        self.judged = JudgedStages(engine, lambda one: stage(stage_facts(known, engine, one, statics)), self._faults)
        self.verdicts: dict[tuple[Setting, frozenset[int], bool], int | None] = {}
        calls = engine.table.calls
        places = [(c.name, stage) for c in calls.values() for stage in c.stages]
        first = (_first(known.roles, wanted) for _, wanted in MAIN)
        self.shown = tuple(None if call is None else places.index((call, calls[call].last)) for call in first)

    def _faults(self, setting: Setting, found: BoardFaults) -> tuple[RecordFault, ...]:
        """What is wrong apart from the stages."""
        table = self.engine.table
        return (
            *(words.shared_fault(table, setting, leads) for leads in found.shared),
            *(words.contradiction_fault(table, one) for one in found.untrue),
            *(words.refused_fault(chart, no) for chart, no in found.refused),
        )


def _first(of: Mapping[str, Role], wanted: Sequence[Role]) -> str | None:
    """The call of the first of these roles that any call has."""
    return next((call for role in wanted for call, found in of.items() if found == role), None)


class Lookup:
    """Gives every fault and verdict a number, and collects the rows of those not collected yet. Boards that stand alike
    in all their stages have one verdict."""

    def __init__(
        self, load: Callable[[str], Table], *, assumed: bool = True, stages: bool = False, first: int = 0
    ) -> None:
        """`load` raises Refused for a name that no table has; `stages`: collect a row for each stage too; `first`:
        the first number that is free."""
        self.load = load
        self.assumed = assumed
        self.with_stages = stages
        self._tables: dict[str, SurveyedTable | RecordFault] = {}
        self._readers: dict[str, MarksReader] = {}
        self._contexts: dict[tuple[str, ...], _Context | RecordFault] = {}
        self._figures: dict[tuple[str, str, str], Figure] = {}
        self._stages: dict[StageFacts, int] = {}
        self._stage_list: list[StageFacts] = []
        self._airflows: dict[int, Row] = {}
        self._verdicts: dict[object, int | None] = {}
        self._next = max(first, OK_NUMBER)
        self._judged = 0
        self._faults: dict[RecordFault, int] = {words.OK: OK_NUMBER}
        self.rows: dict[str, list[Row]] = {name: [] for name in RELATIONS}
        if not first:
            self.rows["faults"].append((OK_NUMBER, RANK["OK"], "OK", "", "", words.OK.reason))

    def taken(self) -> dict[str, list[Row]]:
        """The rows collected since the last time."""
        out, self.rows = self.rows, {name: [] for name in RELATIONS}
        return out

    @property
    def judged(self) -> int:
        """How many distinct boards were judged."""
        return self._judged

    def _number(self) -> int:
        self._next += 1
        return self._next

    def _stage(self, one: StageFacts) -> int:
        found = self._stages.get(one)
        if found is None:
            found = self._stages[one] = len(self._stage_list)
            self._stage_list.append(one)
        return found

    def fault(self, one: RecordFault) -> int:
        """The number of a fault."""
        found = self._faults.get(one)
        if found is None:
            found = self._faults[one] = self._number()
            rank = RANK[one.verdict]
            self.rows["faults"].append((found, rank, one.verdict, one.where, one.unit, one.reason))
        return found

    # -- tables and figures

    def table(self, name: str) -> SurveyedTable | RecordFault:
        """The table of a name as it is typed in a record."""
        found = self._tables.get(name)
        if found is None:
            try:
                found = surveyed(self.load(name), assumed=self.assumed)
            except Refused as refused:
                found = problem_fault("unknown table", refused.problems)
            self._tables[name] = found
        return found

    def by_static(self, name: str) -> bool:
        """True where a table's airflows hang on the static pressure."""
        found = self.table(name)
        return not isinstance(found, RecordFault) and found.by_static

    def add_figures(self, id: int, table: str, tons: str, static: str) -> bool:
        """A row of `figures`; True where the tons are no whole number of millionths."""
        found = self.table(table)
        if isinstance(found, RecordFault):
            self.rows["figures"].append((id, table, tons, static, False, False, *(None,) * 4, ""))
            return False
        units = found.table.units
        scaled, odd, fault = self._figure(found, TONS, tons)
        over, _, wrong = self._figure(found, STATIC, "" if found.by_static else static)
        if found.by_tons:
            odd, fault = False, None
        row = (id, table, tons, static, found.by_static, odd, scaled, fault, over, wrong, units.airflow)
        self.rows["figures"].append(row)
        return odd

    def _figure(self, known: SurveyedTable, name: str, text: str) -> Figure:
        """Whole millionths rounded up, whether they were rounded, the fault."""
        if not text:
            return None, False, None
        key = (known.table.name, name, text)
        found = self._figures.get(key)
        if found is None:
            try:
                value = read_facts([(name, text)], known.table).number(name)
                assert value is not None
                scaled = value * SCALE
                found = ceil(scaled), scaled.denominator != 1, None
            except Refused as refused:
                found = None, False, self.fault(problem_fault("odd fact", refused.problems))
            self._figures[key] = found
        return found

    def add_reading(self, id: int, table: str, text: str) -> None:
        """A row of `readings`."""
        found = self.table(table)
        if isinstance(found, RecordFault) or not text:
            self.rows["readings"].append((id, table, text, None, None, None, None))
            return
        try:
            one = airflow_reading(text, found.table)
        except Refused as refused:
            unread = problem_fault("odd fact", refused.problems).reason
            self.rows["readings"].append((id, table, text, None, None, None, unread))
            return
        ends = ceil(one.low_cfm * SCALE), floor(one.high_cfm * SCALE)
        self.rows["readings"].append((id, table, text, float(one.airflow_cfm), *ends, None))

    # -- boards

    def verdict(self, raw: RawBoard, *, told: bool = False) -> int | None:
        """The number of the verdict on a board; None where its tons belong in the key and weren't `told`."""
        known = self.table(raw.table)
        if isinstance(known, RecordFault):
            return self._fault_verdict(known)
        key = (raw.table, raw.model, raw.facts, raw.static, raw.tons)
        context = self._contexts.get(key)
        if context is None:
            if len(self._contexts) >= MOST_CONTEXTS:
                self._contexts.clear()
            context = self._contexts[key] = _context(known, raw, self._stage)
        if isinstance(context, RecordFault):
            return self._fault_verdict(context)
        reader = self._readers.get(raw.table)
        if reader is None:
            reader = self._readers[raw.table] = MarksReader(known.table)
        try:
            if not raw.marks:
                raise Refused([_problem("no marks", "type the marks as they were read, such as SW1=10010110")])
            setting, unread = reader.read(raw.marks)
        except Refused as refused:
            return self._fault_verdict(problem_fault("odd marks", refused.problems))
        if None in setting:
            setting, _ = BoardMarks(setting=setting, unread=unread).standing(context.engine)
        board = (setting, unread, told)
        if board in context.verdicts:
            return context.verdicts[board]
        self._judged += not told
        hangs = context.known.by_tons and not told
        found = context.verdicts[board] = None if hangs else self._judge(context, setting, unread, told=told)
        return found

    def _fault_verdict(self, fault: RecordFault) -> int:
        """A record that can't be judged."""
        number = self._verdicts.get(fault)
        if number is None:
            number = self._verdicts[fault] = self._number()
            row = (number, RANK[fault.verdict], self.fault(fault), *(None,) * 12, False, False, None)
            self.rows["verdicts"].append((*row, *(None,) * (len(MAIN) * len(_AIRFLOW + _ENDS))))
        return number

    def _judge(self, context: _Context, setting: Setting, unread: frozenset[int], *, told: bool) -> int | None:
        try:
            key = context.shown, context.judged.stages(setting, unread), context.judged.faults(setting), told
        except TooLarge as large:
            problem = too_much_open_problem(large.variables or large.factors, "record")
            return self._fault_verdict(problem_fault("odd marks", [problem]))
        if key in self._verdicts:
            return self._verdicts[key]
        _, numbers, faults, _ = key
        hangs = not told and any(self._stage_list[n].by_tons for n in numbers)
        found = None if hangs else self._add_verdict(context, numbers, faults)
        self._verdicts[key] = found
        return found

    def _add_verdict(self, context: _Context, numbers: Sequence[int], faults: Sequence[RecordFault]) -> int:
        """Rows of a verdict and its stages."""
        stages = [self._stage_list[n] for n in numbers]
        number = self._number()
        airflows = [x for at in context.shown for x in (_NO_AIRFLOW if at is None else self._airflow(numbers[at]))]
        certain = [None if at is None else self._stage_list[numbers[at]].airflow for at in context.shown]
        ends = [x for flow in certain for x in ((None, None) if flow is None else _whole(flow))]
        self.rows["verdicts"].append((number, *self._verdict_row(stages, faults), *airflows, *ends))
        if self.with_stages:
            for n, one in enumerate(stages):
                own = self._verdict_row([one])
                self.rows["stages"].append((number, *own, n, one.call, one.stage, one.code, *self._airflow(numbers[n])))
        return number

    def _airflow(self, stage: int) -> Row:
        """Whole airflow, least, most, and the airflow over the share of the outdoor unit that runs."""
        found = self._airflows.get(stage)
        if found is None:
            one = self._stage_list[stage]
            whole = (None if x is None else figure_shown(x) for x in (one.airflow, one.least, one.most))
            found = self._airflows[stage] = (*whole, None if one.flow is None else float(one.flow))
        return found

    def _verdict_row(self, stages: Sequence[StageFacts], faults: Sequence[RecordFault] = ()) -> Row:
        verdict = verdict_of(stages, faults)
        worst, static = verdict.breach, verdict.static
        assumed = assumed_fact_texts(of_all(one for stage in stages for one in stage.assumed))
        return (
            verdict.rank,
            self.fault(worst.fault),
            None if worst.by is None else float(worst.by),
            *self._end(verdict.low),
            *self._end(verdict.high),
            *((None,) * 3 if static is None else (static.most, self.fault(static.fault), float(static.end))),
            verdict.waits_tons,
            verdict.waits_static,
            "; ".join(assumed) or None,
        )

    def _end(self, end: TonEnd | None) -> Row:
        return (None,) * 4 if end is None else (end.at, self.fault(end.fault), float(end.flow), float(end.end))


def _whole(airflow: Fraction) -> tuple[int, int]:
    """Whole millionths, rounded down and up."""
    return floor(airflow * SCALE), ceil(airflow * SCALE)


def _context(known: SurveyedTable, raw: RawBoard, stage: Callable[[StageFacts], int]) -> _Context | RecordFault:
    """A table under the facts of a record."""
    try:
        pairs = [("model", raw.model), (STATIC, raw.static), (TONS, raw.tons), *facts_typed(raw.facts)]
        return _Context(known, read_facts([(name, text) for name, text in pairs if text], known.table), stage)
    except Refused as refused:
        return problem_fault("odd fact", refused.problems)


def facts_typed(facts: str) -> list[tuple[str, str]]:
    """`heater=10; supply voltage=235 V` as pairs. Raises Refused for one without a name."""
    out = []
    for piece in filter(None, (p.strip() for p in facts.split(";"))):
        name, equals, text = piece.partition("=")
        if not equals:
            raise Refused([_problem(f"`{piece}` has no name", "type the fact's name, = and its value: heater=10")])
        out.append((name.strip(), text.strip()))
    return out


def _problem(message: str, help: str) -> Problem:
    return Problem(file="record", line=0, column=0, code="odd-record", message=message, help=help)
