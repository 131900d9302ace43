"""What speaks beside a measured airflow: the rise against the plate, the fire against the plate, a heater's volts and
amps against its rating, the rise against the airflow, the watts."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from typing import Literal

from selector.air import arithmetic, arithmetic_duct, arithmetic_fan, fan
from selector.air.figure import Figure, Worked, given, renamed
from selector.job.file.model import Job
from selector.job.house.air import HouseAir
from selector.job.house.fact_figures import typed
from selector.job.house.heating import INPUT_OFF, HeatReader, fuel_of
from selector.job.house.plate import rise_as_set
from selector.job.readings.measured_airflow import MovedAir
from selector.job.readings.measurement import DIRECT, FACTOR_PERCENT, rise_band
from selector.job.readings.reading_faults import PROBES_F
from selector.job.readings.readings_by_state import TakenIn
from selector.job.remark import Remark
from selector.solve.engine.evaluate import Board, told
from selector.table.model.quantities import RISE
from selector.table.model.range import Range, Side
from selector.table.model.table import No, Setting
from selector.units import BTUH_PER_KW
from selector.units import rise as rise_in
from selector.value import Struct

WATTS_OFF = Fraction(15, 100)
"""Watts further than this from those printed beside the airflow: the blower works otherwise than the page's (our
choice)."""
POWER_OFF = Fraction(10, 100)
"""Volts and amps further than this under the heater's rating at those volts: not all of it is on (our choice)."""

SIDES: Mapping[Side, Literal["low", "inside", "high"]] = {"below": "low", "inside": "inside", "above": "high"}
"""The side of a range in the words of the decision table."""
Sort = Literal["rise", "fired", "power", "rise expected", "watts", "rise printed", "watts printed"]


class CrossCheck(Struct, frozen=True, kw_only=True):
    """One figure beside the airflow and what it is held against.

    `side`: low, high, or inside. `low`, `high`: the plate's rise (F), the most watts a cfm (high), the band that rise
    and airflow may be off together (high), what the chart prints beside its airflow (low). `derate`: which is in what
    was expected.
    """

    sort: Sort
    figure: Figure
    side: Literal["low", "inside", "high"]
    low: Figure | None = None
    high: Figure | None = None
    derate: Remark | None = None


def cross_checks(
    state: TakenIn,
    job: Job,
    air: HouseAir,
    moved: Sequence[MovedAir],
    selected: Figure | No,
    watts: Figure | None,
    setting: Setting,
) -> tuple[tuple[CrossCheck, ...], frozenset[str]]:
    """Figures beside the airflow, and the words of the decision table's column `also`."""
    found = (
        *_rise_on_plate(state, job, setting),
        *_fired(state, job),
        *_power(state, job),
        *_rise_expected(state, air),
        *_watts(state, job, moved, selected, watts),
        *_as_printed(state, job, watts, setting),
    )
    return found, frozenset(_also(found))


def _also(found: Sequence[CrossCheck]) -> Iterator[str]:
    for one in found:
        if one.side == "inside":
            continue
        if one.sort == "watts":
            yield "watts high"
        elif one.sort == "fired":
            yield f"rise {one.side}"
            yield "over-fired" if one.side == "high" else "under-fired"
        elif one.sort not in ("power", "rise printed", "watts printed"):
            yield f"rise {one.side}"


def _side(value: Fraction, low: Fraction | None, high: Fraction | None) -> Literal["low", "inside", "high"]:
    return SIDES[Range(low, high).side(value)]


def _watts(
    state: TakenIn, job: Job, moved: Sequence[MovedAir], selected: Figure | No, watts: Figure | None
) -> Iterator[CrossCheck]:
    """Watts a cfm against a yardstick (California Energy Code 2022 s.150.0(m)13)."""
    if watts is None or (not moved and isinstance(selected, No)):
        return
    airflow = moved[0].airflow if moved else selected
    assert not isinstance(airflow, No)
    per = arithmetic_fan.watts_per_cfm(watts, airflow)
    gas = fuel_of(job, state.engine.table, state.engine.table.calls[state.call]) == "gas" or (
        job.heat is not None and job.heat.kind is not None and job.heat.kind.text == "gas"
    )
    most = fan.MOST_W_PER_CFM_CALIFORNIA_GAS_FURNACE if gas else fan.MOST_W_PER_CFM_CALIFORNIA_OTHER
    end = given("most_watts", most, "W/cfm", source="California Energy Code 2022 s.150.0(m)13")
    yield CrossCheck(sort="watts", figure=per, side=_side(per.value, None, end.value), high=end)


def _as_printed(state: TakenIn, job: Job, watts: Figure | None, setting: Setting) -> Iterator[CrossCheck]:
    """The measured rise and watts against those that the chart prints beside the airflow that is set; a rise, which is
    printed at the plate's input, against what it comes to at the input that was clocked."""
    units = state.engine.table.units
    fire = _fire(state, job)
    for one in told(Board(state.engine, setting)):
        if (one.call, one.stage) != (state.call, state.stage) or not isinstance(one.cell, Fraction) or not one.cell:
            continue
        source = f"printed in {one.chart}"
        if one.quantity == "watts" and watts is not None:
            printed = given("printed_watts", one.cell, "W", source=source)
            off = watts.value / printed.value - 1
            yield CrossCheck(sort="watts printed", figure=watts, side=_side(off, -WATTS_OFF, WATTS_OFF), low=printed)
        if one.quantity == RISE:
            printed = given("printed_rise", rise_in(one.cell, units.temperature, "F"), "F", source=source)
            expected = (
                printed
                if fire is None
                else arithmetic.product("rise_here", printed.value * fire.value, "F", printed, fire)
            )
            for taken in state.taken:
                if taken.rise is not None:
                    band = rise_band(taken.rise)
                    off = taken.rise.value / expected.value - 1
                    side = _side(off, -band.value, band.value)
                    yield CrossCheck(sort="rise printed", figure=taken.rise, side=side, low=expected, high=band)


