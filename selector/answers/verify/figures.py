"""The figures of one state: what was measured, what it is set for, what is allowed, static, checks."""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction

from selector.air.figure import Figure, Worked, arithmetic, text, written
from selector.answers.danger import OWNER_WORDS
from selector.answers.remarks.remark import remark_text
from selector.answers.remarks.way_words import WAY_WORDS, note_words
from selector.answers.verify.verdict import percent_of
from selector.answers.words.airflow import no_text
from selector.answers.words.arithmetic import airflow, as_typed, difference, in_table_units
from selector.job.danger.measured import METER_PERCENT
from selector.job.house.plate import whose
from selector.job.readings.measured_airflow import MovedAir, as_charted
from selector.job.readings.static import Pressure
from selector.job.targets.house import House
from selector.job.verify.cross_checks import CrossCheck
from selector.job.verify.verdict import Verdict
from selector.table.model.in_units import is_metric
from selector.table.model.table import No
from selector.units import convert, format_number, rise


def reading_lines(verdict: Verdict, house: House) -> Iterator[str]:
    several = sum(one.flow is not None for one in verdict.state.taken) > 1
    for one in verdict.state.taken:
        if one.flow is not None and (len(verdict.moved) != 1 or several):
            yield f"{_figure(one.flow.airflow, house)} ({one.flow.method}, +/-{percent_of(one.flow.band)} %)"
            for way in house.air.ways:
                charted = as_charted(one.flow, way, house.air)
                if charted.value != one.flow.airflow.value:
                    read_as = f", if {WAY_WORDS[way.way]}" if len(house.air.ways) > 1 else ""
                    yield f"as the chart counts it{read_as}: {text(in_table_units(charted, house.table))}"
        if one.rise is not None and isinstance(one.rise, Worked):
            yield text(in_table_units(one.rise, house.table))
        if one.asked is not None:
            yield f"shown {written(in_table_units(one.asked, house.table))}: what was asked for, not measured"
        if one.input is not None:
            yield f"clocked {text(in_table_units(one.input, house.table))}"
    for moved in verdict.moved:
        yield _delivered(moved, house)


_BOUND = re.compile(r"(max|min)\(\w+, (\w+)\)")
"""An airflow that a limit of the page ends: the limit stands second."""


def _figure(figure: Figure, house: House) -> str:
    """A worked figure with its arithmetic, a given one plainly; in the units of a metric table."""
    own = in_table_units(figure, house.table)
    if isinstance(figure, Worked) and "sqrt(density_ratio)" in figure.expression:
        shown = in_table_units(figure.inputs[0], house.table)
        return f"{written(shown)} as shown, {written(own)} standard air at this altitude"
    if isinstance(own, Worked) and "sqrt(" in own.expression:
        return written(own) + (f" ({note_words(own.note)})" if own.note else "")
    bound = _BOUND.fullmatch(own.expression) if isinstance(own, Worked) else None
    if bound is not None and isinstance(own, Worked):
        end = next((one for one in own.inputs if one.name == bound[2]), None)
        if end is not None:
            whole = airflow(end.value, house.table) if end.unit == "cfm" else written(end)
            return f"{written(own)} ({'at least' if bound[1] == 'max' else 'at most'} {whole})"
    if isinstance(own, Worked):
        return text(own) if arithmetic(own) != written(own) else written(own)
    return written(own) if own.unit != figure.unit else as_typed(own)


def _delivered(moved: MovedAir, house: House) -> str:
    low, high = (written(in_table_units(end, house.table)) for end in (moved.low, moved.high))
    band = f"{low.partition(' ')[0]} to {high} ({moved.measured.method}, +/-{percent_of(moved.band)} %)"
    words = f"{_figure(moved.airflow, house)}, {band}"
    own = house.table.units.airflow
    if own != "cfm" and not is_metric(house.table):
        words += f" ({format_number(convert(moved.airflow.value, 'cfm', own), 1)} {own})"
    read_as = WAY_WORDS[moved.way.way]
    return words + (f", if {read_as}" if len(house.air.ways) > 1 else f" ({read_as})" if read_as else "")


def set_for_text(verdict: Verdict, house: House) -> str:
    if isinstance(verdict.selected, No):
        return no_text(verdict.selected)
    return _figure(verdict.selected, house)


def window_text(verdict: Verdict, house: House) -> str:
    low, high = (
        None if end is None else written(in_table_units(end, house.table)) for end in (verdict.low, verdict.high)
    )
    ceiling = " (upper end: where static reaches its limit)" if verdict.ceiling else ""
    if verdict.face:
        ceiling = f" (upper end: the air speed at the face of the {verdict.face})"
    if low is not None and high is not None:
        assert verdict.low is not None
        assert verdict.high is not None
        if verdict.low.value > verdict.high.value:
            return f"minimum {low}, maximum {high}{ceiling}: no airflow meets both"
        return f"{low.partition(' ')[0]} to {high}{ceiling}"
    return f"maximum {high}{ceiling}" if high is not None else f"minimum {low}"


