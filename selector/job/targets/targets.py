"""From the facts of a house to an aim and a window for every call and stage the table has, with the arithmetic shown
and nothing silent."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from selector.air import arithmetic, arithmetic_duct, arithmetic_fan, cooling
from selector.air.figure import Figure, Given, Worked, given, renamed
from selector.job.file.model import Amount, Heat, Job, Outdoor, Span, TypedWord
from selector.job.house.air import HouseAir
from selector.job.house.fact_figures import place, share, stage_share, typed
from selector.job.house.heating import Heating, HeatReader, measured_heat
from selector.job.house.job_facts import Known
from selector.job.remark import Remark, remark
from selector.job.targets.aims import Aim, Bound, StageAim, between_ways, plain_figure
from selector.job.targets.shares import fixed_share
from selector.job.targets.windows import Windows, stage_of
from selector.solve.engine.engine import Engine, known_tons
from selector.table.model.roles import COMPRESSOR, Role, burns, roles
from selector.table.model.table import Call, Table
from selector.units import BTUH_PER_TON, format_number, plain, show
from selector.value import replace

INSIDE_F = Fraction(5)
"""How far inside the plate's rise an aim stays at both ends (common practice, no source)."""
NARROW_F = Fraction(10)
"""A window narrower than this is aimed at in its middle."""
VENTILATION_CFM = Fraction(200)
"""Under this a constant fan asked for is likely an outdoor-air rate (ASHRAE 62.2 gives 60 to 90 for most houses; our
choice)."""
PER_TON: Mapping[str, int] = {
    "usual": cooling.USUAL_CFM_PER_TON,
    "moisture": cooling.MOISTURE_CFM_PER_TON,
    "dry": cooling.DRY_CLIMATE_CFM_PER_TON,
}
CLIMATE: Mapping[str, str] = {"usual": "usual", "humid": "moisture", "dry": "dry"}


def stage_aims(job: Job, table: Table, known: Known, air: HouseAir) -> tuple[StageAim, ...]:
    """Aim and window of every call and stage, in the table's order. Raises Refused for a call the table doesn't
    have."""
    return _Reader(job, table, known, air).all()


