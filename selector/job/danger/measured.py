"""What was measured outside plate, page or job, as hazards: every reading counts here, an early one too, for what is
over the plate at any time has to stop."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from selector.air import arithmetic
from selector.air.density import density_ratio
from selector.air.figure import Figure, given
from selector.job.danger.hazard import Hazard
from selector.job.file.model import Reading
from selector.job.house.fact_figures import typed
from selector.job.house.heating import HeatReader, fuel_of
from selector.job.house.plate import least_return, outlet_limit, plate_rise, rise_as_set, whose
from selector.job.readings.measured_airflow import Apart, moved_air
from selector.job.readings.measurement import clocked_of, rise_of
from selector.job.readings.reading_faults import Missing, ReadingPlace
from selector.job.readings.readings_by_state import TakenIn, by_state, taken_in
from selector.job.readings.static import Pressure, pressure
from selector.job.targets.house import House
from selector.solve.engine.engine import Engine
from selector.table.model.table import Call, Setting

HIGH_FT = 2_000
"""From here on the heating value at the meter is asked for (common practice, no source)."""
METER_PERCENT = Fraction(2)
"""A clocked input is over the plate from here on: timing and the heat of the gas together (common practice, no source).
"""


def measured(house: House, setting: Setting | None) -> tuple[Hazard, ...]:
    """Everything that was read outside its limit. Without a setting (no marks known) airflow isn't judged."""
    out: list[Hazard] = []
    for key, readings in by_state(house.job, house.engine)[0].items():
        call, stage = house.engine.table.calls[key[0]], key[1]
        for reading in readings:
            place = ReadingPlace(house.job, reading)
            out += _rise(house, call, stage, place, setting)
            out += _temperatures(house, call, stage, place)
            out += _clocked(house, call, stage, place)
        if setting is not None:
            state = taken_in(key, readings, house.job, house.engine, setting, *_heat(house, call, stage))
            out += _static(house, state)
            out += _strip_heat(house, state, setting)
    return (*out, *_clocked_in_job(house))


def pressures_read(house: House, setting: Setting, call: Call, stage: str) -> Iterator[Pressure]:
    """Every static read in a stage whose airflow nobody measured, the newest first."""
    for key, readings in by_state(house.job, house.engine)[0].items():
        if key[:2] == (call.name, stage):
            state = taken_in(key, readings, house.job, house.engine, setting, *_heat(house, call, stage))
            if all(one.flow is None for one in state.taken):
                for _, static in reversed(state.statics):
                    yield pressure(static, call.name, stage, house.job, state.engine, setting)


def _heat(house: House, call: Call, stage: str) -> tuple[dict[tuple[str, str], Figure], dict[tuple[str, str], Figure]]:
    aim = house.aim(call.name, stage)
    at = (call.name, stage)
    return ({} if aim.burning is None else {at: aim.burning}), ({} if aim.efficiency is None else {at: aim.efficiency})


def _fuel(house: House, call: Call) -> str:
    return fuel_of(house.job, house.engine.table, call) or ""


def _rise(house: House, call: Call, stage: str, place: ReadingPlace, setting: Setting | None) -> Iterator[Hazard]:
    """The rise against the plate's and that of the marks set: over it at any time, under it once it is steady."""
    if house.roles[call.name] != "heat":
        return
    rise = rise_of(place)
    if rise is None:
        return
    if setting is None:
        low, high = plate_rise(house.job, house.engine.table, house.engine.facts, stage)
    else:
        low, high = rise_as_set(house.job, house.engine, call, stage, setting)
    made = {"call": call.name, "stage": stage, "value": rise, "fuel": _fuel(house, call), "line": place.reading.line}
    if high is not None and rise.value > high.value:
        yield Hazard(what="rise over", limit=high, whose=whose(high), **made)  # type: ignore[arg-type]
    elif low is not None and 0 < rise.value < low.value and _steady(place.reading, _fuel(house, call)):
        yield Hazard(what="rise under", limit=low, whose=whose(low), **made)  # type: ignore[arg-type]


def _steady(reading: Reading, fuel: str) -> bool:
    return reading.minutes is not None and reading.minutes.value >= (600 if fuel else 300)


