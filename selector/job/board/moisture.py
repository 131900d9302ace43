"""What in a setting puts water back into the house: run-on after cooling, a constant fan, a start at once or a slow
one (common practice)."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from selector.job.targets.stage_target import flow
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import evaluate
from selector.table.model.roles import roles
from selector.table.model.table import Call, CellWord, Named, Ramp, Setting, Table
from selector.units import plain

LONG_S = Fraction(60)
"""Run-on from this many seconds is called long (our choice, no source)."""


def water_put_back(engine: Engine, setting: Setting, airflows: Mapping[tuple[str, str], Fraction]) -> list[str]:
    """A line for each: the seconds of run-on, the ramp, the airflow of the constant fan."""
    answers, found = evaluate(engine, setting), roles(engine.table)
    out: list[str] = []
    for name, answer in answers.items():
        if found[name] == "cooling":
            for stage, delay in answer.off_delay.items():
                if (
                    isinstance(delay, Fraction)
                    and delay >= LONG_S
                    and delay > shortest_run_on(engine.table, engine.table.calls[name])
                ):
                    out.append(
                        f"humid: the blower runs on {plain(delay)} s after {name} {stage}".rstrip()
                        + ", which puts water back"
                    )
            for stage, ramp in answer.ramp.items():
                if isinstance(ramp, Ramp):
                    out.append(f"humid: {name} {stage}".rstrip() + f" comes up with the ramp `{ramp.name}`")
    for (name, stage), airflow in airflows.items():
        if found[name] == "fan":
            title = f"{name} {stage}".strip()
            out.append(
                f"humid: a constant fan ({title} {flow(airflow)} {engine.table.units.airflow}) puts water back between"
                " calls"
            )
    return out


def shortest_run_on(table: Table, call: Call) -> Fraction:
    """The shortest run-on that the page has for a call, seconds: one that is set to it can't be shortened, nor one
    that is the same however the board is set."""
    charts = [table.charts[a.name] for a in call.off_delay.values() if isinstance(a, Named) and a.name in table.charts]
    cells = [cell for chart in charts for row in chart.rows for cell in row.cells]
    seconds = [
        Fraction(0) if cell is CellWord.NONE else cell
        for cell in cells
        if cell is CellWord.NONE or isinstance(cell, Fraction)
    ]
    fixed = [a for a in call.off_delay.values() if isinstance(a, Fraction)]
    return min([*seconds, *fixed], default=Fraction(0))
