"""Facts of a job that can't both hold, and facts of job and table that differ: both are named, and which one is used.

Where they can't both hold the job is refused at their place; where one of them is simply better known the difference is
a note.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from fractions import Fraction

from selector.job.file.checks import SLIP_FACTORS, SLIP_SHARE
from selector.job.file.model import Amount, Job, Mark, Span, TypedWord
from selector.job.file.stages import heat_stages
from selector.job.house.heater_marks import word_of
from selector.job.house.job_facts import Known
from selector.job.remark import Remark, remark
from selector.problems import Problem, Refused
from selector.solve.board.marks import mark
from selector.table.model.roles import burns, roles
from selector.table.model.table import Rating, Table
from selector.units import BTUH_PER_KW, BTUH_PER_TON, format_number, rise
from selector.value import Struct

SAME_SHARE = Fraction(2, 100)
"""Two figures of one plate that differ by less are one figure, rounded."""
NOT_WITH: dict[str, tuple[str, ...]] = {
    "gas": ("heater", "nozzle", "pump_pressure", "water_flow", "water_drop"),
    "oil": ("heater", "clocked", "derate", "water_flow", "water_drop"),
    "electric": ("input", "nozzle", "pump_pressure", "clocked", "derate", "water_flow", "water_drop"),
    "hydronic": ("input", "heater", "nozzle", "pump_pressure", "clocked", "derate"),
}
"""What stands in nobody's plate beside a kind of heat."""
BURNING = ("gas", "oil", "hydronic")
"""What a heat input on the plate may be of; a coil may sit in such a unit."""


class _Said(Struct, frozen=True):
    """What was found so far."""

    job: Job
    table: Table
    known: Known
    problems: list[Problem]
    notes: list[Remark]

    def refuse(self, at: Amount | Span | TypedWord | Mark | None, message: str, help: str, line: int = 0) -> None:
        own = at.line if at is not None else line
        source = self.job.lines[own - 1] if 0 < own <= len(self.job.lines) else ""
        column, length = (max(1, at.column), max(1, len(at.text))) if at is not None else (1, 1)
        self.problems.append(
            Problem(
                file=self.job.file or "job",
                line=own,
                column=column,
                code="contradiction",
                message=message,
                help=help,
                source=source,
                length=length,
            )
        )


def contradictions(job: Job, table: Table, known: Known, *, tried: bool = False) -> tuple[Remark, ...]:
    """What differs and which is used. Raises Refused with every two facts that can't both hold. `tried`: a what-if,
    which may hold a selector elsewhere than it was found."""
    said = _Said(job, table, known, [], [])
    for look in LOOKS:
        if not (tried and look is _held_and_found):
            look(said)
    if said.problems:
        raise Refused(said.problems)
    return tuple(said.notes)


# -- within the job


def _kind_of_heat(said: _Said) -> None:
    """A heater beside gas, a nozzle beside strips."""
    heat = said.job.heat
    if heat is None or heat.kind is None:
        return
    for attr in NOT_WITH.get(heat.kind.text, ()):
        value = getattr(heat, attr)
        if value is None or value == {} or (isinstance(value, TypedWord) and value.text == "none"):
            continue
        one = next(iter(value.values())) if isinstance(value, dict) else value
        name = attr.replace("_", " ")
        at = one if isinstance(one, Amount | Span | TypedWord) else None
        typed = f"{name}: {one.text}" if at is not None else name
        said.refuse(
            at,
            f"`kind: {heat.kind.text}` and `{typed}` contradict each other",
            f"take out one of the two: {_instead(attr)}",
            heat.line,
        )


def _instead(attr: str) -> str:
    kinds = {
        "heater": "a heater is electric",
        "input": "an input is burned (an electric heater is typed heater: 10 kW)",
        "clocked": "a meter is gas",
    }
    return kinds.get(
        attr,
        {"nozzle": "a nozzle is oil", "derate": "a derate is of gas"}.get(attr, "it belongs to another kind of heat"),
    )


def _floor_over_ceiling(said: _Said) -> None:
    """More at least than at most."""
    outdoor = said.job.outdoor
    if outdoor is None or outdoor.least_per_ton is None or outdoor.most_per_ton is None:
        return
    least, most = outdoor.least_per_ton, outdoor.most_per_ton
    if least.value > most.value:
        said.refuse(
            least,
            f"least per ton {least.text} is above most per ton {most.text}: no airflow meets both",
            "were the two swapped?",
        )


