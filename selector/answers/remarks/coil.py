"""A coil that was measured, in words: the split or the capacity, what it is held against, what to do next."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Literal

from selector.air.figure import Figure, written
from selector.answers.remarks.remark import remark_text
from selector.answers.words.arithmetic import in_table_units
from selector.job.targets.house import House
from selector.job.verify.cooling import CoolingVerdict
from selector.units import format_number, rise

CoilWord = Literal["OK", "LOW", "HIGH", "No verdict"]
COIL_WORDS: dict[str, CoilWord] = {"as expected": "OK", "low": "LOW", "high": "HIGH", "none": "No verdict"}


def cooling_title(title: str, one: CoolingVerdict, house: House) -> str:
    """`LOW, cooling second: split 13.0 F, 6.4 F below the 19.4 F expected.`"""
    return f"{COIL_WORDS[one.word]}, {title}: {cooling_said(one, house)}."


def cooling_said(one: CoolingVerdict, house: House) -> str:
    """The verdict without its word."""
    if one.by == "capacity" and one.delivered is not None and one.capacity is not None:
        has, share = heat_text(one.capacity, house), format_number(abs(100 * one.off), 1)
        total = heat_text(one.delivered.total, house)
        if one.word == "as expected":
            return f"delivers {total} of {has}, inside {band_text(one)}"
        return f"delivers {total}, {share} % {_side(one)} the stage's {has}"
    split = split_text(one.air.split.value, house)
    if one.by == "split" and one.expected is not None:
        wanted = split_text(one.expected.value, house)
        if one.word == "as expected":
            return f"split {split}, expected {wanted}, inside {band_text(one)}"
        apart = split_text(abs(one.air.split.value - one.expected.value), house)
        return f"split {split}, {apart} {_side(one)} the {wanted} expected"
    return f"split {split}" + (f", but {remark_text(one.why, house.table)}" if one.why is not None else "")


def split_text(value: Fraction, house: House) -> str:
    """A split to 0.1, in the table's degrees."""
    own = house.table.units.temperature
    return f"{format_number(rise(value, 'F', own), 1)} {own}"


def heat_text(figure: Figure, house: House) -> str:
    """`28,659 Btu/h`, in the table's unit of heat."""
    return written(in_table_units(figure, house.table))


def band_text(one: CoolingVerdict) -> str:
    """`+/-15 %`; the two ends where the wet bulb widens one."""
    below, above = (format_number(end, 0) for end in (one.below, one.above))
    return f"+/-{above} %" if below == above else f"-{below} to +{above} %"


def _side(one: CoolingVerdict) -> str:
    return "below" if one.off < 0 else "over"


_WET_BULB = "Read the return air's wet bulb, or its humidity, with the split."
_SETTLES = {
    "coil iced": "Read the coil when it is clear and wet.",
    "tons not known": "Add tons=.. and stages=.. (from the outdoor unit).",
    "airflow not known": "Measure the airflow in the same call.",
    "air against itself": "Read both sides again.",
    "no split to expect": _WET_BULB,
    "wet bulb not known": _WET_BULB,
}
"""What settles a verdict that can't be given."""


def cooling_steps(one: CoolingVerdict) -> Iterator[str]:
    """What to do next, in its order: the airflow before the charge."""
    if one.word == "none":
        yield _SETTLES[one.why.code if one.why is not None else ""]
    elif one.word == "as expected":
        yield "Record the coil. Inside that band it says nothing of the charge: check the charge by its own method."
        if not one.measured:
            yield "The airflow was not measured: low capacity on low air gives the same split."
    elif one.air_first:
        yield "Airflow and static come first: put them right, then read the coil again."
    elif not one.measured:
        yield "Measure the airflow before anybody touches the charge."
        if one.word == "high":
            yield "A high split is low air until shown otherwise: filter, coil, registers."
    elif one.word == "low":
        yield "Read the coil again: 15 minutes in, coil wet, probe out of sight of the coil."
        yield "The airflow is right: charge, metering and coil are other work (licensed)."
    elif one.by == "capacity":
        yield "More than the stage has: read both wet bulbs and the airflow again."
    else:
        yield "Read the wet bulb again: drier air raises the split. The charge is other work (licensed)."
