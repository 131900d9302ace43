"""Checks of calls and their steps: each is one small function; its docstring is its page of documentation."""

from __future__ import annotations

import re
from collections.abc import Iterable

from selector.table.model.cell_places import column_of, place_of
from selector.table.model.quantities import BOUNDING, QUANTITIES, Operation, acting, operation_of
from selector.table.model.roles import by_heater, named, roles, terminals_of
from selector.table.model.table import Atom, Call, CallValue, Chart, Named, Step, Table
from selector.table.text.report import FileReport, listed

RATINGS_NEEDED = {"heat input": ("efficiency",), "nozzle rate": ("efficiency", "heat per gallon")}
LOWERING: tuple[Operation, ...] = (
    "add percent",
    "percent of",
    "percent off",
    "add",
    "subtract",
    "lower to",
    "round",
    "round down",
)
"""What may bring an airflow below a least again: a trim and an offset go either way."""
RAISING: tuple[Operation, ...] = ("add percent", "add", "raise to", "round", "round up")
"""What may bring it above a most again; a share is taken to be below 100 %."""
RATINGS_EXAMPLE = {"efficiency": "85 %", "heat per gallon": "140000"}


def check_circles(table: Table, report: FileReport) -> None:
    """circle: calls that take each other's airflow never begin."""
    done: set[str] = set()

    def walk(name: str, path: tuple[str, ...]) -> None:
        if name in path:
            call = table.calls[name]
            round_ = " -> ".join((*path[path.index(name) :], name))
            message = f"these calls take each other's airflow in a circle: {round_}"
            if path[-1] == name:
                message = f"`{name}` takes its own airflow"
            remedy = "give one of them a chart or a figure of its own"
            report.add(call.line, column_of(table, call.line), "circle", message, remedy, length=len(name))
        if name in done or name in path:
            return
        for other in _call_values(table.calls[name]):
            walk(other.call, (*path, name))
        done.add(name)

    for name in table.calls:
        walk(name, ())


def check_stage_of_call(table: Table, report: FileReport) -> None:
    """unknown-stage: `call X STAGE` names a stage that X doesn't have."""
    for call in table.calls.values():
        for step in (*call.airflow, *call.heat):
            for atom in step.by_stage.values():
                if isinstance(atom, CallValue) and atom.stage and atom.stage not in table.calls[atom.call].stages:
                    stages = listed(s for s in table.calls[atom.call].stages if s)
                    message = f"the call `{atom.call}` has no stage `{atom.stage}`"
                    remedy = f"its stages: {stages}" if stages else f"it has no stages; type call {atom.call}"
                    at = step.column + max(0, step.text.rfind(atom.stage))
                    report.add(step.line, at, "unknown-stage", message, remedy, length=len(atom.stage))


def check_acts_twice(table: Table, report: FileReport) -> None:
    """acts-twice (a remark): a chart that acts in call X and again after `call X` acts two times on one airflow. No
    limit does that stands behind what may move the airflow across it again."""
    within: dict[str, set[str]] = {}

    def charts_within(name: str) -> set[str]:
        if name not in within:
            within[name] = set()  # a circle is told by its own check
            for atom in _atoms(table.calls[name].airflow):
                if isinstance(atom, CallValue):
                    within[name] |= charts_within(atom.call)
                elif isinstance(atom, Named) and atom.kind == "chart":
                    within[name].add(atom.name)
        return within[name]

    for call in table.calls.values():
        inherited: set[str] = set()
        again: set[Operation] = set()  # limits that may act once more
        starts = [s for s in call.airflow if s.when and any("start" in _does(table, s, a) for a in s.by_stage.values())]
        apart = any(not isinstance(a, CallValue) for s in starts for a in s.by_stage.values())
        ways: set[Operation] = {"raise to", "lower to"} if apart else set()  # they hold another way of starting too
        for step in call.airflow:
            for atom in step.by_stage.values():
                if isinstance(atom, CallValue):
                    inherited |= charts_within(atom.call)
                elif isinstance(atom, Named) and _does(table, step, atom) <= again | ways:
                    continue
                elif isinstance(atom, Named) and atom.kind == "chart" and atom.name in inherited:
                    message = f"`{atom.name}` has acted already in the call that `{call.name}` takes its airflow from"
                    remedy = "fine if the manual says so; else delete this step"
                    report.add(
                        step.line, step.column, "acts-twice", message, remedy, length=len(atom.name), remark=True
                    )
            for operation in (o for atom in step.by_stage.values() for o in _does(table, step, atom)):
                again |= {"raise to"} if operation in LOWERING else set()
                again |= {"lower to"} if operation in RAISING else set()


