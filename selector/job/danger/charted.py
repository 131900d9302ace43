"""A rise over the plate by the chart, before anybody measured: a computed danger."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from selector.air.figure import Figure, given
from selector.job.board.expected import Expected, expected, judged
from selector.job.danger.hazard import Hazard
from selector.job.house.fact_figures import typed
from selector.job.house.heating import fuel_of
from selector.job.house.plate import least_return, plate_rise
from selector.job.targets.house import House
from selector.table.model.table import Setting
from selector.units import rise


def charted(house: House, setting: Setting) -> Iterator[Hazard]:
    """Every heating stage whose rise by the chart is over the plate's: with the full nameplate heat until it is
    clocked."""
    for one in expected(house, house.engine, judged(house, house.engine, setting)):
        _, most = plate_rise(house.job, house.engine.table, house.engine.plate_model(), one.aim.stage)
        found = _rise(house, one) if one.aim.role == "heat" else None
        if most is not None and found is not None and found.value > most.value:
            yield Hazard(
                what="rise over",
                call=one.aim.call,
                stage=one.aim.stage,
                value=found,
                limit=most,
                whose="the plate's",
                fuel=fuel_of(house.job, house.engine.table, house.engine.table.calls[one.aim.call]) or "",
                by_chart=True,
            )


def cold_return(house: House) -> Iterator[Hazard]:
    """Return air as typed, under the plate's least."""
    back, least = house.job.site.return_air, least_return(house.job)
    if back is not None and least is not None and back.value < least.value:
        air = typed("return_air", back, house.job)
        yield Hazard(what="return under", value=air, limit=least, whose="the plate's", by_chart=True)


def _rise(house: House, one: Expected) -> Figure | None:
    """The greatest rise under any reading of the chart, F."""
    rises = [r.rise.value for r in one.read_as if r.rise is not None]
    if rises and one.aim.heat is not None:
        share = one.aim.nameplate.value / one.aim.heat.value if one.aim.nameplate is not None else Fraction(1)
        return given("rise", max(rises) * share, "F", source=f"{one.title}, by the chart")
    if one.answer.rise is None:
        return None
    degrees = rise(one.answer.rise, house.table.units.temperature, "F")
    full = degrees / house.engine.burned(house.engine.table.calls[one.aim.call])
    return given("rise", full, "F", source=f"{one.title}, by the chart")
