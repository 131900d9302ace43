"""What the grammar can't see: each check is one small function over the built table; its docstring is its page of documentation."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction

from selector.table.coverage import first_missing
from selector.table.model import ANY, Atom, Call, CallValue, Chart, Named, Row, Step, Table, Word
from selector.table.quantities import QUANTITIES, RATINGS
from selector.table.shapes import Report


def check_unused_charts(table: Table, report: Report) -> None:
    """unused-chart: a chart that no call reads tells nobody anything.

    Charts of labels, watts and speeds are told as they are, and those of least or most airflow are limits: they need no call.
    """
    used = set(_used_charts(table))
    for chart in table.charts.values():
        if chart.name not in used and not all(QUANTITIES[g].role in ("note", "bound") and g not in ("seconds", "ramp") for g in chart.gives):
            report.add(
                chart.line,
                _column(table, chart.line),
                "unused-chart",
                f"no call uses the chart `{chart.name}`",
                f"name it in the steps of a call, airflow: [{chart.name}, ...], or take it out",
                length=len(chart.name),
            )


def check_unused_parts(table: Table, report: Report) -> None:
    """unused-selector: a selector or switch that nothing reads is either forgotten or to be marked `not used`."""
    used: set[int] = set()
    for chart in table.charts.values():
        for key in (*chart.keys, *chart.heads):
            if key.kind == "part":
                used.add(key.part)
            elif key.kind == "taps":
                used.update(table.selectors[key.name].parts)
    for call in table.calls.values():
        used.update(c.part for c in call.when)
        for step in (*call.airflow, *call.heat):
            used.update(c.part for c in step.when)
            used.update(a.part for a in step.by_stage.values() if isinstance(a, Named))
        for by_stage in (call.ramp, call.on_delay, call.off_delay):
            used.update(a.part for a in by_stage.values() if isinstance(a, Named))
    for selector in table.selectors.values():
        if selector.declares:
            used.update(selector.parts)
        idle = [table.parts[i] for i in selector.parts if i not in used and not table.parts[i].unused and table.parts[i].leave_at is None]
        if not idle:
            continue
        names = " ".join(p.name for p in idle)
        column = _column(table, selector.line)
        if len(selector.parts) == 1:
            report.add(
                selector.line, column, "unused-selector", f"nothing uses {names}", "name it in a chart's set: or a when:, or give it `leave at:`"
            )
        else:
            numbers = " ".join(p.name[len(selector.name) + 1 :] for p in idle)
            report.add(
                selector.line, column, "unused-selector", f"nothing uses {names}", f"name it in a chart's set:, or mark it not used: {numbers}"
            )


def check_missing_rows(table: Table, report: Report) -> None:
    """missing-rows (a remark): combinations of positions the chart has no row for. They are refused when a board is read."""
    for chart in table.charts.values():
        domains: list[list[int]] = []
        for key in chart.keys:
            if key.continuous:
                domains = []
                break
            if key.kind == "part":
                part = table.parts[key.part]
                domains.append([i for i in range(len(part.positions)) if i not in part.idle and part.positions[i] != "off pins"])
            elif key.kind == "taps":
                domains.append([i for i, v in enumerate(key.values) if v != "parked"])
            else:
                domains.append(list(range(len(key.values))))
        if not domains:
            continue
        count, first = first_missing(chart.rows, domains)
        if not count:
            continue
        where = ""
        if first is not None:
            where = ", the first for " + " ".join(f"{k.name} {k.values[i]}" for k, i in zip(chart.keys, first, strict=True))
        report.add(
            chart.line,
            _column(table, chart.line),
            "missing-rows",
            f"`{chart.name}` has no row for {count} combination{'s' if count > 1 else ''}{where}",
            "right if the page has none; they are refused when read",
            remark=True,
        )


def check_copies(table: Table, report: Report) -> None:
    """copy-of-nothing: `as P..` names a row that the chart doesn't have, or that leads back to itself."""
    for chart in table.charts.values():
        for row in chart.rows:
            seen: set[tuple[int, ...]] = set()
            target: Row | None = row
            while target is not None and target.like and target.like not in seen:
                seen.add(target.like)
                target = _row_for(chart, target.like)
            if target is None or target.like:
                report.add(
                    row.line,
                    _column(table, row.line),
                    "copy-of-nothing",
                    "the row it behaves as is not in this chart" if target is None else "these rows behave as each other, so none has a figure",
                    "type as and the positions of a row with figures",
                )


