"""Readings of one visit from before and after a change there (a selector moved, a filter changed): never taken
together. Only what was read since counts; what wasn't read again since keeps its danger."""

from __future__ import annotations

from collections.abc import Sequence

from selector.job.file.model import Job, Reading, Stale, TypedWord
from selector.job.house.job_facts import all_marks
from selector.job.remark import Remark, remark
from selector.table.model.table import Table
from selector.value import replace

CHANGES_NO_AIR = ("charge", "refrigerant", "combustion", "flue", "analyzer", "draft", "meter", "measured", "thermostat")
"""Words in `done` of work that leaves the airflow as it was (common practice, no source)."""


Place = tuple[str, ...]
"""Call and stage of a reading, or its own words."""


def with_stale(job: Job, readings: Sequence[tuple[Place, Reading]], table: Table) -> tuple[Reading, ...]:
    """The readings of one visit in the order typed, each with its place; those from before a change at that visit are
    marked. The change came before the first reading that was taken again in a call and stage."""
    change = _change(job, table)
    states: dict[tuple[object, ...], list[int]] = {}
    for n, (place, reading) in enumerate(readings):
        rate = reading.values.get("firing rate")
        states.setdefault((place, None if rate is None else rate.value), []).append(n)
    out = [reading for _, reading in readings]
    for places in states.values() if change else ():
        mine = [out[n] for n in places]
        again = _first_again(mine)
        for n, (at, reading) in enumerate(zip(places, mine, strict=True)):
            since = {kind for one in mine[max(again, n + 1) :] for kind in _kinds(one)}
            replaced = bool(_kinds(reading)) and _kinds(reading) <= since
            if replaced or (n < again < len(mine) and _kinds(reading)):
                out[at] = replace(reading, stale=Stale(change=change, again=replaced))
    return tuple(out)


def read_again_notes(job: Job) -> tuple[Remark, ...]:
    """What is said of readings that newer ones replace."""
    told: dict[tuple[str, str], list[str]] = {}
    for one in job.measurements:
        if one.stale is not None and one.stale.again:
            place = f"{one.call.text} {one.stage.text if one.stage is not None else ''}".strip()
            told.setdefault((place, one.stale.change), []).append(one.method.text)
    return tuple(
        remark("read again after a change", where=where, change=change, what=tuple(dict.fromkeys(methods)))
        for (where, change), methods in told.items()
    )


def _change(job: Job, table: Table) -> str:
    """What was changed at a visit that moves the air, as it was typed; empty where nothing was."""
    done = next((word.text for word in job.done if _moves_air(word)), "")
    if done or not (job.found and job.left):
        return done
    found, left = all_marks(job, job.found, table), all_marks(job, (*job.found, *job.left), table)
    return "selectors moved" if found != left else ""


def _moves_air(word: TypedWord) -> bool:
    return not any(said in word.text.casefold() for said in CHANGES_NO_AIR)


def _first_again(mine: Sequence[Reading]) -> int:
    """The place of the first reading of a kind that was read before; beyond the last where none was."""
    seen: set[str] = set()
    for n, one in enumerate(mine):
        if _kinds(one) & seen:
            return n
        seen |= _kinds(one)
    return len(mine)


def _kinds(reading: Reading) -> frozenset[str]:
    """What a reading tells of the air; nothing where it is of the burner alone."""
    values, method = set(reading.values), reading.method.text
    static = any("static" in key for key in values)
    if method == "clocked gas":
        method = "rise" if {"rise", "supply air"} & values else ""
    return frozenset(kind for kind in (method, "static" if static else "") if kind)