def _temperatures(house: House, call: Call, stage: str, place: ReadingPlace) -> Iterator[Hazard]:
    """Supply air over the outlet limit, return air under the least."""
    if house.roles[call.name] not in ("heat", "heat pump + auxiliary", "heat pump"):
        return
    limit = outlet_limit(house.job, house.engine.table, house.engine.plate_model(), stage)
    supply, back, rise = (place.amount(name) for name in ("supply air", "return air", "rise"))
    air: Figure | None = typed("supply_air", supply, house.job) if supply is not None else None
    if air is None and back is not None and rise is not None:
        air = arithmetic.leaving_air(typed("return_air", back, house.job), typed("rise", rise, house.job))
    made = {"call": call.name, "stage": stage, "whose": "plate", "line": place.reading.line}
    if limit is not None and air is not None and air.value > limit.value:
        yield Hazard(what="outlet over", value=air, limit=limit, **made)  # type: ignore[arg-type]
    least = least_return(house.job)
    if least is not None and back is not None and back.value < least.value:
        entering = typed("return_air", back, house.job)
        yield Hazard(what="return under", value=entering, limit=least, **made)  # type: ignore[arg-type]


def _clocked(house: House, call: Call, stage: str, place: ReadingPlace) -> Iterator[Hazard]:
    if place.reading.method.text != "clocked gas":
        return
    try:
        read = clocked_of(place)
    except Missing:
        return
    yield from _fired(house, call, stage, read, place.reading.line)


def _clocked_in_job(house: House) -> Iterator[Hazard]:
    """The meter's reading that stands in the job."""
    clocked = house.job.heat.clocked if house.job.heat is not None else None
    reader = HeatReader(house.job, house.engine.table, house.engine.facts)
    for call in house.engine.table.calls.values():
        stage = clocked.stage.text if clocked is not None and clocked.stage is not None else call.last
        if clocked is None or house.roles[call.name] != "heat" or stage not in call.stages:
            continue
        read = reader.clocked_input(call, stage)
        if read is not None:
            yield from _fired(house, call, stage, read, clocked.line)


def _fired(house: House, call: Call, stage: str, read: Figure, line: int) -> Iterator[Hazard]:
    """A clocked input against the plate's, and against a derate that was named."""
    reader = HeatReader(house.job, house.engine.table, house.engine.facts)
    full = reader.plate_input(call, stage)
    expected = reader.expected_input(call, stage)
    made = {"call": call.name, "stage": stage, "value": read, "fuel": _fuel(house, call), "line": line}
    here = _if_sea_level(house, read)
    if full is not None and read.value > full.value * (1 + METER_PERCENT / 100):
        yield Hazard(what="input over", limit=full, whose="plate", if_sea_level=here, **made)  # type: ignore[arg-type]
    elif expected is not None and read.value > expected[0].value * (1 + METER_PERCENT / 100):
        yield Hazard(what="input derated", limit=expected[0], whose="derate", if_sea_level=here, **made)  # type: ignore[arg-type]


def _if_sea_level(house: House, read: Figure) -> Figure | None:
    """The input where the heating value typed is one of sea level; None low down."""
    altitude = house.job.site.altitude
    if altitude is None or altitude.value <= HIGH_FT:
        return None
    return given("input", read.value * Fraction(density_ratio(altitude.value)), "Btu/h", source="pressure up here")


def _static(house: House, state: TakenIn) -> Iterator[Hazard]:
    """External static over what plate or chart is held to: on the ramp it only rises."""
    for line, static in state.statics:
        found = pressure(static, state.call, state.stage, house.job, state.engine, state.setting)
        if not found.above:
            continue
        end = min(found.above, key=lambda figure: figure.value)
        yield Hazard(
            what="static over",
            call=state.call,
            stage=state.stage,
            value=static,
            limit=end,
            whose=whose(end),
            line=line,
        )


def _strip_heat(house: House, state: TakenIn, setting: Setting) -> Iterator[Hazard]:
    """A heater on less air than the page's least for it."""
    least = house.aim(state.call, state.stage).heater_floor
    if least is None:
        return
    flows = [one.flow for one in state.taken if one.flow is not None]
    found = [moved_air(flows, way, house.air) for way in house.air.ways] if flows else []
    moved = [one for one in found if not isinstance(one, Apart)]
    if not moved or len(moved) < len(found):
        return
    # a meter's band reaches over: no danger is called inside it
    if all(one.high.value < least.figure.value for one in moved):
        yield Hazard(
            what="strip heat",
            call=state.call,
            stage=state.stage,
            value=min((one.airflow for one in moved), key=lambda figure: figure.value),
            limit=least.figure,
            whose="manual",
            subject=_heater(state.engine, setting),
            line=(flows and state.taken[0].reading.line) or 0,
        )


def _heater(engine: Engine, setting: Setting) -> str:
    """`15 kW`: the heater that is there, as the job or its selector has it."""
    for fact, part in engine.declarers.items():
        known = engine.facts.values.get(fact)
        at = setting[part.index]
        word = known if isinstance(known, str) else f"{float(known):g}" if known is not None else ""
        word = word or (part.word(at) if at is not None else "")
        if "heater" in fact or "power" in fact or "kW" in fact:
            return word if not word[:1].isdigit() else f"{word} kW"
    return "the heater"