def _row_for(chart: Chart, positions: tuple[int, ...]) -> Row | None:
    """The first row that can answer for these positions, where ANY (the row's own position, whatever it is) matches all."""
    for row in chart.rows:
        if all(p in (ANY, q) or q == ANY for p, q in zip(row.positions, positions, strict=True)):
            return row
    return None


def check_circles(table: Table, report: Report) -> None:
    """circle: calls that take each other's airflow never begin."""
    done: set[str] = set()

    def walk(name: str, path: tuple[str, ...]) -> bool:
        if name in path:
            call = table.calls[name]
            round_ = " -> ".join((*path[path.index(name) :], name))
            report.add(
                call.line,
                _column(table, call.line),
                "circle",
                f"these calls take each other's airflow in a circle: {round_}",
                "give one of them a chart or a figure of its own",
            )
            return True
        if name in done:
            return False
        found = any(walk(other.call, (*path, name)) for other in _call_values(table.calls[name]))
        done.add(name)
        return found

    for name in table.calls:
        if walk(name, ()):
            return


def check_stage_of_call(table: Table, report: Report) -> None:
    """unknown-stage: `call X STAGE` names a stage that X doesn't have."""
    for call in table.calls.values():
        for step in (*call.airflow, *call.heat):
            for atom in step.by_stage.values():
                if isinstance(atom, CallValue) and atom.stage and atom.stage not in table.calls[atom.call].stages:
                    stages = " ".join(s for s in table.calls[atom.call].stages if s)
                    report.add(
                        step.line,
                        _column(table, step.line),
                        "unknown-stage",
                        f"the call `{atom.call}` has no stage `{atom.stage}`",
                        f"its stages: {stages}" if stages else "it has no stages; leave the stage out",
                    )


def _sources(table: Table, step: Step) -> list[str]:
    """What a step does first, by the quantity it acts with."""
    if step.op != "use":
        return ["airflow" if step.op == "call" else step.op]
    out: list[str] = []
    for atom in step.by_stage.values():
        if isinstance(atom, CallValue):
            return ["airflow"]
        if isinstance(atom, Named):
            if atom.kind == "chart":
                gives = table.charts[atom.name].gives
                out.extend(g for g in gives if not (g == "temperature rise" and "airflow" in gives))
            elif atom.kind == "part":
                out.append(table.selectors[table.parts[atom.part].selector].gives)
            elif atom.kind == "fact":
                out.append(table.facts[atom.name].gives)
            else:
                out.append(atom.name)
    return out


def check_starts(table: Table, report: Report) -> None:
    """no-start, two-starts, no-effect: a call starts from one airflow (or tons and airflow per ton, or a rise); trims and limits come after it."""
    for call in table.calls.values():
        started: Step | None = None
        halves: set[str] = set()
        for step in call.airflow:
            acting = [s for s in _sources(table, step) if s in QUANTITIES or s in ("at least", "at most", "round", "round up", "round down")]
            acting = [s for s in acting if s not in QUANTITIES or QUANTITIES[s].role != "note"]
            if not acting:
                report.add(
                    step.line,
                    _column(table, step.line),
                    "no-effect",
                    f"`{step.text}` gives no airflow and changes none",
                    "a delay, ramp or label belongs to on delay:, off delay: or ramp:",
                )
                continue
            for source in acting:
                if source in ("tons", "airflow per ton"):
                    halves.add(source)
                    if len(halves) == 2:
                        started = started or step
                elif source in ("airflow", "temperature rise"):
                    if started is not None and not step.when and not started.when:
                        report.add(
                            step.line,
                            _column(table, step.line),
                            "two-starts",
                            f"`{call.name}` starts twice: here and on line {started.line}",
                            "leave one, or give both a `when` that excludes the other",
                        )
                    started = started or step
                elif source in ("heat input", "heater power", "nozzle rate"):
                    report.add(step.line, _column(table, step.line), "heat-in-airflow", f"{source} is no airflow", "put it under heat:")
                elif started is None:
                    report.add(
                        step.line,
                        _column(table, step.line),
                        "no-start",
                        f"`{step.text}` stands before there is an airflow to act on",
                        "put the chart with the airflow first",
                    )
                    started = step
        if started is None:
            report.add(
                call.line,
                _column(table, call.line),
                "no-start",
                f"the call `{call.name}` has nothing to start from",
                "put a chart with airflow, a figure (airflow: 1200), or `call X` first",
            )


