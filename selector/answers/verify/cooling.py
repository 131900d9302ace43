"""What is said of a coil that was measured: the split or the capacity, what it is held against, what to do next."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from selector.air.figure import Figure, Worked, text, written
from selector.answers.remarks.remark import remark_text
from selector.answers.verify.record import CoolingData, FigureData, Word
from selector.answers.words.arithmetic import in_table_units
from selector.job.targets.house import House
from selector.job.verify.cooling import RATED_OUTDOORS_F, RATED_WET_BULB_F, CoolingVerdict
from selector.table.model.in_units import is_metric
from selector.units import convert, format_number, rise

WORDS: dict[str, Word] = {"as expected": "OK", "low": "LOW", "high": "HIGH", "none": "No verdict"}


def cooling_title(title: str, one: CoolingVerdict, house: House) -> str:
    """`LOW, cooling second: split 13.0 F, 6.4 F below the 19.4 F expected.`"""
    return f"{WORDS[one.word]}, {title}: {cooling_said(one, house)}."


def cooling_said(one: CoolingVerdict, house: House) -> str:
    """The verdict without its word."""
    if one.by == "capacity" and one.delivered is not None and one.capacity is not None:
        has, share = _heat(one.capacity, house), format_number(abs(100 * one.off), 1)
        total = _heat(one.delivered.total, house)
        if one.word == "as expected":
            return f"delivers {total} of {has}, inside {_band(one)}"
        return f"delivers {total}, {share} % {_side(one)} the stage's {has}"
    split = _degrees(one.air.split.value, house)
    if one.by == "split" and one.expected is not None:
        wanted = _degrees(one.expected.value, house)
        if one.word == "as expected":
            return f"split {split}, expected {wanted}, inside {_band(one)}"
        apart = _degrees(abs(one.air.split.value - one.expected.value), house)
        return f"split {split}, {apart} {_side(one)} the {wanted} expected"
    return f"split {split}" + (f", but {remark_text(one.why, house.table)}" if one.why is not None else "")


def _degrees(value: Fraction, house: House) -> str:
    """A split to 0.1, in the table's degrees."""
    own = house.table.units.temperature
    return f"{format_number(rise(value, 'F', own), 1)} {own}"


def _heat(figure: Figure, house: House) -> str:
    return written(in_table_units(figure, house.table))


def _band(one: CoolingVerdict) -> str:
    """`+/-15 %`; the two ends where the wet bulb widens one."""
    below, above = (format_number(end, 0) for end in (one.below, one.above))
    return f"+/-{above} %" if below == above else f"-{below} to +{above} %"


def _side(one: CoolingVerdict) -> str:
    return "below" if one.off < 0 else "over"


_WET_BULB = "Read the return air's wet bulb, or its humidity, with the split."
_SETTLES = {
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


def cooling_rows(one: CoolingVerdict, house: House) -> Iterator[tuple[str, str]]:
    """Label and figures of each line below the verdict."""
    split = in_table_units(one.air.split, house.table)
    line = text(split) if isinstance(split, Worked) else _degrees(one.air.split.value, house)
    if one.expected is not None and one.airflow is not None:
        how = "measured" if one.measured else "by the chart"
        line += f"; expected {_degrees(one.expected.value, house)}"
        line += f" ({written(in_table_units(one.airflow, house.table))} standard air, {how})"
    yield "split", line
    if one.delivered is not None and one.capacity is not None:
        total = one.delivered.total
        yield "delivers", _heat(total, house) if is_metric(house.table) else text(total)
        share = min(100 * one.delivered.share.value, Fraction(100))
        yield "", f"{format_number(share, 0)} % of it sensible"
    if one.capacity is not None and one.word != "none":
        yield "has", f"{_heat(one.capacity, house)}{_rated(one, house)}"


def _rated(one: CoolingVerdict, house: House) -> str:
    """What the capacity holds for."""
    if not one.nominal:
        return " by the maker's table, as typed"
    own = house.table.units.temperature
    inside, outside, here = (
        None if value is None else format_number(convert(value, "F", own), 0)
        for value in (RATED_WET_BULB_F, RATED_OUTDOORS_F, one.wet_bulb_f)
    )
    said = f" nominal ({inside} {own} wet bulb in, {outside} {own} outdoors)"
    if one.below == one.above and here is not None:
        return said
    return said + (f"; here {here} {own}" if here is not None else "") + ": set `capacity` from the maker's table"


def _figure(figure: Figure | None) -> FigureData | None:
    return None if figure is None else FigureData(value=figure.value, unit=figure.unit, text=text(figure))


def cooling_data(one: CoolingVerdict | None, house: House) -> CoolingData | None:
    """The record."""
    if one is None:
        return None

    return CoolingData(
        verdict=WORDS[one.word],
        by=one.by,
        said=cooling_said(one, house),
        split=FigureData(value=one.air.split.value, unit="F", text=text(one.air.split)),
        expected=_figure(one.expected),
        capacity=_figure(one.capacity),
        delivered=_figure(one.delivered.total if one.delivered is not None else None),
        sensible_share=None if one.delivered is None else one.delivered.share.value,
        airflow=_figure(one.airflow),
        airflow_measured=one.measured,
        steps=tuple(cooling_steps(one)),
    )
