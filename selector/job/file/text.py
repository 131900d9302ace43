"""A job as the text of a job file, which reads back to the same job."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from selector.job.file import fields
from selector.job.file.fields import Field, Section
from selector.job.file.grammar import FORMAT
from selector.job.file.model import Ceiling, Job, Mark, Reading, TypedWord, Visit
from selector.table.text.shapes import NOTHING

_SAFE_START = "+-.("


def job_text(job: Job) -> str:
    """The whole file, ending in a line end: keys in the order of the grammar, one a line, figures as they were
    typed."""
    return "\n".join(_lines(job)) + "\n"


def _lines(job: Job) -> Iterator[str]:
    yield f"format: {FORMAT}"
    for key in ("table", "table print", "date", "by", "place", "model", "plate model", "motor", "airflow means"):
        word = getattr(job, key.replace(" ", "_"))
        if word is not None:
            yield f"{key}: {quoted(word.text)}"
    yield from _texts("board", job.board)
    for section in fields.SECTIONS:
        made = getattr(job, section.attr)
        if made is not None:
            yield from _below(f"{section.key}:", _section(made, section))
    yield from _below("ceilings:", [line for one in job.ceilings for line in _ceiling(one)])
    if job.complaint is not None:
        yield f"complaint: {job.complaint.text}"
    yield from _texts("facts", job.facts)
    for key, by_call in (("targets", job.targets), ("windows", job.windows)):
        yield from _below(f"{key}:", [line for call, stages in by_call.items() for line in _by_stage(call, stages)])
    yield from _marks("hold", job.hold)
    yield from _texts("wishes", job.wishes)
    if job.in_force is not None:
        yield f"in force: {job.in_force.text}"
    yield from _seen_and_done(job)
    yield from _sentences("done", job.done)
    if job.visits:
        yield "visits:"
        for visit in job.visits:
            yield from _item(list(_visit(visit)))
    yield from _sentences("notes", job.notes)


def _visit(visit: Visit) -> Iterator[str]:
    yield f"date: {quoted(visit.date.text)}"
    if visit.by is not None:
        yield f"by: {quoted(visit.by.text)}"
    yield from _seen_and_done(visit)
    for key, sentences in (("cleared", visit.cleared), ("done", visit.done), ("notes", visit.notes)):
        yield from _sentences(key, sentences)


def _seen_and_done(at: Job | Visit) -> Iterator[str]:
    yield from _marks("as found", at.found)
    yield from _marks("as left", at.left)
    if at.measurements:
        yield "measurements:"
        for reading in at.measurements:
            yield from _item(_reading(reading))
    yield from _sentences("seen", at.seen)


def _item(lines: list[str]) -> Iterator[str]:
    """An entry of a list: a dash before its first line."""
    yield from (("  - " if n == 0 else "    ") + line for n, line in enumerate(lines))


def _sentences(key: str, sentences: tuple[TypedWord, ...]) -> Iterator[str]:
    if sentences:
        yield f"{key}: |"
        yield from (f"  {one.text}" for one in sentences)


def quoted(text: str) -> str:
    """The text as it may stand after a name: quotes only where it can't stand free."""
    plain = text not in NOTHING and (text[:1].isalnum() or text[:1] in tuple(_SAFE_START))
    if (
        plain
        and not text.endswith(":")
        and ": " not in text
        and " #" not in text
        and not text.startswith("- ")
        and text.isprintable()
    ):
        return text
    return "'" + text.replace("'", "''") + "'"


def _below(head: str, lines: list[str]) -> Iterator[str]:
    if lines:
        yield head
        yield from (f"  {line}" for line in lines)


def _texts(key: str, words: Mapping[str, Any]) -> Iterator[str]:
    yield from _below(f"{key}:", [f"{name}: {quoted(word.text)}" for name, word in words.items()])


def _marks(key: str, marks: tuple[Mark, ...]) -> Iterator[str]:
    yield from _below(f"{key}:", [f"{mark.selector}: {quoted(mark.text)}" for mark in marks])


def _by_stage(key: str, stages: Mapping[str, Any]) -> list[str]:
    if list(stages) == [""]:
        return [f"{key}: {quoted(stages[''].text)}"]
    return [f"{key}:", *(f"  {stage}: {quoted(value.text)}" for stage, value in stages.items())] if stages else []


def _field(made: Any, field: Field) -> list[str]:
    value = getattr(made, field.attr)
    if value is None or value == () or value == {}:
        return []
    if field.form in ("by stage", "range by stage"):
        return _by_stage(field.key, value)
    if field.form == "calls":
        return [f"{field.key}: [{', '.join(word.text for word in value)}]"]
    return [f"{field.key}: {quoted(value.text)}"]


def _section(made: Any, section: Section) -> list[str]:
    out = [line for field in section.fields for line in _field(made, field)]
    for part in section.parts:
        inner = getattr(made, part.attr)
        if inner is not None:
            out += list(_below(f"{part.key}:", _section(inner, part)))
    return out


def _ceiling(one: Ceiling) -> list[str]:
    return [f"{one.name}:", *(f"  {line}" for field in fields.CEILING for line in _field(one, field))]


def _reading(reading: Reading) -> list[str]:
    out = [f"call: {quoted(reading.call.text)}"]
    if reading.stage is not None:
        out.append(f"stage: {quoted(reading.stage.text)}")
    if reading.minutes is not None:
        out.append(f"minutes: {reading.minutes.text}")
    out.append(f"method: {reading.method.text}")
    out += [f"{key}: {quoted(amount.text)}" for key, amount in reading.values.items()]
    if reading.velocities:
        unit = reading.velocities[0].text.partition(" ")[2]
        out.append(f"velocities: {' '.join(one.text.partition(' ')[0] for one in reading.velocities)} {unit}")
    return out + [f"{key}: {quoted(word.text)}" for key, word in reading.words.items()]
