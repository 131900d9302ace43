"""Why a reading can't count: taken too soon, in another state of the house than the figure is for, or not right in
itself."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction

from selector.air.figure import Figure, Given, given
from selector.job.file.model import Amount, Job, Reading, TypedWord
from selector.job.house.steady import ComingUp
from selector.job.readings.external_static import UnitParts
from selector.problems import Problem
from selector.table.model.table import Call, No
from selector.units import DIFFERENCES, format_number, plain, unit_named
from selector.value import Struct

SETTLE_S = Fraction(180)
"""Seconds after the ramp's last step before a heat method counts: the heat exchanger is still warming (common practice
says some minutes; our choice)."""
STEADY_S: Mapping[str, Fraction] = {"electric": Fraction(300), "cooling": Fraction(900)}
"""Seconds after the call began until it is steady: electric 5 minutes after the last sequencer, cooling and heat pump
15 (common practice, no source)."""
BURNER_STEADY_S = Fraction(600)
"""The same for what burns, and for hot water: 10 minutes (common practice, no source)."""
PROBES_F = Fraction(2)
"""How far two probes may be off together (common practice, no source)."""
STATIC_APART_INWC = Fraction(2, 100)
"""How far a total may be from its two readings (our choice)."""
LEAST_VOLTS = Fraction(90)
HEAT_METHODS = ("rise", "electric", "clocked gas")


class ReadingState(Struct, frozen=True, kw_only=True):
    """What the board does in the call and stage of a reading: how it comes up, and its heat (Btu/h delivered; the
    efficiency as a share).

    `cooling`: the call cools; `unit`: where the unit's plate counts static.

    `clocked`: the heat rests on an input read at the meter. `fuel`: what the call burns, empty for electric heat, None
    where
    nothing tells it.
    """

    call: Call
    stage: str
    coming: ComingUp | No
    heat: Figure | None = None
    efficiency: Figure | None = None
    clocked: bool = False
    fuel: str | None = None
    cooling: bool = False
    unit: UnitParts = UnitParts()

    @property
    def title(self) -> str:
        """The call and its stage as people say it."""
        return f"{self.call.name} {self.stage}".strip()

    @property
    def compressor(self) -> bool:
        """True where a Y terminal is energised with this stage."""
        return any(
            t.upper().startswith("Y") for t in self.call.terminals.get(self.stage, self.call.terminals.get("", ()))
        )


class Missing(Exception):
    """Something that the method needs isn't there."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        super().__init__(problem.message)


class ReadingPlace(Struct, frozen=True):
    """A reading in its file."""

    job: Job
    reading: Reading

    def problem(self, code: str, message: str, help: str = "", at: Amount | TypedWord | None = None) -> Problem:
        spot = at if at is not None and at.line else self.reading.method
        line = spot.line or self.reading.line
        source = self.job.lines[line - 1] if 0 < line <= len(self.job.lines) else ""
        length = max(1, len(spot.text)) if spot.line else 1
        return Problem(
            file=self.job.file,
            line=line,
            column=spot.column,
            code=code,
            message=message,
            help=help,
            source=source,
            length=length,
        )

    def amount(self, key: str) -> Amount | None:
        return self.reading.values.get(key)

    def need(self, key: str, why: str) -> Amount:
        found = self.amount(key)
        if found is None:
            raise Missing(
                self.problem(
                    "reading-incomplete", f"{why} needs {key}, and this reading has none", f"add {key} to the reading"
                )
            )
        return found

    def word(self, key: str) -> str:
        found = self.reading.words.get(key)
        return found.text.casefold() if found is not None else ""

    def figure(self, key: str, amount: Amount, name: str = "") -> Given:
        where = f"{self.job.file}:{amount.line}, " if amount.line else ""
        return given(
            name or key.replace(" ", "_"),
            amount.value,
            amount.unit,
            source=f"{where}typed {amount.text}",
            kind=amount.kind,
            shown=shown_amount(amount),
            typed=amount.text,
        )


def shown_amount(amount: Amount) -> str:
    """How a figure is written that was typed in another unit, so that it isn't written with six decimals; empty
    where it is short anyway."""
    if (amount.value * 100).denominator == 1:
        return ""
    places = unit_named(amount.unit).places if amount.unit not in DIFFERENCES else DIFFERENCES[amount.unit].places
    return f"{format_number(amount.value, places)} {amount.unit}"


