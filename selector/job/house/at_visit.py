"""A job as one of its visits found and left it, and as it stands after the last: what an earlier visit measured or saw
holds until a later one measures the same call, sets other marks, or says that it is put right."""

from __future__ import annotations

from collections.abc import Iterator

from selector.job.file.complaint_words import complaints_in
from selector.job.file.model import Clocked, Heat, Job, Mark, Reading, TypedWord, Visit
from selector.job.house.before_change import with_stale
from selector.job.house.job_facts import Stage, all_marks, call_of
from selector.job.observed.sentence import sightings
from selector.problems import Refused
from selector.table.model.table import Table
from selector.value import replace

Marks = tuple[Mark, ...]
Place = Stage | tuple[str, str, str]


def visit_jobs(job: Job, table: Table) -> tuple[Job, ...]:
    """The job once for each visit, the first (what stands at the top of the file) included: marks as they were found
    and left, and what was measured, seen and done at that visit alone. An input that was clocked stays known."""
    out = [replace(job, visits=())]
    for visit in job.visits:
        out.append(_after(out[-1], visit, table))
    return tuple(out)


def _after(before: Job, visit: Visit, table: Table) -> Job:
    """A mark that a visit doesn't name is as it was left before."""
    stood = marks_left(before)
    found = (*stood, *visit.found)
    return replace(
        before,
        heat=with_heat_read(before, table).heat,
        date=visit.date,
        by=visit.by,
        found=found,
        left=(*found, *visit.left) if visit.left else (),
        measurements=visit.measurements,
        seen=visit.seen,
        done=visit.done,
        notes=visit.notes,
    )


_READ = {"nozzle": "nozzle", "pump pressure": "pump_pressure", "volts": "supply_voltage"}
"""What a reading at full heat tells of the heat, and the name that a job has for it."""


def with_heat_read(job: Job, table: Table) -> Job:
    """The job with the nozzle, the pump pressure and the volts at the heater that were read at full heat, and with the
    input of each stage that was clocked, in the place of the plate's and of what was typed before: the newest counts,
    for every command."""
    heat = job.heat
    for reading in job.measurements:
        method = reading.method.text
        found = {
            key: reading.values[name]
            for name, key in _READ.items()
            if name in reading.values and (name != "volts" or method == "electric")
        }
        call, stage = _place(job, table, reading)[:2]
        if found and call and stage == table.calls[call].last:
            heat = replace(heat or Heat(), **found)
        clocked = _clocked(reading, stage)
        if clocked is not None and call in table.calls and _efficiency_known(heat, table):
            heat = heat or Heat()
            in_stages = {**heat.clocked_in, stage: clocked}
            newest = in_stages.get(table.calls[call].last, clocked)
            heat = replace(heat, clocked=newest, clocked_in=in_stages)
    return job if heat is job.heat else replace(job, heat=heat)


def _clocked(reading: Reading, stage: str) -> Clocked | None:
    """What a reading of the meter tells of the input at full fire of a stage; None where it doesn't tell all of it."""
    read = [reading.values.get(name) for name in ("volume", "time", "heat of gas")]
    if reading.method.text != "clocked gas" or None in read or "firing rate" in reading.values:
        return None
    volume, time, heat_of_gas = read
    lit = TypedWord(text=stage, line=reading.line) if stage else None
    return Clocked(volume=volume, time=time, heat_of_gas=heat_of_gas, stage=lit, line=reading.line)


def _efficiency_known(heat: Heat | None, table: Table) -> bool:
    """Without it an input gives no heat, and the plate's output stands."""
    return (heat is not None and heat.efficiency is not None) or "efficiency" in table.ratings


def marks_left(job: Job) -> Marks:
    """The marks a visit ends with: as left, else as found."""
    return (*job.found, *job.left) if job.left else job.found


def at_last_visit(job: Job, table: Table) -> Job:
    """The job as it stands after its last visit."""
    if not job.visits:
        return _with_stale(job, table)
    every = visit_jobs(job, table)
    return replace(
        every[-1],
        measurements=tuple(reading for one in readings_that_hold(job, table) for reading in one.measurements),
        seen=tuple(word for _, words in still_seen(job, table) for word in words),
        complaint=_still_complained(job),
    )


def _still_complained(job: Job) -> TypedWord | None:
    """The complaint without what a later visit put right."""
    cleared = [word.text for visit in job.visits for word in visit.cleared]
    if job.complaint is None or not cleared:
        return job.complaint
    dangers = {what for text in cleared for what in _dangers(text)}
    names = {meant for text in cleared for _, meant in complaints_in(text) if meant is not None}
    left = [
        said
        for said, meant in complaints_in(job.complaint.text)
        if meant not in names and not (_dangers(said) and _dangers(said) <= dangers)
    ]
    return replace(job.complaint, text=", ".join(left)) if left else None


def readings_that_hold(job: Job, table: Table) -> tuple[Job, ...]:
    """Each visit with those of its readings that no later visit took anew, as long as the marks are those of the
    last."""
    every = tuple(_with_stale(one, table) for one in visit_jobs(job, table))
    now = _standing(every[-1], table)
    taken: set[Place] = set()
    out: list[Job] = []
    for one in reversed(every):
        held = _standing(one, table) == now
        readings = tuple(r for r in one.measurements if held and _place(one, table, r) not in taken)
        taken |= {_place(one, table, r) for r in one.measurements}
        out.append(replace(one, measurements=readings))
    return tuple(reversed(out))


def _with_stale(job: Job, table: Table) -> Job:
    """One visit with its readings from before a change there marked."""
    readings = with_stale(job, [(_place(job, table, one), one) for one in job.measurements], table)
    return job if readings == job.measurements else replace(job, measurements=readings)


def still_seen(job: Job, table: Table) -> Iterator[tuple[Job, tuple[TypedWord, ...]]]:
    """Each visit with what was seen at it and isn't cleared since."""
    every = visit_jobs(job, table)
    for n, one in enumerate(every):
        later = [word.text for visit in job.visits[n:] for word in visit.cleared]
        cleared = {what for text in later for what in _dangers(text)}
        yield one, tuple(word for word in one.seen if not _dangers(word.text) or not _dangers(word.text) <= cleared)


def _dangers(text: str) -> frozenset[str]:
    return frozenset(s.danger.what for s in sightings(text) if s.danger is not None)


def _standing(job: Job, table: Table) -> dict[int, int | None]:
    return all_marks(job, marks_left(job), table)


def _place(job: Job, table: Table, reading: Reading) -> Place:
    """The call and stage of a reading; its own words where they name none, which is said elsewhere."""
    try:
        return call_of(job, table, reading.call, reading.stage)
    except Refused:
        return "", reading.call.text, reading.stage.text if reading.stage is not None else ""


__all__ = ["at_last_visit", "marks_left", "readings_that_hold", "still_seen", "visit_jobs", "with_heat_read"]
