"""What would make it fit where no setting does: a limit to know, never an instruction to change orifice, gas pressure
or nozzle."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Literal

from selector.job.board.expected import Expected
from selector.job.board.solution import Solution, solution
from selector.job.file.model import TypedWord
from selector.job.house.heating import HeatReader
from selector.job.targets.house import House, house_of
from selector.problems import Refused
from selector.table.model.roles import burns
from selector.units import BTUH_PER_KW
from selector.value import Struct, replace

Kind = Literal["input", "nozzle", "heater", "face", "model"]


class WouldFit(Struct, frozen=True, kw_only=True):
    """`value` in `unit`: the greatest input, nozzle or heater for a stage's airflow (`airflow`, in the table's unit),
    or the least face area of the thing called `name`. `model`: another model of this table that fits as it is."""

    kind: Kind
    title: str = ""
    value: Fraction = Fraction(0)
    unit: str = ""
    airflow: Fraction = Fraction(0)
    name: str = ""
    model: str = ""


def would_fit(found: Solution) -> tuple[WouldFit, ...]:
    """Every one that is known; empty where a setting is offered. Raises rank.TooLarge as the search does."""
    if found.best is not None:
        return ()
    return (*_heats(found), *_faces(found), *_models(found))


def _heats(found: Solution) -> Iterator[WouldFit]:
    """With the airflow of the nearest miss, the greatest heat that keeps the plate's upper rise."""
    house = found.house
    for one in found.nearest.stages if found.nearest is not None else ():
        low = one.aim.low
        got = one.answer.airflow
        if one.aim.role != "heat" or low is None or low.origin != "rise" or one.charted is None:
            continue
        share = one.charted.value / low.figure.value
        base = _base(house, one)
        if share < 1 and base is not None and isinstance(got, Fraction):
            kind, value, unit = base
            yield WouldFit(kind=kind, title=one.title, value=value * share, unit=unit, airflow=got)


def _base(house: House, one: Expected) -> tuple[Kind, Fraction, str] | None:
    """What the heat of a stage comes from: a heater in kW, a nozzle in gph, an input in Btu/h."""
    heat, call = house.job.heat, house.table.calls[one.aim.call]
    if heat is not None and heat.nozzle is not None:
        return "nozzle", heat.nozzle.value, "gph"
    if heat is not None and heat.heater is not None and burns(house.table, call) == "heater power":
        return "heater", heat.heater.value / BTUH_PER_KW, "kW"
    reader = HeatReader(house.job, house.table, house.known.facts)
    put_in = reader.clocked_input(call, one.aim.stage) or reader.plate_input(call, one.aim.stage)
    return None if put_in is None else ("input", put_in.value, "Btu/h")


def _faces(found: Solution) -> Iterator[WouldFit]:
    """The least area of a filter or grille that lets the least airflow through."""
    for conflict in found.conflicts:
        one = conflict.empty
        if one is None or one.low is None or one.high is None or one.high.origin != "face":
            continue
        ceiling = next((c for c in found.house.job.ceilings if c.name == one.high.name), None)
        if ceiling is not None and ceiling.area is not None:
            share = one.low.figure.value / one.high.figure.value
            yield WouldFit(
                kind="face", title=one.title, value=ceiling.area.value * share, unit="ft2", name=ceiling.name
            )


def _models(found: Solution) -> Iterator[WouldFit]:
    """Other models of the table for which a setting fits, everything else as it is."""
    house = found.house
    own = house.known.facts.model
    if own is None or house.job.plate_model is not None:
        return
    for model in house.table.unit.models:
        if model == own:
            continue
        line = house.job.model.line if house.job.model is not None else 0
        job = replace(house.job, model=TypedWord(text=model, line=line), left=(), complaint=None)
        try:
            other = house_of(job, house.table)
        except Refused:
            continue  # its plate contradicts what the job says of the heat
        if solution(other, first=1, marks=found.before if found.start != "factory" else None).best is not None:
            yield WouldFit(kind="model", model=model)
