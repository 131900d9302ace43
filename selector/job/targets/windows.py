"""The windows of a call's stage: the plate's rise, floors and ceilings per ton, faces the air passes, the person's
own, the smallest zone."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from typing import Literal

from selector.air import arithmetic, arithmetic_duct, arithmetic_fan
from selector.air.duct import FILTER_FACE_FPM
from selector.air.figure import Figure, Given, Worked, given, renamed
from selector.job.file.model import Amount, Ceiling, Heat, Job, Outdoor, TypedWord
from selector.job.house.air import HouseAir
from selector.job.house.fact_figures import place, share, typed
from selector.job.house.heating import Heating, dual_fuel, kind_of
from selector.job.house.job_facts import Stage, call_of
from selector.job.house.plate import outlet_limit, plate_rise
from selector.job.remark import Remark, remark
from selector.job.targets.aims import Bound, Origin, StageAim
from selector.judge.floors_and_ceilings import (
    ASSUMED,
    CEILING_CFM_PER_TON,
    assumed_per_ton,
    usual_per_ton,
)
from selector.solve.board.facts import Facts
from selector.table.model.roles import COMPRESSOR, Role, burns, has_heat_pump_call
from selector.table.model.table import Call, Chart, Table
from selector.value import replace

RETURN_F = Fraction(70)
"""Return air where none is typed."""
HEATING: frozenset[Role] = frozenset({"heat", "heat pump", "heat pump + auxiliary"})
"""Roles that heat the air, which the plate's outlet limit is for."""
NO_HEATER_LIMIT = remark("no heater limit")
End = tuple[Figure, Origin]
"""A rise that ends the window, and what sets it."""


