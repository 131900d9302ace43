"""The ducts of a house: their curve through a static measured with the board as found, and what each charted row moves
on it.

A chart of airflow against static that is a call's only step is read where its curve crosses the duct curve (exact).
Where more steps follow, the
static of a call is that of the duct curve at the airflow aimed at. Nothing measured: the static typed for every call,
or none.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from selector.air import arithmetic_duct, duct
from selector.air.figure import Figure, Worked, given, renamed
from selector.job.file.model import Job
from selector.job.house.fact_figures import place
from selector.job.house.job_facts import Known, call_of
from selector.job.house.trace import row_source
from selector.job.readings.external_static import external_static, unit_parts
from selector.job.readings.reading_faults import ReadingPlace
from selector.job.readings.readings_by_state import by_state, taken_in
from selector.job.readings.static import charted_end, holds_up_to, plate_static
from selector.job.remark import Remark, remark
from selector.job.targets.aims import StageAim
from selector.solve.board.facts import Facts
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import Board
from selector.table.model.table import Call, Cell, CellWord, Chart, Named, No, Row, Setting, Table
from selector.units import convert
from selector.value import Struct, field, replace

STATIC = "static pressure"
_BY_MARKS = ("ramp-not-known", "no-heat")
"""Problems of a reading that only say that the marks aren't known."""


class Ducts(Struct, frozen=True, kw_only=True):
    """`table` with the charts that could be read on the duct curve; `static` for calls and stages by `Facts.static`'s
    keys (table's unit).

    `k`: the duct curve (static in the table's unit over airflow squared), `crossings`: (chart, marks of the row) -> the
    airflow with its inputs.
    `measured`: static readings in in. w.c. with call and stage. `notes` say what was taken.
    """

    table: Table
    static: Mapping[str, Fraction] = field(default_factory=dict)
    k: Figure | None = None
    crossings: Mapping[tuple[str, tuple[int, ...]], Figure] = field(default_factory=dict)
    measured: tuple[tuple[str, str, Figure], ...] = ()
    notes: tuple[Remark, ...] = ()


def needs_static(table: Table) -> bool:
    """True where a chart prints airflow against static pressure."""
    return any(_has_static(chart) for chart in table.charts.values())


def ducts_of(job: Job, table: Table, known: Known, aims: Sequence[StageAim]) -> Ducts:
    """What is known of the ducts. A reading that doesn't count, or that the board as found can't explain, is left
    out, and said."""
    measured, left_out = _read(job, table, known, aims)
    found = _ducts_of(job, table, known, aims, measured)
    return replace(found, notes=(*left_out, *found.notes))


def _read(
    job: Job, table: Table, known: Known, aims: Sequence[StageAim]
) -> tuple[list[tuple[str, str, Figure]], tuple[Remark, ...]]:
    """The static readings that count, with call and stage, and why others don't. Without marks nothing is asked of
    when they were taken."""
    unit = unit_parts(table)
    for reading in job.measurements:
        if external_static(reading, unit) is not None:
            call_of(job, table, reading.call, reading.stage)
    stood = _stood(known)
    setting = stood if stood is not None else (None,) * len(table.parts)
    engine = Engine(table, known.facts)
    heats = {(one.call, one.stage): one.burning for one in aims if one.burning is not None}
    measured: list[tuple[str, str, Figure]] = []
    left_out: list[Remark] = []
    for key, readings in by_state(job, engine)[0].items():
        for reading in readings:
            read = external_static(reading, unit, ReadingPlace(job, reading).figure)
            static = read.figure if read is not None else None
            if static is None:
                continue
            state = taken_in(key, (reading,), job, engine, setting, heats, {})
            against = [p.message for p in state.problems if stood is not None or p.code not in _BY_MARKS]
            if against:
                left_out.append(remark("static not counted", where=state.title, why="; ".join(against)))
            else:
                measured.append((state.call, state.stage, static))
    return measured, tuple(dict.fromkeys(left_out))


def _ducts_of(
    job: Job, table: Table, known: Known, aims: Sequence[StageAim], measured: Sequence[tuple[str, str, Figure]]
) -> Ducts:
    if not needs_static(table):
        return Ducts(table=table, measured=tuple(measured))
    if not measured:
        return Ducts(table=table, notes=_taken(job))
    if _stood(known) is None:
        notes = (remark("marks of the static not known"), *_taken(job))
        return Ducts(table=table, measured=tuple(measured), notes=notes)
    for call, stage, static in measured:
        k = _curve(table, known, call, stage, static)
        if isinstance(k, Figure):
            found = _on_curve(table, k, aims, tuple(measured), f"{call} {stage}".strip())
            engine = Engine(table, known.facts)
            return replace(found, static={at: min(p, _end(job, engine, at, p)) for at, p in found.static.items()})
    why = _curve(table, known, *measured[0])
    assert isinstance(why, Remark)
    return Ducts(table=table, measured=tuple(measured), notes=(why, *_taken(job)))


def _end(job: Job, engine: Engine, at: str, static: Fraction) -> Fraction:
    """The static that a call may come to, in the table's unit: plate, chart and what the chart prints hold it; a target
    beyond it can't be had on these ducts."""
    call = next(name for name in engine.table.calls if at == name or at.startswith(f"{name} "))
    holds = holds_up_to(engine.table.calls[call], engine)
    ends = [end for end in (plate_static(job, engine), holds, charted_end(engine, call)) if end is not None]
    return min((convert(end.value, "in. w.c.", engine.table.units.pressure) for end in ends), default=static)