def _fire(state: TakenIn, job: Job) -> Figure | None:
    """The clocked input as a share of the plate's; None where either isn't known."""
    call = state.engine.table.calls[state.call]
    reader = HeatReader(job, state.engine.table, state.engine.facts)
    read = next((one.input for one in state.taken if one.input is not None), None)
    clocked, plate = read or reader.clocked_input(call, state.stage), reader.plate_input(call, state.stage)
    if clocked is None or plate is None:
        return None
    above = renamed(clocked, "clocked_input")
    return arithmetic.quotient("fire", clocked.value / plate.value, "", above, plate)


def _rise_on_plate(state: TakenIn, job: Job, setting: Setting) -> Iterator[CrossCheck]:
    """The measured rise against the plate's window, and the page's for the marks set."""
    call = state.engine.table.calls[state.call]
    low, high = rise_as_set(job, state.engine, call, state.stage, setting)
    if (low is None and high is None) or not call.heats:
        return
    ends = (None if low is None else low.value, None if high is None else high.value)
    for one in state.taken:
        if one.rise is not None:
            yield CrossCheck(sort="rise", figure=one.rise, side=_side(one.rise.value, *ends), low=low, high=high)


def _fired(state: TakenIn, job: Job) -> Iterator[CrossCheck]:
    """The clocked input against what plate, job and derate let expect; an oil burner's heat against the plate's."""
    call = state.engine.table.calls[state.call]
    reader = HeatReader(job, state.engine.table, state.engine.facts)
    if fuel_of(job, state.engine.table, call) == "oil":
        heat = reader.stage(call, state.stage, "heat")
        if heat.as_read is not None and heat.heat is not None:
            burns, plate = renamed(heat.as_read, "heat_read"), renamed(heat.heat, "plate_heat")
            share = arithmetic.quotient("fired", burns.value / plate.value, "", burns, plate)
            yield CrossCheck(sort="fired", figure=share, side=_side(share.value, 1 - INPUT_OFF, 1 + INPUT_OFF))
        return
    expected = reader.expected_input(call, state.stage) if call.heats or call.heat else None
    if expected is None:
        return
    read = [one.input for one in state.taken if one.input is not None]
    by_job = reader.clocked_input(call, state.stage) if not read else None
    printed, derate = expected
    for clocked in read or ([by_job] if by_job is not None else []):
        above = renamed(clocked, "clocked_input")
        share = arithmetic.quotient("fired", clocked.value / printed.value, "", above, printed)
        side = _side(share.value, 1 - INPUT_OFF, 1 + INPUT_OFF)
        yield CrossCheck(sort="fired", figure=share, side=side, derate=derate)


def _power(state: TakenIn, job: Job) -> Iterator[CrossCheck]:
    """A heater's volts x amps against rating x (volts / rated volts)^2."""
    heat = job.heat
    rated = None
    if heat is not None:
        rated = heat.auxiliary.get(state.stage) or heat.heater or heat.auxiliary.get("") or heat.most_auxiliary
    marked = HeatReader(job, state.engine.table, state.engine.facts).heater_voltage()
    if rated is None or marked is None:
        return
    kilowatts = given("heater", rated.value / BTUH_PER_KW, "kW", source=f"typed {rated.text}")
    for one in state.taken:
        volts, amps, phases = (one.reading.values.get(name) for name in ("volts", "amps", "phases"))
        if one.reading.method.text != "electric" or volts is None or amps is None:
            continue
        supply = typed("volts", volts, job)
        power = arithmetic.line_power(supply, typed("amps", amps, job), 1 if phases is None else int(phases.value))
        expected = arithmetic.electric_power(kilowatts, supply, marked, name="expected_power")
        share = arithmetic.quotient("of_the_rating", power.value / expected.value, "", power, expected)
        side = _side(share.value, 1 - POWER_OFF, 1 + POWER_OFF)
        yield CrossCheck(sort="power", figure=share, side=side, low=expected)


def _rise_expected(state: TakenIn, air: HouseAir) -> Iterator[CrossCheck]:
    """The rise that the heat gives at the airflow read directly, against the rise measured, where they don't agree. The
    heat is the one that was read with the rise, else the state's."""
    direct = [one.flow for one in state.taken if one.flow is not None and one.reading.method.text in DIRECT]
    taken = next((one for one in state.taken if one.rise is not None), None)
    if not direct or taken is None or taken.rise is None:
        return
    warmed = taken.rise
    heat = taken.flow.heat if taken.flow is not None and taken.flow.heat is not None else state.heat
    if heat is None:
        return
    flow = direct[0]
    standard: Figure = flow.airflow
    if flow.basis == "actual" and air.ratio is not None:
        standard = arithmetic_duct.standard_airflow(flow.airflow, air.ratio)
    expected = arithmetic.rise_from_airflow(heat, standard, name="expected_rise")
    probes = given("probes", PROBES_F, "F", source="common practice")
    factor = arithmetic.percent("factor_band", FACTOR_PERCENT, source="common practice")
    allowed = Worked(
        name="expected_band",
        value=probes.value / warmed.value + factor.value + flow.band.value,
        unit="",
        expression=f"probes / {warmed.name} + factor_band + band",
        inputs=(probes, warmed, factor, flow.band),
    )
    off = (warmed.value - expected.value) / expected.value
    side = _side(off, -allowed.value, allowed.value)
    if side != "inside":
        yield CrossCheck(sort="rise expected", figure=expected, side=side, low=warmed, high=allowed)