def before_change(place: ReadingPlace) -> Iterable[Problem]:
    """Taken before something was changed at the same visit, where other readings were taken since."""
    stale = place.reading.stale
    if stale is None:
        return
    message = f"read before the change at this visit ({stale.change})"
    yield place.problem("before-change", message, "Read it again.")


def too_soon(place: ReadingPlace, state: ReadingState) -> Iterable[Problem]:
    """Taken before the blower ran at its full airflow, or before a heat method can count. The gas meter alone counts at
    any time: it says nothing of the air."""
    reading, coming = place.reading, state.coming
    if reading.method.text == "clocked gas" and not {"rise", "supply air"} & set(reading.values):
        return
    heats = reading.method.text in (*HEAT_METHODS, "split")
    if isinstance(coming, No):
        message = (
            f"when {state.title} is at its full airflow can't be told ({coming.why}), so the reading may be of the ramp"
        )
        yield place.problem("ramp-not-known", message, "read the mark that sets it, and measure again")
        return
    least = max(coming.full_s + SETTLE_S, steady_s(state)) if heats else coming.full_s
    if reading.minutes is None:
        if least:
            message = (
                f"the reading doesn't say how long after {state.title} began it was taken; it counts {_minutes(least)}"
                " in"
            )
            yield place.problem("minutes-missing", message, "Add the minutes since the call began.")
        return
    at = reading.minutes.value
    if at < coming.full_s:
        share = coming.share_at(at)
        doing = f"the blower runs at {plain(share)} %" if share else "the blower doesn't run yet"
        ramp = f" (ramp `{coming.ramp}`)" if coming.ramp else ""
        message = (
            f"taken {plain(at)} s after {state.title} began, when {doing}{ramp}; it is at its full airflow after"
            f" {plain(coming.full_s)} s"
        )
        yield place.problem(
            "during-the-ramp", message, f"measure {_minutes(least)} or more after the call begins", reading.minutes
        )
    elif at < least:
        misleads = (
            "the coil isn't cold and wet yet, and a small split reads as low capacity"
            if reading.method.text == "split"
            else "the rise is still coming up and shows more airflow than there is"
        )
        message = f"taken {_spoken(at)} after {state.title} began, {_minutes(least - at)} early: {misleads}"
        last = " after the last sequencer" if state.fuel == "" else ""
        yield place.problem("too-early", message, f"Measure {_minutes(least)} in or later{last}.", reading.minutes)


def _spoken(seconds: Fraction) -> str:
    """Minutes as people say them, seconds under one."""
    count = format_number(seconds / 60, 0)
    return f"{plain(seconds)} s" if seconds < 60 else f"{count} minute{'s' if count != '1' else ''}"


def steady_s(state: ReadingState) -> Fraction:
    """Seconds after its call began from which a reading of heat is steady."""
    if state.compressor:
        return STEADY_S["cooling"]
    return STEADY_S["electric"] if state.fuel == "" else BURNER_STEADY_S