def _does(table: Table, step: Step, atom: Atom | None) -> set[Operation]:
    """What a step does to the airflow before it."""
    chart = table.charts.get(atom.name) if isinstance(atom, Named) and atom.kind == "chart" else None
    if step.op == "use" and chart is not None:
        return {operation_of(q) for q in acting(chart.gives)}
    if step.op == "use" and isinstance(atom, Named) and atom.kind == "part":
        return {operation_of(table.selectors[table.parts[atom.part].selector].gives)}
    return {operation_of(step.op)}


def check_leads(table: Table, report: FileReport) -> None:
    """no-lead: a call that reads motor taps must say which lead it energises."""
    for call in table.calls.values():
        reads = [c for c in _charts_of(table, call) if any(k.kind == "taps" for k in (*c.keys, *c.heads))]
        if reads and not all(stage in call.lead or "" in call.lead for stage in call.stages):
            leads = listed(p.name[len(p.selector) + 1 :] for p in table.parts if table.selectors[p.selector].exclusive)
            message = (
                f"`{call.name}` reads the taps in `{reads[0].name}` but has no"
                f" lead{' for one of its stages' if call.lead else ''}"
            )
            report.add(
                call.line,
                column_of(table, call.line),
                "no-lead",
                message,
                f"add lead: and one of {leads}",
                length=len(call.name),
            )


def check_leads_used(table: Table, report: FileReport) -> None:
    """unused-lead (a remark): a lead of the taps that no call energises may be a call that was forgotten. Told once
    the calls have theirs."""
    if report.failed:
        return
    used = {part for call in table.calls.values() for part in call.lead.values()}
    used |= {
        c.part
        for call in table.calls.values()
        for c in (*call.when, *(c for s in (*call.airflow, *call.heat) for c in s.when))
    }
    used |= {key.part for chart in table.charts.values() for key in (*chart.keys, *chart.heads)}
    for selector in table.selectors.values():
        idle = (
            [table.parts[i].name[len(selector.name) + 1 :] for i in selector.parts if i not in used]
            if selector.exclusive
            else []
        )
        if idle:
            message = f"no call energises the lead{'s' if len(idle) > 1 else ''} {listed(idle)} of {selector.name}"
            remedy = "right if the page has no airflow for it; else add the call, with lead: and its name"
            at = place_of(table, selector.line, selector.name)
            report.add(selector.line, at, "unused-lead", message, remedy, length=len(selector.name), remark=True)


def check_together(table: Table, report: FileReport) -> None:
    """together-disagrees: two calls each say something different of their running together."""
    opposite = {"highest": "highest", "this": "that", "that": "this"}
    for call in table.calls.values():
        for other, rule in call.together.items():
            back = table.calls[other].together.get(call.name)
            if back is not None and back != opposite[rule] and call.line < table.calls[other].line:
                line = table.calls[other].line
                message = f"`{other}` and `{call.name}` disagree on what runs when both are called"
                remedy = f"leave one of the two, or type together: {{{call.name}: {opposite[rule]}}}"
                report.add(line, column_of(table, line), "together-disagrees", message, remedy, length=len(other))


def check_unknown_ratings(table: Table, report: FileReport) -> None:
    """heat-without-rating (a remark): burner heat needs an efficiency, oil a heat per gallon."""
    for call in table.calls.values():
        for step in call.heat:
            for source in sources(table, step, call.stages):
                for needed in RATINGS_NEEDED.get(source, ()):
                    if needed not in table.ratings:
                        message = f"{source} needs the rating `{needed}`"
                        remedy = f"add under ratings: {needed}: {RATINGS_EXAMPLE[needed]}"
                        report.add(
                            step.line,
                            step.column,
                            "heat-without-rating",
                            message,
                            remedy,
                            length=len(step.text),
                            remark=True,
                        )


_ALIKE: tuple[frozenset[str], ...] = (
    frozenset(("heat", "heat pump", "heat pump + auxiliary")),
    frozenset(("cooling", "dehumidify")),
)
"""What one name may stand for."""


