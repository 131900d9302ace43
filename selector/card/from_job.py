"""The card of a job: the board as it was found and is left, what was aimed at, expected and measured, taken from one
job file."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from selector.air.figure import Worked, text, written
from selector.answers.danger import OWNER_WORDS, next_steps, sentence, subjects
from selector.answers.house.allowed import end_words
from selector.answers.house.setting import fire_lines, first_of_board
from selector.answers.house.stages import airflow_of, apart_text
from selector.answers.house.strips import strips_of
from selector.answers.house.targets import why_targets
from selector.answers.remarks.coil import cooling_title
from selector.answers.remarks.remark import remark_text
from selector.answers.verify.steps import steps_of
from selector.answers.verify.verdict import percent_of, titled
from selector.answers.visits.words import SEASONS, owed_by_season, shown
from selector.answers.words.airflow import in_units
from selector.answers.words.arithmetic import airflow, difference, in_table_units, per_ton, worked_difference
from selector.answers.words.assumed_marks import assumed_marks
from selector.answers.words.figure import ShownFigure, allowed_text, apart, number_of, range_text
from selector.card.content import Card, HouseOnCard, MeasuredAirflow, ReadOnCard, VisitOnCard, build_card
from selector.job.board.allowed import allowed_of
from selector.job.board.expected import Expected, expected, judged, rises_of
from selector.job.danger.hazard import Hazard
from selector.job.danger.house import hazards_of_board
from selector.job.file.model import Job, Reading
from selector.job.house.heating import clocked_by
from selector.job.house.lines_to_add import marks_to_add
from selector.job.house.plate import rise_as_set, whose
from selector.job.readings.static import Pressure
from selector.job.targets.house import House, table_of
from selector.job.verify.judged_state import JudgedState
from selector.job.verify.verdict import Verdict
from selector.job.visits.measured_at import VisitRecord
from selector.job.visits.owed import UnitRecord, unit_record
from selector.judge.decode import with_steps
from selector.problems import Problem, Refused
from selector.solve.board.marks import marks_of
from selector.table.model.table import No, Setting, Table
from selector.units import convert, format_number


def job_card(job: Job, *, place: str = "", by: str = "", date: str = "", turned: int = 0) -> Card:
    """The card. Raises Refused where the job doesn't say how the board is left (or was found, where nothing was
    moved)."""
    library = table_of(job)
    unit = unit_record(job, library)
    house = unit.house
    job, table = house.job, house.table
    left = house.now
    if left is None:
        help = marks_to_add("as left", table, house.known.facts.model)
        message = "the job doesn't say how the board is left"
        raise Refused([Problem(file=job.file, line=0, column=0, code="no-marks", message=message, help=help)])
    found = house.known.found
    board = judged(house, house.search, left)
    stages = expected(house, house.search, board)
    before = expected(house, house.search, judged(house, house.search, found)) if found is not None else ()
    states = unit.now.judged
    found_so = hazards_of_board(house, left)
    dangers = [one for one in found_so if one.row.level == "DANGER"]
    read_so = [one for one in found_so if not one.by_chart]
    return build_card(
        house.engine,
        with_steps(house.engine, board, house.marks(left).unread),
        found,
        known=HouseOnCard(
            strips=strips_of(house, stages, before),
            dangers=tuple(_with_step(one, table) for one in dangers),
            broken=(
                *(_with_step(one, table) for one in found_so if one not in dangers),
                *(
                    (cooling_title(one.verdict.state.title, one.cooling, house), "")
                    for one in states
                    if one.cooling is not None and one.cooling.word in ("low", "high")
                ),
                *((one, "") for one in _outside(house, stages)),
                *((one, "") for one in fire_lines(house, subjects(found_so), board=False)),
            ),
            first=(
                *first_of_board(house, left),
                *(remark_text(n, table) for n in house.known.not_typed),
                *(f"assumed, {text}" for text in assumed_marks(house.engine, left, house.known.assumed)),
                *_unread(left, table),
            ),
            verdicts=tuple(titled(one.verdict, house) for one in states if one.verdict.moved),
            measured={
                (one.verdict.state.call, one.verdict.state.stage): _measured(one.verdict, table, read_so)
                for one in states
                if one.verdict.moved
            },
            reads=tuple(_reads(house, states, read_so)),
            plate=tuple(_plate(job)),
            board={name: word.text for name, word in job.board.items()},
            facts=tuple(_code_facts(job)),
            sums=tuple(why_targets(house, stages, details=False)),
            expected={
                (one.aim.call, one.aim.stage): said
                for one in stages
                if (said := ", ".join(x for x in (_target(house, one), _expected(one, table)) if x))
            },
            owed=(*_next(house, states), *_owed(unit)),
            visits=tuple(_visit(one, table) for one in unit.visits),
            clocked=clocked_by(job) or any(t.input is not None for one in states for t in one.verdict.state.taken),
        ),
        table=library,
        place=place or (job.place.text if job.place is not None else ""),
        by=by or (job.by.text if job.by is not None else ""),
        date=date or (job.date.text if job.date is not None else ""),
        turned=turned,
    )


def _with_step(one: Hazard, table: Table) -> tuple[str, str]:
    """What is dangerous, and what to do first."""
    return sentence(one, table), next(iter(next_steps(one, table)), "")


def _owed(unit: UnitRecord) -> Iterator[str]:
    """What is still to be done, a line a season."""
    owed = owed_by_season(unit)
    yield from (f"{SEASONS[season]}: {', '.join(owed[season])}" for season in SEASONS if season in owed)


def _visit(visit: VisitRecord, table: Table) -> VisitOnCard:
    """A visit with the static and the rise it read last."""
    read = {one.name: number_of(shown(one, table)) for one in visit.figures}
    return VisitOnCard(
        date=visit.date,
        by=visit.job.by.text if visit.job.by is not None else "",
        marks=marks_of(visit.left, table) if visit.left is not None else "",
        static=read.get("static pressure", ""),
        rise=read.get("rise", ""),
        outside=any(one.what == "static over" for one in visit.verdicts.dangers),
    )


def _next(house: House, judged: Sequence[JudgedState]) -> Iterator[str]:
    """What each verdict sends to next."""
    for one in judged:
        if one.step.kind != "nothing":
            yield f"{one.verdict.state.title}: {' '.join(steps_of(one, house))}"


def _unread(left: Setting, table: Table) -> tuple[str, ...]:
    """Marks that nobody could read."""
    names = [part.name for part, at in zip(table.parts, left, strict=True) if at is None]
    return (f"not read: {', '.join(names)}",) if names else ()


def _plate(job: Job) -> list[tuple[str, str]]:
    """What the job has from the plates of the equipment, and what its rises are worked out with: altitude and
    derate."""
    outdoor, heat = job.outdoor, job.heat
    out = [("altitude", job.site.altitude.text)] if job.site.altitude is not None else []
    out += [("outdoor unit", outdoor.capacity.text)] if outdoor is not None and outdoor.capacity is not None else []
    if heat is not None:
        out += [("heat", heat.kind.text)] if heat.kind is not None else []
        out += (
            [("heat input", ", ".join(f"{stage} {a.text}".strip() for stage, a in heat.input.items()))]
            if heat.input
            else []
        )
        singles = (
            ("heater", heat.heater),
            ("nozzle", heat.nozzle),
            ("pump pressure", heat.pump_pressure),
            ("supply voltage", heat.supply_voltage),
        )
        out += [(name, amount.text) for name, amount in singles if amount is not None]
        out += [("altitude derate", heat.derate.text)] if heat.derate is not None else []
    return out


def _code_facts(job: Job) -> list[tuple[str, str]]:
    """What a card's code may carry of the job, by the names it is typed with."""
    heat, outdoor = job.heat, job.outdoor
    said = {
        "model": job.model,
        "plate model": job.plate_model,
        "motor": job.motor,
        "altitude": job.site.altitude,
        "derate": heat.derate if heat is not None else None,
        "tons": outdoor.capacity if outdoor is not None else None,
    }
    put_in = ", ".join(f"{stage} {a.text}".strip() for stage, a in heat.input.items()) if heat is not None else ""
    return [*((name, typed.text) for name, typed in said.items() if typed is not None), ("heat input", put_in)]