def _minutes(seconds: Fraction) -> str:
    """Whole minutes, rounded up."""
    count = -(-seconds // 60)
    return f"{count} minute{'s' if count != 1 else ''}"


def circumstances(place: ReadingPlace, state: ReadingState) -> Iterable[Problem]:
    """The house wasn't in the state that the figure is for."""
    reading = place.reading
    if {"nozzle", "pump pressure"} & set(reading.values) and state.fuel not in ("oil", "fuel", None):
        message = f"{state.title} burns no oil: nozzle and pump pressure say nothing of its heat"
        yield place.problem("not-oil", message, "measure in the call that burns oil")
    words = reading.words
    if place.word("dehumidify") == "calling" and "DH" not in {
        t.upper() for t in state.call.terminals.get(state.stage, ())
    }:
        message = f"dehumidify was calling, so the airflow was not that of {state.title}"
        yield place.problem(
            "other-stage", message, "let the humidistat be satisfied, or name the call that ran", words["dehumidify"]
        )
    if place.word("filter") == "out":
        yield place.problem(
            "filter-out",
            "measured without the filter: with it the airflow is another",
            "put the filter in",
            words["filter"],
        )
    if place.word("panels") == "off":
        yield place.problem(
            "panels-off",
            "measured with the panels off: the blower breathes another way",
            "put the panels on",
            words["panels"],
        )
    if place.word("zones") == "some closed" and not place.job.zoning:
        message = "measured with zones closed; the job has no zoning to judge it by"
        yield place.problem(
            "zones-closed", message, "open every zone, or describe the zoning in the job", words["zones"]
        )
    if place.word("stage locked") == "no" and len(state.call.stages) > 1:
        message = f"the stage was not locked: it may not have been {state.title}"
        yield place.problem("other-stage", message, "lock the stage and measure again", words["stage locked"])
    if reading.method.text not in HEAT_METHODS:
        return
    if reading.method.text == "electric" and state.fuel:
        heats = f"is heated by {state.fuel}" if state.fuel == "hot water" else f"burns {state.fuel}"
        message = f"{state.title} {heats}: volts and amps say nothing of its heat"
        yield place.problem(
            "not-electric",
            message,
            "measure the rise" + (", and clock the gas" if state.fuel in ("gas", "fuel") else ""),
        )
    line = {key: reading.values[key] for key in ("volts", "amps") if key in reading.values}
    if reading.method.text == "rise" and state.fuel == "" and line:
        message = (
            f"{' and '.join(line)} given, but the method rise doesn't use them: it takes the heater's heat as the job"
            " has it"
        )
        at = next(iter(line.values()))
        yield place.problem(
            "volts-unused", message, "type method: electric to use volts and amps, or leave them out", at
        )
    if reading.method.text == "clocked gas" and state.fuel not in ("gas", "fuel", None):
        burns = (
            f"burns {state.fuel}"
            if state.fuel == "oil"
            else f"is heated by {state.fuel}"
            if state.fuel
            else "burns no gas"
        )
        message = f"{state.title} {burns}: there is no gas of it to clock"
        help = {"oil": "read the nozzle and the pump pressure", "": "read volts and amps"}.get(
            state.fuel, "measure the rise"
        )
        yield place.problem("not-gas", message, help)
    if place.word("compressor") == "on":
        message = (
            "the compressor was on: the rise is not that of the"
            f" {'heater' if reading.method.text == 'electric' else 'burner'} alone"
        )
        yield place.problem("compressor-on", message, "lock the compressor out and measure again", words["compressor"])
    elif state.compressor and place.word("compressor") != "off":
        message = f"{state.title} runs the compressor too, whose heat is not in the figure"
        yield place.problem(
            "compressor-on", message, "measure in the call that heats without it, or add compressor: off"
        )
    if reading.method.text == "rise" and state.heat is None:
        message = f"the delivered heat of {state.title} is not known, and airflow is heat over rise"
        yield place.problem(
            "no-heat", message, "give what is installed in the job, or measure in a call that heats", reading.call
        )


def contradictions(place: ReadingPlace) -> Iterable[Problem]:
    """A reading that can't be right in itself."""
    rise, supply, back = place.amount("rise"), place.amount("supply air"), place.amount("return air")
    if supply is not None and back is not None:
        difference = supply.value - back.value
        if difference <= 0 and place.reading.method.text in HEAT_METHODS:
            message = f"supply air {supply.text} is not warmer than return air {back.text}"
            yield place.problem("rise-reversed", message, "the two are likely exchanged", supply)
        elif rise is not None and abs(rise.value - difference) > PROBES_F:
            message = f"rise {rise.text} is not supply air less return air, {plain(difference)} F"
            yield place.problem("readings-contradict", message, "leave the one that was read", rise)
    elif rise is not None and rise.value <= 0:
        yield place.problem("rise-reversed", f"a rise of {rise.text} is not possible", "type it without a sign", rise)
    volts = place.amount("volts")
    if volts is not None and volts.value < LEAST_VOLTS:
        yield place.problem(
            "volts-low",
            f"{volts.text} is under {plain(LEAST_VOLTS)} V: no heater runs on that",
            "read the line voltage",
            volts,
        )
    total, low, high = place.amount("static pressure"), place.amount("return static"), place.amount("supply static")
    if high is not None and high.value < 0:
        message = f"supply static {high.text} is below the room's pressure: it can't be the supply side"
        yield place.problem("static-signs", message, "Were the two hoses swapped? Type it with its sign.", high)
    if total is not None and low is not None and high is not None:
        added = abs(low.value) + abs(high.value)
        if abs(total.value - added) > STATIC_APART_INWC:
            message = f"static pressure {total.text} is not return and supply static added, {plain(added)} in. w.c."
            yield place.problem("readings-contradict", message, "leave the one that was read", total)
