"""How a danger or a warning is said: its first sentence, and what to do next. The one place for it."""

from __future__ import annotations

import re
from collections.abc import Sequence
from fractions import Fraction
from typing import Literal

from selector.air.figure import Figure, Given
from selector.answers.remarks.danger_words import FIRST, steps
from selector.answers.words.airflow import airflow_number, airflow_text
from selector.answers.words.limit import WHOSE
from selector.answers.words.listing import ended
from selector.answers.words.move import move_text
from selector.job.danger.hazard import Hazard, Raised, no_moves, stops
from selector.job.file.report import Report
from selector.job.house.plate import LimitOwner
from selector.table.model.table import Table, Units
from selector.units import convert, format_number, parse_quantity, plain, rise
from selector.value import Published, data_of, replace

WAITS = "Nothing else is worked out until that is put right."
STAYS = "Move no selector until that is put right."
_OPTIONAL = re.compile(r"\[([^\]]*)\]")
_PLACES = {"F": 1, "C": 1, "in. w.c.": 2, "Pa": 0, "cfm": 0, "L/s": 0, "m3/h": 0, "Btu/h": 0, "ppm": 0, "V": 0, "kW": 1}


class DangerData(Published, frozen=True, kw_only=True):
    """One danger in JSON: `value` and `limit` in `unit`."""

    level: Literal["DANGER", "WARNING"]
    what: str
    call: str
    stage: str
    value: float | None
    limit: float | None
    unit: str
    by_chart: bool
    said: str
    steps: tuple[str, ...]


OWNER_WORDS: dict[LimitOwner, str] = {
    "plate": WHOSE["plate"],
    "manual": WHOSE["manual"],
    "chart": "what the chart holds up to,",
    "derate": "the derated",
    "assumed": "the assumed limit of",
    "maker": "the maker's limit of",
}
"""As it is said before the figure."""


def sentence(one: Hazard, table: Table | None) -> str:
    """`DANGER, heating second: rise 69.0 F, 4.0 F over the plate's 65 F: can overheat the heat exchanger.`"""
    value, limit, unit = _shown(one, table)
    apart = None if value is None or limit is None else abs(value - limit)
    differs = one.what in ("rise over", "rise under")
    exact = one.what.startswith(("outlet", "return"))
    words = {
        "value": "" if value is None else _figure(value, unit, one, whole=exact),
        "over": "" if apart is None else _figure(apart, unit, one, whole=exact),
        "under": "" if apart is None else _figure(apart, unit, one, whole=exact),
        "limit": "" if limit is None else _limit(limit, unit, one),
        "whose": "" if one.whose is None else OWNER_WORDS[one.whose],
        "what": one.subject,
        "hurts": _hurts(one) if differs else "",
    }
    text = _OPTIONAL.sub(lambda m: _part(m[1], words), FIRST[one.what]).format(**words)
    where = f", {one.title}" if one.title else ""
    chart = " (by the chart)" if one.by_chart and one.what in ("rise over", "outlet over") else ""
    return ended(f"{one.row.level}{where}: {text.rstrip('.')}{chart}")


def _other_unit(one: Hazard, table: Table | None) -> list[str]:
    """`Typed 52 C: or 52 F?`, of a rise that the table's own degrees would put inside its limit."""
    typed = one.value.typed if one.what == "rise over" and isinstance(one.value, Given) else ""
    limit, own = _shown(one, table)[1], table.units.temperature if table is not None else ""
    read = parse_quantity(typed) if typed else None
    if not own or read is None or read.unit is None or limit is None or read.unit.name == own or read.value > limit:
        return []
    return [f"  Typed {typed}: or {plain(read.value)} {own}?"]


def _part(text: str, words: dict[str, str]) -> str:
    """A part in brackets, empty where one of its figures isn't known."""
    names = re.findall(r"\{(\w+)\}", text)
    return text if all(words[name] for name in names) else ""


def _hurts(one: Hazard) -> str:
    if one.what == "rise over":
        return "can overheat the heat exchanger" if one.fuel else "can overheat the heater"
    if one.fuel:
        return "flue gas can condense in the heat exchanger or the vent"
    return "cool air at the registers"


def _shown(one: Hazard, table: Table | None) -> tuple[Fraction | None, Fraction | None, str]:
    """Value and limit in the table's units, and that unit; as they were read where no table is known."""
    figure = one.value or one.limit
    unit = "" if figure is None else figure.unit
    units = Units() if table is None else table.units
    own = {"F": units.temperature, "cfm": units.airflow, "in. w.c.": units.pressure}.get(unit, unit)

    def turned(f: Figure | None) -> Fraction | None:
        if f is None or own == unit or f.unit != unit:
            return None if f is None else f.value
        return rise(f.value, unit, own) if one.what.startswith("rise") else convert(f.value, unit, own)

    return turned(one.value), turned(one.limit), own