def _target(house: House, one: Expected) -> str:
    """`target 1,050 cfm, allowed 900 to 1,248 cfm`; a share in its own words."""
    aim, table = one.aim.aim, house.table
    if aim.share_percent is not None:
        said = remark_text(aim.basis, table) if aim.basis is not None else ""
    elif aim.low_cfm is not None and aim.high_cfm is not None:
        said = range_text(_air(aim.low_cfm, table), _air(aim.high_cfm, table))
    else:
        said = airflow(aim.charted.value, table) if aim.charted is not None else ""
    span = allowed_of(house, one).range
    low, high = (None if end is None else in_units(table).worked(end, "airflow") for end in span.ends)
    ends = [(low, None), (None, high)] if span.empty else [(low, high)]
    allowed = [allowed_text(*pair) for pair in ends if pair != (None, None)]
    return ", ".join([*([f"target {said}"] if said else []), *allowed])


def _air(cfm: Fraction, table: Table) -> ShownFigure:
    return in_units(table).worked(convert(cfm, "cfm", table.units.airflow), "airflow")


def _expected(one: Expected, table: Table) -> str:
    """Rise, air per ton and split to expect; two figures where the chart can be read two ways."""
    rises = [worked_difference(value, table) for value in rises_of(one, table)]
    each = [per_ton(read.per_ton.value, table) for read in one.read_as if read.per_ton is not None]
    splits = [worked_difference(read.split.value, table) for read in one.read_as if read.split is not None]
    said = (("rise ", rises), ("", each), ("split ", splits))
    return ", ".join(f"{word}{' or '.join(dict.fromkeys(texts))}" for word, texts in said if texts)


