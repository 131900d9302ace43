"""Facts of a job that contradict each other or carry a known slip. Each check stands for itself; `CHECKS` runs them
all."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from fractions import Fraction
from itertools import pairwise

from selector.job.file.complaint_words import complaints_in
from selector.job.file.model import Amount, Job
from selector.job.observed.sentence import known_words, sightings
from selector.table.text.shapes import FileReport
from selector.units import BTUH_PER_TON, plain, show

SLIP_FACTORS: tuple[tuple[Fraction, str], ...] = (
    (Fraction("3.412141633"), "watts and Btu/h"),
    (Fraction(12), "tons and thousands of Btu/h"),
    (Fraction(1000), "Btu/h and thousands of it"),
)
"""Factors by which a load is mistyped: W for Btu/h, tons for MBH, Btu/h for MBH."""
SLIP_SHARE = Fraction(5, 100)
"""How near the capacity a load must come, once put right, for the slip to be named."""


def _at(amount: Amount, code: str, message: str, help: str, report: FileReport) -> None:
    report.add(amount.line, amount.column, code, message, help, length=max(1, len(amount.text)))


def load_against_tons(job: Job, report: FileReport) -> None:
    """A load that is the outdoor unit's capacity but for a factor of 3.412, 12 or 1,000 was typed in another unit."""
    outdoor = job.outdoor
    if outdoor is None or outdoor.capacity is None:
        return
    capacity = outdoor.capacity.value
    loads: list[tuple[str, Amount, Fraction]] = []
    if outdoor.sensible_load is not None:
        latent = outdoor.latent_load.value if outdoor.latent_load is not None else Fraction(0)
        loads.append(("the load", outdoor.sensible_load, outdoor.sensible_load.value + latent))
    if job.heat is not None and job.heat.capacity is not None:
        loads.append(("the heating capacity", job.heat.capacity, job.heat.capacity.value))
    for words, amount, load in loads:
        for factor, units in SLIP_FACTORS:
            for right in (load * factor, load / factor):
                if abs(right - capacity) <= SLIP_SHARE * capacity:
                    tons = show(capacity / BTUH_PER_TON, "share", places=2).removesuffix(" %")
                    message = (
                        f"{words}, {show(load, 'heat rate')}, is {plain(factor)} times off {tons} tons"
                        f" ({show(capacity, 'heat rate')})"
                    )
                    _at(
                        amount,
                        "slipped-load",
                        message,
                        f"were {units} mixed up? Then it is {show(right, 'heat rate')}",
                        report,
                    )
                    return


def load_far_from_tons(job: Job, report: FileReport) -> None:
    """A sensible load beyond what the outdoor unit can do at all, or next to nothing of it, can't be right."""
    outdoor = job.outdoor
    if outdoor is None or outdoor.sensible_load is None or any(p.code == "slipped-load" for p in report.problems):
        return
    load = outdoor.sensible_load
    if not 3_000 <= load.value <= 300_000:
        _at(
            load,
            "impossible-figure",
            f"`{load.text}` can't be the sensible load of a house",
            "for example 27,000 Btu/h",
            report,
        )


def swapped_bulbs(job: Job, report: FileReport) -> None:
    """A wet bulb above its dry bulb."""
    site = job.site
    pairs = [(site.return_wet_bulb, site.return_air)]
    for reading in job.measurements:
        pairs += [
            (reading.values.get(f"{side} wet bulb"), reading.values.get(f"{side} air")) for side in ("return", "supply")
        ]
    for wet, dry in pairs:
        if wet is not None and dry is not None and wet.value > dry.value:
            _at(
                wet,
                "swapped-bulbs",
                f"the wet bulb {wet.text} is above the dry bulb {dry.text}",
                "were the two swapped?",
                report,
            )


def derate_on_clocked(job: Job, report: FileReport) -> None:
    """A derate on top of an input clocked at the meter would count the altitude twice."""
    heat = job.heat
    if heat is not None and heat.clocked is not None and heat.derate is not None and heat.derate.text != "none":
        at = heat.derate
        message = "the input is clocked at the meter, which has counted the altitude already: no derate on top of it"
        report.add(at.line, at.column, "derate-on-clocked", message, "take the line derate: out", length=len(at.text))


def clocked_needs_three(job: Job, report: FileReport) -> None:
    """A clocked input needs the gas that passed, the time, and the heat of the gas."""
    clocked = job.heat.clocked if job.heat is not None else None
    if clocked is None or clocked.input is not None:
        return
    read = (
        ("volume", "2 ft3", clocked.volume),
        ("time", "90 s", clocked.time),
        ("heat of gas", "1037 Btu/ft3", clocked.heat_of_gas),
    )
    missing = {name: example for name, example, value in read if value is None}
    if missing:
        lines = " and ".join(f"clocked {name}: {example}" for name, example in missing.items())
        report.add(
            clocked.line, 1, "clocked-incomplete", f"`clocked` lacks {' and '.join(missing)}", f"for example {lines}"
        )


def phases_are_one_or_three(job: Job, report: FileReport) -> None:
    """Two phases are none."""
    phases = [job.heat.phases] if job.heat is not None else []
    for amount in (*phases, *(r.values.get("phases") for r in job.measurements)):
        if amount is not None and amount.value not in (1, 3):
            _at(
                amount,
                "impossible-figure",
                f"`{amount.text}` phases: there are one or three",
                "two wires and earth are one phase",
                report,
            )


