"""What is said of static part by part: what each part takes, the one to look at first, the static to expect."""

from __future__ import annotations

from collections.abc import Iterator

from selector.air.figure import Figure
from selector.job.readings.pressure_profile import PartDrop, Profile, with_twice_the_face
from selector.job.readings.static_then import StaticThen
from selector.job.targets.house import House
from selector.units import convert, format_number


def pressure_text(figure: Figure, house: House, *, unit: bool = True) -> str:
    """A pressure in the table's unit: inches to 0.01, Pa whole."""
    own = house.table.units.pressure
    value = convert(figure.value, figure.unit, own)
    return format_number(value, 2 if own == "in. w.c." else 0) + (f" {own}" if unit else "")


def parts_rows(one: Profile, house: House) -> Iterator[str]:
    """`filter 0.18 in. w.c., 36 % of the plate's 0.50; its share 0.10, 0.08 over`."""
    whose = "the plate's" if one.plate is not None else "the total"
    for part in one.parts:
        line = f"{part.name} {pressure_text(part.drop, house)}"
        if part.share is not None:
            share = format_number(100 * part.share.value, 0)
            line += f", {share} % of {whose} {pressure_text(one.whole, house, unit=False)}"
        elif part.budget is None:
            line += ", inside the unit"
        if part.budget is not None and part.over:
            over = _over_text(part, house)
            line += f"; {over}"
        yield line
    yield from face_line(one)


def face_line(one: Profile) -> Iterator[str]:
    """`filter face 382 fpm, 82 over its 300 fpm`."""
    if one.face is not None and one.face_limit is not None:
        shown, limit = (format_number(figure.value, 0) for figure in (one.face, one.face_limit))
        apart = format_number(one.face.value - one.face_limit.value, 0)
        yield f"filter face {shown} fpm, {apart + ' over' if one.face_over else 'within'} its {limit} fpm"


def _over_text(part: PartDrop, house: House) -> str:
    assert part.budget is not None
    own = house.table.units.pressure
    over = convert(part.drop.value - part.budget.value, "in. w.c.", own)
    places = 2 if own == "in. w.c." else 0
    whose, usual = (
        ("its chart's", "") if part.by == "chart" else ("its usual share of", " (common practice, no source)")
    )
    return f"{format_number(over, places)} over {whose} {pressure_text(part.budget, house, unit=False)}{usual}"


def first_look(one: Profile, house: House) -> Iterator[str]:
    """The part to look at first, and what would help."""
    first = one.first
    if first is None:
        return
    yield f"Look at the {first.name} first: {pressure_text(first.drop, house)}, {_over_text(first, house)}."
    if first.groups == ("filter",):
        low, high = with_twice_the_face(first)
        ends = f"{pressure_text(low, house, unit=False)} to {pressure_text(high, house)}"
        yield f"Change the filter and read it again; twice its face would take {ends} instead."


def then_text(one: StaticThen, house: House) -> str:
    """`0.46 to 0.49 in. w.c. at 1,198 cfm, over the 0.5 in. w.c. it may have`."""
    low, high = pressure_text(one.low, house, unit=False), pressure_text(one.high, house)
    ends = high if pressure_text(one.low, house) == high else f"{low} to {high}"
    flow = format_number(convert(one.then.value, "cfm", house.table.units.airflow), 0)
    said = f"{ends} at {flow} {house.table.units.airflow}, now {pressure_text(one.measured, house)}"
    if one.most is not None:
        said += f", maximum {pressure_text(one.most, house)}"
        said += {"over": ": over it", "may be over": ": may be over it", "": ""}[one.over]
    return f"{said}; with filter, coil, dampers and zones as they were read"
