"""Facts that nobody gave and that a figure was worked out under all the same: what was taken for them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction
from typing import Literal

from selector.air.heat import NOZZLE_RATED_PSI
from selector.solve.engine.engine import Engine
from selector.solve.engine.evaluate import Board
from selector.table.model.roles import burns
from selector.table.model.table import Call, No
from selector.value import Struct

Taken = Literal["supply voltage", "firing rate", "pump pressure"]
OF_AIRFLOW: frozenset[Taken] = frozenset({"firing rate"})
"""Those that the airflow itself rests on; the others its heat alone."""
_NOT_RUNNING = ("does_not_run", "not_usable", "outside_chart")


class AssumedFact(Struct, frozen=True, kw_only=True):
    """What was taken: the voltage that the heater is rated at, the highest firing rate printed, the pressure that the
    nozzle is marked at (V, %, psi). `value` is None where the page doesn't print it; `calls`: whose heat it is."""

    name: Taken
    value: Fraction | None
    unit: str
    calls: tuple[str, ...]


def assumed_of_stage(engine: Engine, board: Board, call: Call, stage: str) -> tuple[AssumedFact, ...]:
    """Each fact that isn't given and that the heat or the airflow of a stage that may run rests on."""
    point = engine.asked(call, stage)
    if not _may_run(board.airflow(point)):
        return ()
    taken = taken_for(engine, call, stage)
    return tuple(one for one in taken if one.name in OF_AIRFLOW or _may_run(board.heat(point)))


def _may_run(figure: Fraction | No | None) -> bool:
    return bool(figure) and not (isinstance(figure, No) and figure.kind in _NOT_RUNNING)


def assumed_facts(engine: Engine, board: Board) -> tuple[AssumedFact, ...]:
    """Those of every stage, each once."""
    calls = engine.table.calls.values()
    return of_all(
        one for call in calls for stage in call.stages for one in assumed_of_stage(engine, board, call, stage)
    )


def of_all(facts: Iterable[AssumedFact]) -> tuple[AssumedFact, ...]:
    """Each once, with all the calls that rest on it."""
    calls: dict[tuple[Taken, Fraction | None, str], dict[str, None]] = {}
    for one in facts:
        calls.setdefault((one.name, one.value, one.unit), {}).update(dict.fromkeys(one.calls))
    return tuple(AssumedFact(name=n, value=x, unit=unit, calls=tuple(of)) for (n, x, unit), of in calls.items())


def taken_for(engine: Engine, call: Call, stage: str) -> Iterator[AssumedFact]:
    """What a stage takes for a fact that isn't given, where it runs."""

    def taken(name: Taken, value: Fraction | None, unit: str) -> AssumedFact:
        return AssumedFact(name=name, value=value, unit=unit, calls=(call.name,))

    base = burns(engine.table, call)
    if base == "heater power" and engine.number("supply voltage") is None:
        for volts in dict.fromkeys(engine.heater_volts(stage)) or (None,):
            yield taken("supply voltage", volts, "V")
    if base == "nozzle rate" and engine.rated("pump pressure", stage) is None:
        yield taken("pump pressure", engine.rated("nozzle pressure", stage) or Fraction(NOZZLE_RATED_PSI), "psi")
    if engine.rates(call) and engine.number("firing rate") is None:
        yield taken("firing rate", Fraction(engine.asked(call, stage).rate), "%")