def _figure(value: Fraction, unit: str, one: Hazard, *, whole: bool) -> str:
    """A computed figure: decimals by its unit, more where rounding would hide it."""
    if one.what in ("smaller heater", "smaller nozzle"):
        return f"{format_number(value, 2).rstrip('0').rstrip('.') if value else 'none'}" + (f" {unit}" if value else "")
    places = 0 if whole and unit in ("F", "C") else _PLACES.get(unit, 1)
    while places < 3 and value and abs(value) < Fraction(1, 2 * 10**places):
        places += 1
    return f"{format_number(value, places)} {unit}".strip()


def _limit(value: Fraction, unit: str, one: Hazard) -> str:
    """A typed or printed limit keeps its digits."""
    if unit == "cfm" or one.what == "strip heat":
        return f"{format_number(value, 0)} {unit}"
    number = format_number(value, 0 if unit == "Pa" else 2)
    return f"{number.rstrip('0').rstrip('.') if '.' in number else number} {unit}".strip()


RUNS_ON = "rise over"
"""The danger beside which the heat may run while somebody measures: not where another one shuts it off."""


LEAVE = "gas"
"""The danger that everyone leaves for: nobody is told to do anything else in the house."""


def first_lines(found: Sequence[Hazard], table: Table | None) -> list[str]:
    """Every danger and warning, said before all else; then what to do about each, one kind once, in their order."""
    out: list[str] = []
    for one in found:
        out.append(sentence(one, table))
        if one.seen:
            out.append(f"  {'Complaint' if one.complained else 'Seen'}: {one.seen}")
        out += _other_unit(one, table)
        if one.if_sea_level is not None:
            here = f"{format_number(one.if_sea_level.value, 0)} Btu/h"
            out.append(f"  Heating value at the meter, from the utility? If it is one of sea level: {here}.")
    heat_off = any(one.what != RUNS_ON and one.row.level == "DANGER" for one in found)
    acts = [one for one in found if one.what != RUNS_ON or not heat_off]
    if any(one.what == LEAVE for one in found):
        acts = [one for one in found if one.what == LEAVE]
    elif stops(found):
        acts = [one for one in found if one.row.leaves == "nothing"]
    out += dict.fromkeys(f"  {step}" for one in acts for step in next_steps(one, table))
    if stops(found):
        out.append(WAITS)
    elif no_moves(found):
        out.append(STAYS)
    return out


def next_steps(one: Hazard, table: Table | None) -> tuple[str, ...]:
    """What to do about one, the move named and the static it brings."""
    if one.move is None or table is None:
        return steps(one.what, one.fuel)
    move = move_text(table, one.move)
    raised = () if one.raised is None else (f"{move}: {_raised(one.raised, table)}",)
    return (*steps(one.what, one.fuel, move), *raised)


def _raised(one: Raised, table: Table) -> str:
    """`heater alone 620 to 930 cfm takes 2.25 times the static, 0.68 in. w.c., over its 0.50. Measure it.`"""
    now, then = airflow_number(table, one.now), airflow_text(table, one.then)
    said = f"{one.title} {now} to {then} takes {format_number(one.times, 2)} times the static"
    if one.static_then is not None:
        unit = table.units.pressure
        said += f", {_pressure(one.static_then, unit)}"
        if one.most is not None:
            over = "over" if one.static_then.value > one.most.value else "inside"
            said += f", {over} its {_pressure(one.most, unit).removesuffix(f' {unit}')}"
    return f"{said}. Measure it."


def _pressure(figure: Figure, unit: str) -> str:
    return f"{format_number(convert(figure.value, figure.unit, unit), _PLACES.get(unit, 1))} {unit}"


def subjects(found: Sequence[Hazard]) -> frozenset[str]:
    """The selectors that are spoken of, and what each danger is."""
    return frozenset(word for one in found for word in (one.subject, one.what) if word)


def data(found: Sequence[Hazard], table: Table) -> tuple[DangerData, ...]:
    """The same for JSON."""
    out = []
    for one in found:
        value, limit, unit = _shown(one, table)
        out.append(
            DangerData(
                level=one.row.level,
                what=one.what,
                call=one.call,
                stage=one.stage,
                value=None if value is None else float(value),
                limit=None if limit is None else float(limit),
                unit=unit,
                by_chart=one.by_chart,
                said=sentence(one, table),
                steps=next_steps(one, table),
            )
        )
    return tuple(out)


def with_dangers(report: Report, found: Sequence[Hazard], table: Table) -> Report:
    """An answer with its dangers first. Where nobody may touch a selector the answer itself is left out; a danger or a
    warning is never fine (exit 1)."""
    if not found:
        return report
    dangers = [data_of(one) for one in data(found, table)]
    lines = first_lines(found, table)
    if stops(found):
        return Report(lines=tuple(lines), data={**report.data, "dangers": dangers}, exit_code=1)
    return replace(
        report,
        lines=(*lines, "", *report.lines),
        data={**report.data, "dangers": dangers},
        exit_code=max(1, report.exit_code),
    )
