"""What is allowed in a stage of a house: the range of its airflow, and whose limits its ends are."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from typing import Literal

from selector.air.figure import written
from selector.answers.words.airflow import in_units
from selector.answers.words.figure import range_text, text_of
from selector.answers.words.listing import listed
from selector.job.board.expected import Expected
from selector.job.house.shown_units import difference, temperature
from selector.job.targets.aims import Bound
from selector.job.targets.house import House
from selector.solve.engine.evaluate import running_tons
from selector.solve.engine.limit import JudgedLimit
from selector.units import convert, format_number
from selector.value import Struct


class EndOfRange(Struct, frozen=True, kw_only=True):
    """One end of what is allowed: an airflow in the table's unit, and whose it is in words. `half`: the words where
    both ends are of one kind (`300 cfm/ton`, `35 F`)."""

    airflow: Fraction
    words: str
    kind: str
    half: str = ""
    assumed: bool = False


class AllowedRange(Struct, frozen=True, kw_only=True):
    """What is allowed in one stage; None is an open end. `empty`: no airflow keeps both."""

    low: EndOfRange | None = None
    high: EndOfRange | None = None

    @property
    def empty(self) -> bool:
        """True where no airflow keeps both ends."""
        return self.low is not None and self.high is not None and self.low.airflow > self.high.airflow


def allowed_in(house: House, one: Expected) -> AllowedRange:
    """The highest of the lower ends and the lowest of the upper ones, of house, plate and page."""
    ends: dict[Literal["low", "high"], list[EndOfRange]] = {"low": [], "high": []}
    for bound in one.aim.bounds:
        ends[bound.end].append(end_of(house, bound))
    for judged in one.answer.judged:
        for end, found in _of_judged(house, one, judged):
            ends[end].append(found)
    return AllowedRange(
        low=max(ends["low"], key=lambda e: e.airflow, default=None),
        high=min(ends["high"], key=lambda e: e.airflow, default=None),
    )


def allowed_text(house: House, allowed: AllowedRange) -> str:
    """`630 to 945 cfm`; `none` where no airflow keeps both ends; empty where nothing limits it."""
    units = in_units(house.table)
    low, high = allowed.low, allowed.high
    if allowed.empty:
        return "none"
    if low is None and high is None:
        return "no limit"
    if low is None and high is not None:
        return f"up to {text_of(units.worked(high.airflow, 'airflow'))}"
    return range_text(
        None if low is None else units.worked(low.airflow, "airflow"),
        None if high is None else units.worked(high.airflow, "airflow"),
    )


def limits_text(house: House, stages: Sequence[Expected]) -> list[str]:
    """Whose the limits are, one sentence for each end that all share, else call by call.

    `allowed: cooling 300 to 450 cfm/ton (assumed); heating, the plate's rise 35 to 65 F`;
    `Maximum 1,248 cfm: the filter, 1,500 cfm at 5,000 ft. Minimum: 300 cfm/ton (assumed), the plate's 65 F rise.`
    """
    ranges = {(s.aim.call, s.aim.stage): allowed_in(house, s) for s in stages if s.charted is not None}
    by_call: dict[str, list[AllowedRange]] = {}
    for (call, _), allowed in ranges.items():
        if allowed.low is not None or allowed.high is not None:
            by_call.setdefault(call, []).append(allowed)
    paired = {call: _pair(found) for call, found in by_call.items()}
    if paired and all(paired.values()):
        groups: dict[str, list[str]] = {}
        for call, text in paired.items():
            groups.setdefault(text, []).append(call)
        return ["allowed: " + "; ".join(_with_calls(calls, text) for text, calls in groups.items())]
    every = [a for found in by_call.values() for a in found]
    return [text for text in (_ends(house, every, "high"), _ends(house, every, "low")) if text]


def _with_calls(calls: Sequence[str], text: str) -> str:
    return f"{listed(calls)}{', ' if text.startswith('the ') else ' '}{text}"


def _pair(found: Sequence[AllowedRange]) -> str:
    """`300 to 450 cfm/ton (assumed)` where both ends of every stage of a call are of one kind; else empty."""
    texts = set()
    for one in found:
        low, high = one.low, one.high
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
    words = list(dict.fromkeys(e.words for e in found))
    if not words:
        return ""
    name = "Minimum" if end == "low" else "Maximum"
    airflows = {e.airflow for e in found}
    figure = f" {text_of(in_units(house.table).worked(airflows.pop(), 'airflow'))}" if len(airflows) == 1 else ""
    return f"{name}{figure}: {', '.join(words)}."


def end_of(house: House, bound: Bound) -> EndOfRange:
    """An end of a range that the house sets, and whose it is."""
    table = house.table
    airflow = convert(bound.figure.value, "cfm", table.units.airflow)
    by = f", {bound.way.short}" if len(house.air.ways) > 1 else ""
    limit = bound.limit
    if bound.origin == "rise" and bound.rise_f is not None:
        rise = difference(bound.rise_f, table)
        return EndOfRange(airflow=airflow, words=f"the plate's {rise} rise{by}", kind="rise", half=rise)
    if bound.origin in ("floor", "ceiling") and limit is not None:
        half = per_ton_limit(house, limit.value)
        taken = " (assumed)" if bound.assumed else ""
        return EndOfRange(airflow=airflow, words=f"{half}{taken}{by}", kind="per ton", half=half, assumed=bound.assumed)
    if bound.origin == "outlet" and limit is not None:
        return EndOfRange(
            airflow=airflow, words=f"the plate's outlet limit {temperature(limit.value, table)}", kind="outlet"
        )
    if bound.origin == "leaving air" and limit is not None:
        return EndOfRange(
            airflow=airflow, words=f"your supply air limit {temperature(limit.value, table)}", kind="leaving"
        )
    if bound.origin in ("face", "zone") and limit is not None:
        flow = text_of(in_units(table).worked(convert(limit.value, "cfm", table.units.airflow), "airflow"))
        altitude = house.job.site.altitude
        at = f" at {altitude.text}" if house.air.ratio is not None and altitude is not None else ""
        name = f"the {bound.name}" if bound.name else "the smallest zone"
        return EndOfRange(airflow=airflow, words=f"{name}, {flow}{at}{by}", kind=bound.origin)
    if bound.origin == "static":
        return EndOfRange(airflow=airflow, words=bound.words, kind="static")
    said = "your limit" if limit is None or limit.unit == "cfm" else f"your limit {written(limit)}"
    return EndOfRange(airflow=airflow, words=f"{said}{by}", kind="typed")


def per_ton_limit(house: House, cfm_per_ton: Fraction) -> str:
    """`300 cfm/ton`; per kW where the table is metric."""
    from selector.job.house.metric import per_ton

    return per_ton(cfm_per_ton, house.table)


def _of_judged(house: House, one: Expected, judged: JudgedLimit) -> Iterator[tuple[Literal["low", "high"], EndOfRange]]:
    """The ends that page and plate put on this stage, beside those of the house."""
    engine, call = house.engine, house.engine.table.calls[one.aim.call]
    quantity, source = judged.limit.quantity, judged.limit.source
    if judged.rate:
        return
    if quantity == "temperature rise":
        heat = one.answer.heat
        if not isinstance(heat, Fraction) or not heat:
            return
        unit = house.table.units.temperature
        whose = "the plate's" if "plate" in source else "the manual's"
        if judged.high:
            half = f"{_plain(judged.high)} {unit}"
            airflow = heat / engine.burned(call) / (engine.factor * judged.high)
            yield "low", EndOfRange(airflow=airflow, words=f"{whose} {half} rise", kind="rise", half=half)
        if judged.low:
            half = f"{_plain(judged.low)} {unit}"
            airflow = heat / (engine.factor * judged.low)
            yield "high", EndOfRange(airflow=airflow, words=f"{whose} {half} rise", kind="rise", half=half)
        return
    if quantity not in ("airflow", "airflow per ton"):
        return
    scale = Fraction(1)
    if quantity == "airflow per ton":
        tons = running_tons(engine, call, one.aim.stage)
        if tons is None:
            return
        scale = tons
    ends: Iterable[tuple[Literal["low", "high"], Fraction | None]] = (("low", judged.low), ("high", judged.high))
    for end, value in ends:
        if value is not None:
            yield end, EndOfRange(airflow=value * scale, words=f"the manual's {source}", kind="manual")


def _plain(value: Fraction) -> str:
    return format_number(value, 1).removesuffix(".0")
