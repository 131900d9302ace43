"""What is allowed in a stage of a house, in words: the range of its airflow, and whose limits its ends are."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Literal

from selector.air.figure import written
from selector.answers.remarks.way_words import WAY_SHORT
from selector.answers.words.airflow import in_units
from selector.answers.words.arithmetic import difference, temperature
from selector.answers.words.figure import range_text, text_of
from selector.answers.words.listing import listed
from selector.answers.words.static_parts import pressure_text
from selector.job.board.allowed import allowed_of
from selector.job.board.expected import Expected
from selector.job.targets.aims import AllowedEnd, AllowedRange
from selector.job.targets.house import House
from selector.units import convert, format_number
from selector.value import Struct


class EndWords(Struct, frozen=True, kw_only=True):
    """Whose an end is. `half`: the words where both ends are of one kind (`300 cfm/ton`, `35 F`)."""

    words: str
    kind: str
    half: str = ""
    assumed: bool = False


def allowed_text(house: House, allowed: AllowedRange) -> str:
    """`630 to 945 cfm`; `none` where no airflow keeps both ends; empty where nothing limits it."""
    units = in_units(house.table)
    span = allowed.range
    if span.empty:
        return "none"
    if span.open:
        return "no limit"
    low, high = (None if x is None else units.worked(x, "airflow") for x in (span.low, span.high))
    return f"up to {text_of(high)}" if low is None and high is not None else range_text(low, high)


def limits_text(house: House, stages: Sequence[Expected]) -> list[str]:
    """Whose the limits are, one sentence for each end that all share, else call by call.

    `allowed: cooling 300 to 450 cfm/ton (assumed); heating, the plate's rise 35 to 65 F`;
    `Maximum 1,248 cfm: the filter, 1,500 cfm at 5,000 ft. Minimum: 300 cfm/ton (assumed), the plate's 65 F rise.`
    """
    ranges = {(s.aim.call, s.aim.stage): allowed_of(house, s) for s in stages if s.charted is not None}
    by_call: dict[str, list[AllowedRange]] = {}
    for (call, _), allowed in ranges.items():
        if allowed.low is not None or allowed.high is not None:
            by_call.setdefault(call, []).append(allowed)
    paired = {call: _pair(house, found) for call, found in by_call.items()}
    if paired and all(paired.values()):
        groups: dict[str, list[str]] = {}
        for call, text in paired.items():
            groups.setdefault(text, []).append(call)
        return ["allowed: " + "; ".join(_with_calls(calls, text) for text, calls in groups.items())]
    every = [a for found in by_call.values() for a in found]
    return [text for text in (_ends(house, every, "high"), _ends(house, every, "low")) if text]


def _with_calls(calls: Sequence[str], text: str) -> str:
    return f"{listed(calls)}{', ' if text.startswith('the ') else ' '}{text}"


def _pair(house: House, found: Sequence[AllowedRange]) -> str:
    """`300 to 450 cfm/ton (assumed)` where both ends of every stage of a call are of one kind; else empty."""
    texts = set()
    for one in found:
        low, high = (None if end is None else end_words(house, end) for end in (one.low, one.high))
        if low is None or high is None or low.kind != high.kind or not low.half:
            return ""
        first, second = (high, low) if low.kind == "rise" else (low, high)
        unit = second.half.partition(" ")[2]
        text = f"{first.half.removesuffix(' ' + unit)} to {second.half}"
        text = f"the plate's rise {text}" if low.kind == "rise" else text
        texts.add(text + (" (assumed)" if low.assumed or high.assumed else ""))
    return texts.pop() if len(texts) == 1 else ""


def _ends(house: House, every: Sequence[AllowedRange], end: Literal["low", "high"]) -> str:
    found = [e for one in every if (e := one.low if end == "low" else one.high) is not None]
    words = list(dict.fromkeys(end_words(house, e).words for e in found))
    if not words:
        return ""
    name = "Minimum" if end == "low" else "Maximum"
    airflows = {e.airflow for e in found}
    figure = f" {text_of(in_units(house.table).worked(airflows.pop(), 'airflow'))}" if len(airflows) == 1 else ""
    return f"{name}{figure}: {', '.join(words)}."


def end_words(house: House, end: AllowedEnd) -> EndWords:
    """Whose an end is, and its own figure."""
    if end.bound is None:
        return _page_words(house, end)
    bound, table = end.bound, house.table
    by = f", {WAY_SHORT[bound.way.way]}" if len(house.air.ways) > 1 else ""
    limit = bound.limit
    if bound.origin == "rise" and bound.rise_f is not None:
        rise = difference(bound.rise_f, table)
        return EndWords(words=f"the plate's {rise} rise{by}", kind="rise", half=rise)
    if bound.origin in ("floor", "ceiling") and limit is not None:
        half = per_ton_limit(house, limit.value)
        taken = " (assumed)" if bound.assumed else ""
        return EndWords(words=f"{half}{taken}{by}", kind="per ton", half=half, assumed=bound.assumed)
    if bound.origin == "outlet" and limit is not None:
        return EndWords(words=f"the plate's outlet limit {temperature(limit.value, table)}", kind="outlet")
    if bound.origin == "leaving air" and limit is not None:
        return EndWords(words=f"your supply air limit {temperature(limit.value, table)}", kind="leaving")
    if bound.origin in ("face", "zone") and limit is not None:
        flow = text_of(in_units(table).worked(convert(limit.value, "cfm", table.units.airflow), "airflow"))
        altitude = house.job.site.altitude
        at = f" at {altitude.text}" if house.air.ratio is not None and altitude is not None else ""
        name = f"the {bound.name}" if bound.name else "the smallest zone"
        return EndWords(words=f"{name}, {flow}{at}{by}", kind=bound.origin)
    if bound.origin == "static" and limit is not None:
        measured = " and the airflow measured there" if bound.measured else ""
        most = written(limit) if table.units.pressure == "in. w.c." else pressure_text(limit, house)
        static = f"static {most} by the reading in {bound.name}{measured}"
        return EndWords(words=f"{static}{by if measured else ''}", kind="static")
    if bound.origin == "heater":
        return EndWords(words=f"the manual's {bound.name or 'airflow for this heater'}", kind="heater")
    said = "your limit" if limit is None or limit.unit == "cfm" else f"your limit {written(limit)}"
    return EndWords(words=f"{said}{by}", kind="typed")


def _page_words(house: House, end: AllowedEnd) -> EndWords:
    """`the plate's 65 F rise`, `the manual's heater minimum`, `no more air while static is over`."""
    limit = end.limit
    assert limit is not None
    if limit.source == "not raised":
        return EndWords(words="no more air while static is over", kind="static")
    if limit.quantity == "temperature rise":
        half = f"{format_number(end.value, 1).removesuffix('.0')} {house.table.units.temperature}"
        whose = "the plate's" if "plate" in limit.source else "the manual's"
        return EndWords(words=f"{whose} {half} rise", kind="rise", half=half)
    named = limit.source.removeprefix("window of ")
    return EndWords(words=f"the manual's {'limits of ' if named != limit.source else ''}{named}", kind="manual")


def per_ton_limit(house: House, cfm_per_ton: Fraction) -> str:
    """`300 cfm/ton`; per kW where the table is metric."""
    from selector.answers.words.arithmetic import per_ton

    return per_ton(cfm_per_ton, house.table)
