"""A coil that was measured: its figures below the verdict, and the record."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from selector.air.figure import Figure, Worked, text, written
from selector.answers.remarks.coil import COIL_WORDS, band_text, cooling_said, cooling_steps, heat_text, split_text
from selector.answers.verify.record import CoolingData, FigureData, Word
from selector.answers.verify.verdict import verdict_of
from selector.answers.words.arithmetic import in_table_units
from selector.job.targets.house import House
from selector.job.verify.cooling import RATED_OUTDOORS_F, RATED_WET_BULB_F, CoolingVerdict
from selector.job.verify.judged_state import JudgedState
from selector.table.model.in_units import is_metric
from selector.units import convert, format_number


def cooling_rows(one: CoolingVerdict, house: House) -> Iterator[tuple[str, str]]:
    """Label and figures of each line below the verdict."""
    split = in_table_units(one.air.split, house.table)
    line = text(split) if isinstance(split, Worked) else split_text(one.air.split.value, house)
    if one.expected is not None and one.airflow is not None:
        how = "measured" if one.measured else "by the chart"
        line += f"; expected {split_text(one.expected.value, house)}"
        line += f" ({written(in_table_units(one.airflow, house.table))} standard air, {how})"
    yield "split", line
    if one.delivered is not None and one.capacity is not None:
        total = one.delivered.total
        yield "delivers", heat_text(total, house) if is_metric(house.table) else text(total)
        share = min(100 * one.delivered.share.value, Fraction(100))
        yield "", f"{format_number(share, 0)} % of it sensible"
    if one.capacity is not None and one.word != "none":
        yield "has", f"{heat_text(one.capacity, house)}{_rated(one, house)}"
    if one.word != "none":
        yield "", f"band {band_text(one)}: common practice, no source"


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
        verdict=COIL_WORDS[one.word],
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


def state_said(one: JudgedState, house: House) -> tuple[Word, str]:
    """A state's verdict, its word and sentence, as verify says it first: on the coil where no airflow was measured."""
    if one.cooling is not None and not one.verdict.moved and one.verdict.apart is None:
        return COIL_WORDS[one.cooling.word], f"{cooling_said(one.cooling, house)}."
    word, rest = verdict_of(one.verdict, house)
    return word, f"{rest}."