def _stood(known: Known) -> Setting | None:
    """How the board stood when static was measured: as left where that was recorded, else as found."""
    return known.left if known.left is not None else known.found


def _taken(job: Job) -> tuple[Remark, ...]:
    static = job.site.static_pressure
    if static is None:
        return (remark("static not known"),)
    return (remark("one static for every call", typed=static.text, place=place(job, static.line)),)


def _curve(table: Table, known: Known, call: str, stage: str, static: Figure) -> Figure | Remark:
    """k of the duct curve through the measured point, or why it can't be drawn."""
    stood = _stood(known)
    assert stood is not None
    own = (
        static
        if table.units.pressure == static.unit
        else arithmetic_duct.in_unit(static, table.units.pressure, name="static_here")
    )
    engine = Engine(table, replace(known.facts, static={f"{call} {stage}": own.value}))
    airflow = Board(engine, stood).airflow(engine.asked(table.calls[call], stage))
    if isinstance(airflow, No):
        return remark("no duct curve", where=f"{call} {stage}".strip(), why=airflow.why)
    moved = given(
        "airflow_as_found",
        airflow,
        table.units.airflow,
        source=f"{call} {stage} as found, charted at this static".replace("  ", " "),
    )
    return arithmetic_duct.duct_k(renamed(own, "static"), moved)


def _on_curve(
    table: Table, k: Figure, aims: Sequence[StageAim], measured: tuple[tuple[str, str, Figure], ...], where: str
) -> Ducts:
    charts: dict[str, Chart] = {}
    crossings: dict[tuple[str, tuple[int, ...]], Figure] = {}
    for chart in table.charts.values():
        if _has_static(chart) and _alone(table, chart.name):
            charts[chart.name] = _read_on_curve(table, chart, k, crossings)
    static: dict[str, Fraction] = {}
    for one in aims:
        if one.aim.charted is not None:
            airflow = convert(one.aim.charted.value, "cfm", table.units.airflow)
            static[f"{one.call} {one.stage}"] = duct.static_at(k.value, airflow)
    notes = [remark("duct curve", where=where)]
    if len(charts) < sum(_has_static(c) for c in table.charts.values()):
        notes.append(remark("duct curve at the target"))
    return Ducts(
        table=replace(table, charts={**table.charts, **charts}),
        static=static,
        k=k,
        crossings=crossings,
        measured=measured,
        notes=tuple(notes),
    )


def _has_static(chart: Chart) -> bool:
    return any(key.name == STATIC for key in (*chart.keys, *chart.heads))


def _alone(table: Table, name: str) -> bool:
    """True where every call that reads the chart has it for its only step, and static stands along its top."""
    chart = table.charts[name]
    if chart.gives != ("airflow",) or not any(head.name == STATIC for head in chart.heads):
        return False
    return all(_only(call, name) for call in table.calls.values())


def _only(call: Call, name: str) -> bool:
    reads = any(
        isinstance(a, Named) and a.kind == "chart" and a.name == name for s in call.airflow for a in s.by_stage.values()
    )
    return not reads or len(call.airflow) == 1


def _read_on_curve(
    table: Table, chart: Chart, k: Figure, crossings: dict[tuple[str, tuple[int, ...]], Figure]
) -> Chart:
    """The chart without its static: each row's airflow where it crosses the duct curve, blank where it doesn't."""
    at = next(i for i, head in enumerate(chart.heads) if head.name == STATIC)
    head = chart.heads[at]
    inner = 1
    for other in chart.heads[at + 1 :]:
        inner *= len(other.values)
    outer = chart.cells_per_row // (len(head.values) * inner)
    order = sorted(range(len(head.values)), key=lambda i: head.numbers[i])

    def crossed(row: Row, o: int, i: int) -> Cell:
        cells = [row.cells[(o * len(head.values) + s) * inner + i] for s in order]
        points = [(head.numbers[s], c if isinstance(c, Fraction) else None) for s, c in zip(order, cells, strict=True)]
        if all(c is CellWord.NONE for c in cells):
            return CellWord.NONE
        try:
            met = duct.crossing(points, k.value)
        except ValueError:
            return CellWord.BLANK
        if met is None:
            return CellWord.BLANK
        figure = _crossing(table, chart, row, met, k)
        crossings[chart.name, row.positions] = figure
        return figure.value

    rows = [
        replace(r, cells=tuple(crossed(r, o, i) for o in range(outer) for i in range(inner))) if r.cells else r
        for r in chart.rows
    ]
    return replace(chart, heads=tuple(h for h in chart.heads if h.name != STATIC), rows=tuple(rows))


def _crossing(table: Table, chart: Chart, row: Row, met: duct.Crossing, k: Figure) -> Figure:
    (low_p, low_q), (high_p, high_q) = met.between
    source = row_source(table, chart, row)
    ends = [
        given(name, value, unit, source=source)
        for name, value, unit in (
            ("low_static", low_p, table.units.pressure),
            ("low_airflow", low_q, table.units.airflow),
            ("high_static", high_p, table.units.pressure),
            ("high_airflow", high_q, table.units.airflow),
        )
    ]
    if met.between[0] == met.between[1]:
        return ends[1]
    found = arithmetic_duct.crossing_airflow(k, ends[0], ends[1], ends[2], ends[3], name="airflow_on_ducts")
    assert isinstance(found, Worked)
    return replace(found, note="where the charted curve crosses the duct curve")


def with_ducts(facts: Facts, ducts: Ducts) -> Facts:
    """The facts with the static of each call and stage."""
    return replace(facts, static={**facts.static, **ducts.static})