def rise_narrow(job: Job, report: FileReport) -> None:
    """An aim outside the plate's own window."""
    heat = job.heat
    if heat is None:
        return
    for stage, aim in heat.aim.items():
        window = heat.rise.get(stage, heat.rise.get(""))
        if not isinstance(aim, Amount) or window is None:
            continue
        if (window.low is not None and aim.value < window.low) or (window.high is not None and aim.value > window.high):
            _at(
                aim,
                "aim-outside-plate",
                f"the aim of {aim.text} is outside the plate's rise, {window.text}",
                "aim at least 5 F inside it",
                report,
            )


def ceiling_says_something(job: Job, report: FileReport) -> None:
    """A ceiling needs an area and a velocity, or an airflow."""
    for one in job.ceilings:
        if (
            one.airflow is not None
            or (one.drop is not None and one.area is None)
            or any(one.line <= p.line <= one.line + 4 for p in report.problems)
        ):
            continue
        if one.area is None:
            report.add(
                one.line,
                1,
                "ceiling-incomplete",
                f"the {one.name} has neither an area nor an airflow",
                "type area: and velocity:, or airflow:",
            )
        elif one.velocity is None and one.name != "filter":
            report.add(
                one.line,
                1,
                "ceiling-incomplete",
                f"the {one.name} has an area but no greatest velocity",
                "type velocity: 700 fpm",
            )


def stages_rise(job: Job, report: FileReport) -> None:
    """Shares of the outdoor unit's stages rise in the order typed, and one of them is all of it."""
    shares = list(job.outdoor.stages.items()) if job.outdoor is not None else []
    for (name, one), (later, other) in pairwise(shares):
        if other.value < one.value:
            _at(
                other,
                "stages-fall",
                f"stage {later} runs less of the unit than {name} before it",
                "type the stages lowest first",
                report,
            )
    for stages in (job.heat.input, job.heat.output) if job.heat is not None else ():
        by_stage = list(stages.items())
        for (name, one), (later, other) in pairwise(by_stage):
            if other.value < one.value:
                _at(
                    other,
                    "stages-fall",
                    f"stage {later} burns less than {name} before it",
                    "type the stages lowest first",
                    report,
                )


def output_below_input(job: Job, report: FileReport) -> None:
    """An output above its input, or one of another size: one of them is mistyped."""
    heat = job.heat
    if heat is None:
        return
    for stage, output in heat.output.items():
        given = heat.input.get(stage)
        if given is not None and not Fraction(1, 2) * given.value <= output.value <= Fraction(11, 10) * given.value:
            share = show(100 * output.value / given.value, "share", places=0)
            _at(
                output,
                "output-against-input",
                f"the output {output.text} is {share} of the input {given.text}",
                "check both on the plate",
                report,
            )


def dehumidify_without_humidistat(job: Job, report: FileReport) -> None:
    """A wish that nothing can call for."""
    wish = job.dehumidify
    if (
        wish is not None
        and wish.wanted is not None
        and wish.wanted.text == "yes"
        and wish.humidistat is not None
        and wish.humidistat.text == "none"
    ):
        at = wish.wanted
        message = "dehumidifying is wished for, but there is no humidistat to ask for it"
        report.add(
            at.line,
            at.column,
            "no-humidistat",
            message,
            "it would run reduced for ever; fit a humidistat first, or take the wish out",
        )


def seen_is_known(job: Job, report: FileReport) -> None:
    """What was seen is a danger or a warning in words the program knows: what it doesn't would be passed over. What is
    put right may be a complaint too."""
    later = [word for visit in job.visits for word in visit.seen]
    cleared = [
        word
        for visit in job.visits
        for word in visit.cleared
        if any(meant is None for _, meant in complaints_in(word.text))
    ]
    for word in (*job.seen, *later, *cleared):
        if not sightings(word.text):
            report.add(
                word.line,
                word.column,
                "seen-unknown",
                f"`{word.text}` is not among the things that can be seen",
                f"If it may hurt somebody, shut the unit off first. Type for example: {known_words()}. What is harmless"
                " goes under notes.",
                length=len(word.text),
            )


def dates_follow(job: Job, report: FileReport) -> None:
    """Dates with the year first, each visit after the one before it."""
    before = ""
    for word in (*([job.date] if job.date is not None else []), *(visit.date for visit in job.visits)):
        if not _is_day(word.text):
            message, help = f"`{word.text}` is no date", "Type the year first: 2027-11-02."
            report.add(word.line, word.column, "not-a-date", message, help, length=len(word.text))
            continue
        if word.text <= before:
            message = f"the visit of {word.text} follows one of {before}"
            help = "List each visit once, the oldest first."
            report.add(word.line, word.column, "dates-fall", message, help, length=len(word.text))
        before = max(before, word.text)


def _is_day(text: str) -> bool:
    try:
        return date.fromisoformat(text).isoformat() == text
    except ValueError:
        return False


Check = Callable[[Job, FileReport], None]
CHECKS: tuple[Check, ...] = (
    load_against_tons,
    load_far_from_tons,
    swapped_bulbs,
    derate_on_clocked,
    clocked_needs_three,
    phases_are_one_or_three,
    rise_narrow,
    ceiling_says_something,
    stages_rise,
    output_below_input,
    dehumidify_without_humidistat,
    seen_is_known,
    dates_follow,
)