class _Reader:
    """One job on one table."""

    def __init__(self, job: Job, table: Table, known: Known, air: HouseAir) -> None:
        self.job, self.table, self.air = job, table, air
        self.facts = known.facts
        self.roles = roles(table)
        self.heats = HeatReader(job, table, known.facts)
        self.outdoor = job.outdoor or Outdoor()
        self.heat = job.heat or Heat()
        self.windows = Windows(job, table, air, known.facts)
        self.targets = {
            stage_of(job, table, key, stage): aim
            for key, stages in job.targets.items()
            for stage, aim in stages.items()
        }

    def all(self) -> tuple[StageAim, ...]:
        """Aims first, then what depends on the greatest of them (the smallest zone as a share)."""
        found = [self._one(call, stage) for call in self.table.calls.values() for stage in call.stages]
        return tuple(self.windows.zoned(found))

    def _one(self, call: Call, stage: str) -> StageAim:
        role = self.roles[call.name]
        full = self.heats.stage(call, stage, role)
        delivered = self._fired(call, full)
        tons = self._tons(call, stage, role)
        unknown: list[Remark] = []
        bounds = self.windows.bounds(call, stage, role, delivered, tons, unknown)
        if role in ("heat", "heat pump", "heat pump + auxiliary") and delivered.heat is None and delivered.why:
            unknown.append(delivered.why)
        aim = self._aim(call, stage, role, delivered, tons, bounds)
        return StageAim(
            call=call.name,
            stage=stage,
            role=role,
            aim=aim,
            bounds=tuple(bounds),
            heat=delivered.heat,
            full_heat=full.heat,
            nameplate=delivered.nameplate,
            as_read=delivered.as_read,
            efficiency=delivered.efficiency,
            tons=tons,
            unknown=tuple(dict.fromkeys(unknown)),
            rated_volts=delivered.rated_volts,
            remarks=(*delivered.remarks, *self._no_high_rise(call, stage, role)),
        )

    def _fired(self, call: Call, full: Heating) -> Heating:
        """The heat at the firing rate that is meant, for a call that modulates."""
        rate = self.job.site.firing_rate
        if rate is None or full.heat is None or not Engine(self.table, self.facts).rates(call):
            return full
        percent = share("firing_rate", rate, self.job)

        def fired(heat: Figure) -> Figure:
            return arithmetic.product(
                "delivered_heat", heat.value * percent.value, "Btu/h", renamed(heat, "full_heat"), percent
            )

        nameplate = None if full.nameplate is None else fired(full.nameplate)
        as_read = None if full.as_read is None else fired(full.as_read)
        return replace(full, heat=fired(full.heat), nameplate=nameplate, as_read=as_read)

    def _tons(self, call: Call, stage: str, role: Role) -> Figure | None:
        """Tons that run in a stage."""
        amount = self.outdoor.capacity
        count = known_tons(self.table, self.facts) if amount is None else amount.value / BTUH_PER_TON
        if role not in COMPRESSOR or count is None:
            return None
        said = plain(count) if count.denominator <= 100 else format_number(count, 2)
        source = place(self.job, amount.line) if amount is not None else "the fact of the table that tells the tons"
        full = given("tons", count, "tons", source=source, shown=f"{said} tons")
        percent = stage_share(self.job, self.table, call, stage)
        if percent is None:
            return None
        if percent.value == 1:
            return full
        return Worked(
            name="running_tons",
            value=full.value * percent.value,
            unit="tons",
            expression="tons * stage_share",
            inputs=(full, percent),
            places=2,
        )

    # -- aims

    def _aim(
        self, call: Call, stage: str, role: Role, delivered: Heating, tons: Figure | None, bounds: list[Bound]
    ) -> Aim:
        asked = self.targets.get((call.name, stage))
        if asked is not None:
            return self._typed_aim(asked, delivered, tons)
        if role == "fan":
            return self._fan_aim()
        if role == "dehumidify":
            return Aim(why=remark("follows cooling"))
        if role == "heat":
            return self._heat_aim(call, stage, delivered)
        return self._ton_aim(call, stage, role, tons, bounds)

    def _finished(self, standard: Figure, **more: object) -> Aim:
        charted, by_way = between_ways(standard, self.air)
        volume = self._volume_of(standard)
        return Aim(charted=charted, standard=standard, volume=volume, by_way=by_way, **more)  # type: ignore[arg-type]

    def _volume_of(self, standard: Figure) -> Figure:
        if self.air.ratio is None:
            return standard
        return arithmetic_duct.actual_airflow(standard, self.air.ratio, name="volume")

    def _typed_aim(self, asked: Amount | Span | TypedWord, delivered: Heating, tons: Figure | None) -> Aim:
        """What the person asks for outright: an airflow as charted, per ton, a rise, or a range of one of them."""
        source = place(self.job, asked.line)
        if isinstance(asked, TypedWord):
            return Aim(why=remark("not an aim", typed=asked.text))
        low, high = (asked.value, asked.value) if isinstance(asked, Amount) else (asked.low, asked.high)
        if low is None or high is None:
            return Aim(why=remark("open aim", typed=asked.text))
        middle = (low + high) / 2
        if asked.unit == "F":
            figure = given("rise", middle, "F", source=source)
            if delivered.heat is None:
                return Aim(rise_f=figure, counts=True, typed=True, basis=remark("rise", typed=asked.text))
            return self._finished(
                arithmetic.airflow_from_heat(delivered.heat, figure),
                rise_f=figure,
                counts=True,
                typed=True,
                basis=remark("rise", typed=asked.text),
            )
        if asked.unit == "cfm/ton":
            if tons is None:
                return Aim(why=remark("tons needed", typed=asked.text))
            per_ton = given("per_ton", middle, "cfm/ton", source=source)
            return self._finished(
                arithmetic_fan.airflow_from_tons(tons, per_ton),
                counts=True,
                typed=True,
                basis=remark("typed", typed=asked.text),
            )
        figure = given("charted", middle, "cfm", source=source)
        standard = self.air.standard(figure, self.air.ways[0])
        return Aim(
            charted=figure,
            standard=standard,
            volume=self._volume_of(standard),
            low_cfm=low,
            high_cfm=high,
            counts=True,
            typed=True,
            basis=remark("typed", typed=asked.text),
            more=remark("as charted"),
            by_way=(figure,),
        )

    def _heat_aim(self, call: Call, stage: str, delivered: Heating) -> Aim:
        wish = self.heat.aim.get(stage, self.heat.aim.get(""))
        words, more = "mid rise" if wish is None else wish.text, None
        if words == "high rise" and not measured_heat(self.job, burns(self.table, call)):
            words = "mid rise"
        if isinstance(wish, Amount):
            figure: Figure | None = typed("rise", wish, self.job)
            more = self._too_near(stage, wish)
        else:
            figure = self._rise_aim(stage, words)
        if figure is None:
            return Aim(why=remark("no rise to aim at"))
        basis = remark("typed", typed=words)
        own = stage in self.heat.aim and stage != ""
        counts, why = self._counts(call, stage, own)
        if delivered.heat is None:
            return Aim(rise_f=figure, counts=counts, typed=isinstance(wish, Amount), basis=basis, more=more, why=why)
        standard = arithmetic.airflow_from_heat(delivered.heat, figure)
        return self._finished(
            standard, rise_f=figure, counts=counts, typed=isinstance(wish, Amount), basis=basis, more=more, why=why
        )

    def _no_high_rise(self, call: Call, stage: str, role: Role) -> tuple[Remark, ...]:
        """What is said where a high rise was asked for on heat that nobody measured."""
        wish = self.heat.aim.get(stage, self.heat.aim.get(""))
        asked = role == "heat" and isinstance(wish, TypedWord) and wish.text == "high rise"
        if not asked or measured_heat(self.job, burns(self.table, call)):
            return ()
        return (remark("no high rise on plate heat"),)

    def _too_near(self, stage: str, wish: Amount) -> Remark | None:
        """What is said of a typed rise that is less than 5 F inside the window."""
        ends = [end[0].value for end in self.windows.rise_window(stage, "heat") if end is not None]
        near = any(abs(wish.value - end) < INSIDE_F for end in ends)
        return remark("near the plate's end", least=given("least", INSIDE_F, "F")) if near else None

    def _rise_aim(self, stage: str, word: str) -> Figure | None:
        """Low: lower end + 5 F; mid: the middle; high: upper end - 5 F; a window narrower than 10 F: the middle."""
        low, high = self.windows.rise_window(stage, "heat")
        if low is None or high is None:
            return None
        least, most = renamed(low[0], "lowest_rise"), renamed(high[0], "highest_rise")
        if most.value <= least.value:
            return None
        if word == "low rise" and most.value - least.value >= NARROW_F:
            return Worked(
                name="rise", value=least.value + INSIDE_F, unit="F", expression="lowest_rise + 5", inputs=(least,)
            )
        if word == "high rise" and most.value - least.value >= NARROW_F:
            return Worked(
                name="rise", value=most.value - INSIDE_F, unit="F", expression="highest_rise - 5", inputs=(most,)
            )
        middle = (least.value + most.value) / 2
        return Worked(
            name="rise", value=middle, unit="F", expression="(lowest_rise + highest_rise) / 2", inputs=(least, most)
        )

    def _ton_aim(self, call: Call, stage: str, role: Role, tons: Figure | None, bounds: list[Bound]) -> Aim:
        if role == "heat pump + auxiliary":
            return Aim(why=remark("follows the heat pump"))
        load = self.outdoor.sensible_load
        if role == "cooling" and load is not None and self.outdoor.airflow_per_ton is None and stage == call.last:
            return self._load_aim(load)
        if tons is None:
            return Aim(why=remark("tons of the stage not known"))
        per_ton, basis = self._per_ton(role)
        counts, why = self._counts(call, stage, own=False)
        standard = arithmetic_fan.airflow_from_tons(tons, per_ton)
        more = None
        ceiling = min((b.figure.value for b in bounds if b.end == "high" and b.origin == "ceiling"), default=None)
        if ceiling is not None and standard.value > ceiling and not isinstance(self.outdoor.airflow_per_ton, Amount):
            more = remark("above the most per ton")
        return self._finished(standard, counts=counts, basis=basis, more=more, why=why)

    def _per_ton(self, role: Role) -> tuple[Given, Remark]:
        """The airflow per ton aimed at, and why."""
        wish = self.outdoor.airflow_per_ton
        if isinstance(wish, Amount) and role == "cooling":
            return typed("cfm_per_ton", wish, self.job), remark("typed", typed=wish.text)
        if role == "heat pump":
            usual = given("cfm_per_ton", PER_TON["usual"], "cfm/ton", source="usual (common practice)")
            return usual, remark("per ton", value=usual, name="usual")
        climate = self.job.site.climate
        name = wish.text if isinstance(wish, TypedWord) else CLIMATE[climate.text] if climate is not None else "usual"
        told = place(self.job, wish.line if isinstance(wish, TypedWord) else climate.line if climate is not None else 0)
        source = (
            f"{name}, {told} (common practice)"
            if wish is not None or climate is not None
            else "usual (common practice), taken, not typed"
        )
        per_ton = given("cfm_per_ton", PER_TON[name], "cfm/ton", source=source)
        return per_ton, remark("per ton", value=per_ton, name=name)

    def _load_aim(self, load: Amount) -> Aim:
        outdoor = self.outdoor
        sensible = typed("sensible_load", load, self.job)
        if outdoor.supply_difference is not None:
            difference: Figure = typed("supply_difference", outdoor.supply_difference, self.job)
        elif outdoor.latent_load is not None:
            ratio = cooling.sensible_heat_ratio(load.value, outdoor.latent_load.value)
            value = cooling.supply_difference_f(ratio)
            source = f"for a sensible share of {show(100 * ratio, 'share', places=0)} (common design figure)"
            difference = given("supply_difference", value, "F", source=source)
        else:
            return Aim(why=remark("supply difference needed"))
        standard = arithmetic_fan.airflow_from_sensible(sensible, difference)
        return self._finished(standard, counts=True, basis=remark("sensible load"))

    def _counts(self, call: Call, stage: str, own: bool) -> tuple[bool, Remark | None]:
        """Whether a derived aim stands in the ranking: not where it is a fixed share of the last stage's."""
        if stage == call.last or own:
            return True, None
        if self.roles[call.name] in COMPRESSOR:
            return False, remark("share of the last stage")
        if fixed_share(self.table, call, stage):
            return False, remark("fixed share of the last stage")
        if not self._own_input(stage):
            return False, remark("reckoned from the last stage")
        return True, None

    def _own_input(self, stage: str) -> bool:
        """True where the stage has an input or output of its own on the plate."""
        if stage in self.heat.input or stage in self.heat.output:
            return True
        ratings = (self.table.ratings.get("heat input"), self.table.ratings.get("heat output"))
        return any(r is not None and any(s == stage for _, s in r.values) for r in ratings)

    def _fan_aim(self) -> Aim:
        fan = self.job.fan
        if fan is None or fan.aim is None or not isinstance(fan.aim, Amount):
            return Aim(why=remark("no fan target"))
        amount, more = fan.aim, None
        if amount.unit == "%":
            call = next((n for n, r in self.roles.items() if r == "cooling"), None)
            if call is None:
                return Aim(why=remark("cooling call needed"))
            of = (call, self.table.calls[call].last)
            return Aim(
                share_percent=amount.value,
                of=of,
                counts=True,
                typed=True,
                basis=remark("share of", typed=amount.text, call=call),
            )
        if amount.unit == "ach":
            volume = self.job.site.volume
            if volume is None:
                return Aim(why=remark("volume of the house needed"))
            moved: Figure = arithmetic_fan.air_changes(
                typed("house_volume", volume, self.job), typed("air_changes", amount, self.job), name="volume"
            )
        else:
            moved = plain_figure("volume", amount.value, place(self.job, amount.line))
            if amount.value < VENTILATION_CFM:
                more = remark("outdoor air rate")
        by_way = tuple(self.air.charted_for_volume(moved, way, "charted") for way in self.air.ways)
        standard = moved if self.air.ratio is None else arithmetic_duct.standard_airflow(moved, self.air.ratio)
        charted, _ = between_ways(standard, self.air)
        return Aim(
            charted=charted,
            standard=standard,
            volume=moved,
            by_way=by_way,
            counts=True,
            typed=True,
            basis=remark("typed", typed=amount.text),
            more=more,
        )
