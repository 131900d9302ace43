"""What a house is judged by: windows of every stage, static that was measured, the marks the board stands at now."""

from __future__ import annotations

from selector.job.readings.readings_by_state import by_state, taken_in
from selector.job.readings.static import Pressure, pressure
from selector.job.targets.house import House, windows_of
from selector.job.targets.stage_target import Wanted
from selector.solve.engine.engine import Engine
from selector.solve.search.decode import differences
from selector.table.model.table import Setting
from selector.value import replace


def wanted_of(house: House) -> tuple[Wanted, ...]:
    """Aim and window of every stage."""
    return tuple(one.wanted() for one in house.aims)


def without_static(house: House) -> House:
    """The house without the ceiling that a measured static sets: where static is judged by itself, against the
    airflow that was measured."""
    aims = tuple(replace(one, bounds=tuple(b for b in one.bounds if b.origin != "static")) for one in house.aims)
    table = house.engine.table
    calls = {
        name: replace(
            call,
            windows=(
                *call.windows,
                *(w for one in aims if one.call == name for w in windows_of(one, table, house.air)),
            ),
        )
        for name, call in table.calls.items()
    }
    return replace(house, aims=aims, search=Engine(replace(table, calls=calls), house.engine.facts))


def pressures_of(house: House) -> tuple[Pressure, ...]:
    """Every static that was measured and counts, in its call and stage, held against plate and chart; none where the
    marks aren't known."""
    setting = setting_now(house)
    if setting is None:
        return ()
    out = []
    for key, readings in by_state(house.job, house.engine)[0].items():
        state = taken_in(key, readings, house.job, house.engine, setting, {}, {})
        out += [
            pressure(one.static, state.call, state.stage, house.job, house.engine)
            for one in state.taken
            if one.static is not None
        ]
    return tuple(out)


def setting_now(house: House) -> Setting | None:
    """The marks the board stands at: as left, else as found; None where there are none."""
    return house.known.left if house.known.left is not None else house.known.found


def first_of(house: House, setting: Setting) -> tuple[str, ...]:
    """What has to be known before a figure is believed: a board that believes other equipment, selectors that may be
    dead."""
    out = list(house.known.notes)
    for d in differences(house.engine, setting):
        out.append(f"{d.selector} tells the board {d.fact} {d.board}, but {d.known} is what is there")
    in_force = house.job.in_force
    if in_force is not None and in_force.text == "thermostat":
        out.append("the thermostat is in force: these selectors may be dead, and moving them may do nothing")
    return tuple(out)
