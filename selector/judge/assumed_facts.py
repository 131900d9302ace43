"""Facts that nobody gave and that a figure was worked out under all the same: what was taken for them."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Literal

from selector.air.heat import NOZZLE_RATED_PSI
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import Board
from selector.table.model.roles import burns
from selector.table.model.table import Call, No
from selector.value import Struct

Taken = Literal["supply voltage", "firing rate", "pump pressure"]
_NOT_RUNNING = ("does_not_run", "not_usable", "outside_chart")


class AssumedFact(Struct, frozen=True, kw_only=True):
    """What was taken: the voltage that the heater is rated at, the highest firing rate printed, the pressure that the
    nozzle is marked at (V, %, psi). `value` is None where the page doesn't print it; `calls`: whose heat it is."""

    name: Taken
    value: Fraction | None
    unit: str
    calls: tuple[str, ...]


def assumed_facts(engine: Engine, board: Board) -> tuple[AssumedFact, ...]:
    """Each fact that isn't given and that the heat or the airflow of some call that may run rests on."""
    found: dict[tuple[Taken, Fraction | None, str], dict[str, None]] = {}
    for call in engine.table.calls.values():
        for stage in call.stages:
            for taken in _taken(engine, call, stage):
                point = engine.asked(call, stage)
                figure = board.airflow(point) if taken[0] == "firing rate" else board.heat(point)
                if figure and not (isinstance(figure, No) and figure.kind in _NOT_RUNNING):
                    found.setdefault(taken, {})[call.name] = None
    return tuple(
        AssumedFact(name=name, value=value, unit=unit, calls=tuple(calls))
        for (name, value, unit), calls in found.items()
    )


def _taken(engine: Engine, call: Call, stage: str) -> Iterator[tuple[Taken, Fraction | None, str]]:
    base = burns(engine.table, call)
    if base == "heater power" and engine.number("supply voltage") is None:
        for volts in dict.fromkeys(engine.heater_volts(stage)) or (None,):
            yield "supply voltage", volts, "V"
    if base == "nozzle rate" and engine.rated("pump pressure", stage) is None:
        yield "pump pressure", engine.rated("nozzle pressure", stage) or Fraction(NOZZLE_RATED_PSI), "psi"
    if engine.rates(call) and engine.number("firing rate") is None:
        yield "firing rate", Fraction(engine.asked(call, stage).rate), "%"
