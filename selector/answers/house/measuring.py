"""What to measure once a setting is made, and when: the call, how long after its start, what to expect."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from selector.answers.words.airflow import airflow_text
from selector.answers.words.arithmetic import difference, worked_difference
from selector.answers.words.listing import listed
from selector.job.board.expected import Expected, rises_of
from selector.job.danger.measured import HIGH_FT
from selector.job.house.heating import clocked_by, fuel_of, kind_of
from selector.job.house.steady import ComingUp
from selector.job.targets.house import House
from selector.table.model.roles import burns, has_burner
from selector.units import convert, format_number

STEADY_MIN = {"gas": 10, "electric": 5, "cooling": 15}
"""Minutes until a reading is steady, after the ramp's last step (common practice, no source)."""
HEADING = "Measure (filter in, panels on, door switch not tied down)"


def measure_lines(house: House, stages: Sequence[Expected]) -> Iterator[str]:
    """One line for each measurement, in the order to make them."""
    running = [s for s in stages if s.charted is not None and s.charted.value > 0]
    heats = [
        s
        for s in running
        if (s.aim.role == "heat" and s.aim.heat is not None) or (s.answer.rise is not None and s.aim.role == "heat")
    ]
    yield from _heat(house, heats)
    coolings = [s for s in running if s.aim.role == "cooling"]
    yield from _static(house, heats, coolings, running)
    for one in coolings[-1:]:
        splits = [worked_difference(r.split.value, house.table) for r in one.read_as if r.split is not None]
        if splits:
            yield (
                f"split, {one.title}: {_minutes(one, 'cooling')} min in or later; expect"
                f" {' or '.join(dict.fromkeys(splits))}; then the charge"
            )
    pumps = [s for s in running if s.aim.role == "heat pump"]
    if not heats:
        for one in (coolings or pumps)[-1:]:
            yield (
                f"airflow, {one.title}: hood or flow plate, {_minutes(one, 'cooling')} min in or later; expect"
                f" {airflow_text(house.table, one.answer.airflow)}"  # type: ignore[arg-type]
            )
    fan = house.job.fan
    if fan is not None and fan.watts is not None and running:
        greatest = max(running, key=lambda s: s.charted.value if s.charted is not None else Fraction(0))
        yield f"blower watts, {greatest.title}"
    if coolings and not any(r.split is not None for one in coolings[-1:] for r in one.read_as):
        yield f"split, {coolings[-1].title}: {_minutes(coolings[-1], 'cooling')} min in or later; then the charge"
    if heats and has_burner(house.table):
        yield "combustion and flue CO; draft and spillage, doors as in use, then worst case"


GAS_HERE = ", heating value at the meter from the utility"


def gas_up_here(house: House) -> bool:
    """True where the utility's heating value has to be asked for."""
    altitude = house.job.site.altitude
    return altitude is not None and altitude.value > HIGH_FT


def _heat(house: House, heats: Sequence[Expected]) -> Iterator[str]:
    if not heats:
        return
    electric = all(burns(house.table, house.table.calls[one.aim.call]) == "heater power" for one in heats) or kind_of(
        house.job.heat
    ) in ("electric", "heat pump + auxiliary")
    fuel = fuel_of(house.job, house.table, house.table.calls[heats[-1].aim.call])
    first = ""
    if not electric and fuel in ("gas", "fuel", None) and not clocked_by(house.job):
        first = f"clock the meter (other gas appliances off{GAS_HERE if gas_up_here(house) else ''}), then "
    elif fuel == "oil":
        first = "read nozzle and pump pressure, then "
    by_expect: dict[str, list[Expected]] = {}
    for one in heats:
        by_expect.setdefault(_expect(house, one), []).append(one)
    for expect, ones in by_expect.items():
        how = (
            "compressor off, volts and amps read"
            if electric
            else "stage locked, probes out of sight of the heat exchanger"
        )
        titles = _titles(ones)
        minutes = max(steady_minutes(one, "electric" if electric else "gas") for one in ones)
        stop = "" if electric else _stop(house, ones[-1])
        yield f"{first}rise, {titles}: {minutes} min in or later, {how}; expect {expect}{stop}"
        first = ""


def _titles(ones: Sequence[Expected]) -> str:
    """`heating first and second`."""
    calls = dict.fromkeys(one.aim.call for one in ones)
    if len(calls) == 1 and all(one.aim.stage for one in ones):
        return f"{ones[0].aim.call} {listed(one.aim.stage for one in ones)}"
    return listed(one.title for one in ones)


def _expect(house: House, one: Expected) -> str:
    rises = [worked_difference(value, house.table) for value in rises_of(one, house.table)]
    said = " or ".join(dict.fromkeys(rises))
    plate = _plate(house, one)
    return f"{said}, plate {plate}" if plate else said


def _plate(house: House, one: Expected) -> str:
    ends = {b.end: b.rise_f for b in one.aim.bounds if b.origin == "rise" and b.rise_f is not None}
    if len(ends) < 2:
        return ""
    low, high = (difference(ends[end], house.table) for end in ("high", "low"))  # more air is a lower rise
    return f"{low.partition(' ')[0]} to {high}"


def _stop(house: House, one: Expected) -> str:
    plate = _plate(house, one)
    if not plate:
        return ""
    top = plate.partition(" to ")[2]
    return f"; over {top.partition(' ')[0]} at any time: heat off"


def _static(
    house: House, heats: Sequence[Expected], coolings: Sequence[Expected], running: Sequence[Expected]
) -> Iterator[str]:
    """Where the plate counts it: a furnace after the filter and before an added coil, an air handler as its chart
    counts filter and coil."""
    picked = [*heats[-1:], *coolings[-1:]] or list(running[-1:])
    if not picked:
        return
    where = (
        "after the filter, before the coil"
        if has_burner(house.table)
        else "across the unit, as its chart counts filter and coil"
    )
    titles = listed(f"{one.title}{' (coil wet)' if one.aim.role == 'cooling' else ''}" for one in picked)
    plate = house.job.site.plate_static
    most = house.table.plate("plate static", house.engine.plate_model())
    if plate is not None:
        limit = f"maximum {plate.text} (plate)"
    elif most is not None and most.high is not None:
        limit = f"maximum {format_number(most.high, 2).rstrip('0').rstrip('.')} {house.table.units.pressure} (plate)"
    else:
        limit = "the plate says how much it may be"
    yield f"static, {titles}: {where}, {limit}"


def _minutes(one: Expected, kind: str) -> str:
    return str(steady_minutes(one, kind))


def steady_minutes(one: Expected, kind: str) -> int:
    """The steady minutes after the ramp's last step, rounded up."""
    full = one.coming.full_s if isinstance(one.coming, ComingUp) else Fraction(0)
    minutes = convert(full, "s", "min")
    return STEADY_MIN[kind] + int(-(-minutes // 1))
