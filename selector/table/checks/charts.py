"""Checks of charts, their rows and the selectors they read: each is one small function; its docstring is its page of
documentation."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction

from selector.table.model.cell_places import column_of, place_of
from selector.table.model.coverage import first_missing
from selector.table.model.quantities import CONTINUOUS_FACTS, HEATS, QUANTITIES, RISE
from selector.table.model.table import ANY, Atom, CellWord, Chart, Named, Row, Table
from selector.table.text.report import FileReport, listed

LEFT_OFF = ("off pins", "unplugged")
"""What a part may be that is no position: a chart needs no row for it."""
MOST_COPIES = 2_000_000
"""How many looks are taken for rows that behave as others."""


def check_unused_charts(table: Table, report: FileReport) -> None:
    """unused-chart: a chart that no call reads tells nobody anything.

    Charts of labels, watts and speeds are told as they are, and those of least or most airflow are limits: they need no
    call.
    """
    used = set(_used_charts(table))
    for chart in table.charts.values():
        if chart.name not in used and not all(
            QUANTITIES[g].role in ("note", "bound") and g not in ("seconds", "ramp") for g in chart.gives
        ):
            what = "ramp" if chart.made and chart.gives == ("ramp",) else "chart"
            message = f"no call uses the {what} `{chart.name}`"
            place = _PLACE_OF.get(chart.gives[0], "in the steps of a call, airflow: [{}, ...]")
            remedy = f"name it {place.format(chart.name)}, or take it out"
            report.add(
                chart.line, column_of(table, chart.line), "unused-chart", message, remedy, length=len(chart.name)
            )


_PLACE_OF = {
    "ramp": "in a call, ramp: {}",
    "seconds": "in a call, on delay: {0} or off delay: {0}",
    RISE: "where a call starts from it, airflow: [{}]; beside a printed airflow put it in that chart (gives: airflow,"
    " temperature rise) or have it told as printed (gives: label)",
    **dict.fromkeys(HEATS, "in the steps of a heating call, heat: [{}]"),
}
"""Where a chart of a quantity is named, where that is not among the steps of airflow."""


def _used_charts(table: Table) -> Iterator[str]:
    for call in table.calls.values():
        maps: list[Iterable[Atom]] = [step.by_stage.values() for step in (*call.airflow, *call.heat, *call.limits)]
        maps += [call.ramp.values(), call.on_delay.values(), call.off_delay.values()]
        for atoms in maps:
            for atom in atoms:
                if isinstance(atom, Named):
                    yield atom.name


def check_unused_parts(table: Table, report: FileReport) -> None:
    """unused-selector: a selector or switch that nothing reads is either forgotten or to be marked `not used`."""
    used = {c.part for c in table.unit.only}
    for chart in table.charts.values():
        used.update(c.part for c in (*chart.only, *(c for note in chart.notes for c in note.only)))
        for key in (*chart.keys, *chart.heads):
            if key.kind == "part":
                used.add(key.part)
            elif key.kind == "taps":
                used.update(table.selectors[key.name].parts)
    for call in table.calls.values():
        used.update(c.part for c in call.when)
        for step in (*call.airflow, *call.heat, *call.limits):
            used.update(c.part for c in step.when)
            used.update(a.part for a in step.by_stage.values() if isinstance(a, Named))
        for by_stage in (call.ramp, call.on_delay, call.off_delay):
            used.update(a.part for a in by_stage.values() if isinstance(a, Named))
    for selector in table.selectors.values():
        used.update(c.part for _, conditions in selector.may_share for c in conditions)
    for selector in table.selectors.values():
        used.update(i for i in selector.parts if table.parts[i].declares)
        idle = [
            table.parts[i]
            for i in selector.parts
            if i not in used
            and not table.parts[i].unused
            and table.parts[i].leave_at is None
            and not table.parts[i].leave_with
            and not table.parts[i].unused_with
        ]
        if not idle:
            continue
        if selector.exclusive:
            remedy = f"name {selector.name} in a chart's set:, or take it out of board:"
        elif selector.kind == "switches":
            numbers = " ".join(p.name[len(selector.name) + 1 :] for p in idle)
            remedy = f"name {'it' if len(idle) == 1 else 'them'} in a chart's set:, or type not used: {numbers}"
        else:
            remedy = "name it in a chart's set: or a when:, or say where it is to stay, as leave at: and a position"
        message = f"nothing uses {listed(p.name for p in idle)}"
        report.add(
            selector.line,
            place_of(table, selector.line, selector.name),
            "unused-selector",
            message,
            remedy,
            length=len(selector.name),
        )


def check_unused_facts(table: Table, report: FileReport) -> None:
    """unused-fact (a remark): a fact that no chart, condition or step reads changes nothing, whatever is told of it."""
    if report.failed:
        return
    conditions = [*table.unit.only, *(c for s in table.selectors.values() for _, held in s.may_share for c in held)]
    used = set(_used_charts(table)) | {part.declares for part in table.parts}
    for chart in table.charts.values():
        used |= {key.name for key in (*chart.keys, *chart.heads)}
        conditions += (*chart.only, *(c for note in chart.notes for c in note.only))
    for call in table.calls.values():
        conditions += (*call.when, *(c for window in call.windows for c in window.when))
        conditions += (c for step in (*call.airflow, *call.heat, *call.limits) for c in step.when)
    used |= {c.name for c in conditions}
    for fact in table.facts.values():
        if fact.name not in used and not fact.gives and not _runs_by_itself(fact.name):
            message = f"nothing uses the fact `{fact.name}`: whatever is told of it changes no answer"
            remedy = "name it in a when:, an only: or at the side or top of a chart, or take it out"
            at = place_of(table, fact.line, fact.name)
            report.add(fact.line, at, "unused-fact", message, remedy, length=len(fact.name), remark=True)


def _runs_by_itself(name: str) -> bool:
    """True for facts that count without being named in the file."""
    return name in CONTINUOUS_FACTS or name in ("tons", "outdoor tons", "heater", "nozzle", "supply voltage", "model")


def check_missing_rows(table: Table, report: FileReport) -> None:
    """missing-rows (a remark): combinations of positions the chart has no row for. They are refused when a board is
    read."""
    for chart in table.charts.values():
        domains = _domains(table, chart)
        count, first = first_missing(chart.rows, domains) if domains else (0, None)
        if not count:
            continue
        where = ""
        if first is not None:
            where = ", the first for " + " ".join(
                f"{k.name} {k.values[i]}" for k, i in zip(chart.keys, first, strict=True)
            )
        message = f"`{chart.name}` has no row for {count} combination{'s' if count > 1 else ''}{where}"
        remedy = "fine if the manual has none; read, they are outside the chart"
        report.add(
            chart.line,
            column_of(table, chart.line),
            "missing-rows",
            message,
            remedy,
            length=len(chart.name),
            remark=True,
        )


def _domains(table: Table, chart: Chart) -> list[list[int]]:
    """What each key can be, nothing where one of them runs on."""
    domains: list[list[int]] = []
    for key in chart.keys:
        if key.continuous:
            return []
        if key.kind == "part":
            part = table.parts[key.part]
            domains.append(
                [i for i in range(len(part.positions)) if i not in part.idle and part.positions[i] not in LEFT_OFF]
            )
        elif key.kind == "taps":
            domains.append([i for i, v in enumerate(key.values) if v != "parked"])
        else:
            domains.append(list(range(len(key.values))))
    return domains


def check_copies(table: Table, report: FileReport) -> None:
    """copy-of-nothing: `as P..` names a row that the chart doesn't have, or that leads back to itself."""
    for chart in table.charts.values():
        copies = [row for row in chart.rows if row.like]
        if copies:
            _check_copies_of(table, chart, copies, report)


