"""What each call starts from, stage by stage: one airflow before what acts on it, one heat before what acts on that."""

from __future__ import annotations

from collections.abc import Callable

from selector.table.checks.calls import sources
from selector.table.model.cell_places import column_of
from selector.table.model.quantities import HEATS, QUANTITIES, RISE, SUMS, acts_on_heat
from selector.table.model.table import Call, Condition, Named, Step, Table
from selector.table.text.report import FileReport
from selector.value import Struct, field

_WHOLE = tuple(q.name for q in QUANTITIES.values() if q.role == "base" and q.operation != "product")
_HALVES = tuple(q.name for q in QUANTITIES.values() if q.operation == "product")
_HEATS = HEATS


class _Start(Struct):
    """What a call's stage has begun with so far, each with its step."""

    begun: list[tuple[str, Step]] = field(default_factory=list)

    @property
    def ready(self) -> bool:
        """True once there is something to act on."""
        kinds = {kind for kind, _ in self.begun}
        return bool(kinds - set(_HALVES)) or len(kinds) == 2

    def against(self, kind: str, step: Step) -> Step | None:
        """An earlier step that this one can't stand beside."""
        for other, earlier in self.begun:
            if (kind == other or kind not in _HALVES or other not in _HALVES) and not exclude(earlier.when, step.when):
                return earlier
        return None


def exclude(one: tuple[Condition, ...], other: tuple[Condition, ...]) -> bool:
    """True where two conditions can't both hold: they ask different positions of one selector, or different values
    of one fact."""
    for a in one:
        for b in other:
            same = a.name == b.name and a.part == b.part
            if same and (a.part >= 0 and not a.allowed & b.allowed):
                return True
            if same and a.part < 0 and not {w.casefold() for w in a.words} & {w.casefold() for w in b.words}:
                return True
    return False


def check_starts(table: Table, report: FileReport) -> None:
    """no-start, two-starts, no-effect, heat-in-airflow: a call starts from one airflow (or tons and airflow per ton, or
    a rise); trims and
    limits come after it. Several starts stand under a `when` each, of which one holds."""
    for call in table.calls.values():
        told: set[tuple[str, int]] = set()
        for stage in call.stages:
            start = _Start()
            for step in call.airflow:
                if step.value(stage) is not None:
                    _airflow_step(table, call, stage, step, start, report, told)
            if not start.ready and not told:
                told.add(("no-start", 0))
                message = f"the call `{call.name}` has nothing to start from{f' in its stage {stage}' if stage else ''}"
                remedy = "put a chart with airflow, a figure (airflow: 1200), or call X first"
                if start.begun:
                    message = f"the call `{call.name}` has {start.begun[0][0]} but nothing to multiply it by"
                    remedy = (
                        f"add {'airflow per ton' if start.begun[0][0] == 'tons' else 'tons'}: and a figure, or a chart"
                        " that gives it"
                    )
                report.add(call.line, column_of(table, call.line), "no-start", message, remedy, length=len(call.name))


def _teller(step: Step, report: FileReport, told: set[tuple[str, int]]) -> Callable[[str, str, str], None]:
    """Reports on a step, each code once though several stages meet it."""

    def tell(code: str, message: str, help: str) -> None:
        if (code, id(step)) not in told:
            told.add((code, id(step)))
            report.add(step.line, step.column, code, message, help, length=len(step.text))

    return tell


def _begin(start: _Start, kind: str, step: Step, whose: str, tell: Callable[[str, str, str], None]) -> None:
    """Another start, told where an earlier one can hold beside it."""
    earlier = start.against(kind, step)
    if earlier is not None:
        if earlier is step:
            first = start.begun[-1][0]
            tell(
                "two-starts",
                f"`{step.text}` gives both {first} and {kind}; a call starts from one",
                f"leave {first} out",
            )
            return
        where = f"on line {earlier.line}" if earlier.line != step.line else "earlier on this line"
        remedy = "leave one, or give both a when: that excludes the other"
        if not earlier.when and step.when and kind == "airflow":
            remedy += "; what holds only in one case may also be a limit, as at most: 1850 with its when:"
        if RISE in (kind, *(other for other, _ in start.begun)):
            remedy += f"; a rise that is only to check stands in the chart of the airflow, gives: airflow, {RISE}"
        tell("two-starts", f"{whose} starts twice: here and {where}", remedy)
    start.begun.append((kind, step))


