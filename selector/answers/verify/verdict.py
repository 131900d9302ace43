"""The verdict on one state in a sentence: OK, LOW, HIGH, or no verdict and why."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from selector.air.figure import Figure, written
from selector.answers.verify.record import Word
from selector.answers.words.airflow import no_text
from selector.answers.words.arithmetic import airflow as airflow_in
from selector.answers.words.arithmetic import in_table_units
from selector.answers.words.listing import listed
from selector.job.targets.house import House
from selector.job.verify.verdict import Verdict
from selector.table.model.table import No
from selector.units import format_number


def titled(verdict: Verdict, house: House) -> str:
    """`LOW, cooling second: 12.0 % below the setting of 1,198 cfm.`"""
    word, rest = verdict_of(verdict, house)
    return f"{word}, {verdict.state.title}: {rest}."


def said_of(verdict: Verdict, house: House) -> str:
    """`LOW: 12.0 % below the setting of 1,198 cfm.`"""
    word, rest = verdict_of(verdict, house)
    return f"{word}: {rest}."


def verdict_of(verdict: Verdict, house: House) -> tuple[Word, str]:
    """The verdict's word and its sentence."""
    table = house.table
    if verdict.apart is not None:
        one, other = verdict.apart.one, verdict.apart.other
        apart, bands = (airflow_in(x, table) for x in (verdict.apart.apart_cfm, verdict.apart.bands_cfm))
        if one.method == other.method:
            return "No verdict", f"the two {one.method} readings disagree: {apart} apart, more than {bands}"
        who = f"{one.method} and {other.method} disagree: {apart} apart, bands together {bands}"
        return "No verdict", who
    if verdict.iced:
        return "No verdict", "the coil is iced"
    if verdict.by_chart:
        inside = verdict.standing in (None, "inside")
        where = "" if verdict.standing is None else f", {STANDS[verdict.standing]}"
        return ("OK" if inside else _side(verdict)), f"by the chart at the static measured, not measured itself{where}"
    if not verdict.moved:
        return "No verdict", "no usable reading" if verdict.state.problems else "the airflow was not measured"
    if verdict.against == "not known":
        if isinstance(verdict.selected, No):
            return "No verdict", f"as set, {no_text(verdict.selected)}"
        return "No verdict", "it depends on what the chart's airflow means at this altitude"
    if verdict.against in ("unclocked low", "unclocked high") or (verdict.plate_heat and verdict.standing in OUTSIDE):
        return "No verdict", f"the input is not {_measured_word(verdict)}; {_at_plate(verdict, house)}"
    holds = None if verdict.static is None else verdict.static.holds
    if holds is not None and verdict.static is not None and holds in verdict.static.above:
        past = PAST_CHART.format(end=written(in_table_units(holds, table)))
        low = verdict.standing in ("below", "likely below")
        return ("LOW", f"{_stands(verdict, house)}; {past}") if low else ("No verdict", past)
    if verdict.against in ("low", "high"):
        word = "OK" if verdict.slight is not None else _side_word(verdict.against)
        return word, f"{off_setting(verdict, house)}{_and_stands(verdict, house)}"
    if verdict.by_static:
        return "OK", f"as set, but {BY_STATIC}"
    if verdict.standing in OUTSIDE or verdict.standing in ("likely below", "likely above"):
        return _side(verdict), f"as set, {_stands(verdict, house)}"
    known = verdict.low is not None or verdict.high is not None
    if verdict.standing is None and known:
        return "OK", "as set; its limits depend on what the chart's airflow means at this altitude"
    if verdict.over:
        return "No verdict", AFTER_DANGER
    limits = ", no limits known" if verdict.standing is None else f", {STANDS['inside']}"
    if verdict.static is not None and verdict.static.above:
        limits = ", static over the plate's"
    return "OK", f"as set{limits}" + (f" {_plate_words(verdict)}" if verdict.plate_heat else "")