def _measured(verdict: Verdict, table: Table, dangers: Sequence[Hazard]) -> MeasuredAirflow:
    """The airflow measured under each reading of the chart, its method and band, how far it is from the setting."""
    state, selected = verdict.state, verdict.selected
    figures = [format_number(convert(m.airflow.value, "cfm", table.units.airflow), 0) for m in verdict.moved]
    rate = f" at {state.rate} % fire" if state.rate else ""
    method = f"{verdict.moved[0].measured.method} +-{percent_of(verdict.moved[0].band)} %{rate}"
    off = ""
    if not isinstance(selected, No) and selected.value:
        share = (verdict.moved[0].airflow.value - selected.value) / selected.value
        off = f"{'-' if share < 0 else '+'}{format_number(abs(100 * share), 1)} %"
    outside = verdict.standing in ("below", "above") or any(
        (one.call, one.stage) == (state.call, state.stage) and one.what in ("rise over", "rise under", "strip heat")
        for one in dangers
    )
    return MeasuredAirflow(figure=" or ".join(dict.fromkeys(figures)), method=method, off=off, outside=outside)


def _reads(house: House, judged: Sequence[JudgedState], dangers: Sequence[Hazard]) -> Iterator[ReadOnCard]:
    """What was read besides airflow, with the call it was read in."""
    job, table = house.job, house.table
    passed = {(one.what, one.call, one.stage) for one in dangers}
    for one in judged:
        state = one.verdict.state
        at = (state.call, state.stage)
        for taken in state.taken:
            if taken.rise is not None:
                call = house.engine.table.calls[state.call]
                low, high = rise_as_set(job, house.engine, call, state.stage, state.setting)
                ends = ""
                if low is not None and high is not None:
                    low_text, high_text = difference(low.value, table), difference(high.value, table)
                    by = OWNER_WORDS[whose(high)]
                    ends = f", {by} {low_text.partition(' ')[0]} to {high_text}"
                yield ReadOnCard(
                    name=state.title,
                    text=f"{_temperatures(taken.reading)}rise {difference(taken.rise.value, table)}{ends}",
                    outside=bool({("rise over", *at), ("rise under", *at)} & passed),
                )
        if one.verdict.static is not None:
            words = (t.reading.words.get("ports") for t in state.taken)
            ports = next((f", {word.text}" for word in words if word is not None), "")
            said = f"{_static(one.verdict.static, table)}, {state.title}{ports}"
            yield ReadOnCard(name="static", text=said, outside=bool(one.verdict.static.above))
        if one.profile is not None:
            parts = ", ".join(f"{p.name} {format_number(p.drop.value, 2)}" for p in one.profile.parts)
            first = f"; look at the {one.profile.first.name} first" if one.profile.first is not None else ""
            yield ReadOnCard(name="static by part, in. w.c.", text=f"{parts}{first}, {state.title}")
        if one.cooling is not None:
            yield ReadOnCard(name="cooling coil", text=cooling_title(state.title, one.cooling, house))
        for taken in state.taken:
            if taken.input is not None:
                figure = in_table_units(taken.input, table)
                said = text(figure) if isinstance(figure, Worked) else written(figure)
                outside = any(what in ("input over", "input derated") for what, *_ in passed)
                yield ReadOnCard(name=f"clocked, {state.title}", text=said, outside=outside)
            if taken.watts is not None:
                yield ReadOnCard(name=f"watts, {state.title}", text=written(taken.watts))
    filters = dict.fromkeys(r.words["filter"].text for r in job.measurements if "filter" in r.words)
    sizes = [c.area.text for c in job.ceilings if c.name == "filter" and c.area is not None]
    if filters:
        yield ReadOnCard(name="filter", text=", ".join((*filters, *sizes)))