def check_purposes(table: Table, report: FileReport) -> None:
    """purpose-not-said (a remark): the plate's heat or rise goes with no call, or a name says other than the
    terminals."""

    def remark(line: int, length: int, message: str, remedy: str) -> None:
        place = column_of(table, line)
        report.add(line, place, "purpose-not-said", message, remedy, length=length, remark=True)

    plate = [n for n in ("temperature rise", "outlet limit", "heat input", "heat output") if n in table.ratings]
    heated = any(c.heats or c.heat for c in table.calls.values())
    if plate and not heated:
        line = table.ratings[plate[0]].line
        remedy = "say which call heats: for: heating; or give it a W terminal"
        remark(line, len(plate[0]), f"no call heats, so the plate's {listed(plate)} limits nothing", remedy)
    for name, role in roles(table).items():
        call = table.calls[name]
        meant = named(call)
        if call.purpose or call.heat:
            continue
        if role == "heat" and not call.heats and plate and heated:
            message = f"`{name}` has no W terminal and no heat:, so the plate's {listed(plate)} is no limit of it"
            remark(call.line, len(name), message, "if it heats, say so: for: heating")
            continue
        if meant is None or meant == role or any({meant, role} <= alike for alike in _ALIKE):
            if meant != "dehumidify" and role == "cooling" and _more_than_cooling(table, call):
                message = f"`{name}` is taken for cooling: its terminals are {' '.join(sorted(terminals_of(call)))}"
                remark(call.line, len(name), message, "if it dries the air, say so: for: dehumidify; else for: cooling")
            continue
        said = " ".join(sorted(terminals_of(call)))
        message = f"`{name}` is taken for {_PURPOSE.get(role, role)}: " + (
            f"its terminals are {said}" if said else "it has no terminals"
        )
        remark(
            call.line,
            len(name),
            message,
            f"if it is {_PURPOSE.get(meant, meant)}, say so: for: {_PURPOSE.get(meant, meant)}",
        )


def _more_than_cooling(table: Table, call: Call) -> bool:
    """True for a call that begins with another's airflow and has that one's terminals, and one that says nothing."""
    mine = terminals_of(call)
    begins = [atom for step in call.airflow[:1] for atom in step.by_stage.values() if isinstance(atom, CallValue)]
    others = [terminals_of(table.calls[atom.call]) for atom in begins]
    return any(other < mine and any(not _USUAL.fullmatch(t) for t in mine - other) for other in others)


_USUAL = re.compile(r"[YWGOBEC]\d?|R[CH]?|AUX|DH|O/B")
"""Terminals whose names say what they are for (common practice, no source)."""
_PURPOSE = {"heat": "heating"}


def check_limits_of_all(table: Table, report: FileReport) -> None:
    """limit-of-every-call (a remark): a chart of least or most airflow that no step uses and no call names limits every
    call, or every one that heats where a heater sets it."""
    named = {
        atom.name
        for call in table.calls.values()
        for atom in _atoms((*call.airflow, *call.heat, *call.limits))
        if isinstance(atom, Named)
    }
    for chart in table.charts.values():
        bounds = [q for q in chart.gives if q in BOUNDING]
        if not bounds or chart.name in named:
            continue
        calls = [c.name for c in table.calls.values() if c.heats or c.heat or not by_heater(table, chart)]
        if len(calls) < 2:
            continue
        end = f"{'at least' if bounds[0] == 'least airflow' else 'at most'} {chart.name}"
        report.add(
            chart.line,
            column_of(table, chart.line),
            "limit-of-every-call",
            f"`{chart.name}` limits {listed(calls)}: no call names it",
            f"name it in the calls that the page means, as window: {{airflow: {end}}}",
            length=len(chart.name),
            remark=True,
        )


def sources(table: Table, step: Step, stages: Iterable[str]) -> list[str]:
    """What a step acts with in these stages, by quantity or by the step's own word; a rise printed beside an airflow
    doesn't act."""
    out: list[str] = []
    for stage in stages:
        atom = step.value(stage)
        if atom is None:
            continue
        if step.op != "use":
            out.append("airflow" if step.op == "call" else step.op)
        elif isinstance(atom, CallValue):
            out.append("airflow")
        elif isinstance(atom, Named) and atom.kind == "chart":
            gives = table.charts[atom.name].gives
            out.extend(g for g in gives if QUANTITIES[g].operation is None or g in acting(gives))
        elif isinstance(atom, Named) and atom.kind == "part":
            out.append(table.selectors[table.parts[atom.part].selector].gives)
        elif isinstance(atom, Named) and atom.kind == "fact":
            out.append(table.facts[atom.name].gives)
        elif isinstance(atom, Named):
            out.append(atom.name)
    return list(dict.fromkeys(out))


def _charts_of(table: Table, call: Call) -> list[Chart]:
    return [
        table.charts[a.name] for a in _atoms((*call.airflow, *call.heat)) if isinstance(a, Named) and a.kind == "chart"
    ]


def _call_values(call: Call) -> Iterable[CallValue]:
    return [a for a in _atoms((*call.airflow, *call.heat)) if isinstance(a, CallValue)]


def _atoms(steps: Iterable[Step]) -> list[object]:
    return [atom for step in steps for atom in step.by_stage.values()]
