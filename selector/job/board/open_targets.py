"""What a search asks besides its targets, so that every board may be put right: leads that make way, calls that the
page refuses as they stand, rows that behave as another and may stay."""

from __future__ import annotations

from collections.abc import Sequence

from selector.job.targets.stage_target import as_target
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import Board
from selector.solve.search.targets import Target
from selector.table.model.table import Chart, No, Row, Setting, Table
from selector.value import replace


def open_targets(
    engine: Engine, found: Setting, targets: Sequence[Target]
) -> tuple[tuple[Target, ...], tuple[Target, ...]]:
    """Open windows that only widen the search: for running calls whose lead stands on a tap (a lead nobody asks about
    may make way for another),
    and for calls that the page refuses as they stand (their selectors have to move)."""
    table = engine.table
    exclusive = {p for s in table.selectors.values() if s.exclusive for p in s.parts}
    asked = {(t.call, t.stage) for t in targets}
    board = Board(engine, found)
    leads, refused = [], []
    for call in table.calls.values():
        for stage in call.stages:
            airflow = board.airflow(engine.asked(call, stage))
            no = airflow if isinstance(airflow, No) else None
            if (call.name, stage) in asked or (no is not None and no.kind == "does_not_run"):
                continue
            if call.lead.get(stage, call.lead.get("")) in exclusive:
                leads.append(as_target((call.name, stage), (None, None), table))
            elif no is not None and no.refused:
                refused.append(as_target((call.name, stage), (None, None), table))
    return tuple(leads), tuple(refused)


def as_it_stands(engine: Engine, found: Setting) -> Table:
    """The table for moves from `found`: unreadable parts stand nowhere in particular, and a row that behaves as
    another may stay as it is found."""
    table = engine.table
    parts = tuple(replace(part, factory={}) if found[part.index] is None else part for part in table.parts)
    charts = {name: _staying(chart, found) for name, chart in table.charts.items()}
    return replace(table, parts=parts, charts=charts)


def _staying(chart: Chart, found: Setting) -> Chart:
    """The chart with the row it is found on printed out, where that row behaves as another: such rows are never
    proposed, but may be left."""
    if any(key.kind != "part" for key in chart.keys):
        return chart
    at = tuple(found[key.part] for key in chart.keys)
    if any(position is None for position in at):
        return chart
    row = _row(chart, at)
    seen = 0
    target = row
    while target is not None and target.like and seen < 50:
        seen += 1
        target = _row(chart, tuple(own if p == -1 else p for p, own in zip(target.like, at, strict=True)))
    if row is None or not row.like or target is None or not target.cells:
        return chart
    plain = Row(
        positions=tuple(p for p in at if p is not None),
        cells=target.cells,
        typed=target.typed,
        note=row.note,
        line=row.line,
    )
    return replace(chart, rows=(plain, *(other for other in chart.rows if other.positions != plain.positions)))


def _row(chart: Chart, at: Sequence[int | None]) -> Row | None:
    """The row of these positions."""
    return next(
        (row for row in chart.rows if all(p in (-1, own) for p, own in zip(row.positions, at, strict=True))), None
    )
