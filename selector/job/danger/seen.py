"""What the job says was seen at the unit, as hazards; a complaint or a note that names a danger counts as seen."""

from __future__ import annotations

from collections.abc import Iterator

from selector.air.figure import given
from selector.job.danger.hazard import Hazard
from selector.job.file.model import Job
from selector.job.observed.sentence import sightings
from selector.value import replace


def seen(job: Job) -> tuple[Hazard, ...]:
    """Every danger and warning among `seen` and the complaint, and every danger among the notes: what people write
    there can hurt as much."""
    out = [one for word in job.seen for one in sighted(word.text, word.line)]
    if job.complaint is not None:
        out += [replace(one, complained=True) for one in sighted(job.complaint.text, job.complaint.line)]
    notes = (one for word in job.notes for one in sighted(word.text, word.line))
    return (*out, *(one for one in notes if one.row.leaves == "nothing"))


def sighted(text: str, line: int = 0) -> Iterator[Hazard]:
    """What a sentence says was seen."""
    for one in sightings(text):
        if one.danger is None:
            continue
        value, limit = one.value, one.limit
        shown = value is not None and one.danger.what != "gas"
        yield Hazard(
            what=one.danger.what,
            value=given("seen", value, one.unit, source=f"typed {text}") if value is not None and shown else None,
            limit=given("limit", limit, one.unit, source="assumed" if one.assumed else f"typed {text}")
            if limit is not None and shown
            else None,
            whose="assumed" if one.assumed else "maker",
            seen=text,
            line=line,
        )
