"""Why nothing fits, in words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from selector.answers.call import judged_text
from selector.answers.house.allowed import end_words
from selector.answers.house.records import ConflictData
from selector.answers.words.airflow import airflow_text, in_units
from selector.answers.words.figure import range_text
from selector.answers.words.listing import listed
from selector.job.board.conflicts import Conflict, Obstacle
from selector.job.targets.aims import AllowedEnd, Bound, Origin
from selector.job.targets.house import House
from selector.solve.board.marks import mark
from selector.units import convert

REMEDY: Mapping[Origin, str] = {
    "face": "a larger face, or another way for the air",
    "zone": "a bypass, a larger smallest zone, or a lower stage for it",
    "static": "bring the static down first: filter, coil, dampers, duct",
    "leaving air": "less auxiliary heat at a time",
    "outlet": "less heat, or more airflow than is allowed here",
}
"""What else than a setting helps, by what sets the end that is in the way."""


def conflicts_data(house: House, conflicts: Sequence[Conflict]) -> tuple[ConflictData, ...]:
    """Every reason in words; stages that one upper end leaves no airflow are told together."""
    groups: dict[object, list[Conflict]] = {}
    for n, one in enumerate(conflicts):
        groups.setdefault(n if one.empty is None else one.empty.high, []).append(one)
    return tuple(ConflictData(words=_words_of(house, group), shared=group[0].shared) for group in groups.values())


def _words_of(house: House, group: Sequence[Conflict]) -> str:
    """`cooling: minimum 1,460 cfm (your limit), maximum 1,350 cfm (450 cfm/ton, assumed): 110 cfm short.`"""
    empty = [one.empty for one in group if one.empty is not None]
    if not empty:
        return _conflict_text(house, group[0])
    high = empty[0].high
    assert high is not None
    most = f"{_airflow(house, high)} ({inner(_words(house, high))})"
    stages: dict[tuple[str, str], list[str]] = {}
    lows = [one.low for one in empty if one.low is not None]
    for one, low in zip(empty, lows, strict=True):
        least = f"minimum {_airflow(house, low)} ({inner(_words(house, low))})"
        short = airflow_text(
            house.table, convert(low.figure.value - high.figure.value, "cfm", house.table.units.airflow)
        )
        stages.setdefault((least, short), []).append(one.title)
    if len(stages) == 1:
        ((least, short), titles) = stages.popitem()
        said = f"{listed(titles)}: {least}, maximum {most}: {short} short."
    else:
        each = (f"{listed(titles)}: {least}, {short} short" for (least, short), titles in stages.items())
        said = f"{'; '.join(each)}. Maximum {most}."
    helps = next((REMEDY[b.origin] for b in (high, *lows) if b.origin in REMEDY), "")
    if not helps:
        return said
    off = " Heater breakers off until then." if any(low.origin == "heater" for low in lows) else ""
    return f"{said} Needed: {helps}.{off}"


def _conflict_text(house: House, conflict: Conflict) -> str:
    """Limits and held positions that can't be had together, as a sentence or two."""
    parts = [_obstacle(house, o) for o in conflict.obstacles]
    if [o.what for o in conflict.obstacles] == ["static"]:
        return f"{parts[0][:1].upper()}{parts[0][1:]}: {REMEDY['static']}."
    if len(parts) == 1:
        return f"No setting gives {parts[0]}."
    change = f"change{'s' if len(conflict.shared) == 1 else ''}"
    shared = f" {listed(conflict.shared)} {change} both." if conflict.shared else ""
    return f"{listed(parts)} conflict.{shared}"


def _obstacle(house: House, one: Obstacle) -> str:
    """`cooling second 900 to 1,350 cfm (300 cfm/ton, 450 cfm/ton)`, `the plate's rise`, `SW1-4 held ON`."""
    table = house.table
    if one.what == "held":
        return f"{table.parts[one.part].name} held {mark(table, one.part, one.at)}"
    if one.judged is not None:
        return judged_text(table, one.judged)
    if one.what == "plate rise":
        return "the plate's rise"
    if one.what == "chart":
        return f"the manual's {one.name}"
    if one.what == "call":
        return f"the manual's limits of {one.name}"
    units = in_units(table)
    low, high = (None if x is None else units.worked(x, "airflow") for x in (one.range.low, one.range.high))
    near = "" if one.nearest is None else f"; nearest {airflow_text(table, one.nearest)}"
    whose = ", ".join(inner(_words(house, b)) for b in one.ends)
    return f"{one.name} {one.stage}".strip() + f" {range_text(low, high)} ({whose}{near})"


def _airflow(house: House, bound: Bound) -> str:
    return airflow_text(house.table, convert(bound.figure.value, "cfm", house.table.units.airflow))


def _words(house: House, bound: Bound) -> str:
    return end_words(house, AllowedEnd(end=bound.end, airflow=bound.figure.value, bound=bound)).words


def inner(words: str) -> str:
    """Words that stand in parentheses."""
    return words.replace(" (assumed)", ", assumed")