def _check_copies_of(table: Table, chart: Chart, copies: list[Row], report: FileReport) -> None:
    masks: dict[tuple[int, ...], dict[tuple[int, ...], Row]] = {}
    for row in chart.rows:
        mask = tuple(i for i, p in enumerate(row.positions) if p != ANY)
        masks.setdefault(mask, {}).setdefault(tuple(row.positions[i] for i in mask), row)
    if len(masks) * len(copies) > MOST_COPIES:
        return
    ends: dict[tuple[int, ...], str] = {}
    for row in copies:
        path: list[tuple[int, ...]] = []
        target: Row | None = row
        at = row.positions
        end = ""
        while not end:
            if target is None:
                end = "the row it behaves as is not in this chart"
            elif not target.like:
                end = "sound"
            else:
                at = tuple(own if p == ANY else p for p, own in zip(target.like, at, strict=True))
                if at in path:
                    end = "these rows behave as each other, so none has a figure"
                else:
                    path.append(at)
                    end = ends.get(at, "")
                    target = None if end else _row_for(chart, masks, at)
        ends.update(dict.fromkeys(path, end))
        if end != "sound":
            place = place_of(table, row.line, "as")
            report.add(
                row.line, place, "copy-of-nothing", end, "type as and the positions of a row with figures", length=2
            )


