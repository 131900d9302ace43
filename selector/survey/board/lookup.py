"""Every distinct board that records hold, judged once: rows of the relations that the records are joined with."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from fractions import Fraction
from math import ceil

from selector.answers.survey import fault as words
from selector.answers.survey.fault import RecordFault, figure_shown, problem_fault
from selector.judge.judged_stages import JudgedStages
from selector.judge.known_facts import BoardMarks
from selector.problems import Problem, Refused
from selector.solve.board.facts import Facts
from selector.solve.rank.rank import TooLarge
from selector.solve.search.typed_facts import read_facts
from selector.survey.board.marks_reader import MarksReader
from selector.survey.board.record_verdict import RANK, RecordVerdict, TonEnd, verdict_of
from selector.survey.board.stage_facts import SCALE, StageFacts, stage_facts
from selector.survey.board.surveyed_table import STATIC, TONS, SurveyedTable, surveyed
from selector.table.model.roles import Role
from selector.table.model.table import Setting, Table
from selector.units import convert
from selector.value import Struct

Row = tuple[object, ...]
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
_VERDICT = (
    ("number", "long"),
    ("tons", "text"),
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
)
RELATIONS: dict[str, tuple[tuple[str, str], ...]] = {
    "tables": (
        ("name", "text"),
        ("by_static", "flag"),
        ("by_tons", "flag"),
        ("pressure", "text"),
        ("airflow", "text"),
        ("cfm", "double"),
    ),
    "tons": (("text", "text"), ("scaled", "long"), ("odd", "flag"), ("fault", "long")),
    "statics": (("pressure", "text"), ("text", "text"), ("scaled", "long"), ("fault", "long")),
    "faults": (
        ("id", "long"),
        ("rank", "int"),
        ("verdict", "text"),
        ("place", "text"),
        ("unit", "text"),
        ("reason", "text"),
    ),
    "boards": (
        ("tbl", "text"),
        ("model", "text"),
        ("marks", "text"),
        ("facts", "text"),
        ("static", "text"),
        ("number", "long"),
        ("by_tons", "flag"),
    ),
    "moves": (("number", "long"), ("tons", "text"), ("moves", "int"), ("words", "text")),
    "verdicts": (*_VERDICT, *((f"{name}{end}", "double") for name, _ in MAIN for end in _AIRFLOW)),
    "stages": (
        *_VERDICT,
        ("place", "int"),
        ("call", "text"),
        ("stage", "text"),
        ("code", "text"),
        *((f"airflow{end}", "double") for end in _AIRFLOW),
    ),
}
"""Relation -> its columns and their types (text, int, long, double, flag). `number` and `tons` are a verdict's key;
`_at` ends are whole millionths of a ton, `static_most` of the table's pressure unit; airflows are in the table's unit,
`_flow` over the share of the outdoor unit that runs."""


class RawBoard(Struct, frozen=True, kw_only=True):
    """A board as records type it; `static` and `tons` are empty where they are no part of the key."""

    table: str
    model: str
    marks: str
    facts: str
    static: str
    tons: str = ""


class _Context:
    """A table under its facts: the stages judged so far, and what was kept of them."""

    def __init__(self, known: SurveyedTable, facts: Facts) -> None:
        self.known = known
        self.engine = known.engine(facts)
        self.judged = JudgedStages(self.engine)
        self.kept: dict[int, tuple[object, StageFacts]] = {}
        self.rows: dict[int, Row] = {}
        places = [(c.name, stage) for c in self.engine.table.calls.values() for stage in c.stages]
        self.shown = {
            name: places.index((call, self.engine.table.calls[call].last))
            for name, wanted in MAIN
            if (call := _first(known.roles, wanted)) is not None
        }

    def stages(self, setting: Setting, unread: frozenset[int]) -> list[StageFacts]:
        """What is kept of every stage."""
        out = []
        for one in self.judged.stages(setting, unread):
            found = self.kept.get(id(one))
            if found is None:
                found = self.kept[id(one)] = (one, stage_facts(self.known, self.engine, one))
            out.append(found[1])
        return out

    def airflows(self, at: int | None, stages: Sequence[StageFacts]) -> Row:
        """Whole airflow, least, most, and the airflow over the share of the outdoor unit that runs."""
        if at is None:
            return (None,) * 4
        one = stages[at]
        found = self.rows.get(id(one))
        if found is None:
            whole = (None if x is None else figure_shown(x) for x in (one.airflow, one.least, one.most))
            found = self.rows[id(one)] = (*whole, None if one.flow is None else float(one.flow))
        return found

    def faults(self, setting: Setting) -> list[RecordFault]:
        """What is wrong apart from the stages."""
        table, found = self.engine.table, self.judged.faults(setting)
        return [
            *(words.shared_fault(table, setting, leads) for leads in found.shared),
            *(words.contradiction_fault(table, one) for one in found.contradictions),
            *(words.refused_fault(chart, no) for chart, no in found.refused),
        ]


def _first(of: Mapping[str, Role], wanted: Sequence[Role]) -> str | None:
    """The call of the first of these roles that any call has."""
    return next((call for role in wanted for call, found in of.items() if found == role), None)


class Lookup:
    """Gives every table, fault, board and verdict a number, and collects the rows of those not collected yet."""

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
        self._known: dict[tuple[int, Setting, frozenset[int]], tuple[int, bool]] = {}
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

    def add_table(self, name: str) -> None:
        """One row of `tables`."""
        found = self.table(name)
        if isinstance(found, RecordFault):
            self.rows["tables"].append((name, False, False, "", "", 0.0))
            return
        units = found.table.units
        cfm = float(convert(Fraction(1), units.airflow, "cfm"))
        self.rows["tables"].append((name, found.by_static, found.by_tons, units.pressure, units.airflow, cfm))

    def add_tons(self, table: str, text: str) -> None:
        """One row of `tons`, read as a table reads them whose airflow doesn't hang on them: whole millionths of a ton;
        `odd` where it is no whole number of them."""
        self.rows["tons"].append((text, *self._figure(TONS, table, text)))

    def add_static(self, table: str, text: str) -> None:
        """One row of `statics`, in the pressure unit of a table that reads no static."""
        found = self.table(table)
        assert isinstance(found, SurveyedTable)
        scaled, _, fault = self._figure(STATIC, table, text)
        self.rows["statics"].append((found.table.units.pressure, text, scaled, fault))

    def _figure(self, name: str, table: str, text: str) -> tuple[int | None, bool, int | None]:
        """(whole millionths rounded up, whether they were rounded, the fault)."""
        known = self.table(table)
        assert isinstance(known, SurveyedTable)
        try:
            value = read_facts([(name, text)], known.table).number(name)
        except Refused as refused:
            return None, False, self.fault(problem_fault("odd fact", refused.problems))
        assert value is not None
        scaled = value * SCALE
        return ceil(scaled), scaled.denominator != 1, None

    # -- boards

    def add_boards(self, boards: Iterable[RawBoard]) -> None:
        """Rows of `boards`, and of `verdicts` where the board wasn't judged before."""
        for raw in boards:
            number, by_tons = self._board(raw)
            self.rows["boards"].append((raw.table, raw.model, raw.marks, raw.facts, raw.static, number, by_tons))

    def add_with_tons(self, number: int, raw: RawBoard) -> None:
        """The verdict on a board whose key holds its tons too."""
        stood = self._stand(raw)
        if isinstance(stood, RecordFault):
            self._add_fault(number, raw.tons, stood)
            return
        context, setting, unread = stood
        self._add_verdict(number, raw.tons, context, setting, unread, told=True)

    def _board(self, raw: RawBoard) -> tuple[int, bool]:
        """The number of a board, and whether its tons belong in the key."""
        stood = self._stand(raw)
        if isinstance(stood, RecordFault):
            number = self._number()
            self._add_fault(number, "", stood)
            return number, False
        context, setting, unread = stood
        known = self._known.get((id(context), setting, unread))
        if known is not None:
            return known
        number = self._number()
        self._judged += 1
        by_tons = context.known.by_tons or self._add_verdict(number, "", context, setting, unread)
        self._known[id(context), setting, unread] = (number, by_tons)
        return number, by_tons

    def _stand(self, raw: RawBoard) -> tuple[_Context, Setting, frozenset[int]] | RecordFault:
        """The context of a board and how its parts stand, or why it can't be judged."""
        known = self.table(raw.table)
        if isinstance(known, RecordFault):
            return known
        key = (raw.table, raw.model, raw.facts, raw.static, raw.tons)
        context = self._contexts.get(key)
        if context is None:
            if len(self._contexts) >= MOST_CONTEXTS:
                self._contexts.clear()
                self._known.clear()
            context = self._contexts[key] = _context(known, raw)
        if isinstance(context, RecordFault):
            return context
        reader = self._readers.get(raw.table)
        if reader is None:
            reader = self._readers[raw.table] = MarksReader(known.table)
        try:
            if not raw.marks:
                raise Refused([_problem("no marks", "type the marks as they were read, such as SW1=10010110")])
            setting, unread = reader.read(raw.marks)
        except Refused as refused:
            return problem_fault("odd marks", refused.problems)
        if None in setting:
            setting, _ = BoardMarks(setting=setting, unread=unread).standing(context.engine)
        return context, setting, unread

    def _add_fault(self, number: int, tons: str, fault: RecordFault) -> None:
        """A record that can't be judged."""
        row = (number, tons, RANK[fault.verdict], self.fault(fault), *(None,) * 12, False, False)
        self.rows["verdicts"].append((*row, *(None,) * (len(MAIN) * len(_AIRFLOW))))

    def _add_verdict(
        self,
        number: int,
        tons: str,
        context: _Context,
        setting: Setting,
        unread: frozenset[int],
        *,
        told: bool = False,
    ) -> bool:
        """Rows of a board's verdict and stages; True, and no rows, where its tons belong in the key and weren't
        `told`."""
        try:
            stages, faults = context.stages(setting, unread), context.faults(setting)
        except TooLarge as large:
            names = ", ".join(large.variables or large.factors)
            problem = _problem(f"too much is unreadable to judge every case: {names}", "read one of them again")
            self._add_fault(number, tons, problem_fault("odd marks", [problem]))
            return False
        if not told and any(s.by_tons for s in stages):
            return True
        row = self._verdict_row(verdict_of(stages, faults))
        airflows = [x for name, _ in MAIN for x in context.airflows(context.shown.get(name), stages)]
        self.rows["verdicts"].append((number, tons, *row, *airflows))
        if self.with_stages:
            for n, one in enumerate(stages):
                own = self._verdict_row(verdict_of([one]))
                said = (n, one.call, one.stage, one.code, *context.airflows(n, stages))
                self.rows["stages"].append((number, tons, *own, *said))
        return False

    def _verdict_row(self, verdict: RecordVerdict) -> Row:
        worst = verdict.breach
        static = verdict.static
        return (
            verdict.rank,
            self.fault(worst.fault),
            None if worst.by is None else float(worst.by),
            *self._end(verdict.low),
            *self._end(verdict.high),
            *((None,) * 3 if static is None else (static.most, self.fault(static.fault), float(static.end))),
            verdict.waits_tons,
            verdict.waits_static,
        )

    def _end(self, end: TonEnd | None) -> Row:
        return (None,) * 4 if end is None else (end.at, self.fault(end.fault), float(end.flow), float(end.end))


def _context(known: SurveyedTable, raw: RawBoard) -> _Context | RecordFault:
    """A table under the facts of a record."""
    try:
        pairs = [("model", raw.model), (STATIC, raw.static), (TONS, raw.tons), *facts_typed(raw.facts)]
        return _Context(known, read_facts([(name, text) for name, text in pairs if text], known.table))
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
