"""The least air for the electric heater that is there, in a call that runs it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from selector.air.figure import Figure, given
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import Board
from selector.solve.search.space import declared_position
from selector.table.model.roles import by_heater
from selector.table.model.table import Call, Chart, No, Part, Setting
from selector.units import convert


def heater_minimums(
    engine: Engine, call: str, stage: str, setting: Setting, rate: str = ""
) -> Iterator[tuple[Figure, bool]]:
    """The least air for the heater that is there in a call's stage, cfm, and whether it is printed as a least: what the
    page prints as a least for this call, the airflow that it gives the call for that heater where it prints no least
    for it, else every least of a heater."""
    of = engine.table.calls[call]
    own = [chart for chart in engine.charts_of(of) if of_heater(engine, chart)]
    leasts = [chart for chart in own if "least airflow" in chart.gives]
    if not leasts and of.heats and any("airflow" in chart.gives for chart in own):
        yield from _set_for_heater(engine, of, stage, setting)
        return
    for chart in leasts or [c for c in engine.table.charts.values() if "least airflow" in c.gives]:
        least = least_of(engine, chart, of, stage, rate, setting) if of_heater(engine, chart) else None
        if least is not None:
            yield least, True


def least_for_heater(engine: Engine, call: str, stage: str, setting: Setting) -> Figure | None:
    """The greatest of them, cfm, where the heater that is there was told; None where none counts."""
    told = any(
        engine.facts.values.get(part.declares) is not None for part in engine.declarers.values() if _heats(engine, part)
    )
    if not told or not runs_heater(engine, call):
        return None
    found = (least for least, _ in heater_minimums(engine, call, stage, setting))
    return max(found, key=lambda figure: figure.value, default=None)


def _heats(engine: Engine, part: Part) -> bool:
    """True for a selector that tells the board which electric heater there is."""
    fact, selector = engine.table.facts.get(part.declares), engine.table.selectors[part.selector]
    return "heater power" in (selector.gives, fact.gives if fact is not None else "") or "heater" in part.declares


def _set_for_heater(engine: Engine, call: Call, stage: str, setting: Setting) -> Iterator[tuple[Figure, bool]]:
    """What the board gives the call with every selector of equipment set for what is there."""
    places = {part.index: declared_position(engine, part, fact) for fact, part in engine.declarers.items()}
    right = tuple(at if places.get(i) is None else places[i] for i, at in enumerate(setting))
    airflow = Board(engine, right).airflow(engine.asked(call, stage))
    if isinstance(airflow, Fraction):
        value = convert(airflow, engine.table.units.airflow, "cfm")
        title = f"{call.name} {stage}".strip()
        yield given("least_airflow", value, "cfm", source=f"airflow of {title} for this heater"), False


def runs_heater(engine: Engine, call: str) -> bool:
    """True where a call may run strip heat."""
    of = engine.table.calls[call]
    terminals = {t.upper() for words in of.terminals.values() for t in words}
    return bool(of.heats) or any(t.startswith(("W", "E")) for t in terminals)


def least_of(engine: Engine, chart: Chart, call: Call, stage: str, rate: str, setting: Setting) -> Figure | None:
    """What a chart of least airflow asks for the heater that is there, cfm; None where it gives no figure."""
    outcome = engine.chart(chart, call, stage, rate, installed=True).at(setting)
    cell = None if isinstance(outcome, No) else outcome[chart.gives.index("least airflow")]
    if not isinstance(cell, Fraction):
        return None
    page = f"page {chart.page}, " if chart.page else ""
    value = convert(cell, engine.table.units.airflow, "cfm")
    return given("least_airflow", value, "cfm", source=f"{page}`{chart.name}`")


def of_heater(engine: Engine, chart: Chart) -> bool:
    """True where a chart goes by the heater: by a selector that declares one, or that its heat is read from."""
    if by_heater(engine.table, chart):
        return True
    read = {p for part in _heat_parts(engine) for p in part}
    return any(key.kind == "part" and key.part in read for key in (*chart.keys, *chart.heads))


def _heat_parts(engine: Engine) -> Iterator[Sequence[int]]:
    for call in engine.table.calls.values():
        for stage in call.stages:
            for instruction in engine.heat(call, stage):
                for reading in instruction.readings:
                    yield tuple(reading.parts)