OUTSIDE = ("below", "above")
STANDS = {
    "inside": "within limits",
    "likely inside": "within limits, but too close to call",
    "likely below": "likely below the minimum, too close to call",
    "likely above": "likely over the maximum, too close to call",
    "below": "below the minimum",
    "above": "over the maximum",
}
STANDS_AT: dict[str, str] = {
    "likely inside": "within limits, the {ends} too close to call",
    "likely below": "likely below the {ends}, too close to call",
    "likely above": "likely over the {ends}, too close to call",
}
"""The same where the end is known that the reading's band reaches over."""

OVER_PLATE = "rise, supply air or input over the plate"
"""Said of an airflow inside its limits whose rise, supply air or input isn't."""
PAST_CHART = "static is over the {end} that the chart holds up to: no airflow is promised there"
"""Said of an airflow that was measured where the chart says nothing: it is no fault of the blower."""
AFTER_DANGER = "as set, but put the danger right first"
"""Said of an airflow that is right where a rise, supply air or input isn't: nobody is to read OK there."""
BY_STATIC = "more than the static allows"
"""Said of an airflow that only the end of static holds back: that is no limit of the call."""
LESS_STILL = ", and the static allows less still"
"""The same of one that is off its setting."""


def _side_word(against: str) -> Word:
    return "LOW" if against == "low" else "HIGH"


def _side(verdict: Verdict) -> Word:
    return "LOW" if verdict.standing in ("below", "likely below") else "HIGH"


def _and_stands(verdict: Verdict, house: House) -> str:
    if verdict.by_static:
        return LESS_STILL
    return "" if verdict.standing is None else f", {_stands(verdict, house)}"


def _stands(verdict: Verdict, house: House) -> str:
    """Where it stands, with the limit that its band reaches over where that is too close to call."""
    assert verdict.standing is not None
    if verdict.over and verdict.standing in ("inside", "likely inside"):
        return OVER_PLATE
    said = STANDS[verdict.standing]
    if not verdict.standing.startswith("likely"):
        return said
    ends = (("minimum", verdict.low), ("maximum", verdict.high))
    near = [
        f"{name} of {airflow_in(end.value, house.table)}"
        for name, end in ends
        if end is not None and any(one.low.value < end.value < one.high.value for one in verdict.moved)
    ]
    return STANDS_AT[verdict.standing].format(ends=listed(near)) if near else said


def _measured_word(verdict: Verdict) -> str:
    return "clocked" if verdict.fuel in ("gas", "fuel") else "measured"


def _plate_words(verdict: Verdict) -> str:
    what = {"gas": "clock the meter", "fuel": "clock the meter", "oil": "read nozzle and pump"}.get(verdict.fuel)
    return f"at the plate's input, +/-15 %: {what or 'read volts and amps'} to be sure"


def _at_plate(verdict: Verdict, house: House) -> str:
    """`at the plate's input 1,020 cfm, +/-15 %; minimum 1,083 cfm`; with a derate that was named both heats."""
    at_plate = [m.airflow.value / verdict.derated for m in verdict.moved]
    out = f"at the plate's input {_either(at_plate, house)}"
    if verdict.derated != 1:
        out += f", derated {_either([m.airflow.value for m in verdict.moved], house)}"
    out += f", +/-{percent_of(verdict.moved[0].band)} %"
    if verdict.low is not None and all(air < verdict.low.value for air in at_plate):
        out += f"; minimum {airflow_in(verdict.low.value, house.table)}"
        out += " at the plate's" if verdict.derated != 1 else ""
    return out


def _either(cfm: Sequence[Fraction], house: House) -> str:
    return " or ".join(dict.fromkeys(airflow_in(value, house.table) for value in cfm))


def off_setting(verdict: Verdict, house: House) -> str:
    """`12.0 % below the setting of 1,198 cfm`."""
    assert not isinstance(verdict.selected, No)
    set_for = verdict.selected.value
    offs = [(m.airflow.value - set_for) / set_for for m in verdict.moved]
    off = min(offs, key=abs)
    side = "below" if off < 0 else "above"
    return f"{format_number(abs(100 * off), 1)} % {side} the setting of {airflow_in(set_for, house.table)}"


def percent_of(band: Figure) -> str:
    return format_number(100 * band.value, 1).removesuffix(".0")