class Windows:
    """The bounds of one job's stages on one table, by the plate of what is known to be installed."""

    def __init__(self, job: Job, table: Table, air: HouseAir, facts: Facts) -> None:
        self.job, self.table, self.air, self.facts = job, table, air, facts
        self.model = table.unit.plate_model(facts.model)
        self.outdoor = job.outdoor or Outdoor()
        self.heat = job.heat or Heat()
        self.typed = {
            stage_of(job, table, key, stage): span
            for key, stages in job.windows.items()
            for stage, span in stages.items()
        }
        self.ceilings = [
            (c, [call_of(job, table, w) for w in c.calls], {w.text.casefold() for w in c.calls}) for c in job.ceilings
        ]

    def bounds(
        self, call: Call, stage: str, role: Role, delivered: Heating, tons: Figure | None, unknown: list[Remark]
    ) -> list[Bound]:
        """Every bound of a stage but the smallest zone's; what can't be judged goes to `unknown`."""
        return [
            *self._rise_bounds(call, stage, role, delivered, unknown),
            *self._ton_bounds(call, stage, role, tons, unknown),
            *self._ceilings(call, stage),
            *self._typed_window(call, stage, tons, delivered, unknown),
        ]

    def _both_ways(
        self,
        end: Literal["low", "high"],
        standard: Figure,
        origin: Origin,
        rise_f: Fraction | None = None,
        limit: Figure | None = None,
        assumed: bool = False,
    ) -> Iterable[Bound]:
        """A bound on standard air, under every way of reading the chart."""
        for way in self.air.ways:
            yield Bound(
                end=end,
                figure=self.air.charted(standard, way, "charted_airflow"),
                origin=origin,
                way=way,
                rise_f=rise_f,
                limit=limit,
                assumed=assumed,
            )

    def _volume(self, end: Literal["low", "high"], actual: Figure, origin: Origin, name: str = "") -> Iterable[Bound]:
        """A bound on the volume that moves, under every way of reading the chart."""
        for way in self.air.ways:
            figure = self.air.charted_for_volume(actual, way, "charted_airflow")
            yield Bound(
                end=end,
                figure=figure,
                origin=origin,
                way=way,
                limit=actual,
                name=name,
            )

    def _return_air(self) -> Given:
        amount = self.job.site.return_air
        return (
            given("return_air", RETURN_F, "F", source="assumed", kind="temperature")
            if amount is None
            else typed("return_air", amount, self.job)
        )

    def rise_window(self, stage: str, role: Role) -> tuple[End | None, End | None]:
        """Ends of the acceptable rise with what sets them: the plate, the outlet limit of every call that heats, the
        limit of leaving air
        with auxiliary heat."""
        low: End | None = None
        highs: list[End] = []
        if role == "heat":
            least, most = plate_rise(self.job, self.table, self.facts, stage)
            if least is not None:
                low = (least, "rise")
            if most is not None:
                highs.append((most, "rise"))
        limit = outlet_limit(self.job, self.table, self.model, stage) if role in HEATING else None
        if limit is not None:
            highs.append((self._above_return("highest_rise", limit), "outlet"))
        if role == "heat pump + auxiliary" and self.heat.leaving_limit is not None:
            limit = typed("leaving_limit", self.heat.leaving_limit, self.job)
            highs.append((self._above_return("highest_rise", limit), "leaving air"))
        high = min(highs, key=lambda h: h[0].value, default=None)
        return low, high

    def _above_return(self, name: str, limit: Given) -> Worked:
        back = self._return_air()
        return Worked(
            name=name,
            value=limit.value - back.value,
            unit="F",
            expression=f"{limit.name} - return_air",
            inputs=(limit, back),
        )

    def _rise_bounds(
        self, call: Call, stage: str, role: Role, delivered: Heating, unknown: list[Remark]
    ) -> Iterable[Bound]:
        low, high = self.rise_window(stage, role)
        if high is None and delivered.heat is not None and self._nothing_limits_heater(call, stage, role):
            unknown.append(NO_HEATER_LIMIT)
        if low is None and high is None:
            if role == "heat" and kind_of(self.job.heat) in ("gas", "oil"):
                unknown.append(remark("plate rise not given"))
            return
        if delivered.heat is None:
            return
        ends: tuple[tuple[Literal["low", "high"], End | None], ...] = (("high", low), ("low", high))
        for end, one in ends:
            if one is None:
                continue
            figure, origin = one
            if figure.value <= 0:
                unknown.append(remark("limit below the return air", origin=origin))
                continue
            heat = delivered.heat if end == "high" else delivered.nameplate or delivered.heat
            standard = arithmetic.airflow_from_heat(heat, figure, name="airflow")
            shown = figure
            if origin == "outlet":
                shown = outlet_limit(self.job, self.table, self.model, stage) or figure
            elif origin == "leaving air" and self.heat.leaving_limit is not None:
                shown = typed("leaving_limit", self.heat.leaving_limit, self.job)
            yield from self._both_ways(end, standard, origin, figure.value, shown)

    def _nothing_limits_heater(self, call: Call, stage: str, role: Role) -> bool:
        """True where an electric heater runs, and neither a window nor a chart of least airflow that knows the
        heater holds its air back."""
        electric = burns(self.table, call) == "heater power" or kind_of(self.job.heat) in (
            "electric",
            "heat pump + auxiliary",
        )
        if role not in ("heat", "heat pump + auxiliary") or not electric or (call.name, stage) in self.typed:
            return False
        if any(window.quantity == "temperature rise" for window in call.windows):
            return False
        return not any(
            "least airflow" in chart.gives and self._reads_heater(chart) for chart in self.table.charts.values()
        )

    def _reads_heater(self, chart: Chart) -> bool:
        """A chart read by a fact, or by a selector that tells the board one: not by marks anyone may choose."""
        declared = {part.name for part in self.table.parts if part.declares}
        return any(
            key.name in self.table.facts or key.name == "model" or key.name in declared
            for key in (*chart.keys, *chart.heads)
        )

    def _ton_bounds(
        self, call: Call, stage: str, role: Role, tons: Figure | None, unknown: list[Remark]
    ) -> Iterable[Bound]:
        if role not in COMPRESSOR:
            return
        if tons is None:
            unknown.append(
                remark("outdoor capacity not given" if self.outdoor.capacity is None else "stage share not given")
            )
            return
        printed = assumed_per_ton(self.table, call, stage, role)
        usual = usual_per_ton(role)
        floor = self._floor(role)
        if floor.source != ASSUMED or printed.low == usual.low:
            standard = arithmetic_fan.airflow_from_tons(tons, floor, name="airflow")
            yield from self._both_ways("low", standard, "floor", limit=floor, assumed=_taken(floor))
        most = self.outdoor.most_per_ton
        if most is None and printed.high is None:
            return
        ceiling = (
            given("most_per_ton", CEILING_CFM_PER_TON, "cfm/ton", source=ASSUMED)
            if most is None
            else typed("most_per_ton", most, self.job)
        )
        standard = arithmetic_fan.airflow_from_tons(tons, ceiling, name="airflow")
        yield from self._both_ways("high", standard, "ceiling", limit=ceiling, assumed=_taken(ceiling))

    def _floor(self, role: Role) -> Given:
        """The least airflow per ton of the running capacity."""
        own: Amount | None = None
        if role == "dehumidify" and self.job.dehumidify is not None:
            own = self.job.dehumidify.least_per_ton
        elif role in ("heat pump", "heat pump + auxiliary"):
            own = self.heat.least_per_ton
        amount = own or (None if role in ("heat pump", "heat pump + auxiliary") else self.outdoor.least_per_ton)
        usual = usual_per_ton(role).low
        assert usual is not None  # every role that runs the outdoor unit has one
        found = given("least_per_ton", usual, "cfm/ton", source=ASSUMED)
        if amount is not None:
            found = typed("least_per_ton", amount, self.job)
        if role != "cooling" or not dual_fuel(self.job.heat) or has_heat_pump_call(self.table):
            return found
        return max(found, self._floor("heat pump"), key=lambda floor: floor.value)

    def _ceilings(self, call: Call, stage: str) -> Iterable[Bound]:
        """Faces the air passes: area x velocity is the volume that may move."""
        for ceiling, stages, names in self.ceilings:
            if stages and (call.name, stage) not in stages and call.name.casefold() not in names:
                continue
            if ceiling.airflow is not None:
                most: Figure = typed("greatest_airflow", ceiling.airflow, self.job)
                yield from self._volume("high", most, "face", ceiling.name)
            elif ceiling.area is not None:
                yield from self._volume("high", self._face(ceiling), "face", ceiling.name)

    def _face(self, ceiling: Ceiling) -> Figure:
        assert ceiling.area is not None
        area = typed("area", ceiling.area, self.job)
        if ceiling.velocity is None:
            velocity: Figure = given("velocity", FILTER_FACE_FPM, "fpm", source="taken for a filter (common practice)")
        else:
            velocity = typed("velocity", ceiling.velocity, self.job)
        return arithmetic_duct.airflow_at_face(area, velocity, name="greatest_airflow")

    def _typed_window(
        self, call: Call, stage: str, tons: Figure | None, delivered: Heating, unknown: list[Remark]
    ) -> Iterable[Bound]:
        """The person's own window: airflow as charted, per ton, or a rise."""
        span = self.typed.get((call.name, stage))
        if span is None:
            return
        ends: tuple[tuple[Literal["low", "high"], Fraction | None], ...] = (("low", span.low), ("high", span.high))
        for end, value in ends:
            if value is None:
                continue
            source = place(self.job, span.line)
            if span.unit == "cfm":
                yield Bound(
                    end=end,
                    figure=given("charted_airflow", value, "cfm", source=source),
                    origin="typed",
                    way=self.air.ways[0],
                    limit=given("limit", value, "cfm", source=source),
                )
            elif span.unit == "cfm/ton" and tons is not None:
                per_ton = given("per_ton", value, "cfm/ton", source=source)
                own = arithmetic_fan.airflow_from_tons(tons, per_ton)
                yield from self._both_ways(end, own, "typed", limit=per_ton)
            elif span.unit == "F" and delivered.heat is not None:
                figure = given("rise", value, "F", source=source)
                other: Literal["low", "high"] = "high" if end == "low" else "low"
                heat = delivered.heat if other == "high" else delivered.nameplate or delivered.heat
                own = arithmetic.airflow_from_heat(heat, figure)
                yield from self._both_ways(other, own, "typed", value, figure)
            else:
                needed = "tons" if span.unit == "cfm/ton" else "the heat"
                unknown.append(remark("window not judged", typed=span.text, call=call.name, needed=needed))

    def zoned(self, found: Sequence[StageAim]) -> Iterable[StageAim]:
        """The smallest zone as a ceiling on the calls that run with it alone."""
        zoning = self.job.zoning
        if zoning is None or zoning.smallest_zone is None:
            yield from found
            return
        stages = [call_of(self.job, self.table, w) for w in zoning.calls]
        names = {w.text.casefold() for w in zoning.calls}
        zone = self._zone(zoning.smallest_zone, found)
        for one in found:
            if zone is None or (stages and (one.call, one.stage) not in stages and one.call.casefold() not in names):
                yield one
                continue
            yield replace(one, bounds=(*one.bounds, *self._volume("high", zone, "zone")))

    def _zone(self, amount: Amount, found: Sequence[StageAim]) -> Figure | None:
        zoning = self.job.zoning
        assert zoning is not None
        zone: Figure
        if amount.unit == "%":
            volumes = [one.aim.volume for one in found if one.aim.volume is not None]
            if not volumes:
                return None
            greatest = max(volumes, key=lambda f: f.value)
            percent = share("zone_share", amount, self.job)
            zone = arithmetic.product(
                "zone_airflow", greatest.value * percent.value, "cfm", renamed(greatest, "greatest_aim"), percent
            )
        else:
            zone = typed("zone_airflow", amount, self.job)
        if zoning.bypass is None:
            return zone
        bypass = typed("bypass", zoning.bypass, self.job)
        return Worked(
            name="zone_and_bypass",
            value=zone.value + bypass.value,
            unit="cfm",
            expression="zone_airflow + bypass",
            inputs=(zone, bypass),
        )


def stage_of(job: Job, table: Table, key: str, stage: str) -> Stage:
    """The call and stage that a key of `targets` or `windows` and the stage below it mean."""
    return call_of(job, table, TypedWord(text=key), TypedWord(text=stage) if stage else None)


def _taken(limit: Given) -> bool:
    """True for a limit that nobody typed."""
    return limit.source == ASSUMED
