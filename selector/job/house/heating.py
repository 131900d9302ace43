"""The heat that each call's stage gives in this house, with its arithmetic: gas, oil, electric, heat pump, hydronic
coil."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from selector.air import arithmetic, derate
from selector.air.figure import Figure, Given, Worked, given, renamed
from selector.air.measure import PLATE_HEAT_PERCENT
from selector.job.file.model import Amount, Heat, Job, TypedWord
from selector.job.house.fact_figures import beside, place, share, stage_share, typed
from selector.job.remark import Remark, remark
from selector.solve.board.facts import Facts
from selector.solve.board.plate import plate_figure
from selector.table.model.roles import Burns, Role, burns
from selector.table.model.table import Call, Table
from selector.units import BTUH_PER_KW, plain
from selector.value import Struct, replace

INPUT_OFF = Fraction(5, 100)
"""An input further than this from the plate's is over-fired or under-fired: the part of the rise method's band that
stands for the input."""
KINDS_OF: Mapping[Burns, frozenset[str]] = {
    "heater power": frozenset({"electric"}),
    "nozzle rate": frozenset({"oil"}),
    "heat input": frozenset({"gas", "hydronic"}),
    "rated": frozenset({"gas", "oil", "hydronic", "electric"}),
    "": frozenset({"gas", "oil", "hydronic", "electric"}),
}
"""What may be installed where the table works heat out from this."""


class Heating(Struct, frozen=True, kw_only=True):
    """Delivered heat of a stage, Btu/h, or why it isn't known; the efficiency it was reckoned with; remarks that go
    with it.

    `nameplate`: the heat before a derate, where one was named and the input isn't clocked; an upper rise is judged with
    it. `rated_volts`: it is that of a heater whose supply voltage isn't given. `as_read`: the heat that was read, where
    it has to be put right; `heat` is then the plate's.
    """

    heat: Figure | None
    nameplate: Figure | None = None
    as_read: Figure | None = None
    why: Remark | None = None
    efficiency: Figure | None = None
    remarks: tuple[Remark, ...] = ()
    rated_volts: bool = False


def kind_of(heat: Heat | None) -> str:
    """What heats, as typed or as its figures tell; empty where neither says. Of dual fuel: what its burner burns."""
    if heat is None:
        return ""
    if dual_fuel(heat):
        return "oil" if heat.nozzle is not None else "gas"
    if heat.kind is not None:
        return heat.kind.text
    if heat.nozzle is not None:
        return "oil"
    if heat.water_flow is not None:
        return "hydronic"
    if heat.heater is not None or heat.current is not None:
        return "electric"
    return "heat pump + auxiliary" if heat.auxiliary else ""


def dual_fuel(heat: Heat | None) -> bool:
    """True for a heat pump with a burner beside it."""
    return heat is not None and heat.kind is not None and heat.kind.text == "dual fuel"


def has_heat_pump_here(heat: Heat | None) -> bool:
    """True where the job says that a heat pump heats."""
    return dual_fuel(heat) or kind_of(heat).startswith("heat pump")


def two_heats_notes(job: Job, heat_pump_call: bool) -> tuple[Remark, ...]:
    """What two heats in one house have to be told apart by: never together, the outdoor thermostat, whose floor."""
    heat = job.heat
    if heat is None or not (dual_fuel(heat) or heat.balance_point is not None):
        return ()
    if not dual_fuel(heat):
        assert heat.balance_point is not None
        return (remark("auxiliary heat below", outdoors=heat.balance_point.text),)
    out = [remark("dual fuel, one at a time")]
    if heat.balance_point is not None:
        out.append(remark("dual fuel, change over at", outdoors=heat.balance_point.text))
    else:
        out.append(remark("dual fuel, change over not stated"))
    if not heat_pump_call:
        out.append(remark("no heat pump call"))
    return tuple(out)


def clocked_by(job: Job) -> bool:
    """True where the job has all of a reading of the gas meter."""
    clocked = job.heat.clocked if job.heat is not None else None
    return clocked is not None and (
        clocked.input is not None or None not in (clocked.volume, clocked.time, clocked.heat_of_gas)
    )


def measured_heat(job: Job, base: Burns) -> bool:
    """True where the heat of a call is read in the house and not off a plate: gas clocked at the meter, a nozzle with
    its pump pressure. What burns nothing counts as read."""
    heat, kind = job.heat or Heat(), kind_of(job.heat)
    if kind == "oil" or base == "nozzle rate":
        return heat.nozzle is not None and heat.pump_pressure is not None
    if kind in ("", "gas") and base != "heater power":
        return clocked_by(job)
    return True


def heat_measured(job: Job, table: Table, call: Call) -> bool:
    """True where the job's heat of a call was read on the unit: the meter clocked, nozzle and pump pressure, volts and
    amps, water flow and drop. Heat as the plate has it is not."""
    heat, fuel = job.heat, fuel_of(job, table, call)
    if heat is None:
        return False
    if fuel == "oil":
        return heat.nozzle is not None and heat.pump_pressure is not None
    if fuel == "hot water":
        return heat.water_flow is not None and heat.water_drop is not None
    if fuel == "":
        return heat.supply_voltage is not None and heat.current is not None
    return clocked_by(job) and bool(call.heats)


def fuel_of(job: Job, table: Table, call: Call) -> str | None:
    """What a call burns, or the water that heats it: gas, oil, fuel (it burns, and neither job nor table says what),
    hot water; empty for electric
    heat. None where nothing tells it."""
    base, kind = burns(table, call), kind_of(job.heat)
    if base == "heater power":
        return ""
    if not base and kind == "heat pump + auxiliary":
        kind = "electric"
    if kind in KINDS_OF[base]:
        return {"hydronic": "hot water", "electric": ""}.get(kind, kind)
    return {"nozzle rate": "oil", "heat input": "gas", "rated": "fuel"}.get(base)


class HeatReader:
    """Delivered heat of every stage of one job on one table."""

    def __init__(self, job: Job, table: Table, facts: Facts) -> None:
        self.job = job
        self.table = table
        self.facts = facts
        self.heat = job.heat or Heat()
        self.kind = kind_of(job.heat)
        self.model = table.unit.plate_model(facts.model)

    def stage(self, call: Call, stage: str, role: Role) -> Heating:
        """The delivered heat of one stage."""
        if role == "heat":
            return self._to_put_right(call, stage, self._heat(call, stage))
        if role == "heat pump":
            return self._heat_pump(call, stage)
        if role == "heat pump + auxiliary":
            return self._with_auxiliary(call, stage)
        return Heating(heat=None)

    def _to_put_right(self, call: Call, stage: str, read: Heating) -> Heating:
        """A fire that was read over the plate's, or further under it than a plate may be off, has to be put right: what
        is set is set for the plate's heat. High up a burner may be set for less, or left alone."""
        if read.heat is None or self.kind not in ("", "gas", "oil") or not heat_measured(self.job, self.table, call):
            return read
        unread = self._unread()
        plate = unread._heat(call, stage)
        if plate.heat is None and self.kind != "oil":
            plate = unread._by_input(call, stage)
        if plate.heat is None or not plate.heat.value:
            return read
        least = 1 - PLATE_HEAT_PERCENT / 100
        if self.kind != "oil" and self.heat.derate is None and self.job.site.altitude is not None:
            least *= derate.input_share(derate.FROM_SEA_LEVEL, self.job.site.altitude.value)
        full = plate.nameplate or plate.heat
        inside = least * plate.heat.value <= read.heat.value <= (1 + INPUT_OFF) * full.value
        return read if inside else replace(plate, as_read=read.heat)

    def _unread(self) -> HeatReader:
        """The same without what was read at the burner: no clocked input, the plate's pump pressure."""
        heat = replace(self.heat, clocked=None, clocked_in={}, pump_pressure=None)
        return HeatReader(replace(self.job, heat=heat), self.table, self.facts)

    def _heat(self, call: Call, stage: str) -> Heating:
        base = burns(self.table, call)
        kind = self.kind
        if kind in ("heat pump", "heat pump + auxiliary"):
            kind = "electric" if self.heat.heater is not None or self.heat.auxiliary else ""
        if kind and kind not in KINDS_OF[base]:
            return Heating(heat=None, why=remark("other heat than the call's", base=base, kind=kind))
        if kind == "oil" or (not kind and base == "nozzle rate"):
            return self._oil(call, stage)
        if kind == "electric" or (not kind and base == "heater power"):
            return self._electric(base)
        if kind == "hydronic":
            return self._hydronic(call, stage)
        return self._gas(call, stage, base)

    def heater_voltage(self) -> Given | None:
        """The voltage the heater is rated at."""
        if self.heat.heater_voltage is not None:
            return typed("heater_voltage", self.heat.heater_voltage, self.job)
        return self._rating("heater voltage", "", "heater_voltage", "V")

    def plate_input(self, call: Call, stage: str) -> Figure | None:
        """The gas input on the nameplate, without a derate; None where it isn't known."""
        found = self._unread()._input(call, stage)
        return None if isinstance(found, Remark) else renamed(found, "plate_input")

    def expected_input(self, call: Call, stage: str) -> tuple[Figure, Remark | None] | None:
        """The gas input that plate and job let expect where nothing is clocked, and what of altitude is in it. None
        where it isn't known."""
        reader = self._unread()
        put_in = reader._input(call, stage)
        if isinstance(put_in, Remark):
            return None
        burned, remarks = reader._derated(put_in)
        if burned is None:
            return renamed(put_in, "plate_input"), remarks[0]
        if burned is not put_in:
            return renamed(burned, "plate_input"), remark("derated for altitude")
        named = not remarks or self.heat.derate is not None
        return renamed(put_in, "plate_input"), None if named else remark("no derate named")

    def clocked_input(self, call: Call, stage: str) -> Figure | None:
        """The input of a stage where the job has the meter's reading, None where it has none."""
        if not clocked_by(self.job):
            return None
        found = self._input(call, stage)
        return None if isinstance(found, Remark) else found

    def burned(self) -> Fraction:
        """The share of the nameplate's input that is reckoned to burn here: under 1 by a derate that was named, until
        the input is clocked."""
        if self.kind not in ("", "gas") or self.heat.clocked is not None:
            return Fraction(1)
        found, _ = self._derated(given("input", Fraction(1), "Btu/h"))
        return Fraction(1) if found is None else found.value

    # -- the plate

    def _rating(self, name: str, stage: str, figure: str, unit: str) -> Given | None:
        """A rating of the table as a leaf, in Btu/h where it is heat."""
        rating, value = self.table.ratings.get(name), plate_figure(self.table, self.facts, self.model, name, stage)
        if value is None or rating is None:
            return None
        by_model = any(model for model, _ in rating.values)
        source = f"{self.table.name}, line {rating.line}" + (f", model {self.model}" if self.model and by_model else "")
        if name == "efficiency":
            return arithmetic.percent(figure, value * 100, source)
        own = self.table.units.heat
        text = f"{plain(value / self.table.heat_factor)} {own}" if unit == "Btu/h" and own != "Btu/h" else ""
        return given(figure, value, unit, source=source, shown=beside(value, unit, text))

    def _efficiency(self, stage: str) -> Given | None:
        if self.heat.efficiency is not None:
            return share("efficiency", self.heat.efficiency, self.job)
        return self._rating("efficiency", stage, "efficiency", "")

    def _of_stage(
        self, call: Call, stage: str, typed_by: Mapping[str, Amount], rating: str, figure: str
    ) -> Figure | Remark:
        """Input or output of a stage: as typed, else of the table; a share of full where the table says so. A remark:
        why it isn't known."""
        amount = typed_by.get(stage)
        if amount is not None:
            return typed(figure, amount, self.job)
        full: Given | None = typed(figure, typed_by[""], self.job) if "" in typed_by else None
        if full is None and stage == call.last and len(typed_by) == 1:
            full = typed(figure, next(iter(typed_by.values())), self.job)
        if full is not None and stage == call.last:
            return full
        own = self._rating(rating, stage, figure, "Btu/h")
        by_stage = own is not None and any(s == stage != "" for _, s in self.table.ratings[rating].values)
        if own is not None and by_stage and (full is None or self._same_last(call, rating, full)):
            return own
        base = full if full is not None else own
        if base is None:
            return remark("rating not known", rating=rating, call=call.name)
        if stage == call.last:
            return base
        if stage not in call.capacity and "" not in call.capacity:
            return remark("rating of a stage not known", rating=rating, stage=stage, last=call.last)
        percent = arithmetic.percent(
            "stage_share",
            100 * call.share_of_full(stage),
            f"{self.table.name}, line {call.line}: capacity of stage {stage}",
        )
        return arithmetic.product(
            figure, base.value * percent.value, "Btu/h", replace(base, name=f"full_{figure}"), percent
        )

    def _same_last(self, call: Call, rating: str, full: Given) -> bool:
        last = self.table.ratings[rating].get(self.model, call.last)
        return isinstance(last, Fraction) and last == full.value

    # -- gas

    def _gas(self, call: Call, stage: str, base: Burns) -> Heating:
        if self.heat.clocked is None:
            if self.heat.output or (
                not self.heat.input and "heat output" in self.table.ratings and base in ("rated", "")
            ):
                found = self._of_stage(call, stage, self.heat.output, "heat output", "output")
                if isinstance(found, Remark):
                    return Heating(heat=None, why=found)
                return self._with_output(found)
            if base == "heat input" and not self.heat.input:
                return Heating(heat=None, remarks=self._derated(given("input", Fraction(1), "Btu/h"))[1])
        return self._by_input(call, stage)

    def _by_input(self, call: Call, stage: str) -> Heating:
        """Input x efficiency, under the derate that was named."""
        put_in = self._input(call, stage)
        if isinstance(put_in, Remark):
            return Heating(heat=None, why=put_in)
        efficiency = self._efficiency(stage)
        if efficiency is None:
            return Heating(heat=None, why=remark("efficiency not given"))
        burned, remarks = self._derated(put_in)
        if burned is None:
            return Heating(heat=None, why=remarks[0])
        return Heating(
            heat=arithmetic.delivered_from_input(burned, efficiency),
            nameplate=None if burned is put_in else arithmetic.delivered_from_input(put_in, efficiency),
            efficiency=efficiency,
            remarks=remarks,
        )

    def _input(self, call: Call, stage: str) -> Figure | Remark:
        clocked = self.heat.clocked_in.get(stage, self.heat.clocked)
        read: Figure
        if clocked is not None and clocked.input is not None:
            read = typed("input", clocked.input, self.job)
        elif clocked is None or clocked.volume is None or clocked.time is None or clocked.heat_of_gas is None:
            return self._of_stage(call, stage, self.heat.input, "heat input", "input")
        else:
            volume, time = typed("volume", clocked.volume, self.job), typed("time", clocked.time, self.job)
            gas = typed("heat_of_gas", clocked.heat_of_gas, self.job)
            read = arithmetic.clocked_input(volume, time, gas, name="input")
        lit = clocked.stage.text if clocked.stage is not None else call.last
        if stage == lit or len(call.stages) == 1:
            return read
        one, other = (
            self._of_stage(call, s, self.heat.input, "heat input", f"plate_{n}")
            for s, n in ((stage, "input_here"), (lit, "input_clocked"))
        )
        if isinstance(one, Remark) or isinstance(other, Remark):
            return remark("clocked in another stage", lit=lit, stage=stage)
        return Worked(
            name="input",
            value=read.value * one.value / other.value,
            unit="Btu/h",
            expression=f"clocked_input * {one.name} / {other.name}",
            inputs=(replace(read, name="clocked_input"), one, other),
            note=f"clocked in stage {lit}, taken in proportion to the plate",
        )

    def _derated(self, put_in: Figure) -> tuple[Figure | None, tuple[Remark, ...]]:
        """The input after the derate asked for, and what is to be said of it."""
        rule, altitude = self.heat.derate, self.job.site.altitude
        if self.heat.clocked is not None:
            return put_in, (remark("clocked, so no derate"),)
        if rule is None:
            high = altitude is not None and altitude.value > derate.STARTS_ABOVE_FT and self.kind in ("", "gas")
            return put_in, (remark("no derate taken"),) if high else ()
        if isinstance(rule, Amount):
            return arithmetic.derated_by_share(put_in, share("maker_share", rule, self.job), clocked=False), (
                remark("derate by the maker", off=plain(100 - rule.value), left=plain(rule.value)),
            )
        chosen = next(r for r in derate.DERATES if r.name == rule.text)
        if chosen == derate.NONE:
            return put_in, (remark("derate by a rule", rule=chosen.name),)
        if altitude is None:
            return None, (remark("derate needs the altitude", typed=rule.text),)
        return arithmetic.derated_input(put_in, typed("altitude", altitude, self.job), chosen, clocked=False), (
            remark("derate by a rule", rule=chosen.name),
        )

    def _with_output(self, output: Figure) -> Heating:
        """A printed output, under a derate in the same share as its input."""
        burned, remarks = self._derated(output)
        if burned is None:
            return Heating(heat=None, why=remarks[0])
        if self.heat.input:
            remarks = (*remarks, remark("output used"))
        if burned is output:
            return Heating(heat=output, remarks=remarks)
        return Heating(heat=replace(burned, name="delivered_heat"), nameplate=output, remarks=remarks)

    # -- oil, electric, water

    def _oil(self, call: Call, stage: str) -> Heating:
        if self.heat.output:
            return self._by_output(call, stage)
        nozzle = self._nozzle()
        pump = (
            typed("pump_pressure", self.heat.pump_pressure, self.job) if self.heat.pump_pressure is not None else None
        )
        pump = pump or self._rating("pump pressure", stage, "pump_pressure", "psi")
        oil = (
            typed("heat_per_gallon", self.heat.heat_per_gallon, self.job)
            if self.heat.heat_per_gallon is not None
            else None
        )
        oil = oil or self._rating("heat per gallon", stage, "heat_per_gallon", "Btu/gal")
        efficiency = self._efficiency(stage)
        if nozzle is None and burns(self.table, call) == "nozzle rate":
            return Heating(heat=None)  # as the board is plugged
        if nozzle is None or pump is None or oil is None or efficiency is None:
            needed = {"nozzle": nozzle, "pump pressure": pump, "heat per gallon": oil, "efficiency": efficiency}
            missing = tuple(name for name, figure in needed.items() if figure is None)
            return Heating(heat=None, why=remark("not given", what=missing))
        rate = arithmetic.nozzle_rate(nozzle, pump, self._rating("nozzle pressure", stage, "nozzle_pressure", "psi"))
        heat: Figure = arithmetic.oil_heat(rate, oil, efficiency)
        if stage != call.last:
            if stage not in call.capacity:
                return Heating(heat=None, why=remark("what a stage burns not known", stage=stage))
            percent = arithmetic.percent(
                "stage_share", 100 * call.share_of_full(stage), f"{self.table.name}, line {call.line}"
            )
            heat = arithmetic.product(
                "delivered_heat", heat.value * percent.value, "Btu/h", replace(heat, name="full_heat"), percent
            )
        return Heating(heat=heat, efficiency=efficiency)

    def _by_output(self, call: Call, stage: str) -> Heating:
        found = self._of_stage(call, stage, self.heat.output, "heat output", "output")
        return Heating(heat=None, why=found) if isinstance(found, Remark) else Heating(heat=found)

    def _nozzle(self) -> Given | None:
        if self.heat.nozzle is not None:
            return typed("nozzle", self.heat.nozzle, self.job)
        for name, fact in self.table.facts.items():
            value = self.facts.number(name)
            if fact.gives == "nozzle rate" and value is not None:
                return given(
                    "nozzle", value, "gph", source=place(self.job, self.job.facts.get(name, TypedWord(text="")).line)
                )
        return None

    def _electric(self, base: Burns) -> Heating:
        heat = self.heat
        blower = self._blower_heat()
        if isinstance(blower, Remark):
            return Heating(heat=None, why=blower)
        counted = remark("blower heat counted" if blower is not None else "blower heat not counted")
        supply = typed("supply_voltage", heat.supply_voltage, self.job) if heat.supply_voltage is not None else None
        if heat.current is not None and supply is not None:
            phases = int(heat.phases.value) if heat.phases is not None else 1
            power = arithmetic.line_power(supply, typed("current", heat.current, self.job), phases, blower)
            return Heating(
                heat=arithmetic.heat_from_power(power),
                remarks=(remark("three phases" if phases == 3 else "one phase"), counted),
            )
        rated = heat.heater or (heat.most_auxiliary if self.kind == "heat pump + auxiliary" else None)
        if rated is None:
            return Heating(heat=None, why=None if base == "heater power" else remark("heater not given"))
        worked = self._rated(rated, "heater", "delivered_heat")
        if isinstance(worked, Remark):
            return Heating(heat=None, why=worked)
        if blower is not None:
            added = arithmetic.heat_from_power(blower, name="blower_heat")
            inputs = (replace(worked, name="heater_heat", note=""), added)
            worked = Worked(
                name="delivered_heat",
                value=worked.value + added.value,
                unit="Btu/h",
                expression="heater_heat + blower_heat",
                inputs=inputs,
            )
        return Heating(heat=worked, remarks=(counted,), rated_volts=supply is None)

    def _rated(self, rated: Amount, name: str, figure: str) -> Worked | Remark:
        """Heat of a heater by its rated power, at the supply's voltage where that is known; a remark: why it isn't
        known."""
        kilowatts = given(name, rated.value / BTUH_PER_KW, "kW", source=place(self.job, rated.line))
        if self.heat.supply_voltage is None:
            return arithmetic.product(figure, rated.value, "Btu/h", kilowatts, arithmetic.KW_TO_BTUH)
        marked = self.heater_voltage()
        if marked is None:
            return remark("heater voltage not given")
        return arithmetic.electric_heat(
            kilowatts, typed("supply_voltage", self.heat.supply_voltage, self.job), marked, name=figure
        )

    def _blower_heat(self) -> Given | Remark | None:
        """The blower's watts where they are counted as heat; a remark where they are wanted and not known."""
        if self.heat.blower_heat is None or self.heat.blower_heat.text != "counted":
            return None
        watts = self.job.fan.watts if self.job.fan is not None else None
        return remark("blower watts not given") if watts is None else typed("blower", watts, self.job)

    def _hydronic(self, call: Call, stage: str) -> Heating:
        if self.heat.output:
            return self._by_output(call, stage)
        if self.heat.water_flow is None or self.heat.water_drop is None:
            return Heating(heat=None, why=remark("not given", what=("water flow", "water drop")))
        flow, drop = (
            typed("water_flow", self.heat.water_flow, self.job),
            typed("water_drop", self.heat.water_drop, self.job),
        )
        return Heating(heat=arithmetic.water_heat(flow, drop))

    # -- heat pump

    def _capacity(self, call: Call, stage: str) -> Figure | None:
        outdoor = self.job.outdoor
        amount = self.heat.capacity or (outdoor.capacity if outdoor is not None else None)
        percent = stage_share(self.job, self.table, call, stage)
        if amount is None or percent is None:
            return None
        full = replace(typed("capacity", amount, self.job), note="" if self.heat.capacity else "that of cooling")
        if percent.value == 1:
            return full
        return arithmetic.product("stage_capacity", full.value * percent.value, "Btu/h", full, percent)

    def _heat_pump(self, call: Call, stage: str) -> Heating:
        found = self._capacity(call, stage)
        if found is None:
            return Heating(heat=None, why=remark("heat pump capacity of the stage not given"))
        return Heating(heat=found, remarks=(remark("nominal capacity"),))

    def _with_auxiliary(self, call: Call, stage: str) -> Heating:
        pump = self._capacity(call, stage)
        if pump is None:
            return Heating(heat=None, why=remark("not given", what=("the heat pump's capacity",)))
        by_stage = self.heat.auxiliary
        auxiliary = by_stage.get(stage) or by_stage.get("") or self.heat.most_auxiliary or self.heat.heater
        if auxiliary is None:
            return Heating(heat=None, why=remark("not given", what=("the auxiliary heat",)))
        added = self._rated(auxiliary, "auxiliary", "auxiliary_heat")
        if isinstance(added, Remark):
            return Heating(heat=None, why=added)
        total = Worked(
            name="delivered_heat",
            value=pump.value + added.value,
            unit="Btu/h",
            expression=f"{pump.name} + auxiliary_heat",
            inputs=(pump, added),
        )
        at = "rated" if self.heat.supply_voltage is None else "at the supply's voltage"
        return Heating(heat=total, remarks=(remark("nominal capacity and auxiliary", at=at),))
