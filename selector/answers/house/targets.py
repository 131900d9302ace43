"""Why these targets: the last step of each one's arithmetic, and what of the house is in it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from selector.air.figure import written
from selector.air.motor import too_much_percent
from selector.answers.remarks.remark import as_sentence, remark_text
from selector.answers.remarks.way_words import WAY_SHORT
from selector.answers.words.airflow import airflow_text
from selector.answers.words.arithmetic import (
    airflow,
    difference,
    in_table_units,
    shown_arithmetic,
    whole_arithmetic,
    worked_difference,
)
from selector.answers.words.listing import listed
from selector.job.board.expected import Expected, full_rise
from selector.job.file.model import TypedWord
from selector.job.targets.aims import StageAim
from selector.job.targets.house import House
from selector.units import convert, format_number, plain


def target_text(house: House, one: StageAim) -> str:
    """`1,050`, `45 % of cooling`, `rise 50 F`: a target in a cell; empty where there is none."""
    aim = one.aim
    if aim.share_percent is not None:
        return f"{plain(aim.share_percent)} %"
    if aim.low_cfm is not None and aim.high_cfm is not None and aim.low_cfm != aim.high_cfm:
        low, high = (convert(x, "cfm", house.table.units.airflow) for x in (aim.low_cfm, aim.high_cfm))
        return f"{format_number(low, 0)} to {airflow_text(house.table, high)}"
    if aim.charted is not None:
        return airflow(aim.charted.value, house.table).partition(" ")[0]
    return f"rise {difference(aim.rise_f.value, house.table)}" if aim.rise_f is not None else ""


def why_targets(house: House, stages: Sequence[Expected], *, details: bool) -> Iterator[str]:
    """A line for each call: its arithmetic, the lower stages behind the last."""
    by_call: dict[str, list[StageAim]] = {}
    for one in house.aims:
        by_call.setdefault(one.call, []).append(one)
    for call, aims in by_call.items():
        said = _of_call(house, aims)
        if said:
            yield f"{call}: {said}"
        if details:
            for one in aims:
                for figure in (one.heat, one.aim.rise_f, one.aim.standard):
                    if figure is not None:
                        yield from (f"  {line}" for line in whole_arithmetic(figure, house.table))
    yield from derate_lines(house, stages)
    yield from altitude_lines(house)


def _of_call(house: House, aims: Sequence[StageAim]) -> str:
    """`3 tons x 350 cfm/ton (humid) = 1,050 cfm; first 2.1 tons = 735 cfm`."""
    last = aims[-1]
    own = [one for one in aims if one.aim.charted is not None or one.aim.rise_f is not None]
    if not own or last.aim.share_percent is not None:
        return ""
    said = _one(house, own[-1])
    for one in own[:-1]:
        said += f"; {one.stage} {_lower(house, one)}"
    return said


def _one(house: House, one: StageAim) -> str:
    aim = one.aim
    if aim.charted is None:
        return (
            f"rise {difference(aim.rise_f.value, house.table)}, {_words(house, one)}" if aim.rise_f is not None else ""
        )
    figure = aim.standard if aim.standard is not None and aim.standard is not aim.charted else aim.charted
    shown = shown_arithmetic(figure, house.table)
    words = _words(house, one)
    arithmetic, equals, result = shown.partition(" = ")
    said = f"{arithmetic} ({words}) = {result}" if equals and words else f"{shown}, {words}" if words else shown
    if aim.rise_f is not None and equals and arithmetic.endswith(")") and words:
        said = f"{arithmetic[:-1]}, {words}) = {result}"
    if aim.charted.value != figure.value:
        said += f", by the chart {airflow(aim.charted.value, house.table)}"
        if len(house.air.ways) > 1:
            ways = (
                f"{airflow(house.air.charted(figure, w).value, house.table)} {WAY_SHORT[w.way]}" for w in house.air.ways
            )
            said += f" (between {listed(ways)})"
    return said


def _words(house: House, one: StageAim) -> str:
    """`humid`, `mid rise`, `assumed`."""
    job = house.job
    if one.aim.typed:
        eased = house.eased.moved.get(one.role) is not None and house.eased.row is not None
        return house.eased.row.name if eased and house.eased.row is not None else "your target"
    if one.role == "cooling" and job.outdoor is not None:
        wish = job.outdoor.airflow_per_ton
        if wish is None and job.outdoor.sensible_load is not None:
            return ""
        if wish is not None and not isinstance(wish, TypedWord):
            return ""
        if house.eased.moved.get("cooling") is not None and house.eased.row is not None:
            return house.eased.row.name
        climate = job.site.climate
        return wish.text if isinstance(wish, TypedWord) else climate.text if climate is not None else "usual"
    if one.role == "heat pump":
        return "usual"
    return remark_text(one.aim.basis, house.table) if one.aim.basis is not None else ""


def _lower(house: House, one: StageAim) -> str:
    """`2.1 tons = 735 cfm`, `42,560 Btu/h = 788 cfm`."""
    figure = one.tons if one.tons is not None else one.heat
    flow = "" if one.aim.charted is None else airflow(one.aim.charted.value, house.table)
    if figure is None:
        return flow or _one(house, one)
    return f"{written(in_table_units(figure, house.table))} = {flow}" if flow else written(figure)


def derate_lines(house: House, stages: Sequence[Expected]) -> Iterator[str]:
    """The derate that was named, and the rise at the full nameplate input until it is clocked."""
    remarks = dict.fromkeys(remark for one in house.aims for remark in one.remarks)
    yield from (as_sentence(remark_text(remark, house.table)) for remark in remarks)
    full = {one.title: rise for one in stages if _derated(house, one) and (rise := full_rise(house, one)) is not None}
    if full:
        rises = dict.fromkeys(worked_difference(rise, house.table) for rise in full.values())
        yield (
            f"At the full nameplate input the rise is {' or '.join(rises)}: until you clock it, that is held against"
            " the plate's upper end."
        )


def _derated(house: House, one: Expected) -> bool:
    """True where the heat of a stage is less than the nameplate's by a derate that nobody measured."""
    if one.aim.heat is not None:
        return one.aim.nameplate is not None
    return house.engine.burned(house.engine.table.calls[one.aim.call]) != 1


def altitude_lines(house: House) -> Iterator[str]:
    """What the chart's airflow means here, and that nothing is corrected twice."""
    air, table = house.air, house.table
    if air.ratio is None:
        return
    said = "as the manual says" if table.unit.motor or table.unit.airflow_means else "as you typed"
    if len(air.ways) > 1:
        yield (
            "Altitude: the manual doesn't say what its airflow means up here. Both readings are shown, limits hold for"
            " both. The motor's label settles it (motor=constant airflow)."
        )
        return
    way = air.ways[0].way
    again = format_number(too_much_percent(air.ratio.value), 0)
    if way == "mass held":
        yield (
            f"Altitude: the chart is standard air (constant airflow, {said}). Don't correct again: that moves {again} %"
            " too much air."
        )
    elif way == "volume held":
        yield f"Altitude: the chart is the volume that moves ({said}); it carries less air up here."
    else:
        yield f"Altitude: constant torque ({said}): the volume rises by 1/sqrt(density ratio)."
