"""A rise or supply air over the plate by the chart, before anybody measured: computed dangers."""

from __future__ import annotations

from collections.abc import Iterator

from selector.air.arithmetic import leaving_air
from selector.air.figure import given
from selector.job.board.expected import expected, full_rise, judged
from selector.job.danger.hazard import Hazard
from selector.job.house.fact_figures import typed
from selector.job.house.heating import fuel_of
from selector.job.house.plate import least_return, outlet_limit, rise_as_set, whose
from selector.job.targets.house import House
from selector.solve.engine.evaluate import evaluate
from selector.table.model.quantities import HEAT_INPUT
from selector.table.model.table import Setting
from selector.value import replace


def charted(house: House, setting: Setting) -> Iterator[Hazard]:
    """Every heating stage whose rise by the chart is over the plate's, or the manual's for the marks, or whose supply
    air from the return air typed: with the full nameplate heat until it is clocked."""
    table, model, back = house.engine.table, house.engine.plate_model(), house.job.site.return_air
    for one in expected(house, house.engine, judged(house, house.engine, setting)):
        greatest = full_rise(house, one) if one.aim.role == "heat" else None
        found = None if greatest is None else given("rise", greatest, "F", source=f"{one.title}, by the chart")
        if found is None:
            continue
        fuel = fuel_of(house.job, table, table.calls[one.aim.call]) or ""
        of = Hazard(what="rise over", call=one.aim.call, stage=one.aim.stage, whose="plate", fuel=fuel, by_chart=True)
        _, most = rise_as_set(house.job, house.engine, table.calls[one.aim.call], one.aim.stage, setting)
        if most is not None and found.value > most.value:
            yield replace(of, value=found, limit=most, whose=whose(most))
        limit = outlet_limit(house.job, table, model, one.aim.stage)
        supply = None if back is None else leaving_air(typed("return_air", back, house.job), found)
        if limit is not None and supply is not None and supply.value > limit.value:
            yield replace(of, what="outlet over", value=supply, limit=limit)


def overfired(house: House, setting: Setting) -> Iterator[Hazard]:
    """What a stage burns over what the page lets it, with the nozzle or orifice as the board and the job tell it."""
    read = house.job.heat is not None and house.job.heat.pump_pressure is not None
    for answer in evaluate(house.engine, setting).values():
        for stage in answer.stages:
            for one in stage.judged:
                if one.limit.quantity != HEAT_INPUT or one.value is None or one.high is None or one.beyond <= 0:
                    continue
                source = f"{house.table.name}, line {one.limit.line}"
                yield Hazard(
                    what="input over",
                    call=stage.call,
                    stage=stage.stage,
                    value=given("input", one.value, "Btu/h", source="by nozzle and pump pressure"),
                    limit=given("most_input", one.high, "Btu/h", source=source),
                    whose="manual",
                    fuel=fuel_of(house.job, house.table, house.table.calls[stage.call]) or "",
                    by_chart=not read,
                    line=one.limit.line,
                )


def cold_return(house: House) -> Iterator[Hazard]:
    """Return air as typed, under the plate's least."""
    back, least = house.job.site.return_air, least_return(house.job)
    if back is not None and least is not None and back.value < least.value:
        air = typed("return_air", back, house.job)
        yield Hazard(what="return under", value=air, limit=least, whose="plate", by_chart=True)