def check_acts_twice(table: Table, report: Report) -> None:
    """acts-twice (a remark): a chart that acts in call X and again after `call X` acts two times on one airflow."""
    for call in table.calls.values():
        inherited: set[str] = set()
        for step in call.airflow:
            for atom in step.by_stage.values():
                if isinstance(atom, CallValue):
                    inherited.update(_charts_within(table, atom.call, frozenset([call.name])))
                elif isinstance(atom, Named) and atom.kind == "chart" and atom.name in inherited:
                    report.add(
                        step.line,
                        _column(table, step.line),
                        "acts-twice",
                        f"`{atom.name}` has acted already in the call that `{call.name}` takes its airflow from",
                        "right if the page says so; else take this step out",
                        remark=True,
                    )


def _charts_within(table: Table, name: str, path: frozenset[str]) -> Iterator[str]:
    if name in path:
        return
    for step in table.calls[name].airflow:
        for atom in step.by_stage.values():
            if isinstance(atom, CallValue):
                yield from _charts_within(table, atom.call, path | {name})
            elif isinstance(atom, Named) and atom.kind == "chart":
                yield atom.name


def check_leads(table: Table, report: Report) -> None:
    """no-lead: a call that reads motor taps must say which lead it energises."""
    for call in table.calls.values():
        reads = [c for c in _charts_of(table, call) if any(k.kind == "taps" for k in (*c.keys, *c.heads))]
        if reads and not all(stage in call.lead or "" in call.lead for stage in call.stages):
            leads = " ".join(p.name for p in table.parts if table.selectors[p.selector].exclusive)
            report.add(
                call.line,
                _column(table, call.line),
                "no-lead",
                f"`{call.name}` reads the taps in `{reads[0].name}` but has no lead",
                f"add lead: and one of {leads}",
            )


def check_together(table: Table, report: Report) -> None:
    """together-disagrees: two calls each say something different of their running together."""
    opposite = {"highest": "highest", "this": "that", "that": "this"}
    for call in table.calls.values():
        for other, rule in call.together.items():
            back = table.calls[other].together.get(call.name)
            if back is not None and back != opposite[rule] and call.line < table.calls[other].line:
                line = table.calls[other].line
                report.add(
                    line,
                    _column(table, line),
                    "together-disagrees",
                    f"`{other}` and `{call.name}` disagree on what runs when both are called",
                    f"leave one of the two, or type together: {{{call.name}: {opposite[rule]}}}",
                )


def check_unknown_ratings(table: Table, report: Report) -> None:
    """heat-without-rating: burner heat needs an efficiency, oil a heat per gallon."""
    for call in table.calls.values():
        for step in call.heat:
            for source in _sources(table, step):
                for needed in {"heat input": ("efficiency",), "nozzle rate": ("efficiency", "heat per gallon")}.get(source, ()):
                    if needed not in table.ratings:
                        report.add(
                            step.line,
                            _column(table, step.line),
                            "heat-without-rating",
                            f"{source} needs the rating `{needed}`",
                            f"add under ratings: {needed}: {RATINGS_EXAMPLE[needed]}",
                            remark=True,
                        )


