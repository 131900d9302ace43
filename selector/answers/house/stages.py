"""What a stage does, in a cell: airflow, rise, supply, airflow per ton, split; or which of the five noes it is."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from selector.answers.call import judged_text
from selector.answers.house.allowed import per_ton_limit
from selector.answers.words.airflow import airflow_text, in_units, no_text
from selector.answers.words.arithmetic import temperature, worked_difference
from selector.answers.words.figure import apart, text_of
from selector.job.board.allowed import allowed_of
from selector.job.board.expected import Expected, RunningState
from selector.job.house.steady import ComingUp
from selector.job.targets.house import House
from selector.table.model.table import No
from selector.units import format_number, plain, rise
from selector.value import replace


def airflow_of(house: House, one: Expected) -> str:
    """`1,062 cfm`, or its no."""
    found = one.answer.airflow
    return no_text(found) if isinstance(found, No) else airflow_text(house.table, found)


def short_of(house: House, one: Expected) -> str:
    """`1,062 cfm`, or its no in two words."""
    found = one.answer.airflow
    return no_text(replace(found, why="")) if isinstance(found, No) else airflow_text(house.table, found)


def more_of(house: House, one: Expected) -> str:
    """`rise 50.8 F, supply 121 F`; `354 cfm/ton, split 19.4 F`: both figures where the chart can be read two ways."""
    table = house.table
    said = []
    rises = rise_of(house, one)
    leaving = _once(temperature(r.leaving.value, table) for r in one.read_as if r.leaving is not None)
    if rises:
        said.append(f"rise {rises}" + (f", supply {leaving}" if leaving else ""))
    tons = _once(per_ton_limit(house, r.per_ton.value) for r in one.read_as if r.per_ton is not None)
    splits = _once(worked_difference(r.split.value, table) for r in one.read_as if r.split is not None)
    said += [tons] if tons else []
    said += [f"split {splits}"] if splits else []
    return ", ".join(said)


def rise_of(house: House, one: Expected) -> str:
    """`50.8 F`, both where the chart can be read two ways; empty where nothing heats or the heat isn't known."""
    if one.aim.role not in ("heat", "heat pump + auxiliary"):
        return ""
    unit = house.table.units.temperature
    rises = [rise(r.rise.value, "F", unit) for r in one.read_as if r.rise is not None]
    if not rises and one.answer.rise is not None:
        rises = [one.answer.rise]
    return _once(text_of(in_units(house.table).worked(value, "temperature difference")) for value in rises)


def _once(texts: Iterable[str]) -> str:
    return " or ".join(dict.fromkeys(texts))


def apart_text(house: House, one: Expected) -> str:
    """How far a stage is outside: `118 cfm over`, `rise 67.8 F, 2.8 F over the plate's 65 F`; `OK`; empty where nothing
    judges it."""
    found, stands = one.answer.airflow, one.stands.stands
    if isinstance(found, No) or stands not in ("inside", "outside"):
        return ""
    if stands == "inside":
        return "OK"
    allowed = allowed_of(house, one).range
    units = in_units(house.table)
    if allowed.empty:
        return "no airflow is allowed"
    side = allowed.side(found)
    if side != "inside":
        end = allowed.low if side == "below" else allowed.high
        assert end is not None
        _, distance = apart(units.worked(found, "airflow"), units.worked(end, "airflow"))
        return f"{distance.removesuffix(' ' + house.table.units.airflow)} {'over' if side == 'above' else side}"
    over = ["static over"] if any(j.limit.quantity == "static pressure" for j in one.stands.broken) else []
    broken = (judged_text(house.table, j) for j in one.stands.broken if j.limit.quantity != "static pressure")
    return "; ".join(dict.fromkeys([*broken, *over]))


def slow_start(house: House, one: Expected) -> Iterator[str]:
    """The seconds of a ramp below the minimum per ton, and a start that isn't known."""
    if isinstance(one.coming, No):
        yield f"{one.title}: how it starts is {no_text(one.coming)}"
    below = [s for s in one.states if s.below and s.seconds is not None]
    if below and one.below_s is not None and one.below_s.value:
        yield (
            f"{one.title}: {format_number(one.below_s.value, 0)} s of the start below"
            f" {per_ton_limit(house, below[0].floor)} ({_steps(house, below)})"
        )
    if isinstance(one.coming, ComingUp):
        steady = next((s for s in one.states if s.seconds is None and s.below and s.share != 100), None)
        if steady is not None:
            yield f"{one.title}: the ramp ends at {plain(steady.share)} %, {per_ton_limit(house, steady.per_ton.value)}"


def _steps(house: House, states: Iterable[RunningState]) -> str:
    return ", ".join(f"{per_ton_limit(house, s.per_ton.value)} at {plain(s.share)} %" for s in states)
