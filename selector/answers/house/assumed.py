"""Every default that was taken for a house, with the key that changes it; what could not be checked, and for want of
what."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction

from selector.air import cooling
from selector.answers.assumed_facts import assumed_fact_text
from selector.answers.call import NotCheckedData
from selector.answers.house.allowed import per_ton_limit
from selector.answers.remarks.remark import remark_text
from selector.answers.words.arithmetic import temperature
from selector.answers.words.assumed_marks import marks_by_source
from selector.answers.words.listing import listed
from selector.job.board.expected import Expected
from selector.job.targets.house import House
from selector.job.targets.windows import RETURN_F
from selector.judge.assumed_facts import assumed_facts
from selector.solve.engine.evaluate import Board
from selector.table.model.table import No, Setting
from selector.value import Published


class AssumedData(Published, frozen=True, kw_only=True):
    """One default: `value`, or `low` and `high`, in `unit`; for these `calls` (none: the whole house). `keys` of the
    job change it; `marks`: those of selectors that nobody typed."""

    what: str
    value: Fraction | None
    low: Fraction | None
    high: Fraction | None
    unit: str
    calls: tuple[str, ...]
    keys: tuple[str, ...]
    marks: tuple[str, ...]


def _default(
    what: str,
    *keys: str,
    value: Fraction | None = None,
    low: Fraction | None = None,
    high: Fraction | None = None,
    unit: str = "",
    calls: Iterable[str] = (),
    marks: tuple[str, ...] = (),
) -> AssumedData:
    return AssumedData(
        what=what, value=value, low=low, high=high, unit=unit, calls=tuple(calls), keys=keys, marks=marks
    )


def assumed(house: House) -> Iterator[AssumedData]:
    """The defaults; temperatures in F, airflow per ton in cfm/ton."""
    job = house.job
    outdoor, heat = job.outdoor, job.heat
    yield from assumed_board(house)
    yield from assumed_of_heat(house)
    if house.air.assumed:
        yield _default("sea level", "altitude", value=Fraction(0), unit="ft")
    if job.site.return_air is None and any(one.heat is not None for one in house.aims):
        yield _default("return air", "return air", value=RETURN_F, unit="F")
    yield from _per_ton(house)
    if outdoor is not None and outdoor.capacity is not None and outdoor.airflow_per_ton is None:
        usual = any(one.role == "cooling" and one.aim.counts and not one.aim.typed for one in house.aims)
        if usual and job.site.climate is None and outdoor.sensible_load is None:
            value = Fraction(cooling.USUAL_CFM_PER_TON)
            yield _default("cooling target", "airflow per ton", "climate", value=value, unit="cfm/ton")
    rises = any(one.role == "heat" and one.aim.rise_f is not None and not one.aim.typed for one in house.aims)
    if rises and (heat is None or not heat.aim):
        yield _default("mid rise", "heat aim")


def assumed_board(house: House) -> Iterator[AssumedData]:
    """The marks that nobody typed: as installed, or as delivered."""
    found = marks_by_source(house.engine, house.now or (), house.known.assumed)
    yield from (_default(source, marks=marks) for source, marks in found.items())


def assumed_of_heat(house: House, setting: Setting | None = None) -> Iterator[AssumedData]:
    """The facts not given that the figures of the board as it stands, or of a setting, rest on."""
    setting = setting or house.now or house.table.delivered(house.known.facts.model)
    standing, _ = house.marks(setting).standing(house.search)
    found = assumed_facts(house.search, Board(house.search, standing))
    for one in found:
        yield _default(one.name, one.name, value=one.value, unit=one.unit, calls=one.calls)
    rated = [one.call for one in house.aims if one.rated_volts]
    if rated and not any(one.name == "supply voltage" for one in found):
        yield _default("supply voltage", "supply voltage", unit="V", calls=dict.fromkeys(rated))


def heat_assumed_texts(house: House, setting: Setting) -> list[str]:
    """`supply voltage: 240 V, as the heater is rated`."""
    return [_assumed_text(one, house) for one in assumed_of_heat(house, setting)]


def _per_ton(house: House) -> Iterator[AssumedData]:
    """Limits of airflow per ton, calls of one kind together."""
    ends: dict[str, dict[str, Fraction]] = {}
    for one in house.aims:
        for bound in one.bounds:
            if bound.assumed and bound.limit is not None:
                ends.setdefault(one.call, {})[bound.end] = bound.limit.value
    alike: dict[tuple[Fraction | None, Fraction | None], list[str]] = {}
    for call, found in ends.items():
        alike.setdefault((found.get("low"), found.get("high")), []).append(call)
    for (low, high), calls in alike.items():
        keys = (*(("least per ton",) if low is not None else ()), *(("most per ton",) if high is not None else ()))
        yield _default("per ton", *keys, low=low, high=high, unit="cfm/ton", calls=calls)


def assumed_lines(house: House) -> list[str]:
    """`return air 70 F (set `return air`)`."""
    return [f"{_assumed_text(one, house)} ({_change_text(one)})" for one in assumed(house)]


def _change_text(one: AssumedData) -> str:
    if one.marks:
        return "type what you see"
    both = one.low is not None and one.high is not None
    return f"set {listed((f'`{key}`' for key in one.keys), 'and' if both else 'or')}"


def _assumed_text(one: AssumedData, house: House) -> str:
    if one.marks:
        return f"{one.what}: {', '.join(one.marks)}"
    if one.what == "return air":
        return f"return air {temperature(RETURN_F, house.table)}"
    if one.what in ("supply voltage", "firing rate", "pump pressure"):
        return assumed_fact_text(one.what, one.value, one.unit)
    if one.what == "per ton":
        low, high = ("" if end is None else per_ton_limit(house, end) for end in (one.low, one.high))
        both = f"{low.partition(' ')[0]} to {high}"
        said = both if low and high else f"minimum {low}" if low else f"maximum {high}"
        return f"{said}, {listed(one.calls)}"
    return f"{one.what} {per_ton_limit(house, one.value)}" if one.unit == "cfm/ton" and one.value else one.what


def not_checked(house: House, stages: Sequence[Expected]) -> tuple[NotCheckedData, ...]:
    """What could not be checked for want of a fact, stage by stage."""
    out: dict[NotCheckedData, None] = {}
    for one in stages:
        told = [("", remark_text(why, house.table), "") for why in one.aim.unknown]
        told += [(j.limit.source, j.why, j.needs) for j in one.stands.unjudged]
        no = one.stands.outcome
        if isinstance(no, No) and no.kind == "not_known" and not one.stands.depends:
            told.append(("", no.why, no.needs))
        for limit, why, needs in told:
            data = NotCheckedData(call=one.aim.call, stage=one.aim.stage, limit=limit, why=why, needs=needs)
            out.setdefault(data)
    return tuple(out)


def not_checked_lines(house: House, stages: Sequence[Expected]) -> list[str]:
    """`cooling first, cooling second: model is not given: add model=060, 080 or 110`: each fact once, the stages
    together."""
    models = house.table.unit.models
    titles: dict[tuple[str, str], dict[str, None]] = {}
    for one in not_checked(house, stages):
        titles.setdefault((one.why, one.needs), {}).setdefault(f"{one.call} {one.stage}".strip())
    return [
        f"{', '.join(names)}: {why}" + (f": add model={listed(models, 'or')}" if needs == "model" and models else "")
        for (why, needs), names in titles.items()
    ]