def _per_ton_outside(said: _Said) -> None:
    """A wished airflow per ton under its own floor or over its own ceiling."""
    outdoor = said.job.outdoor
    if outdoor is None or not isinstance(outdoor.airflow_per_ton, Amount):
        return
    wish, least, most = outdoor.airflow_per_ton, outdoor.least_per_ton, outdoor.most_per_ton
    if least is not None and wish.value < least.value:
        said.refuse(wish, f"airflow per ton {wish.text} is under least per ton {least.text}", "change one of the two")
    if most is not None and wish.value > most.value:
        said.refuse(wish, f"airflow per ton {wish.text} is over most per ton {most.text}", "change one of the two")


def _held_and_found(said: _Said) -> None:
    """What is held stays as it is: it can't be held elsewhere than it was found."""
    found = said.known.found
    if found is None:
        return
    for part, at in said.known.held.items():
        was = found[part]
        if was is None or was == at or part in said.known.assumed:
            continue
        name, table = said.table.parts[part].name, said.table
        held = next(
            (
                m
                for m in said.job.hold
                if m.selector.casefold() == name.casefold() or name.casefold().startswith(m.selector.casefold())
            ),
            None,
        )
        message = (
            f"{name} is held {mark(table, part, at)}, but was found {mark(table, part, was)}: what is held isn't moved"
        )
        said.refuse(
            held,
            message,
            f"type {name}: {mark(table, part, was)} under hold to leave it as it is, or take the hold out; a what-if"
            " moves it (selector plan --also)",
        )


# -- against the table


def _kind_of_table(said: _Said) -> None:
    """Strips in a gas furnace."""
    heat, of = said.job.heat, roles(said.table)
    if heat is None or heat.kind is None or heat.kind.text not in ("gas", "oil", "electric", "hydronic"):
        return
    bases = {burns(said.table, call) for name, call in said.table.calls.items() if of[name] == "heat"}
    if not bases or "" in bases:
        return
    has = {"heater power": {"electric"}, "nozzle rate": {"oil"}, "heat input": set(BURNING)}
    burned = (
        set(BURNING)
        if {"heat input", "efficiency"} <= set(said.table.ratings)
        else {"gas", "oil", "electric", "hydronic"}
    )
    kinds = set().union(*(has.get(base, burned) for base in bases))
    if heat.kind.text not in kinds:
        words = " or ".join(kind for kind in ("gas", "oil", "electric", "hydronic") if kind in kinds)
        said.refuse(
            heat.kind, f"`kind: {heat.kind.text}`, but this table's heating is {words}", "is it the table of this unit?"
        )


def _input_of_strips(said: _Said) -> None:
    """An input, which is of a burner, where every call that heats has strips."""
    heat, of = said.job.heat, roles(said.table)
    bases = {burns(said.table, call) for name, call in said.table.calls.items() if of[name] == "heat"}
    if heat is None or bases != {"heater power"} or (heat.kind is not None and heat.kind.text == "electric"):
        return
    for typed in heat.input.values():
        help = f"take it out: heater: {heat.heater.text} is there" if heat.heater else f"type heater: {typed.text}"
        said.refuse(typed, f"`heat input: {typed.text}` is of a burner, and this unit heats with electric strips", help)


def _input_on_plate(said: _Said) -> None:
    """An input that is the plate's of another model, or in another unit, or simply another."""
    job, rating = said.job, said.table.ratings.get("heat input")
    model = said.known.facts.model
    if job.heat is None or rating is None or (model is None and len(said.table.unit.models) > 1):
        return
    for stage, typed in job.heat.input.items():
        plate = _plate(rating, model, stage, said.table)
        if plate is None or _same(typed.value, plate):
            continue
        shown = f"{format_number(plate, 0)} Btu/h"
        slip = next(
            (
                units
                for factor, units in SLIP_FACTORS
                for right in (plate * factor, plate / factor)
                if _near(typed.value, right)
            ),
            "",
        )
        other = next(
            (
                m
                for m in said.table.unit.models
                if m != model and _same(typed.value, _plate(rating, m, stage, said.table))
            ),
            "",
        )
        named = (
            f"the input {typed.text} and the table's plate of model {model}, {shown},"
            if model
            else f"the input {typed.text} and the plate's {shown}"
        )
        if slip:
            said.refuse(typed, f"{named} contradict each other", f"were {slip} mixed up?")
        elif other:
            said.refuse(
                typed,
                f"{named} contradict each other",
                f"it is that of model {other}: type model: {other}, or the input of this one",
            )
        else:
            said.notes.append(_of_the_job("heat input", typed.text, shown))


def _of_the_job(what: str, typed: str, plate: str) -> Remark:
    return remark("job's figure used", what=what, typed=typed, plate=plate)


