"""The notes of the manual that apply to a stage, of its call, charts, rows and selectors; the pages they stand on."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import product
from math import prod

from selector.judge.judgement import Note
from selector.solve.engine.chart_reading import ChartReading
from selector.solve.engine.engine import Engine
from selector.solve.engine.step_arithmetic import Instruction
from selector.table.model.table import ANY, Call, Named, No, Setting

MOST_ROWS = 20_000
"""Rows that open positions may lead to whose notes are listed."""


def notes_of_stage(
    engine: Engine, call: Call, stage: str, program: Sequence[Instruction], setting: Setting
) -> tuple[tuple[Note, ...], tuple[str, ...]]:
    """The notes of the call, and of every chart, row and selector that it reads, as far as its conditions may hold; and
    the pages of these charts."""
    table = engine.table
    out: dict[Note, None] = {}
    pages: dict[str, None] = {}
    if call.note:
        out[Note(of="call", name=call.name, text=call.note)] = None
    readings = [
        r
        for i in program
        if not any(not isinstance(o := c.at(setting), No) and o[0] != 1 for c in i.conditions)
        for r in i.readings
    ]
    led = {one for r in readings for one in r.led}
    """Their rows are told with the rows of the charts that they lead to."""
    for reading in dict.fromkeys((*readings, *(charts_beside(engine, call, stage) if program else ()))):
        for p in reading.parts:
            out |= {Note(of="selector", name=name, text=note): None for name, note in table.notes_at(p)}
        chart = table.charts.get(reading.name)
        if chart is None:
            continue
        if chart.page:
            pages[chart.page] = None
        if chart.note:
            out[Note(of="chart", name=chart.name, text=chart.note, page=chart.page)] = None
        choices = [table.parts[p].open_positions if (at := setting[p]) is None else (at,) for p in reading.parts]
        if prod(len(c) for c in choices) > MOST_ROWS:
            continue
        for positions in product(*choices):
            row = reading.row(positions)
            if row is not None and row.note and reading not in led:
                out[Note(of="row", name=chart.name, text=row.note, page=chart.page)] = None
            if row is not None and row.like:
                like = (f"{k.name} {k.values[i]}" for k, i in zip(chart.keys, row.like, strict=True) if i != ANY)
                out[Note(of="copied row", name=chart.name, text=" ".join(like), page=chart.page)] = None
    return tuple(out), tuple(pages)


def charts_beside(engine: Engine, call: Call, stage: str) -> Iterator[ChartReading]:
    """The charts of a stage's ramp and delays."""
    rate = engine.asked(call, stage).rate
    for by_stage in (call.ramp, call.on_delay, call.off_delay):
        atom = by_stage.get(stage, by_stage.get(""))
        if isinstance(atom, Named) and atom.kind == "chart" and engine.has_column(atom, stage):
            yield from (r for _, _, r, _, _ in engine.operands("seconds", atom, call, stage, rate) if r is not None)