def _static(static: Pressure, table: Table) -> str:
    """`0.25 return + 0.30 supply = 0.55 in. w.c. (plate 0.8)`, in the table's unit."""
    unit = table.units.pressure
    places = 2 if unit == "in. w.c." else 0

    def shown(inches: Fraction) -> str:
        return format_number(convert(abs(inches), "in. w.c.", unit), places)

    measured = static.measured
    sides = ""
    if isinstance(measured, Worked) and len(measured.inputs) == 2:
        sides = " + ".join(f"{shown(f.value)} {w}" for f, w in zip(measured.inputs, ("return", "supply"), strict=True))
        sides += " = "
    ends = [
        f"{'plate' if end.name == 'plate_static' else 'the chart holds up to'} {shown(end.value)}"
        for end in (static.plate, static.holds)
        if end is not None
    ]
    return f"{sides}{shown(measured.value)} {unit}" + (f" ({', '.join(ends)})" if ends else "")


def _temperatures(reading: Reading) -> str:
    """`70 F in, 122 F out, `."""
    ends = [
        f"{reading.values[key].text} {word}"
        for key, word in (("return air", "in"), ("supply air", "out"))
        if key in reading.values
    ]
    return f"{', '.join(ends)}, " if ends else ""


def _outside(house: House, stages: Sequence[Expected]) -> Iterator[str]:
    """Stages outside what the house allows, by how much, and whose limit it is."""
    units = in_units(house.table)
    for one in stages:
        found = one.answer.airflow
        if one.stands.stands != "outside" or not isinstance(found, Fraction):
            continue
        allowed, far = allowed_of(house, one), []
        for end, sign, word in ((allowed.low, -1, "below"), (allowed.high, 1, "over")):
            if end is not None and (found - end.airflow) * sign > 0:
                _, distance = apart(units.worked(found, "airflow"), units.worked(end.airflow, "airflow"))
                distance = distance.removesuffix(f" {house.table.units.airflow}")
                far.append(f"{distance} {word} ({end_words(house, end).words})")
        yield f"{one.title} {airflow_of(house, one)}, {'; '.join(far) or apart_text(house, one)}"
