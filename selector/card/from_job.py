"""The card of a job: the board as it was found and is left, what was aimed at, expected and measured, taken from one
job file."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from selector.air.figure import Worked, written
from selector.answers.danger import sentence
from selector.answers.house.allowed import end_words
from selector.answers.house.setting import first_of_board
from selector.answers.verify.cooling import cooling_title
from selector.answers.words.airflow import airflow_text
from selector.card.content import CLOCKED, FILTER, RETURN_STATIC, SUPPLY_STATIC, Card, build_card
from selector.job.board.allowed import AllowedEnd
from selector.job.board.expected import Expected, expected, judged
from selector.job.danger.house import hazards
from selector.job.file.model import Job, Reading
from selector.job.house.lines_to_add import marks_to_add
from selector.job.house.shown_units import airflow, difference, window
from selector.job.readings.external_static import is_profile
from selector.job.targets.aims import StageAim
from selector.job.targets.house import House, house_of, table_of
from selector.job.verify.judged_state import JudgedState
from selector.job.verify.verdict import Verdict
from selector.job.verify.verify import verified
from selector.problems import Problem, Refused
from selector.solve.engine.evaluate import beyond
from selector.table.model.table import Setting, Table
from selector.units import format_number

PARTS, COIL = "static by part, in. w.c.", "cooling coil"


def job_card(job: Job, *, place: str = "", by: str = "", date: str = "", turned: int = 0) -> Card:
    """The card. Raises Refused where the job doesn't say how the board is left (or was found, where nothing was
    moved)."""
    library = table_of(job)
    house = house_of(job, library)
    job, table = house.job, house.table
    left = house.now
    if left is None:
        help = marks_to_add("as left", table, house.known.facts.model)
        raise Refused(
            [
                Problem(
                    file=job.file,
                    line=0,
                    column=0,
                    code="no-marks",
                    message="the job doesn't say how the board is left",
                    help=help,
                )
            ]
        )
    stages = expected(house, house.search, judged(house, house.search, left))
    states = verified(house).judged if job.measurements else ()
    dangers = hazards(house, left)
    return build_card(
        house.engine,
        left,
        house.known.found,
        targets={(one.call, one.stage): text for one in house.aims if (text := _target(one, table))},
        expected={(one.aim.call, one.aim.stage): text for one in stages if (text := _expected(one, table))},
        measured={
            (one.verdict.state.call, one.verdict.state.stage): _measured(one.verdict, table)
            for one in states
            if one.verdict.moved
        },
        readings=_readings(house, states),
        table=library,
        plate=_plate(job),
        board={name: word.text for name, word in job.board.items()},
        warnings=(
            *(sentence(one, table) for one in dangers),
            *(
                cooling_title(one.verdict.state.title, one.cooling, house)
                for one in states
                if one.cooling is not None and one.cooling.word in ("low", "high")
            ),
            *first_of_board(house, left),
            *house.known.not_typed,
            *_unread(left, table),
            *_outside(house, stages),
            *beyond(house.engine),
        ),
        place=place or (job.place.text if job.place is not None else ""),
        by=by or (job.by.text if job.by is not None else ""),
        date=date or (job.date.text if job.date is not None else ""),
        turned=turned,
    )


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


def _target(one: StageAim, table: Table) -> str:
    """`1,050 cfm, 900 to 1,248 cfm`: the aim and its window; a share in its own words."""
    aim = one.aim
    if aim.share_percent is not None:
        said = aim.words
    elif aim.low_cfm is not None and aim.high_cfm is not None:
        said = window(aim.low_cfm, aim.high_cfm, table)
    else:
        said = airflow(aim.charted.value, table) if aim.charted is not None else ""
    low, high = (None if bound is None else bound.figure.value for bound in (one.low, one.high))
    ends = [(low, None), (None, high)] if one.empty else [(low, high)]
    return ", ".join(text for text in (said, *(window(*pair, table) for pair in ends if pair != (None, None))) if text)


def _expected(one: Expected, table: Table) -> str:
    """Rise, air per ton and split to expect; two figures where the chart can be read two ways."""
    rises = [difference(read.rise.value, table) for read in one.read_as if read.rise is not None]
    per_ton = [f"{format_number(read.per_ton.value, 0)} cfm/ton" for read in one.read_as if read.per_ton is not None]
    splits = [difference(read.split.value, table) for read in one.read_as if read.split is not None]
    said = (("rise ", rises), ("", per_ton), ("split ", splits))
    return ", ".join(f"{word}{' or '.join(dict.fromkeys(texts))}" for word, texts in said if texts)


def _measured(verdict: Verdict, table: Table) -> tuple[str, str]:
    """The airflow measured with its band, under each reading of the chart, and how it was measured."""
    texts = [
        f"{airflow(m.airflow.value, table)} +-{format_number(100 * m.band.value, 1).removesuffix('.0')} %"
        for m in verdict.moved
    ]
    rate = f" at {verdict.state.rate} % fire" if verdict.state.rate else ""
    return " or ".join(dict.fromkeys(texts)), verdict.moved[0].measured.method + rate


def _readings(house: House, judged: Sequence[JudgedState]) -> Mapping[str, str]:
    """What was read besides airflow, as typed, with the call it was read in."""
    out: dict[str, list[str]] = {}
    for reading in house.job.measurements:
        for name, key in (
            (RETURN_STATIC, "return static"),
            (SUPPLY_STATIC, "supply static"),
            ("static pressure, whole unit", "static pressure"),
        ):
            if key in reading.values and not is_profile(reading):
                out.setdefault(name, []).append(f"{reading.values[key].text} in {_where(reading)}")
        if "watts" in reading.values:
            out.setdefault("watts of the blower", []).append(f"{reading.values['watts'].text} in {_where(reading)}")
    for one in judged:
        out.setdefault(CLOCKED, []).extend(
            f"{written(t.input)} in {one.verdict.state.title}" for t in one.verdict.state.taken if t.input is not None
        )
        if one.profile is not None:
            static = one.verdict.static
            sides = static.measured.inputs if static is not None and isinstance(static.measured, Worked) else ()
            ports = one.profile.external.where.split(" to ")
            for name, figure, port in zip((RETURN_STATIC, SUPPLY_STATIC), sides, ports, strict=False):
                out.setdefault(name, []).append(f"{written(figure)} ({port}) in {one.verdict.state.title}")
            parts = ", ".join(f"{p.name} {format_number(p.drop.value, 2)}" for p in one.profile.parts)
            first = f"; look at the {one.profile.first.name} first" if one.profile.first is not None else ""
            out.setdefault(PARTS, []).append(f"{parts}{first}, in {one.verdict.state.title}")
        if one.cooling is not None:
            out.setdefault(COIL, []).append(cooling_title(one.verdict.state.title, one.cooling, house))
    filters = dict.fromkeys(r.words["filter"].text for r in house.job.measurements if "filter" in r.words)
    sizes = [c.area.text for c in house.job.ceilings if c.name == "filter" and c.area is not None]
    if filters:
        out[FILTER] = [*filters, *sizes]
    return {name: ", ".join(dict.fromkeys(texts)) for name, texts in out.items() if texts}


def _where(reading: Reading) -> str:
    return f"{reading.call.text} {reading.stage.text if reading.stage is not None else ''}".strip()


def _outside(house: House, stages: Sequence[Expected]) -> list[str]:
    """Airflows outside what the house allows, and whose limit it is."""
    out = []
    for one in stages:
        found, unit = one.answer.airflow, house.table.units.airflow
        side = one.aim.allowed(unit).side(found) if isinstance(found, Fraction) else "inside"
        end = {"below": one.aim.low, "above": one.aim.high, "inside": None}[side]
        if end is not None and isinstance(found, Fraction):
            whose = end_words(house, AllowedEnd(airflow=end.figure.value, bound=end)).words
            out.append(f"{one.title}: {airflow_text(house.table, found)}, outside: {whose}")
    return out
