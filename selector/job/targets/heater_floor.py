"""The least air of strip heat: what the page prints as a least for the heater that is there, or the airflow it gives
that heater where it prints none for the call. The one place for this floor."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from selector.air.figure import Figure, given
from selector.job.house.air import HouseAir
from selector.job.house.job_facts import Known
from selector.job.targets.aims import Bound, StageAim
from selector.solve.engine.engine import Engine
from selector.solve.rank.rank import TooLarge
from selector.solve.search.possible_airflows import reachable
from selector.solve.search.space import Space, space_of
from selector.table.model.roles import burns, by_heater, terminals_of
from selector.table.model.table import Call, Chart, Named, No
from selector.units import convert

Least = tuple[Figure, str]
"""The airflow, cfm, and the chart that prints it as a least; "" where it is only what the page gives the heater."""


def heater_floor(engine: Engine, known: Known, one: StageAim, air: HouseAir) -> tuple[Bound, ...]:
    """The floor of a stage for each way to read the chart; empty where it runs no strips, or the heater isn't known."""
    call = engine.table.calls[one.call]
    if not runs_strips(engine, call):
        return ()
    found = known.left if known.left is not None else known.found
    space = space_of(engine, found, {}, range(len(engine.table.parts)), unread=known.unread)
    found_leasts = [*_printed(engine, call, one.stage, space), *_given(engine, call, one.stage, space)]
    if not found_leasts:
        return ()
    figure, chart = max(found_leasts, key=lambda least: least[0].value)
    judged = chart in {limit.source for limit in engine.airflow_limits(call, one.stage)[0]}
    return tuple(
        Bound(end="low", figure=figure, origin="heater", way=way, limit=figure, name=chart, of_page=judged)
        for way in air.ways
    )


def runs_strips(engine: Engine, call: Call) -> bool:
    """True where a call may run strip heat: by its terminals or its heat, and nothing is burned in it."""
    heated = call.heats or any(t.startswith(("W", "E")) for t in terminals_of(call))
    return heated and burns(engine.table, call) in ("heater power", "")


def _printed(engine: Engine, call: Call, stage: str, space: Space) -> Iterator[Least]:
    """What the page prints as a least by the heater: for this call, else for any."""
    charts = [c for c in engine.table.charts.values() if "least airflow" in c.gives and _of_heater(engine, c)]
    own = [chart for chart in charts if chart in engine.charts_of(call)]
    setting = tuple(space.fixed[i][0] if i in space.fixed else None for i in range(len(space.baseline)))
    for chart in own or charts:
        outcome = engine.chart(chart, call, stage, engine.asked(call, stage).rate, installed=True).at(setting)
        cell = None if isinstance(outcome, No) else outcome[chart.gives.index("least airflow")]
        if isinstance(cell, Fraction):
            page = f"page {chart.page}, " if chart.page else ""
            yield _least(engine, cell, f"{page}`{chart.name}`"), chart.name


def _given(engine: Engine, call: Call, stage: str, space: Space) -> Iterator[Least]:
    """The least that any setting told of the heater gives a call whose airflow goes by it, where the page prints no
    least for that call."""
    gives = {quantity for chart in engine.charts_of(call) if _of_heater(engine, chart) for quantity in chart.gives}
    if not call.heats or "airflow" not in gives or "least airflow" in gives:
        return
    try:
        flows = reachable(engine, space, engine.asked(call, stage))
    except TooLarge:
        return
    if flows:
        yield _least(engine, min(flows), f"airflow of {call.name} for this heater"), ""


def _least(engine: Engine, airflow: Fraction, source: str) -> Figure:
    return given("least_airflow", convert(airflow, engine.table.units.airflow, "cfm"), "cfm", source=source)


def _of_heater(engine: Engine, chart: Chart) -> bool:
    """True where a chart goes by the heater: by a selector that declares one, or that its heat is read from."""
    if by_heater(engine.table, chart):
        return True
    read = set(_heat_parts(engine))
    return any(key.kind == "part" and key.part in read for key in (*chart.keys, *chart.heads))


def _heat_parts(engine: Engine) -> Iterator[int]:
    """The parts that tell a call's heat, by themselves or in a chart, whatever is known of the house."""
    for step in (step for call in engine.table.calls.values() for step in call.heat):
        for atom in step.by_stage.values():
            if isinstance(atom, Named) and atom.kind == "part":
                yield atom.part
            elif isinstance(atom, Named) and atom.kind == "chart":
                chart = engine.table.charts[atom.name]
                yield from (key.part for key in (*chart.keys, *chart.heads) if key.kind == "part")