def _airflow_step(
    table: Table, call: Call, stage: str, step: Step, start: _Start, report: FileReport, told: set[tuple[str, int]]
) -> None:
    tell = _teller(step, report, told)
    acting = [s for s in sources(table, step, (stage,)) if s not in QUANTITIES or QUANTITIES[s].role != "note"]
    if not acting:
        tell(
            "no-effect",
            f"`{step.text}` gives no airflow and changes none",
            "take it out of airflow:; what it tells is shown without being named",
        )
    for kind in acting:
        if kind in _HEATS:
            tell("heat-in-airflow", f"{kind} is no airflow", "put it under heat: of the call")
        elif kind in _WHOLE or kind in _HALVES:
            _begin(start, kind, step, f"`{call.name}`", tell)
        elif not start.ready:
            tell(
                "no-start",
                f"`{step.text}` needs an airflow before it",
                "put the chart with the airflow first",
            )


def check_heat_starts(table: Table, report: FileReport) -> None:
    """no-heat, two-starts, two-heats, airflow-in-heat: heat starts from one input, output, heater or nozzle; trims,
    shares and reductions come after it."""
    for call in table.calls.values():
        told: set[tuple[str, int]] = set()
        for stage in call.stages:
            start = _Start()
            for step in call.heat:
                if step.value(stage) is not None:
                    _heat_step(table, call, stage, step, start, report, told)
                    start.begun += [(kind, step) for kind in _added(table, step, stage)]
            _one_heat(start, call, report, told)


def _added(table: Table, step: Step, stage: str) -> list[str]:
    """The heats that a step adds to another or takes from it."""
    atom = step.value(stage)
    if step.op not in SUMS or not isinstance(atom, Named):
        return []
    if atom.kind == "chart":
        given: tuple[str, ...] = table.charts[atom.name].gives
    elif atom.kind == "part":
        given = (table.selectors[table.parts[atom.part].selector].gives,)
    else:
        given = (table.facts[atom.name].gives if atom.kind == "fact" else atom.name,)
    return [kind for kind in given if kind in _HEATS]


def _one_heat(start: _Start, call: Call, report: FileReport, told: set[tuple[str, int]]) -> None:
    """What a call burns is reckoned from one quantity, whichever step counts."""
    if len({kind for kind, _ in start.begun}) < 2 or "two-starts" in {code for code, _ in told}:
        return
    (first, _), (kind, step) = start.begun[0], start.begun[-1]
    message = f"the heat of `{call.name}` begins from {first} in one step and from {kind} in another"
    tell = _teller(step, report, told)
    tell("two-heats", message, "type both as one of them, in a chart: the heat input or output of each, say")


def _heat_step(
    table: Table, call: Call, stage: str, step: Step, start: _Start, report: FileReport, told: set[tuple[str, int]]
) -> None:
    tell = _teller(step, report, told)
    given = sources(table, step, (stage,))
    acting = [s for s in given if s in _HEATS or acts_on_heat(s)]
    if not acting:
        said = f" but {', '.join(given)}" if step.op == "use" and any(given) else ""
        tell(
            "airflow-in-heat",
            f"`{step.text}` gives no heat{said}",
            "put it under airflow: of the call, or name what gives the heat",
        )
    for kind in acting:
        if kind in _HEATS:
            _begin(start, kind, step, f"the heat of `{call.name}`", tell)
        elif not start.ready:
            tell(
                "no-heat",
                f"`{step.text}` needs a heat before it",
                "put the heat input, heater power or nozzle rate first",
            )