def _plate(rating: Rating, model: str | None, stage: str, table: Table) -> Fraction | None:
    """The plate's figure of a stage; of no stage that of the last. None where the plate has no figure of its own for
    it."""
    names = heat_stages(table)
    last = names[-1] if names else ""
    if stage not in ("", last) and (model or "", stage) not in rating.values and ("", stage) not in rating.values:
        return None
    value = rating.get(model, stage or last)
    return value if isinstance(value, Fraction) else None


def _same(typed: Fraction, plate: Fraction | None) -> bool:
    return plate is not None and abs(typed - plate) <= SAME_SHARE * plate


def _near(typed: Fraction, right: Fraction) -> bool:
    return abs(typed - right) <= SLIP_SHARE * right


def _rise_on_plate(said: _Said) -> None:
    """An aim outside the plate's rise of the table, where the job has none; a rise of the job beside the table's."""
    heat, rating = said.job.heat, said.table.ratings.get("temperature rise")
    if heat is None or rating is None:
        return
    unit = said.table.units.temperature
    for stage in (*heat.aim, *heat.rise):
        plate = rating.get(said.known.facts.model, stage)
        if not isinstance(plate, tuple):
            continue
        low, high = (rise(end, unit, "F") for end in plate)
        shown = f"{format_number(plate[0], 0)} to {format_number(plate[1], 0)} {unit}"
        own = heat.rise.get(stage)
        if own is not None and (own.low, own.high) != (low, high):
            said.notes.append(_of_the_job("temperature rise", own.text, shown))
        aim = heat.aim.get(stage)
        if isinstance(aim, Amount) and not heat.rise and not low <= aim.value <= high:
            said.refuse(
                aim,
                f"the aim of {aim.text} is outside the plate's rise in the table, {shown}",
                "aim at least 5 F inside it",
            )


def _efficiency_on_plate(said: _Said) -> None:
    heat, rating = said.job.heat, said.table.ratings.get("efficiency")
    if heat is None or heat.efficiency is None or rating is None:
        return
    plate = rating.get(said.known.facts.model, "")
    if isinstance(plate, Fraction) and 100 * plate != heat.efficiency.value:
        said.notes.append(_of_the_job("efficiency", heat.efficiency.text, f"{format_number(100 * plate, 0)} %"))


def _motor_and_air(said: _Said) -> None:
    """What the table says of motor and airflow is used; another label on the unit is a difference to look at."""
    job, unit = said.job, said.table.unit
    for name, typed, own in (
        ("motor", job.motor, unit.motor),
        ("airflow means", job.airflow_means, unit.airflow_means),
    ):
        if typed is not None and own and typed.text != own:
            said.notes.append(remark("table's word used", what=name, table=own, typed=typed.text))


def _facts_twice(said: _Said) -> None:
    """A fact of the table typed outright beside the equipment it is told by."""
    job = said.job
    for name, word, figure, typed in _told(said):
        own = said.known.facts.number(name)
        if own is not None and own != figure:
            said.refuse(word, f"`{name}: {word.text}` and `{typed}` contradict each other", "take one of the two out")
    typed_tons, tons = job.facts.get("outdoor tons"), said.known.facts.number("outdoor tons")
    if job.outdoor is None or job.outdoor.capacity is None or typed_tons is None or tons is None:
        return
    if tons != job.outdoor.capacity.value / BTUH_PER_TON:
        both = f"`outdoor tons: {typed_tons.text}` and the capacity {job.outdoor.capacity.text}"
        message = f"{both} contradict each other"
        said.refuse(typed_tons, message, "take one of the two out")


def _told(said: _Said) -> Iterator[tuple[str, TypedWord, Fraction, str]]:
    """Facts typed by name, with the figure that the equipment typed gives for them."""
    heat = said.job.heat
    if heat is None:
        return
    kilowatts = heat.heater or heat.most_auxiliary
    for name, fact in said.table.facts.items():
        word = said.job.facts.get(name)
        if word is not None and kilowatts is not None and (fact.gives == "heater power" or "heater" in name.casefold()):
            power = kilowatts.value / BTUH_PER_KW
            if word_of(said.table, fact, power) != word.text:
                yield name, word, power, f"heater: {kilowatts.text}"
        if word is not None and fact.gives == "nozzle rate" and heat.nozzle is not None:
            yield name, word, heat.nozzle.value, f"nozzle: {heat.nozzle.text}"


LOOKS: tuple[Callable[[_Said], None], ...] = (
    _kind_of_heat,
    _floor_over_ceiling,
    _per_ton_outside,
    _held_and_found,
    _kind_of_table,
    _input_of_strips,
    _input_on_plate,
    _rise_on_plate,
    _efficiency_on_plate,
    _motor_and_air,
    _facts_twice,
)
"""Each looks for one kind of contradiction."""