def static_text(static: Pressure, house: House, *, parts: bool = False) -> str:
    """`0.25 return + 0.30 supply = 0.55 in. w.c. (plate 0.8)`, and the bad side where it is over; `parts`: each part
    was read, which says more."""
    measured = static.measured
    own = house.table.units.pressure

    def shown(value: Fraction) -> str:
        return format_number(convert(value, "in. w.c.", own), 2 if own == "in. w.c." else 0)

    two = measured.inputs if isinstance(measured, Worked) and len(measured.inputs) == 2 else ()
    sides = [abs(figure.value) for figure in two]
    added = f"{shown(sides[0])} return + {shown(sides[1])} supply = " if sides else ""
    plain = own != "in. w.c." or added
    out = f"{added}{shown(measured.value)} {own}" if plain else as_typed(measured)
    ends = [
        f"{'plate' if end.name == 'plate_static' else 'the chart holds up to'}"
        f" {as_typed(end).removesuffix(' in. w.c.') if own == 'in. w.c.' else shown(end.value)}"
        for end in (static.plate, static.holds)
        if end is not None
    ]
    out += f" ({', '.join(ends)})" if ends else " (the plate's maximum is not known)"
    if static.above:
        out += f", {shown(measured.value - min(end.value for end in static.above))} over"
        if sides and sides[0] != sides[1] and not parts:
            out += "; the return side is the larger" if sides[0] > sides[1] else "; the supply side is the larger"
            out += " (unless an added coil sits in it)"
    return out


_BEFORE = {"derated for altitude": " ", "no derate named": ", "}


def check_text(check: CrossCheck, house: House) -> str:
    table, figure = house.table, check.figure
    if check.sort == "rise":
        ends = " to ".join(difference(end.value, table) for end in (check.low, check.high) if end is not None)
        where = {"high": "over", "low": "below", "inside": "within"}[check.side]
        value = rise(figure.value, "F", table.units.temperature)
        shown = f"{format_number(value, 1)} {table.units.temperature}"
        of = next(iter(sorted(OWNER_WORDS[whose(end)] for end in (check.low, check.high) if end is not None)), "")
        return f"rise {shown}, {where} {of} {ends.replace(' F to', ' to').replace(' C to', ' to')}"
    if check.sort == "fired":
        share = format_number(100 * figure.value, 0)
        word = {"high": "over-fired", "low": "under-fired", "inside": "fired as the plate says"}[check.side]
        if check.side == "inside" and figure.value > 1 + METER_PERCENT / 100:
            word = "fired a little over"
        named = (
            "" if check.derate is None else f"{_BEFORE.get(check.derate.code, ': ')}{remark_text(check.derate, table)}"
        )
        read = "clocked" if house.job.heat is None or house.job.heat.clocked is not None else "burns"
        return f"{word}: {read} {share} % of the plate's input{named}"
    if check.sort == "power":
        share = format_number(100 * figure.value, 0)
        word = "not all of it is on" if check.side == "low" else "as rated" if check.side == "inside" else "over rating"
        assert check.low is not None
        assert isinstance(figure, Worked)
        drawn, supply = text(figure.inputs[0]), written(check.low.inputs[1]) if isinstance(check.low, Worked) else ""
        return f"{word}: {drawn}, {share} % of the {written(check.low)} this heater takes at {supply}"
    if check.sort == "watts":
        assert check.high is not None
        side = "over" if check.side == "high" else "within"
        return f"{text(figure)}, {side} {written(check.high)} (California Energy Code 2022, a yardstick)"
    if check.sort in ("rise printed", "watts printed"):
        assert check.low is not None
        near = {"high": "more than", "low": "less than", "inside": "near"}[check.side]
        if check.sort == "watts printed":
            return f"{written(figure)}, {near} the {written(check.low)} the manual prints for this setting"
        value = rise(figure.value, "F", table.units.temperature)
        shown = f"rise {format_number(value, 1)} {table.units.temperature}"
        if isinstance(check.low, Worked):
            here = rise(check.low.value, "F", table.units.temperature)
            of = f"that the manual's {difference(check.low.inputs[0].value, table)} comes to at the input clocked"
            return f"{shown}, {near} the {format_number(here, 1)} {table.units.temperature} {of}"
        return f"{shown}, {near} the {difference(check.low.value, table)} the manual prints for this setting"
    assert check.low is not None
    more = "more" if check.side == "high" else "less"
    off = abs(check.low.value - figure.value) / figure.value
    return f"expected {text(in_table_units(figure, table))}; {format_number(100 * off, 0)} % {more} was read"
