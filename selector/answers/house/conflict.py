"""Why nothing fits, in words."""

from __future__ import annotations

from collections.abc import Mapping

from selector.answers.call import judged_text
from selector.answers.house.allowed import end_words
from selector.answers.words.airflow import airflow_text, in_units
from selector.answers.words.figure import range_text
from selector.answers.words.listing import listed
from selector.job.board.allowed import AllowedEnd
from selector.job.board.conflicts import Conflict, Obstacle
from selector.job.targets.aims import Bound, Origin
from selector.job.targets.house import House
from selector.solve.board.marks import mark
from selector.units import convert, format_number

REMEDY: Mapping[Origin, str] = {
    "face": "a larger face, or another way for the air",
    "zone": "a bypass, a larger smallest zone, or a lower stage for it",
    "static": "bring the static down first: filter, coil, dampers, duct",
    "leaving air": "less auxiliary heat at a time",
    "outlet": "less heat, or more airflow than is allowed here",
}
"""What else than a setting helps, by what sets the end that is in the way."""


def conflict_text(house: House, conflict: Conflict) -> str:
    """One reason as a sentence or two."""
    one = conflict.empty
    if one is not None:
        assert one.low is not None
        assert one.high is not None
        unit = house.table.units.airflow
        short = format_number(convert(one.low.figure.value - one.high.figure.value, "cfm", unit), 0)
        least, most = (f"{_airflow(house, b)} ({inner(_words(house, b))})" for b in (one.low, one.high))
        said = f"{one.title}: minimum {least}, maximum {most}: {short} {unit} short."
        helps = next((REMEDY[b.origin] for b in (one.high, one.low) if b.origin in REMEDY), "")
        return said + (f" Needed: {helps}." if helps else "")
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
    return end_words(house, AllowedEnd(airflow=bound.figure.value, bound=bound)).words


def inner(words: str) -> str:
    """Words that stand in parentheses."""
    return words.replace(" (assumed)", ", assumed")
