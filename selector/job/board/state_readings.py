"""The readings of one state taken in as the house is judged in it, and what they say of marks that aren't known."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from selector.job.file.model import Amount, Reading
from selector.job.readings.measured_airflow import Apart, moved_air
from selector.job.readings.readings_by_state import Key, TakenIn, by_state, taken_in
from selector.job.readings.settled_marks import SettledMark, settle
from selector.job.targets.house import House, house_of
from selector.solve.engine.engine import Engine
from selector.table.model.table import Setting
from selector.units import convert
from selector.value import replace


def readings_of(house: House, key: Key, readings: Sequence[Reading], setting: Setting) -> tuple[House, TakenIn]:
    """The house as it is judged in a state, and the readings of that state taken in."""
    house = _at_rate(house, key)
    at = key[:2]
    aim = house.aim(*at)
    heats = {} if aim.burning is None else {at: aim.burning}
    efficiencies = {} if aim.efficiency is None else {at: aim.efficiency}
    return house, taken_in(key, readings, house.job, _as_printed(house), setting, heats, efficiencies)


def _at_rate(house: House, key: Key) -> House:
    """The house at the firing rate that was read, where the call modulates: its limits follow the fire."""
    call, _, rate = key
    if not rate or not house.engine.modulates(house.engine.table.calls[call]):
        return house
    read = Amount(value=Fraction(rate), unit="%", text=f"{rate} %")
    return house_of(replace(house.job, site=replace(house.job.site, firing_rate=read)), house.table)


def _as_printed(house: House) -> Engine:
    """The engine with the charts as printed: a reading of static says where on them the blower stands."""
    return Engine(replace(house.engine.table, charts=house.table.charts), house.engine.facts)


def settled_by(house: House, setting: Setting) -> tuple[SettledMark, ...]:
    """What every reading of a job says of the marks that aren't known."""
    if None not in setting:
        return ()
    states, _ = by_state(house.job, house.engine)
    return tuple(one for key, readings in states.items() for one in _settled(house, key, readings, setting))


def _settled(house: House, key: Key, readings: Sequence[Reading], setting: Setting) -> tuple[SettledMark, ...]:
    """What the readings of one state say of them; nothing where they contradict or the chart can be read two ways."""
    house, state = readings_of(house, key, readings, setting)
    flows = [one.flow for one in state.taken if one.flow is not None]
    if not flows or len(house.air.ways) > 1:
        return ()
    read = moved_air(flows, house.air.ways[0], house.air)
    if isinstance(read, Apart):
        return ()
    unit = state.engine.table.units.airflow
    ends = [convert(figure.value, "cfm", unit) for figure in (read.low, read.airflow, read.high)]
    return settle(state.engine, setting, state.engine.table.calls[state.call], state.stage, *ends)