def _row_for(
    chart: Chart, masks: dict[tuple[int, ...], dict[tuple[int, ...], Row]], positions: tuple[int, ...]
) -> Row | None:
    """A row that can answer for these positions, where ANY (the row's own position, whatever it is) matches all."""
    if ANY in positions:
        return next(
            (
                r
                for r in chart.rows
                if all(p in (ANY, q) or q == ANY for p, q in zip(r.positions, positions, strict=True))
            ),
            None,
        )
    for mask, rows in masks.items():
        row = rows.get(tuple([positions[i] for i in mask]))
        if row is not None:
            return row
    return None


def check_models(table: Table, report: FileReport) -> None:
    """model-without-column (a remark): a model of the unit that a chart by model leaves out."""
    for chart in table.charts.values():
        for key in chart.heads:
            left = [m for m in table.unit.models if m not in key.values] if key.name == "model" else []
            if left:
                message = f"`{chart.name}` has no column for model {listed(left)}"
                place = column_of(table, chart.line)
                report.add(
                    chart.line,
                    place,
                    "model-without-column",
                    message,
                    "fine if the manual has none",
                    length=len(chart.name),
                    remark=True,
                )


def check_dashes_in_adjustments(table: Table, report: FileReport) -> None:
    """dash-for-none (a remark): `-` among trims, offsets, reductions or seconds is read as no figure printed, and
    refused.

    Pages often print a dash where nothing is added; that is typed none. Told once a chart, at its first such row.
    """
    for chart in table.charts.values():
        adjusts = [QUANTITIES[g].none == 0 for g in chart.gives]
        if not any(adjusts):
            continue
        dashed = [
            r
            for r in chart.rows
            if any(c is CellWord.BLANK and adjusts[i % len(adjusts)] for i, c in enumerate(r.cells))
        ]
        if dashed:
            more = f" and in {len(dashed) - 1} more" if len(dashed) > 1 else ""
            message = f"the - in this row{more} of `{chart.name}` is read as: no figure printed, refused"
            place = column_of(table, dashed[0].line)
            report.add(
                dashed[0].line,
                place,
                "dash-for-none",
                message,
                "if the page means that nothing is added, type none",
                remark=True,
            )


def check_large_shares(table: Table, report: FileReport) -> None:
    """share-over-100 (a remark): a share of more than 100 % is seldom meant. Told once a chart, at its first such
    row."""
    for chart in table.charts.values():
        if "share" not in chart.gives:
            continue
        for row in chart.rows:
            shares = [
                c
                for i, c in enumerate(row.cells)
                if chart.gives[i % len(chart.gives)] == "share" and isinstance(c, Fraction) and c > 100
            ]
            if shares:
                message = f"a share of {float(shares[0]):g} % is more than the whole"
                report.add(
                    row.line,
                    column_of(table, row.line),
                    "share-over-100",
                    message,
                    "right if the page has it",
                    remark=True,
                )
                break


def check_blank_columns(table: Table, report: FileReport) -> None:
    """blank-column (a remark): a column in which nothing is printed is often a column typed one place off."""
    for chart in table.charts.values():
        width = chart.cells_per_row
        full = [r for r in chart.rows if len(r.cells) == width]
        for i in range(width):
            if len(full) > 1 and all(r.cells[i] is CellWord.BLANK for r in full):
                message = f"column {i + 1} of `{chart.name}` has no figure at all"
                remedy = "fine if the manual has none; else look whether a column is shifted"
                place = column_of(table, chart.line)
                report.add(chart.line, place, "blank-column", message, remedy, length=len(chart.name), remark=True)
