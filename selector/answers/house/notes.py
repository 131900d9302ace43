"""What is said beside the setting: what could not be checked, static, fan power, water put back."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction

from selector.air.figure import Figure, written
from selector.answers.remarks.coil import cooling_steps, cooling_title
from selector.answers.words.airflow import airflow_text
from selector.answers.words.arithmetic import shown_arithmetic
from selector.answers.words.figure import ShownFigure, apart
from selector.answers.words.listing import ended, listed
from selector.answers.words.note import page_notes as notes_of_page
from selector.answers.words.static_parts import face_line, first_look, pressure_text, then_text
from selector.job.board.expected import Expected
from selector.job.board.moisture import WaterPutBack
from selector.job.board.solution import Solution
from selector.job.board.would_fit import Kind, WouldFit
from selector.job.plan.plan import Plan
from selector.job.targets.house import House
from selector.job.verify.static_parts import static_at, statics_of
from selector.job.verify.verify import coils
from selector.table.model.table import No
from selector.units import format_number
from selector.value import Published


def page_notes(house: House, stages: Sequence[Expected]) -> list[str]:
    """The notes of the page that apply to what runs, or would if the page allowed it: of unit, calls, charts, rows,
    selectors."""
    unit = house.table.unit.note
    stopped = [isinstance(no := one.stands.outcome, No) and no.kind == "does_not_run" for one in stages]
    running = (n for one, stops in zip(stages, stopped, strict=True) if not stops for n in one.stands.notes)
    return list(dict.fromkeys([*([unit] if unit else []), *notes_of_page(running)]))


def coil_lines(found: Solution, *, off: tuple[bool, ...] = (True, False)) -> list[str]:
    """`LOW, cooling second, coil: split 13.0 F, 6.4 F below the 19.4 F expected.` and what comes next: of coils that
    are off what was expected, and of others."""
    read = coils(found.house, found.before) if found.start != "factory" else ()
    read = tuple((title, one) for title, one in read if (one.word in ("low", "high")) in off)
    return [" ".join([cooling_title(f"{title}, coil", one, found.house), *cooling_steps(one)]) for title, one in read]


def part_lines(found: Solution) -> list[str]:
    """`cooling second: look at the filter first: 0.18 in. w.c., ..`: of every static that was read part by part."""
    house, out = found.house, []
    for one in statics_of(house, found.before) if found.start != "factory" and found.pressures else ():
        title = f"{one.pressure.call} {one.pressure.stage}".strip()
        if one.profile is not None:
            out += [f"{title}: {line[:1].lower()}{line[1:]}" for line in first_look(one.profile, house)]
            out += [f"{title}: {line}." for line in face_line(one.profile) if one.profile.face_over]
    return out


def static_lines(found: Solution) -> list[str]:
    """Every static that was measured: a WARNING where it is over plate or chart; what it comes to at the setting that
    is offered, or nearest."""
    house, offered = found.house, found.best or found.nearest
    out = _measured(found)
    for one in statics_of(house, found.before) if found.start != "factory" and found.pressures else ():
        title = f"{one.pressure.call} {one.pressure.stage}".strip()
        then = None if offered is None else static_at(house, one, offered.setting)
        if then is not None and then.then.value != then.now.value and offered is not None and offered.moves:
            what = "expect" if found.best is not None else "the closest setting would take"
            out.append(ended(f"static, {title}: {what} {then_text(then, house)}"))
    return out


def _static(figure: Figure, house: House) -> str:
    """A static as it was typed; in the unit of a table that has another."""
    return written(figure) if house.table.units.pressure == "in. w.c." else pressure_text(figure, house)


def _measured(found: Solution) -> list[str]:
    """Every static as it was read."""
    out = []
    for p in found.pressures:
        where = f"{p.call} {p.stage}".strip()
        if not p.above:
            ends = [end for end in (p.plate, p.holds) if end is not None]
            most = (
                f", maximum {_static(min(ends, key=lambda e: e.value), found.house)}"
                if ends
                else "; add plate static=.. to judge it"
            )
            out.append(ended(f"static {_static(p.measured, found.house)} in {where}{most}"))
            continue
        value = ShownFigure(value=p.measured.value, kind="pressure", unit="in. w.c.", printed=True)
        over = []
        for end in p.above:
            _, distance = apart(value, ShownFigure(value=end.value, kind="pressure", unit="in. w.c.", printed=True))
            whose = "the plate's" if end.name == "plate_static" else "the chart's"
            over.append(f"{distance} over {whose} {written(end)}")
        out.append(
            f"WARNING: static {written(p.measured)} in {where}, {listed(over)}: no airflow is raised. Filter, coil,"
            " dampers and duct first."
        )
    return out


def watts_lines(plan: Plan) -> Iterator[str]:
    """Watts and cost of the blower, with the arithmetic."""
    for figure in plan.watts:
        note = f" ({figure.note})" if figure.note else ""
        yield f"{figure.name.replace('_', ' ')}: {shown_arithmetic(figure, plan.house.table)}{note}"


FIT_HEADING = "What would make it fit"


class WouldFitData(Published, frozen=True, kw_only=True):
    """What would make a setting fit: the greatest input, nozzle or heater of a stage at an airflow, the least face of a
    thing by its `name`, or another model."""

    kind: Kind
    stage: str
    value: Fraction | None
    unit: str
    airflow: Fraction | None
    name: str


def fits_data(fits: Iterable[WouldFit]) -> tuple[WouldFitData, ...]:
    """The same for JSON."""
    return tuple(
        WouldFitData(
            kind=one.kind,
            stage=one.title,
            value=one.value or None,
            unit=one.unit,
            airflow=one.airflow or None,
            name=one.model or one.name,
        )
        for one in fits
    )


def fit_lines(house: House, fits: Iterable[WouldFit]) -> list[str]:
    """Limits to know, never an instruction: `heating: with 1,850 cfm at most 1.06 gph.`; the models that would fit."""
    out = []
    models = []
    for one in fits:
        if one.kind == "model":
            models.append(one.model)
        elif one.kind == "face":
            out.append(f"{one.title}: {one.name} of at least {format_number(one.value, 2)} {one.unit}.")
        else:
            places = {"input": 0, "nozzle": 2, "heater": 1}[one.kind]
            floor = (one.value * 10**places) // 1 / Fraction(10**places)
            airflow = airflow_text(house.table, one.airflow)
            out.append(f"{one.title}: with {airflow} at most {format_number(floor, places)} {one.unit}.")
    if any(one.kind in ("input", "nozzle", "heater") for one in fits):
        out.append("A limit to know: never change orifice, gas pressure or nozzle to it.")
    if models:
        out.append(f"Model {listed(models, 'or')} of this table would fit, everything else as it is.")
    return out


def water_line(water: WaterPutBack | None) -> str:
    """`humid climate: the 60 s blower-off delay and a constant fan put water from the coil back in the air.`"""
    if water is None:
        return ""
    what = [
        f"the {format_number(water.off_delay_s, 0)} s blower-off delay" if water.off_delay_s else "",
        "a ramp down after cooling" if water.ramp_down else "",
        "a constant fan" if water.constant_fan else "",
    ]
    said = [one for one in what if one]
    return f"humid climate: {listed(said)} put{'s' if len(said) == 1 else ''} water from the coil back in the air."