RATINGS_EXAMPLE = {"efficiency": "85 %", "heat per gallon": "140000"}
assert set(RATINGS_EXAMPLE) <= set(RATINGS)


def check_models(table: Table, report: Report) -> None:
    """model-without-column (a remark): a model of the unit that a chart by model leaves out."""
    for chart in table.charts.values():
        for key in chart.heads:
            if key.name == "model":
                left = [m for m in table.unit.models if m not in key.values]
                if left:
                    report.add(
                        chart.line,
                        _column(table, chart.line),
                        "model-without-column",
                        f"`{chart.name}` has no column for model {' '.join(left)}",
                        "right if the page has none",
                        remark=True,
                    )


def check_dashes_in_adjustments(table: Table, report: Report) -> None:
    """dash-for-none (a remark): `-` among trims, offsets, reductions or seconds is read as no figure printed, and refused.

    Pages often print a dash where nothing is added; that is typed none.
    """
    for chart in table.charts.values():
        for row in chart.rows:
            for i, cell in enumerate(row.cells):
                if cell is Word.BLANK and QUANTITIES[chart.gives[i % len(chart.gives)]].none == 0:
                    report.add(
                        row.line,
                        _column(table, row.line),
                        "dash-for-none",
                        f"the - in this row of `{chart.name}` is read as: no figure printed, refused",
                        "if the page means that nothing is added, type none",
                        remark=True,
                    )
                    break


def check_large_shares(table: Table, report: Report) -> None:
    """share-over-100 (a remark): a share of more than 100 % is seldom meant."""
    for chart in table.charts.values():
        for row in chart.rows:
            for i, cell in enumerate(row.cells):
                if chart.gives[i % len(chart.gives)] == "share" and isinstance(cell, Fraction) and cell > 100:
                    where = _column(table, row.line)
                    report.add(
                        row.line,
                        where,
                        "share-over-100",
                        f"a share of {float(cell):g} % is more than the whole",
                        "right if the page has it",
                        remark=True,
                    )
                    break


def check_blank_columns(table: Table, report: Report) -> None:
    """blank-column (a remark): a column in which nothing is printed is often a column typed one place off."""
    for chart in table.charts.values():
        width = chart.cells_per_row
        full = [r for r in chart.rows if len(r.cells) == width]
        for i in range(width):
            if len(full) > 1 and all(r.cells[i] is Word.BLANK for r in full):
                report.add(
                    chart.line,
                    _column(table, chart.line),
                    "blank-column",
                    f"column {i + 1} of `{chart.name}` has no figure at all",
                    "right if the page has none; else look whether a column is shifted",
                    remark=True,
                )


def _charts_of(table: Table, call: Call) -> list[Chart]:
    return [
        table.charts[a.name] for step in (*call.airflow, *call.heat) for a in step.by_stage.values() if isinstance(a, Named) and a.kind == "chart"
    ]


def _call_values(call: Call) -> Iterable[CallValue]:
    return [a for step in (*call.airflow, *call.heat) for a in step.by_stage.values() if isinstance(a, CallValue)]


def _used_charts(table: Table) -> Iterator[str]:
    for call in table.calls.values():
        maps: list[Iterable[Atom]] = [step.by_stage.values() for step in (*call.airflow, *call.heat)]
        maps += [call.ramp.values(), call.on_delay.values(), call.off_delay.values()]
        for atoms in maps:
            for atom in atoms:
                if isinstance(atom, Named):
                    yield atom.name


def _column(table: Table, line: int) -> int:
    text = table.lines[line - 1] if 0 < line <= len(table.lines) else ""
    return len(text) - len(text.lstrip()) + 1


CHECKS = (
    check_circles,
    check_stage_of_call,
    check_starts,
    check_unused_charts,
    check_unused_parts,
    check_copies,
    check_leads,
    check_together,
    check_unknown_ratings,
    check_missing_rows,
    check_acts_twice,
    check_models,
    check_blank_columns,
    check_dashes_in_adjustments,
    check_large_shares,
)
"""Run in this order once the table is built; a table with a problem in names or rows isn't built and isn't checked."""
